"""The back of a folded box: it hangs below its wall, with glue flaps on all its other sides."""

from collections.abc import Callable, Iterator, Sequence
from math import atan2, cos, degrees, dist, hypot, pi, radians, sin, tan

from lamphouse.cutting.facets import Facet, Hinge, allowance_mm
from lamphouse.cutting.frame import Frame
from lamphouse.shapes.measure import turns_rad
from lamphouse.shapes.outline import Corners, Spot, polygon, rectangle_of

SLOPE_DEG = 60.0
"""Ends of a flap lean in at this angle, or at less where two would meet."""
LEAST_FLAP_MM = 2.0
"""Narrower flaps hold nothing [PRACTICE]."""
_APART_DEG = 5.0


def back_facets(
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
        bridge=rectangle_of((start, -fold, end, 0.0)),
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
