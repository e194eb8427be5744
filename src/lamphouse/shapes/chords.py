"""Outlines as rings and polygons of the polygon library, their arcs as chords."""

from functools import lru_cache
from typing import TYPE_CHECKING

from lamphouse.shapes.flatten import ERROR_MM, flatten
from lamphouse.shapes.outline import Corners

if TYPE_CHECKING:
    from shapely import LinearRing, Polygon


def chords_of(corners: Corners, *, error_mm: float = ERROR_MM) -> "LinearRing":
    """Give the edge of an outline as a ring of chords."""
    import numpy as np
    import shapely

    return shapely.LinearRing(np.array(flatten(corners, error_mm=error_mm)))


@lru_cache(maxsize=64)
def solid_of(corners: Corners, *, error_mm: float = ERROR_MM) -> "Polygon":
    """Give what an outline encloses as a polygon of chords; rules ask for the same a few times."""
    import numpy as np
    import shapely

    solid: Polygon = shapely.polygons(np.array(flatten(corners, error_mm=error_mm)))
    return solid
