"""The room in the chain: the space of boxes and sources, the plugs and wires under the floor."""

from collections.abc import Iterator, Sequence

from lamphouse.circuit.loom_runs import Loom
from lamphouse.cutting.piece import BoxPieces
from lamphouse.design.place import SubAssembly
from lamphouse.design.whole import Design
from lamphouse.fibres.runs import FERRULE_MM
from lamphouse.findings import Finding
from lamphouse.plan.kept import Kept
from lamphouse.plan.stranded import COLLAR_MM, StrandPlan
from lamphouse.record import replace
from lamphouse.room.assembled import Placed
from lamphouse.room.floor_rules import WireEnd, WirePair
from lamphouse.room.plug_reach import PlugSpot
from lamphouse.room.prisms import BoxSpace, FloorBuild, SourceSpace
from lamphouse.room.room_verdict import RoomPlan, judge_room
from lamphouse.shapes.offset import offset
from lamphouse.shapes.soundness import flaw_of

SOURCE_ACROSS_MM = 6.0
"""Diameter of a collar with its LED [PRACTICE]."""


def place_all(
    design: Design,
    *,
    boxes: Sequence[BoxPieces],
    strands: StrandPlan | None,
    loom: Loom | None,
    kept: Kept,
) -> tuple[RoomPlan | None, tuple[Finding, ...]]:
    """Judge the room with everything in its place.

    Parameters
    ----------
    boxes
        As they are built, with the room they take up.
    strands
        For where sources stand.
    loom
        For where plugs hang and wires lead.

    Returns
    -------
    tuple
        None where no sub-assembly has a place on the floor plan.
    """
    if not any(sub.stand for sub in design.sub_assemblies):
        return None, ()
    placed = tuple(
        Placed(
            sub=_bare(sub),
            boxes=tuple(_spaces(sub, boxes=boxes)),
            sources=tuple(_sources(sub, design=design, strands=strands)),
        )
        for sub in design.sub_assemblies
    )
    return kept.step(
        judge_room,
        placed,
        plugs=tuple(_plugs(loom)),
        wires=tuple(_wires(loom)),
        surroundings=design.surroundings,
        room=design.room,
        floor=floor_of(design),
    )


def floor_of(design: Design) -> FloorBuild:
    """Give how the floor is built."""
    wishes = design.loom
    return FloorBuild(
        thick_mm=wishes.floor_mm if wishes else 0.0,
        depth_mm=wishes.depth_mm if wishes else None,
    )


def _bare(sub: SubAssembly) -> SubAssembly:
    """Leave out what takes up no space, so that a change of it judges nothing anew."""
    boxes = tuple(
        (panel, replace(box, leds=(), baffles=(), pillars=())) for panel, box in sub.boxes
    )
    return replace(
        sub, boxes=boxes, strands=(), masks=(), lamps=(), strings=(), board=None, pigtail=None
    )


def _spaces(sub: SubAssembly, *, boxes: Sequence[BoxPieces]) -> Iterator[BoxSpace]:
    """Give the space of every light box: as it is built, or by its inside where it cannot be."""
    built = {(one.panel, one.box): one for one in boxes if one.sub_assembly == sub.name}
    for panel, box in sub.boxes:
        made = built.get((panel, box.name))
        if made and made.foot:
            foot, deep_mm = made.foot, made.outside_mm[2]
        elif flaw_of(box.inside.corners):
            continue
        else:
            sheet_mm = box.sheet.thickness_mm
            foot = offset(box.inside.corners, by_mm=sheet_mm)[0].outside
            deep_mm = box.depth_mm + sheet_mm
        yield BoxSpace(panel=panel, box=box.name, where=box.where, foot=foot, deep_mm=deep_mm)


def _sources(
    sub: SubAssembly, *, design: Design, strands: StrandPlan | None
) -> Iterator[SourceSpace]:
    where = {group.name: group.where for group in design.groups}
    for runs in strands.led if strands else ():
        if runs.sub_assembly == sub.name:
            for seat in runs.seats:
                yield SourceSpace(
                    group=seat.group,
                    where=where[seat.group],
                    at_mm=seat.spot_mm,
                    behind_mm=seat.behind_mm,
                    long_mm=FERRULE_MM + COLLAR_MM,
                    diameter_mm=SOURCE_ACROSS_MM,
                )


def _plugs(loom: Loom | None) -> Iterator[PlugSpot]:
    for socket in loom.sockets if loom else ():
        yield PlugSpot(
            sub_assembly=socket.sub_assembly,
            where=socket.where,
            at_mm=(socket.x_mm, socket.y_mm),
        )


def _wires(loom: Loom | None) -> Iterator[WirePair]:
    """Give each two places that runs join, once."""
    if loom is None:
        return
    ends = dict(_ends(loom))
    seen: set[tuple[str, str]] = set()
    for run in loom.runs:
        if (run.start, run.end) not in seen:
            seen.add((run.start, run.end))
            yield WirePair(start=ends[run.start], end=ends[run.end])


def _ends(loom: Loom) -> Iterator[tuple[str, WireEnd]]:
    """Give every place that runs lead to, by the name that runs have for it."""
    yield (
        "supply",
        WireEnd(
            name="the supply's lead",
            where=loom.where,
            at_mm=loom.supply_mm,
            written="supply_at: {at}",
        ),
    )
    for feed in loom.feeds:
        board = feed.splitter
        yield (
            board.name,
            WireEnd(
                name=board.name,
                where=feed.where,
                at_mm=(board.x_mm, board.y_mm),
                written=f"splitter_at: {{at}} for feed '{feed.name}'",
            ),
        )
    for socket in loom.sockets:
        name = socket.sub_assembly
        yield (
            f"socket {name}",
            WireEnd(
                name=f"the socket of '{name}'",
                where=socket.where,
                at_mm=(socket.x_mm, socket.y_mm),
                written=f"holes: {{H: {{at: {{at}}, for: [{name}]}}}}"
                if socket.hole == name
                else f"at: {{at}} for hole '{socket.hole}'",
            ),
        )
