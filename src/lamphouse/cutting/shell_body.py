"""A light box as a body for a 3D printer, slice by slice: walls, back, ledge, seats, wire exits.

Terminology
-----------
seat
    A shallow pocket that holds an LED in its place.
shell, lid
    With ``back only`` the shell has its back; with ``lid over back`` it is open at the rear, and a
    lid with the seats and a lip that slides in is a body of its own.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, dist

from lamphouse.cutting.baffle_joints import NO_BAFFLES, Baffling
from lamphouse.cutting.frame import Frame
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.piece import Body, BodyLayer
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.pillar_pieces import is_printed, strand_aims
from lamphouse.cutting.seats import (
    baffle_foot,
    baffles_below,
    foot_corners,
    from_front,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.cutting.shell_mesh import Point, crowded_edges, faults_of, mesh_of
from lamphouse.cutting.shell_rules import look_at_printed
from lamphouse.cutting.wall_holes import patch_of, wall_of
from lamphouse.cutting.wall_piece import notch_of
from lamphouse.cutting.wedges import tilt_notes
from lamphouse.design.box_faces import BACK, PANEL, finished_faces, in_words, wall_name
from lamphouse.design.lightbox import Led, Lid, LightBox, Seat
from lamphouse.findings import Finding
from lamphouse.record import Record, replace
from lamphouse.shapes.carving import Step, carved
from lamphouse.shapes.measure import anticlockwise, bounds_mm
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import Corners, Spot, circle, polygon, rectangle
from lamphouse.shapes.sides import nearest_side

SEAT_MM = 0.3
"""Depth of a seat, at most a third of the wall [PRACTICE]."""

SEAT_PLAY_MM = 0.1
"""Left free around an LED in its seat [PRACTICE]."""

STEP_MM = 0.25
"""Height and width of the steps under a ledge: it prints without support [PRACTICE]."""

LIP_MM, LIP_WIDE_MM, LIP_PLAY_MM = 2.0, 1.2, 0.2
"""Height and width of a lid's lip, and the gap left around it [PRACTICE]."""

BEAD_MM = 0.4
"""Side of a bead that welds two parts which only touch: one line of a nozzle."""

WELDS = 3
"""Beads are laid this often before a body is given up."""

_REACH_MM = 1.0
"""Cuts through a wall go on this far beyond it."""
_DECIMALS = 4


class _Feature(Record):
    """Something added or cut away between two heights."""

    low_mm: float
    high_mm: float
    step: Step
    rank: int
    """Features of lower rank come first."""


def shell_bodies(
    frame: Frame, *, baffling: Baffling
) -> tuple[tuple[Body, ...], tuple[Finding, ...]]:
    """Make the bodies of a printed box, and say what the printer should mind.

    Baffles that stand in it are part of the shell and have no joints of their own; with a lid,
    those that meet no wall stand on the lid. One that hangs is a piece of its own. Every body is
    proved closed; where two parts only touch along a line, they are welded by a bead first.
    """
    parts = {"shell": list(_shell(frame, baffling=baffling))}
    if frame.box.lid is Lid.OVER:
        parts["lid"] = list(_lid(frame, baffling=baffling))
    bodies, wrong = [], []
    for part, features in parts.items():
        body, faults = _proved(part, frame, features=features)
        bodies.append(body)
        wrong += [f"{part}: {fault}" for fault in faults]
    return (() if wrong else tuple(bodies)), look_at_printed(frame, wrong=wrong)


def _proved(part: str, frame: Frame, *, features: list[_Feature]) -> tuple[Body, tuple[str, ...]]:
    """Make a body and prove its surface, with beads where parts of it only touch."""
    for _ in range(WELDS):
        body = _body(part, frame, features=features)
        if not body.layers:
            return body, ("nothing of it is left",)
        mesh = mesh_of(body)
        crowded = crowded_edges(mesh)
        if not crowded:
            break
        features = [*features, *(_bead(start, end, body=body) for start, end in crowded)]
    return body, faults_of(mesh, body=body)


def _bead(start: Point, end: Point, *, body: Body) -> _Feature:
    """Give what welds two parts that touch along a line."""
    left, right = sorted((start[0], end[0]))
    low, high = sorted((start[1], end[1]))
    bottom, top = sorted((start[2], end[2]))
    rim = rectangle(
        right - left + BEAD_MM,
        height_mm=high - low + BEAD_MM,
        x_mm=(left + right) / 2.0,
        y_mm=(low + high) / 2.0,
    )
    return _Feature(
        low_mm=max(bottom - BEAD_MM / 2.0, body.layers[0].low_mm),
        high_mm=min(top + BEAD_MM / 2.0, body.layers[-1].high_mm),
        step=(True, rim),
        rank=9,
    )


