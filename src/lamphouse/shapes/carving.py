"""Plane shapes built up step by step: outlines added and cut away in turn."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.offset import Region
from lamphouse.shapes.outline import Corners, polygon

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

GRID_MM = 1e-4
"""Corners lie on a grid this fine."""

ARC_ERROR_MM = 0.02
"""Greatest distance between an arc and its chords."""

Step = tuple[bool, Corners]
"""True adds an outline, False cuts it away."""


def carved(steps: Sequence[Step]) -> tuple[Region, ...]:
    """Add and cut outlines in turn.

    Parameters
    ----------
    steps
        Sound outlines; arcs become chords.

    Returns
    -------
    tuple of Region
        What is left, from left to right; scraps below a hundredth of a square millimetre are
        nothing.
    """
    import shapely

    solid: BaseGeometry = shapely.Polygon()
    for adds, corners in steps:
        part = solid_of(corners, error_mm=ARC_ERROR_MM)
        if adds:
            solid = shapely.union(solid, part, grid_size=GRID_MM)
        else:
            solid = shapely.difference(solid, part, grid_size=GRID_MM)
    regions = [
        Region(
            outside=anticlockwise(polygon(part.exterior.coords[:-1])),
            holes=tuple(polygon(hole.coords[:-1]) for hole in part.interiors),
        )
        for part in shapely.get_parts(solid)
        if part.geom_type == "Polygon" and part.area > 1e-2
    ]
    return tuple(sorted(regions, key=lambda region: min(region.outside)))
