"""Where a round tool does not get to: the inner corners and necks of what it should cut out."""

from math import ceil, pi, sqrt
from typing import TYPE_CHECKING

from lamphouse.record import Record
from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.outline import Corners

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

CHORD_MM = 1e-4
"""Greatest distance between an arc and its chords."""


class Rest(Record):
    """The deepest place a tool leaves uncut."""

    deep_mm: float
    """How far it lies from what the tool does reach."""
    x_mm: float
    y_mm: float


def left_in_hole(hole: Corners, *, radius_mm: float) -> Rest | None:
    """Find what a tool leaves of a hole it cuts out; None when it is too thick to get in at all.

    Parameters
    ----------
    hole
        A sound outline.
    radius_mm
        Half of what the tool takes away; above 0.
    """
    solid = _solid(hole)
    core = solid.buffer(-radius_mm, join_style="mitre")
    if core.is_empty:
        return None
    reached = core.buffer(radius_mm, quad_segs=_quarter(radius_mm))
    return _deepest(solid, reached)


def left_outside(outline: Corners, *, radius_mm: float) -> Rest:
    """Find what a tool that goes round an outline leaves in its notches and inner corners."""
    import shapely

    solid = _solid(outline)
    beyond = shapely.box(*solid.buffer(4.0 * radius_mm).bounds).difference(solid)
    away = solid.buffer(radius_mm, quad_segs=_quarter(radius_mm))
    path = shapely.box(*solid.buffer(6.0 * radius_mm).bounds).difference(away)
    return _deepest(beyond, path.buffer(radius_mm, quad_segs=_quarter(radius_mm)))


def width_mm(corners: Corners) -> float:
    """Diameter of the largest circle in an outline, within a thousandth of it. [mm]."""
    import shapely

    solid = _solid(corners)
    least = max(1e-4, 1e-3 * sqrt(solid.area))
    circle = shapely.maximum_inscribed_circle(solid, tolerance=least)
    return 2.0 * float(circle.length)


def _solid(corners: Corners) -> "BaseGeometry":
    return solid_of(corners, error_mm=CHORD_MM)


def _quarter(radius_mm: float) -> int:
    """Count the chords of a quarter circle that keep the error."""
    return min(512, max(4, ceil(pi / 4.0 / sqrt(2.0 * CHORD_MM / max(radius_mm, CHORD_MM)))))


def _deepest(wanted: "BaseGeometry", reached: "BaseGeometry") -> Rest:
    import numpy as np
    import shapely

    left = wanted.difference(reached)
    spots = shapely.get_coordinates(left)
    if not len(spots):
        return Rest(deep_mm=0.0, x_mm=0.0, y_mm=0.0)
    away = shapely.distance(shapely.points(spots), reached)
    worst = int(np.argmax(away))
    return Rest(
        deep_mm=float(away[worst]), x_mm=float(spots[worst][0]), y_mm=float(spots[worst][1])
    )