def _body(part: str, frame: Frame, *, features: Sequence[_Feature]) -> Body:
    """Cut features into slices, from the lowest up to the first height with nothing in it."""
    thick, deep = frame.box.sheet.thickness_mm, frame.box.depth_mm
    within = [
        replace(
            one,
            low_mm=round(max(one.low_mm, -thick), _DECIMALS),
            high_mm=round(min(one.high_mm, deep), _DECIMALS),
        )
        for one in features
    ]
    within = [one for one in within if one.low_mm < one.high_mm]
    levels = sorted({level for one in within for level in (one.low_mm, one.high_mm)})
    layers: list[BodyLayer] = []
    for low, high in pairwise(levels):
        middle = (low + high) / 2.0
        here = sorted(
            (one for one in within if one.low_mm < middle < one.high_mm),
            key=lambda one: one.rank,
        )
        regions = carved([one.step for one in here])
        if regions:
            layers.append(BodyLayer(low_mm=low, high_mm=high, regions=regions))
        elif layers:
            break
    side = "back" if part == "lid" or frame.box.lid is Lid.BACK else "rear edge"
    notes = (
        f"print with the {side} down, walls {in_mm(thick)} thick, solid",
        *_paint_notes(part, frame),
        *tilt_notes(_seated_on(part, box=frame.box), arrows=False),
    )
    return Body(name=f"{frame.name} / {part}", layers=tuple(layers), notes=notes)


def _paint_notes(part: str, frame: Frame) -> Iterator[str]:
    """Say what each face of a body is painted with, and where walls painted otherwise are."""
    box, has_lid = frame.box, frame.box.lid is Lid.OVER
    apart = {PANEL}
    apart |= {f"pillar {one.name}" for one in box.pillars if not is_printed(one, box=box)}
    faces = [
        (face, finish)
        for face, finish in finished_faces(box)
        if face not in apart and (not has_lid or (face == BACK) == (part == "lid"))
    ]
    yield f"inside: {in_words(box, faces=faces)}; outside: black"
    if len({finish for _, finish in faces}) > 1:
        yield "mask what is painted already before the next paint"
    named = {face for face, finish in faces if finish != box.finish}
    for index, wall in enumerate(frame.walls):
        if wall_name(index) in named:
            ends = (f"[{in_mm(x)}, {in_mm(y)}]" for x, y in (wall.start, wall.end))
            yield f"{wall_name(index)}: from {' to '.join(ends)} behind the panel"


def _seated_on(part: str, *, box: LightBox) -> Iterator[Led]:
    """List the LEDs that sit on the lid, or on the shell."""
    has_lid = box.lid is Lid.OVER
    for led in box.leds:
        if led.seat is not Seat.PANEL and (part == "lid") == (has_lid and led.seat is Seat.BACK):
            yield led


def _baffles(frame: Frame, *, baffling: Baffling, on_lid: bool) -> Iterator[_Feature]:
    """Give the baffles of the shell, or those that stand on its lid because they meet no wall."""
    printed = {one.baffle.name for one in baffling.stretches if not one.baffle.hangs}
    joined = [{one.under, one.over} for one in baffling.crossings]
    for stretch in baffling.stretches:
        baffle = stretch.baffle
        if baffle.hangs:
            continue
        crosses = any(baffle.name in pair and pair <= printed for pair in joined)
        ends = (stretch.first, stretch.last)
        meets = any(end.wall is not None or end.baffle in printed or end.pillar for end in ends)
        if on_lid == (frame.box.lid is Lid.OVER and not crosses and not meets):
            foot = baffle_foot(baffle)
            yield _Feature(low_mm=0.0, high_mm=baffle.height_mm, step=(True, foot), rank=4)


def _pillars(frame: Frame) -> Iterator[_Feature]:
    """Give the pillars printed on the back or the lid, with the ways of strands in them."""
    for pillar in sound_pillars(frame.box):
        if is_printed(pillar, box=frame.box):
            step = (True, anticlockwise(pillar.outline.corners))
            yield _Feature(low_mm=0.0, high_mm=frame.box.depth_mm, step=step, rank=4)
    thick = frame.box.sheet.thickness_mm
    for aim in strand_aims(frame):
        way = circle(aim.drill.diameter_mm, x_mm=aim.x_mm, y_mm=aim.y_mm)
        yield _Feature(low_mm=-thick, high_mm=frame.box.depth_mm, step=(False, way), rank=6)


