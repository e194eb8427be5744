"""Prisms of bent panels and of the boxes behind them, and of round walls.

A bent panel stands on the arc from its datum corner that the floor plan shows: round an axis
before its face, so that it bulges away from the reader. A cone is a stack of bands, each as wide
as the cone at its widest there.
"""

from collections.abc import Iterator
from math import ceil, cos, pi, radians, sin, sqrt, tan

from lamphouse.design.panel import Curve
from lamphouse.record import Record
from lamphouse.shapes.outline import Corners, Spot, polygon

CONE_BANDS = 6
MOST_TURN = pi
"""A sector that goes round farther is written as several."""


class Sector(Record):
    """Part of a ring between two heights, seen from above."""

    foot: Corners
    low_mm: float
    high_mm: float


def axis_of(curve: Curve) -> Spot:
    """Give the axis of a bent panel from its datum corner: right, behind. [mm].

    The datum corner is the left end of the arc; of one that goes round more than half, the place
    where it is widest on the left.
    """
    half = min(radians(curve.angle_deg), pi) / 2.0
    radius = curve.inner_radius_mm
    return radius * sin(half), -radius * cos(half)


def thickness_of(curve: Curve) -> float:
    """Give the thickness of all layers, square to the face. [mm]."""
    return sum(layer.sheet.thickness_mm for layer in curve.layers)


def high_of(curve: Curve) -> float:
    """Give the upright height. [mm]."""
    return curve.along_mm * cos(radians(curve.slope_deg))


def sectors_of(curve: Curve) -> Iterator[Sector]:
    """Give a bent panel from its datum corner, above its own foot."""
    axis, half = axis_of(curve), radians(curve.angle_deg) / 2.0
    slope, high = radians(curve.slope_deg), high_of(curve)
    thick = thickness_of(curve) / cos(slope)
    bands = CONE_BANDS if curve.slope_deg else 1
    for number in range(bands):
        low, top = high * number / bands, high * (number + 1) / bands
        radii = [curve.inner_radius_mm - level * tan(slope) for level in (low, top)]
        inner, outer = max(min(radii), 0.0), max(radii) + thick
        for foot in ring_sectors(axis, inner_mm=inner, outer_mm=outer, half_rad=half):
            yield Sector(foot=foot, low_mm=low, high_mm=top)


def ring_sectors(
    middle: Spot, *, inner_mm: float, outer_mm: float, half_rad: float, towards_rad: float = pi / 2
) -> Iterator[Corners]:
    """Give part of a ring as outlines that turn at most half round each.

    Parameters
    ----------
    middle
        Its centre.
    half_rad
        How far it goes to either side of its middle line.
    towards_rad
        Where that line points.
    """
    count = ceil(2.0 * half_rad / MOST_TURN - 1e-9)
    step = 2.0 * half_rad / count
    for number in range(count):
        start = towards_rad + half_rad - number * step
        yield _sector(middle, inner_mm, outer_mm, start, start - step)


def _sector(
    middle: Spot, inner_mm: float, outer_mm: float, start_rad: float, end_rad: float
) -> Corners:
    """Go round a sector, clockwise along its outer edge and back along the inner one."""
    x, y = middle
    bulge = tan((end_rad - start_rad) / 4.0)

    def spot(radius: float, turn: float) -> Spot:
        return x + radius * cos(turn), y + radius * sin(turn)

    outer = [(*spot(outer_mm, start_rad), bulge), (*spot(outer_mm, end_rad), 0.0)]
    if inner_mm <= 1e-6:
        return (*outer, (x, y, 0.0))
    inner = [(*spot(inner_mm, end_rad), -bulge), (*spot(inner_mm, start_rad), 0.0)]
    return (*outer, *inner)


def box_behind(curve: Curve, *, left_mm: float, right_mm: float, deep_mm: float) -> Corners:
    """Give the footprint of a flat box as it stands behind a bent panel, from its datum corner.

    It is square to the panel at its middle; its walls go on to where they meet the panel.

    Parameters
    ----------
    left_mm, right_mm
        Of the box, along the inner face from the panel's left edge.
    deep_mm
        From the panel's rear at the middle of the box to its own.
    """
    radius = curve.inner_radius_mm
    turn = pi / 2 + radians(curve.angle_deg) / 2.0 - (left_mm + right_mm) / 2.0 / radius
    rear = radius + thickness_of(curve)
    half = min((right_mm - left_mm) / 2.0, rear)
    near, far = sqrt(rear * rear - half * half), rear + deep_mm
    (x, y), out, side = axis_of(curve), (cos(turn), sin(turn)), (sin(turn), -cos(turn))
    return polygon(
        (x + away * out[0] + across * side[0], y + away * out[1] + across * side[1])
        for away, across in ((near, -half), (near, half), (far, half), (far, -half))
    )
