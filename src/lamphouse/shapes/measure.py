"""Exact area, centroid, bounds and length of an outline of straight and round pieces.

Areas and moments add Green's theorem over the chords and, for each arc, the circular segment
between arc and chord: its area is ``r^2 (sweep - sin sweep) / 2`` and its first moment about the
arc's centre is ``chord^3 / 12`` towards the arc's middle.
"""

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, sin

from lamphouse.shapes.outline import (
    STRAIGHT,
    Corners,
    Piece,
    Spot,
    arcs,
    backwards,
    corner_pairs,
    polygon,
)

Bounds = tuple[float, float, float, float]
"""``(left_mm, bottom_mm, right_mm, top_mm)``."""

_QUARTERS = tuple(
    (quarter * pi / 2.0, cos(quarter * pi / 2.0), sin(quarter * pi / 2.0)) for quarter in range(4)
)
"""Directions right, up, left and down: angle, cosine, sine. [rad, 1, 1]."""

SHALLOW_RAD = 1e-2
"""Below this sweep ``sweep - sin sweep`` is taken from its series."""

STRAIGHT_ON_RAD = 1e-6
"""A corner that turns less is no corner."""


def _segment_area(piece: Piece) -> float:
    """Area between an arc and its chord, positive when the arc turns left. [mm2]."""
    sweep = piece.sweep_rad
    if abs(sweep) < SHALLOW_RAD:
        sagitta_part = sweep**3 / 6.0 * (1.0 - sweep**2 / 20.0)
    else:
        sagitta_part = sweep - sin(sweep)
    return piece.radius_mm**2 * sagitta_part / 2.0


def _moments(corners: Corners) -> tuple[float, float, float]:
    """Area, and its first moments about the first corner. [mm2, mm3, mm3]."""
    origin_x, origin_y, _ = corners[0]
    area = moment_x = moment_y = 0.0
    for (sx, sy, _), (ex, ey, _) in corner_pairs(corners):
        ax, ay = sx - origin_x, sy - origin_y
        bx, by = ex - origin_x, ey - origin_y
        cross = ax * by - bx * ay
        area += cross / 2.0
        moment_x += cross * (ax + bx) / 6.0
        moment_y += cross * (ay + by) / 6.0
    for arc in arcs(corners):
        segment = _segment_area(arc)
        centre_x, centre_y = arc.centre[0] - origin_x, arc.centre[1] - origin_y
        area += segment
        moment_x += segment * centre_x + arc.chord_mm**2 * (arc.end[1] - arc.start[1]) / 12.0
        moment_y += segment * centre_y - arc.chord_mm**2 * (arc.end[0] - arc.start[0]) / 12.0
    return area, moment_x, moment_y


def signed_area_mm2(corners: Corners) -> float:
    """Area, positive when the outline runs anticlockwise. [mm2]."""
    return _moments(corners)[0]


def area_mm2(corners: Corners) -> float:
    """Area. [mm2]."""
    return abs(signed_area_mm2(corners))


def centroid_mm(corners: Corners) -> Spot:
    """Centre of the area.

    Raises
    ------
    ZeroDivisionError
        If the outline has no area.
    """
    area, moment_x, moment_y = _moments(corners)
    return corners[0][0] + moment_x / area, corners[0][1] + moment_y / area


def length_mm(corners: Corners) -> float:
    """Length of the whole outline. [mm]."""
    return sum(
        hypot(ex - sx, ey - sy)
        for (sx, sy, bulge), (ex, ey, _) in corner_pairs(corners)
        if abs(bulge) < STRAIGHT
    ) + sum(arc.radius_mm * abs(arc.sweep_rad) for arc in arcs(corners))


def _arc_extremes(piece: Piece) -> list[Spot]:
    """Points of an arc that lie farthest left, right, up or down on its circle."""
    (x, y), radius = piece.centre, piece.radius_mm
    first = atan2(piece.start[1] - y, piece.start[0] - x)
    sweep = piece.sweep_rad
    return [
        (x + radius * cosine, y + radius * sine)
        for angle, cosine, sine in _QUARTERS
        if (
            (angle - first) % (2.0 * pi) <= sweep
            if sweep > 0.0
            else (first - angle) % (2.0 * pi) <= -sweep
        )
    ]


def bounds_mm(corners: Corners) -> Bounds:
    """Give the upright rectangle around an outline, arcs included."""
    across, up, bulges = zip(*corners, strict=True)
    if any(bulges):
        for arc in arcs(corners):
            further, higher = zip(arc.start, *_arc_extremes(arc), strict=True)
            across, up = (*across, *further), (*up, *higher)
    return min(across), min(up), max(across), max(up)


def size_mm(corners: Corners) -> tuple[float, float]:
    """Width and height over all. [mm]."""
    left, bottom, right, top = bounds_mm(corners)
    return right - left, top - bottom


def anticlockwise(corners: Corners) -> Corners:
    """Give the outline so that it runs anticlockwise."""
    return corners if signed_area_mm2(corners) >= 0.0 else backwards(corners)


def turns_rad(corners: Corners) -> tuple[float, ...]:
    """Give the turn at each corner of a polygon of straight pieces, left positive, -pi to pi."""
    count = len(corners)
    turns = []
    for index in range(count):
        before, here, after = (corners[(index + step) % count] for step in (-1, 0, 1))
        in_x, in_y = here[0] - before[0], here[1] - before[1]
        out_x, out_y = after[0] - here[0], after[1] - here[1]
        turns.append(atan2(in_x * out_y - in_y * out_x, in_x * out_x + in_y * out_y))
    return tuple(turns)


def drop_straight_corners(spots: Sequence[Spot]) -> tuple[Spot, ...]:
    """Leave out the corners at which a polygon goes straight on."""
    turns = turns_rad(polygon(spots))
    return tuple(
        spot for spot, angle in zip(spots, turns, strict=True) if abs(angle) > STRAIGHT_ON_RAD
    )