def _shell(frame: Frame, *, baffling: Baffling) -> Iterator[_Feature]:
    """List what the shell is made of."""
    box, thick = frame.box, frame.box.sheet.thickness_mm
    yield _Feature(low_mm=0.0, high_mm=box.depth_mm, step=(True, frame.outside), rank=0)
    yield _Feature(low_mm=0.0, high_mm=box.depth_mm, step=(False, frame.inside), rank=1)
    yield from _ledge(frame)
    yield from _baffles(frame, baffling=baffling, on_lid=False)
    if box.lid is Lid.BACK:
        yield _Feature(low_mm=-thick, high_mm=0.0, step=(True, frame.outside), rank=0)
        yield from _seats(frame)
        yield from _pillars(frame)
    yield from _wall_cuts(frame)


def _ledge(frame: Frame) -> Iterator[_Feature]:
    """Give the ledge of the inner diffuser as steps that each reach a little farther in."""
    diffuser = frame.box.inner_diffuser
    if diffuser is None:
        return
    count = max(ceil(frame.box.sheet.thickness_mm / STEP_MM - 1e-9), 2)
    wide = frame.box.sheet.thickness_mm / count
    for number in range(1, count + 1):
        low = diffuser.height_mm - (count - number + 1) * STEP_MM
        if low < 0.0:
            continue
        inner = offset(frame.inside, by_mm=-number * wide)
        if not inner:
            return
        high = low + STEP_MM
        yield _Feature(low_mm=low, high_mm=high, step=(True, frame.outside), rank=2)
        for region in inner:
            yield _Feature(low_mm=low, high_mm=high, step=(False, region.outside), rank=3)


def _seats(frame: Frame) -> Iterator[_Feature]:
    """Cut the seats of the LEDs on the back, and the holes of their wires."""
    thick = frame.box.sheet.thickness_mm
    deep = min(SEAT_MM, thick / 3.0)
    for led in frame.box.leds:
        if led.seat is not Seat.BACK:
            continue
        foot = foot_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)
        for region in offset(foot, by_mm=SEAT_PLAY_MM) if foot else ():
            yield _Feature(low_mm=-deep, high_mm=0.0, step=(False, region.outside), rank=5)
        hole = wire_hole_mm(led.led_type, lead_mm=frame.lead_mm)
        for x, y in wire_spots(led, x_mm=led.x_mm, y_mm=led.y_mm, hole_mm=hole):
            round_hole = circle(hole, x_mm=x, y_mm=y)
            yield _Feature(low_mm=-thick, high_mm=0.0, step=(False, round_hole), rank=5)


class _Place(Record):
    """A place on the inner face of a wall."""

    at: Spot
    way: Spot
    """Unit vector along the side; the inside lies to its left."""

    def cut(self, start: float, end: float, *, inward: float, outward: float) -> Corners:
        """Give a rectangle across the wall, from start to end along it."""
        (x, y), (dx, dy) = self.at, self.way
        return polygon(
            (x + along * dx - into * dy, y + along * dy + into * dx)
            for along, into in (
                (start, -outward),
                (end, -outward),
                (end, inward),
                (start, inward),
            )
        )


def _place(frame: Frame, spot: Spot) -> _Place:
    side = nearest_side(spot, ring=frame.spots)
    across, up = side.normal
    return _Place(at=side.foot, way=(up, -across))


def _wall_cuts(frame: Frame) -> Iterator[_Feature]:
    """Cut the wire exit, the passages, and the seats and wire holes of LEDs on walls."""
    box, thick = frame.box, frame.box.sheet.thickness_mm
    if box.wire_exit_mm > 0.0:
        cut = exit_cut(frame)
        yield _Feature(low_mm=0.0, high_mm=box.wire_exit_mm, step=(False, cut), rank=5)
    for hole in frame.passages:
        wall = frame.walls[wall_of(hole, spots=frame.spots)]
        patch = patch_of(hole, wall=wall)
        dx, dy = (
            (wall.end[0] - wall.start[0]) / wall.side_mm,
            (wall.end[1] - wall.start[1]) / wall.side_mm,
        )
        place = _Place(at=wall.start, way=(dx, dy))
        cut = place.cut(patch.from_mm, patch.to_mm, inward=_REACH_MM, outward=thick + _REACH_MM)
        high = min(patch.high_mm, box.depth_mm)
        yield _Feature(low_mm=patch.low_mm, high_mm=high, step=(False, cut), rank=5)
    for led in box.leds:
        if led.seat is Seat.WALL:
            yield from _wall_seat(frame, led)


