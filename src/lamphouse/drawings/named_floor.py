"""The floor plan with the names of what stands on it, and where each of them is."""

from collections.abc import Iterator, Sequence

from lamphouse.design.place import Room, SubAssembly
from lamphouse.drawings.drawing import Drawing, Item, Path
from lamphouse.drawings.floor_plan import SCALES, FloorPlan, floor_plan, footprint
from lamphouse.drawings.ground import Ground, Named
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.moves import bounds, drawing_of
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import lying
from lamphouse.record import Record

_NAME_MM = 3.5
_BESIDE_MM = 1.0


class NamedFloor(Record):
    """A floor plan with names."""

    label: Labelled
    feet: tuple[tuple[str, Path], ...]
    """Name and footprint of every sub-assembly that has a place."""


def named_floor(subs: Sequence[SubAssembly], *, room: Room | None, paper: str) -> NamedFloor | None:
    """Draw the floor plan with names, as large as it fits on the paper lying; None without any.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    if not any(sub.stand and sub.panels for sub in subs):
        return None
    wide, high = lying(paper).room_mm
    for reduction in SCALES:
        plan = floor_plan(subs, room=room, reduction=reduction)
        drawing = _drawn(plan, subs)
        if drawing.width_mm <= wide and drawing.height_mm <= high:
            break
    feet = ((sub.name, footprint(sub, reduction=plan.reduction)) for sub in subs)
    return NamedFloor(
        label=Labelled(drawing=drawing, part="floor plan", face="from above", drawn=plan.drawn),
        feet=tuple((name, foot) for name, foot in feet if foot),
    )


def _drawn(plan: FloorPlan, subs: Sequence[SubAssembly]) -> Drawing:
    ground = Ground()
    ground.add(plan.items, passable=True)
    names = [item for sub in subs for item in _name(ground, sub, plan)]
    return drawing_of((*plan.items, *names), name="floor plan")


def _name(ground: Ground, sub: SubAssembly, plan: FloorPlan) -> Iterator[Item]:
    foot = footprint(sub, reduction=plan.reduction)
    if foot is None:
        return
    left, bottom, right, top = bounds(foot)
    named = Named(
        words=sub.name,
        x_mm=(left + right) / 2,
        y_mm=(bottom + top) / 2,
        rim_mm=_BESIDE_MM,
        reach_mm=_BESIDE_MM,
    )
    yield from ground.label(named, height_mm=_NAME_MM) or ground.label(named, height_mm=LEAST_MM)
