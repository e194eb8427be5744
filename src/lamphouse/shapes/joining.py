"""Several outlines joined to one."""

from collections.abc import Sequence

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, polygon

GRID_MM = 1e-7
"""Corners are joined on a grid this fine, so that sides that should be one line are one."""


def joined(outlines: Sequence[Corners]) -> Corners | None:
    """Join outlines that touch or overlap; arcs become chords within 5e-5 mm.

    Returns
    -------
    Corners or None
        Anticlockwise; None when they do not make one piece without holes.
    """
    import shapely

    solid = shapely.union_all(
        [shapely.Polygon(flatten(one)) for one in outlines], grid_size=GRID_MM
    )
    if solid.geom_type != "Polygon" or solid.interiors or solid.is_empty:
        return None
    return anticlockwise(polygon(solid.exterior.coords[:-1]))
