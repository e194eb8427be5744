"""A light box developed flat: its walls in a row, its back, and glue flaps, with all folds.

Terminology
-----------
development
    The box laid flat as one piece of sheet, seen from inside.
seam
    The corner at which the row of walls is closed by a flap outside the first wall.

Facets are as long as the inner faces they give; where the inside turns right, the bend is about
the outer corner, and both walls are shorter by what the outer corner cuts off.
"""

from collections.abc import Sequence
from math import dist, hypot, pi, radians, sin, tan

from lamphouse.cutting.back_flaps import LEAST_FLAP_MM, SLOPE_DEG, back_facets
from lamphouse.cutting.facets import Facet, Hinge, allowance_mm
from lamphouse.cutting.flange import Strip, strips_of
from lamphouse.cutting.frame import Frame
from lamphouse.design.lightbox import Flange, Lid
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import turns_rad
from lamphouse.shapes.outline import Corners, Spot, polygon, rectangle_of
from lamphouse.shapes.plates import too_near

FLAP_MM = 6.0
"""Width of a flap where the wall is high enough [PRACTICE]."""

FLAP_SHARE = 0.4
"""Of the wall's height that a flap may take [PRACTICE]."""

MOST_SIDES = 40
"""More walls than this are not folded from one piece."""

_SHRINK = 0.85
_OVERLAP_MM2 = 1e-6


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
        facets += list(back_facets(frame, facets=facets, lefts=lefts, base=base, flap_mm=flap_mm))
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
            bridge = rectangle_of((x, 0.0, x + fold, high))
            x += fold
        lefts[index] = x - cut_last
        right = x + side - cut_last - cut_first
        facets.append(
            Facet(
                name=f"wall {index + 1}",
                corners=rectangle_of((x, 0.0, right, high)),
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
                bridge=rectangle_of((left, high - thick, right, foot)),
                wall=strip.wall,
            )
        )
    return made, strips, lacking


def _lowered(corners: Corners, *, to_mm: float) -> Corners:
    return tuple((x, min(y, to_mm), bulge) for x, y, bulge in corners)


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
    bridge = rectangle_of((-fold, low, 0.0, high))
    return Facet(name="seam flap", corners=corners, hinge=hinge, bridge=bridge, wall=wall)
