"""The pages of the room: what comes out how and in which order, then plan and sections."""

from collections.abc import Iterator
from typing import Any

from lamphouse.drawings.room_cut import default_cuts, room_cut
from lamphouse.drawings.room_lines import RoomScene
from lamphouse.drawings.room_view import room_view
from lamphouse.outputs.page_entries import Drawn, Sheet
from lamphouse.plan.placed import floor_of
from lamphouse.plan.result import Plan
from lamphouse.room.plug_reach import PlugReach
from lamphouse.room.room_verdict import RoomPlan
from lamphouse.room.taking_out import TakenOut

HOW = (
    "Pull the plug of each before it moves. Taken out in this order everything comes out; put in, "
    "go through it from the end. Ways are straight moves: forwards is the way the face looks, "
    "front, back, left and right are the room's own. Bodies that are not upright and square are "
    "held by covers a little larger than they are; strands, wires and boards are left out."
)
STAYS = "does not come out: see the findings"


def room_pages(plan: Plan) -> Iterator[Sheet | Drawn]:
    """Give the room's sheet, its plan and its sections; nothing where nothing has a place."""
    if plan.room_plan is None:
        return
    yield Sheet(mark="room", kind="room", heading="Room", data=room_data(plan, plan.room_plan))
    scene = scene_of(plan, plan.room_plan)
    cuts, paper = default_cuts(scene), plan.design.paper
    labels = (
        room_view(scene, cuts=cuts, paper=paper),
        *(room_cut(scene, cut, paper=paper) for cut in cuts),
    )
    yield Drawn(mark="room plan", labels=labels)


def scene_of(plan: Plan, room_plan: RoomPlan) -> RoomScene:
    """Gather what the drawings of the room show."""
    return RoomScene(
        room_plan=room_plan,
        subs=plan.design.sub_assemblies,
        room=plan.design.room,
        surroundings=plan.design.surroundings,
        loom=plan.loom,
        floor=floor_of(plan.design),
        strands=plan.strands.led if plan.strands else (),
    )


def room_data(plan: Plan, room_plan: RoomPlan) -> dict[str, Any]:
    """Give the sheet as data for the typesetter."""
    plugs = {plug.sub_assembly: plug for plug in room_plan.plugs}
    rows = [
        (str(number), *_row(out, plugs.get(out.sub_assembly)))
        for number, out in enumerate(room_plan.removal.out, start=1)
    ]
    rows += [("", name, STAYS, "", _plug(plugs.get(name))) for name in room_plan.removal.locked]
    around = plan.design.surroundings
    return {
        "words": _counted(len(rows)),
        "how": HOW,
        "open": f"Open: {', '.join(around.open_sides) or 'no side'}.",
        "rows": rows,
    }


def _counted(count: int) -> str:
    return f"{count} sub-assembl{'y' if count == 1 else 'ies'} in place"


def _row(out: TakenOut, plug: PlugReach | None) -> tuple[str, ...]:
    return out.sub_assembly, out.words, ", ".join(out.after) or "nothing", _plug(plug)


def _plug(plug: PlugReach | None) -> str:
    if plug is None:
        return ""
    if not plug.is_reached:
        return "out of reach"
    far = f", {plug.far_mm:.0f} mm in" if plug.far_mm else ""
    return f"{plug.grip} from {plug.through}{far}"
