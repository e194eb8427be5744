"""A light box developed flat: its walls in a row, its back, and glue flaps, with all folds.

Terminology
-----------
development
    The box laid flat as one piece of sheet, seen from inside.
facet
    A part of it that stays flat.
fold
    The stretch between two facets that bends. Its width on the flat sheet is the bend allowance:
    the angle times the radius of the neutral line. Scored card bends about its inner corner, so
    that radius is half the thickness: K 0.5 and inner radius 0 of [BEND].
seam
    The corner at which the row of walls is closed by a flap outside the first wall.

Facets are as long as the inner faces they give; where the inside turns right, the bend is about
the outer corner, and both walls are shorter by what the outer corner cuts off.
"""

from collections.abc import Callable, Iterator, Sequence
from math import atan2, cos, degrees, dist, hypot, pi, radians, sin, tan

from lamphouse.cutting.flange import Strip, strips_of
from lamphouse.cutting.frame import Frame
from lamphouse.design.lightbox import Flange, Lid
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import turns_rad
from lamphouse.shapes.outline import Corners, Spot, polygon
from lamphouse.shapes.plates import too_near

NEUTRAL = 0.5
"""Radius of the neutral line of a scored fold, in thicknesses [BEND]."""

SLOPE_DEG = 60.0
"""Ends of a flap lean in at this angle, or at less where two would meet."""

LEAST_FLAP_MM = 2.0
"""Narrower flaps hold nothing [PRACTICE]."""

FLAP_MM = 6.0
"""Width of a flap where the wall is high enough [PRACTICE]."""

FLAP_SHARE = 0.4
"""Of the wall's height that a flap may take [PRACTICE]."""

MOST_SIDES = 40
"""More walls than this are not folded from one piece."""

_APART_DEG = 5.0
_SHRINK = 0.85
_OVERLAP_MM2 = 1e-6


class Hinge(Record):
    """How a facet hangs on another."""

    parent: int
    """Number of the other facet."""
    start: Spot
    """A point of the line at which the parent begins to bend."""
    way: Spot
    """Unit vector along that line, the facet on its right."""
    angle_rad: float
    """Positive towards the reader."""
    allowance_mm: float


class Facet(Record):
    """A flat part of a development."""

    name: str
    corners: Corners
    hinge: Hinge | None = None
    bridge: Corners = ()
    """What bends, between it and its parent."""
    wall: int | None = None
    """Number of the side it stands on or is glued to, from 0."""


class BoxDevelopment(Record):
    """A light box laid flat."""

    facets: tuple[Facet, ...]
    lefts_mm: tuple[float, ...]
    """Where the last corner of each side lies, along the row."""
    base: int | None
    """Number of the wall the back hangs on; None when the back is a piece of its own."""
    flap_mm: float
    """Width of the flaps."""
    flangeless: tuple[int, ...] = ()
    """Walls whose flange finds no room, from 0."""
    strips: tuple[Strip, ...] = ()
    """Flanges where they lie on the panel."""
    meets: tuple[tuple[int, int], ...]
    """Facets that would lie on one another, by number; none in one that can be cut."""


def allowance_mm(angle_rad: float, *, thickness_mm: float) -> float:
    """Give the width that a scored fold takes on the flat sheet [BEND]."""
    return abs(angle_rad) * NEUTRAL * thickness_mm


def base_wall(spots: Sequence[Spot]) -> int | None:
    """Find the side the back can hang on: all of the inside lies on its one side.

    Of several the one that faces down the most, then the longest.
    """
    found = []
    for index, (ax, ay) in enumerate(spots):
        bx, by = spots[(index + 1) % len(spots)]
        long = hypot(bx - ax, by - ay)
        dx, dy = (bx - ax) / long, (by - ay) / long
        if all((y - ay) * dx - (x - ax) * dy >= -1e-9 for x, y in spots):
            found.append((round(dx, 6), long, -index))
    return -max(found)[2] if found else None


def _seam(spots: Sequence[Spot], *, base: int | None) -> int:
    """Find the corner of the seam: the squarest, away from the base, of equal ones the highest."""
    turns = turns_rad(polygon(spots))
    count = len(spots)

    def rank(index: int) -> tuple[bool, float, float, int]:
        beside = base is not None and index in {base, (base + 1) % count}
        off = abs(turns[index] - pi / 2.0)
        return beside, round(off, 6), -round(spots[index][1], 6), index

    return min(range(count), key=rank)


