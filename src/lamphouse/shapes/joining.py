"""Several outlines joined to one."""

from collections.abc import Sequence
from math import dist

from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, Spot, polygon
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

    whole = shapely.union_all([solid_of(one) for one in outlines], grid_size=GRID_MM)
    if whole.geom_type != "Polygon" or whole.interiors or whole.is_empty:
        return None
    spots: list[Spot] = []
    for x, y in whole.exterior.coords[:-1]:
        if not spots or dist(spots[-1], (x, y)) > 2.0 * SAME_MM:
            spots.append((x, y))
    while len(spots) > 3 and dist(spots[-1], spots[0]) <= 2.0 * SAME_MM:
        spots.pop()
    return anticlockwise(polygon(spots))
