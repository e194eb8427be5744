"""A stack of plane shapes cut into one common set of triangles, so that slices meet edge to edge.

Every line of every slice is laid over all others; between the lines lie cells that are wholly in
or out of each slice. All slices use the corners and triangles of these cells.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lamphouse.record import Record
from lamphouse.shapes.carving import GRID_MM
from lamphouse.shapes.offset import Region
from lamphouse.shapes.outline import Corners, Spot

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_DECIMALS = 4


class Slabs(Record):
    """The triangles of a stack."""

    spots: tuple[Spot, ...]
    """All corners."""
    triangles: tuple[tuple[int, int, int], ...]
    """Anticlockwise, as numbers of corners."""
    filled: tuple[tuple[bool, ...], ...]
    """For each slice, which triangles are in it."""


def slabs_of(slices: Sequence[Sequence[Region]]) -> Slabs:
    """Cut a stack of shapes into common triangles.

    Parameters
    ----------
    slices
        Shapes without arcs, with corners on the grid of :mod:`.carving`.
    """
    import numpy as np
    import shapely

    solids = [
        shapely.union_all([_solid(region) for region in slice_], grid_size=GRID_MM)
        for slice_ in slices
    ]
    lines = shapely.union_all([solid.boundary for solid in solids], grid_size=GRID_MM)
    cells = shapely.get_parts(shapely.polygonize(shapely.get_parts(lines)))
    spots: dict[Spot, int] = {}
    triangles: list[tuple[int, int, int]] = []
    owners: list[int] = []
    parts, numbers = shapely.get_parts(
        shapely.constrained_delaunay_triangles(cells), return_index=True
    )
    rings = np.round(shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3], _DECIMALS)
    for number, ring in zip(numbers.tolist(), rings.tolist(), strict=True):
        (ax, ay), (bx, by), (cx, cy) = ring
        turn = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
        places = [spots.setdefault((x, y), len(spots)) for x, y in ring]
        if turn == 0.0:
            continue
        triangles.append(
            (places[0], places[1], places[2]) if turn > 0.0 else (places[0], places[2], places[1])
        )
        owners.append(number)
    inner = shapely.point_on_surface(cells)
    filled = []
    for solid in solids:
        within = shapely.contains(solid, inner)
        filled.append(tuple(within[owners].tolist()))
    return Slabs(spots=tuple(spots), triangles=tuple(triangles), filled=tuple(filled))


def _solid(region: Region) -> "BaseGeometry":
    import shapely

    def ring(corners: Corners) -> list[Spot]:
        return [(x, y) for x, y, _ in corners]

    return shapely.Polygon(ring(region.outside), [ring(hole) for hole in region.holes])