def develop_box(frame: Frame) -> BoxDevelopment:
    """Lay a box with flat walls out as one piece, with flaps as wide as fit."""
    thick = frame.box.sheet.thickness_mm
    wanted = min(max(FLAP_MM, 5.0 * thick), FLAP_SHARE * frame.wall_mm)
    while True:
        made = _developed(frame, flap_mm=wanted)
        if not made.meets or wanted * _SHRINK < LEAST_FLAP_MM:
            return made
        wanted *= _SHRINK


def _developed(frame: Frame, *, flap_mm: float) -> BoxDevelopment:
    spots = frame.spots
    base = None if frame.box.lid is Lid.OVER else base_wall(spots)
    facets, lefts = _row(frame, base=base, flap_mm=flap_mm)
    if base is not None:
        facets += list(_back(frame, facets=facets, lefts=lefts, base=base, flap_mm=flap_mm))
    facets, strips, flangeless = _with_flanges(frame, facets=facets, lefts=lefts)
    plates = [(one.corners, ()) for one in facets]
    met = tuple(
        (one.earlier, one.later)
        for one in too_near(plates, gap_mm=0.0)
        if one.shared_mm2 > _OVERLAP_MM2
    )
    return BoxDevelopment(
        facets=tuple(facets),
        lefts_mm=tuple(lefts),
        base=base,
        flap_mm=flap_mm,
        meets=met,
        strips=strips,
        flangeless=flangeless,
    )


def _row(frame: Frame, *, base: int | None, flap_mm: float) -> tuple[list[Facet], list[float]]:
    """Lay the walls in a row from the seam's last wall on the left to its first on the right.

    Facet 0 is the leftmost wall; the seam's flap hangs on it.
    """
    spots, thick, high = frame.spots, frame.box.sheet.thickness_mm, frame.wall_mm
    count, turns = len(spots), turns_rad(polygon(spots))
    seam = _seam(spots, base=base)
    turn = turns[seam]
    order = [(seam - 1 - step) % count for step in range(count)]
    facets: list[Facet] = []
    lefts = [0.0] * count
    x = 0.0
    for number, index in enumerate(order):
        last = (index + 1) % count
        side = dist(spots[index], spots[last])
        cut_last = thick * tan(abs(turns[last]) / 2.0) if turns[last] < 0.0 else 0.0
        cut_first = thick * tan(abs(turns[index]) / 2.0) if turns[index] < 0.0 else 0.0
        if number == 0:
            cut_last = -thick / sin(turn)
        if number == count - 1:
            cut_first = max(0.0, thick / tan(turn))
        hinge: Hinge | None = None
        bridge: Corners = ()
        if number:
            # The fold at this wall's last corner, on the right of the wall before it.
            fold = allowance_mm(turns[last], thickness_mm=thick)
            hinge = Hinge(
                parent=number - 1,
                start=(x, 0.0),
                way=(0.0, 1.0),
                angle_rad=turns[last],
                allowance_mm=fold,
            )
            bridge = _box(x, x + fold, 0.0, high)
            x += fold
        lefts[index] = x - cut_last
        right = x + side - cut_last - cut_first
        facets.append(
            Facet(
                name=f"wall {index + 1}",
                corners=_box(x, right, 0.0, high),
                hinge=hinge,
                bridge=bridge,
                wall=index,
            )
        )
        x = right
    facets.append(_seam_flap(frame, turn=turn, wall=seam, flap_mm=flap_mm, base=base))
    return facets, lefts


