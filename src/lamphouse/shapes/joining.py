"""Several outlines joined to one."""

from collections.abc import Sequence

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, polygon
from lamphouse.shapes.soundness import SAME_MM

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

    whole = shapely.union_all(
        [shapely.Polygon(flatten(one)) for one in outlines], grid_size=GRID_MM
    )
    if whole.geom_type != "Polygon" or whole.interiors or whole.is_empty:
        return None
    solid = shapely.remove_repeated_points(whole, tolerance=2.0 * SAME_MM)
    return anticlockwise(polygon(solid.exterior.coords[:-1]))