def exit_cut(frame: Frame) -> Corners:
    """Give the notch of the wires in the panel plane: in the bottom wall, clear of its LEDs."""
    half, thick = frame.box.wire_exit_mm / 2.0, frame.box.sheet.thickness_mm
    notch = notch_of(frame, baffling=NO_BAFFLES) if frame.walls else None
    if notch:
        wall = frame.walls[notch[0]]
        along = wall.to_mm - notch[1] - half
        share = along / wall.side_mm
        spot = (
            wall.start[0] + share * (wall.end[0] - wall.start[0]),
            wall.start[1] + share * (wall.end[1] - wall.start[1]),
        )
    else:
        spot = min(
            (
                ((ax + bx) / 2.0, (ay + by) / 2.0)
                for (ax, ay), (bx, by) in zip(
                    frame.spots, frame.spots[1:] + frame.spots[:1], strict=True
                )
                if dist((ax, ay), (bx, by)) > 0.0
            ),
            key=lambda at: (round(at[1], 6), at[0]),
        )
    place = _place(frame, spot)
    return place.cut(-half, half, inward=_REACH_MM, outward=thick + half + _REACH_MM)


def _wall_seat(frame: Frame, led: Led) -> Iterator[_Feature]:
    thick = frame.box.sheet.thickness_mm
    place = _place(frame, (led.x_mm, led.y_mm))
    # Seen from inside, along runs to the left.
    glued, play = foot_corners(led, x_mm=0.0, y_mm=0.0), SEAT_PLAY_MM
    if glued:
        left, bottom, right, top = bounds_mm(glued)
        seat = place.cut(
            -right - play, -left + play, inward=_REACH_MM, outward=min(SEAT_MM, thick / 3.0)
        )
        low, high = led.height_mm + bottom - play, led.height_mm + top + play
        yield _Feature(
            low_mm=max(low, 0.0), high_mm=min(high, frame.box.depth_mm), step=(False, seat), rank=5
        )
    hole = wire_hole_mm(led.led_type, lead_mm=frame.lead_mm)
    for x, y in wire_spots(led, x_mm=0.0, y_mm=0.0, hole_mm=hole):
        across = place.cut(
            -x - hole / 2.0, -x + hole / 2.0, inward=_REACH_MM, outward=thick + _REACH_MM
        )
        foot, head = led.height_mm + y - hole / 2.0, led.height_mm + y + hole / 2.0
        if foot >= 0.0 and head <= frame.box.depth_mm:
            yield _Feature(low_mm=foot, high_mm=head, step=(False, across), rank=5)


def _lid(frame: Frame, *, baffling: Baffling) -> Iterator[_Feature]:
    """List what the lid is made of: a plate with the seats, and a lip."""
    thick = frame.box.sheet.thickness_mm
    yield _Feature(low_mm=-thick, high_mm=0.0, step=(True, frame.outside), rank=0)
    yield from _seats(frame)
    yield from _baffles(frame, baffling=baffling, on_lid=True)
    yield from _pillars(frame)
    outer = offset(frame.inside, by_mm=-LIP_PLAY_MM)
    inner = offset(frame.inside, by_mm=-LIP_PLAY_MM - LIP_WIDE_MM)
    if len(outer) != 1 or len(inner) != 1:
        return
    high = min(LIP_MM, frame.box.depth_mm / 2.0)
    lip = [
        (True, outer[0].outside),
        (False, inner[0].outside),
        *((False, one) for one in _beside_lip(frame)),
    ]
    for rank, step in enumerate(lip):
        yield _Feature(low_mm=0.0, high_mm=high, step=step, rank=rank)


def _beside_lip(frame: Frame) -> Iterator[Corners]:
    """Give what the lip makes way for: pillars, baffles, LEDs on walls and back, the wires."""
    for pillar in sound_pillars(frame.box):
        if not is_printed(pillar, box=frame.box):
            for region in offset(anticlockwise(pillar.outline.corners), by_mm=LIP_PLAY_MM):
                yield region.outside
    for baffle in baffles_below(frame.box, level_mm=LIP_MM):
        for region in offset(baffle_foot(baffle), by_mm=LIP_PLAY_MM):
            yield region.outside
    for led in frame.box.leds:
        if led.seat is not Seat.PANEL:
            for region in offset(from_front(led), by_mm=1.0):
                yield region.outside
    if frame.box.wire_exit_mm > 0.0:
        place = exit_cut(frame)
        for region in offset(place, by_mm=LIP_WIDE_MM):
            yield region.outside