def _with_flanges(
    frame: Frame, *, facets: Sequence[Facet], lefts: Sequence[float]
) -> tuple[list[Facet], tuple[Strip, ...], tuple[int, ...]]:
    """Hang a flange on each wall that has room for one; such walls lose a thickness of height."""
    thick, high = frame.box.sheet.thickness_mm, frame.wall_mm
    count = len(frame.spots)
    places = {one.wall: at for at, one in enumerate(facets[:count]) if one.wall is not None}
    ends = {index: lefts[index] + frame.walls[index].side_mm for index in places}
    spans = [
        (
            ends[index] - facets[places[index]].corners[1][0],
            ends[index] - facets[places[index]].corners[0][0],
        )
        for index in range(count)
    ]
    strips, lacking = strips_of(frame, spans=spans)
    if not strips:
        return list(facets), (), lacking
    low = {places[strip.wall] for strip in strips}
    made = [
        replace(
            one,
            corners=_lowered(one.corners, to_mm=high - thick) if at in low else one.corners,
            bridge=_lowered(one.bridge, to_mm=high - thick)
            if at < count and one.bridge and low & {at, at - 1}
            else one.bridge,
        )
        for at, one in enumerate(facets)
    ]
    fold = allowance_mm(pi / 2.0, thickness_mm=thick)
    sign = -1.0 if frame.box.flange is Flange.OUTSIDE else 1.0
    for strip in strips:
        left, right = ends[strip.wall] - strip.to_mm, ends[strip.wall] - strip.from_mm
        first, last = strip.feet_mm
        foot, top = high - thick + fold, high - thick + fold + strip.wide_mm
        made.append(
            Facet(
                name=f"flange {strip.wall + 1}",
                corners=polygon(
                    ((left, foot), (right, foot), (right - first, top), (left + last, top))
                ),
                hinge=Hinge(
                    parent=places[strip.wall],
                    start=(right, high - thick),
                    way=(-1.0, 0.0),
                    angle_rad=sign * pi / 2.0,
                    allowance_mm=fold,
                ),
                bridge=_box(left, right, high - thick, foot),
                wall=strip.wall,
            )
        )
    return made, strips, lacking


def _lowered(corners: Corners, *, to_mm: float) -> Corners:
    return tuple((x, min(y, to_mm), bulge) for x, y, bulge in corners)


def _box(left: float, right: float, low: float, high: float) -> Corners:
    return polygon(((left, low), (right, low), (right, high), (left, high)))


def _seam_flap(frame: Frame, *, turn: float, wall: int, flap_mm: float, base: int | None) -> Facet:
    """Hang the seam's flap on the left of the row, above the flap of the back."""
    thick, high = frame.box.sheet.thickness_mm, frame.wall_mm
    if frame.box.flange is not Flange.NONE:
        high -= 2.0 * thick  # below the flange and its fold
    fold = allowance_mm(turn, thickness_mm=thick)
    low = 0.0 if base is None else flap_mm + thick
    wide = min(max(FLAP_MM, 5.0 * thick), 0.8 * frame.walls[wall].side_mm)
    lean = min(wide / tan(radians(SLOPE_DEG)), (high - low) / 3.0)
    corners = polygon(
        ((-fold - wide, low + lean), (-fold, low), (-fold, high), (-fold - wide, high - lean))
    )
    hinge = Hinge(parent=0, start=(0.0, high), way=(0.0, -1.0), angle_rad=turn, allowance_mm=fold)
    bridge = _box(-fold, 0.0, low, high)
    return Facet(name="seam flap", corners=corners, hinge=hinge, bridge=bridge, wall=wall)


def _rim(spots: Sequence[Spot], *, base: int, by_mm: float) -> list[Spot]:
    """Move every side but the base outwards; give the corners, each side's first in its place."""
    count = len(spots)
    lines = []
    for index, (ax, ay) in enumerate(spots):
        bx, by = spots[(index + 1) % count]
        long = hypot(bx - ax, by - ay)
        nx, ny = (by - ay) / long, -(bx - ax) / long
        off = 0.0 if index == base else by_mm
        lines.append((nx, ny, nx * ax + ny * ay + off))
    corners = []
    for index in range(count):
        (a, b, c), (d, e, f) = lines[index - 1], lines[index]
        cross = a * e - b * d
        corners.append(((c * e - b * f) / cross, (a * f - c * d) / cross))
    return corners


def _back(
    frame: Frame, *, facets: Sequence[Facet], lefts: Sequence[float], base: int, flap_mm: float
) -> Iterator[Facet]:
    """Hang the back below its wall, and its flaps on all its other sides."""
    spots, thick = frame.spots, frame.box.sheet.thickness_mm
    parent = next(number for number, one in enumerate(facets) if one.wall == base)
    fold = allowance_mm(pi / 2.0, thickness_mm=thick)
    flat = _flattener(spots, base=base, left_mm=lefts[base], fold_mm=fold)
    rim = [flat(spot) for spot in _rim(spots, base=base, by_mm=thick)]
    start, end = facets[parent].corners[0][0], facets[parent].corners[1][0]
    number = len(facets)
    yield Facet(
        name="back",
        corners=polygon(rim),
        hinge=Hinge(
            parent=parent,
            start=(start, 0.0),
            way=(1.0, 0.0),
            angle_rad=pi / 2.0,
            allowance_mm=fold,
        ),
        bridge=_box(start, end, -fold, 0.0),
    )
    turns = turns_rad(polygon(spots))
    count = len(spots)
    for index in range(count):
        if index == base:
            continue
        last = (index + 1) % count
        lean = [
            _lean_deg(turns[index], at_base=(index - 1) % count == base),
            _lean_deg(turns[last], at_base=last == base),
        ]
        # The lowest edge of a passage in this wall bounds its flap.
        lowest = [
            hole.low_mm - thick for hole in frame.passages if _lies_on(hole.ends_mm, spots, index)
        ]
        high = min([flap_mm, *lowest])
        flap = _flap(
            rim[index],
            end=rim[last],
            fold_mm=fold,
            high_mm=high,
            lean_deg=(lean[0], lean[1]),
            leans_in=(turns[index] < 0.0, turns[last] < 0.0),
        )
        if flap is not None:
            corners, bridge, hinge_start, way = flap
            yield Facet(
                name=f"flap {index + 1}",
                corners=corners,
                hinge=Hinge(
                    parent=number,
                    start=hinge_start,
                    way=way,
                    angle_rad=pi / 2.0,
                    allowance_mm=fold,
                ),
                bridge=bridge,
                wall=index,
            )


def _lies_on(ends: tuple[Spot, Spot], spots: Sequence[Spot], index: int) -> bool:
    (ax, ay), (bx, by) = spots[index], spots[(index + 1) % len(spots)]
    long = hypot(bx - ax, by - ay)
    x, y = (ends[0][0] + ends[1][0]) / 2.0, (ends[0][1] + ends[1][1]) / 2.0
    along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long
    off = abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / long
    return 0.0 <= along <= long and off < 1e-3


def _lean_deg(turn_rad: float, *, at_base: bool) -> float:
    """Give the angle between a flap's side and its base at a corner: none may meet another."""
    turn = degrees(turn_rad)
    free = turn if at_base else (180.0 + turn) / 2.0
    return max(min(SLOPE_DEG, free - _APART_DEG), 10.0)


def _flattener(
    spots: Sequence[Spot], *, base: int, left_mm: float, fold_mm: float
) -> Callable[[Spot], Spot]:
    """Give the function that lays a point of the back flat below its wall."""
    (ax, ay), (bx, by) = spots[base], spots[(base + 1) % len(spots)]
    long = hypot(bx - ax, by - ay)
    dx, dy = (bx - ax) / long, (by - ay) / long

    def flat(spot: Spot) -> Spot:
        x, y = spot[0] - ax, spot[1] - ay
        return left_mm + long - (x * dx + y * dy), -fold_mm - (y * dx - x * dy)

    return flat


def _flap(
    start: Spot,
    *,
    end: Spot,
    fold_mm: float,
    high_mm: float,
    lean_deg: tuple[float, float],
    leans_in: tuple[bool, bool],
) -> tuple[Corners, Corners, Spot, Spot] | None:
    """Draw a flap on one side of the back, on its right; None where it would be too narrow."""
    long = dist(start, end)
    turn = atan2(end[1] - start[1], end[0] - start[0])
    dx, dy = cos(turn), sin(turn)
    foot = [1.0 / tan(radians(one)) for one in lean_deg]
    high = min(high_mm, 0.8 * long / sum(foot))
    if high < LEAST_FLAP_MM / 2.0:
        return None

    def at(along: float, up: float) -> Spot:
        return start[0] + along * dx + up * dy, start[1] + along * dy - up * dx

    # Where the inside turns right, what bends would meet its neighbour too, and leans in.
    bend = [fold_mm * one if leans else 0.0 for one, leans in zip(foot, leans_in, strict=True)]
    corners = polygon(
        (
            at(bend[0], fold_mm),
            at(bend[0] + high * foot[0], fold_mm + high),
            at(long - bend[1] - high * foot[1], fold_mm + high),
            at(long - bend[1], fold_mm),
        )
    )
    bridge = polygon(
        (at(0.0, 0.0), at(bend[0], fold_mm), at(long - bend[1], fold_mm), at(long, 0.0))
    )
    return corners, bridge, start, (dx, dy)
