"""Footprints: outlines seen from above, moved, swept along a line, and what they meet.

Arcs are chords within ``CHORD_MM``. A footprint swept along a straight move covers every place it
passes: itself, and the parallelogram that each edge facing the way passes over, since whatever else
it comes to was passed by such an edge last.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import Bounds
from lamphouse.shapes.outline import Corners, Spot

if TYPE_CHECKING:
    from typing import Any

    from shapely.geometry.base import BaseGeometry

CHORD_MM = 0.02
"""Greatest distance between an arc and its chords."""

GRID_MM = 1e-6
"""What is joined is joined on this grid: without one, the library may lose a part of it."""
LEAST_MM2 = 1e-3
"""Smaller scraps are nothing."""


class Footprint:
    """Part of the floor, held as a shape of the polygon library."""

    __slots__ = ("_shape",)

    def __init__(self, shape: "BaseGeometry") -> None:
        """Hold a shape; made by :func:`footprint` and by the steps below."""
        self._shape = shape

    def moved(self, by: Spot) -> "Footprint":
        """Give it somewhere else."""
        import shapely

        return Footprint(shapely.transform(self._shape, lambda spots: spots + by))

    def shrunk(self, by_mm: float) -> "Footprint":
        """Give what is left when so much is taken off all round; corners stay sharp."""
        return Footprint(self._shape.buffer(-by_mm, join_style="mitre"))

    def swept(self, by: Spot) -> "Footprint":
        """Give everything it passes over on a straight move."""
        import numpy as np
        import shapely

        if not (by[0] or by[1]) or self._shape.is_empty:
            return self
        if abs(self._shape.convex_hull.area - self._shape.area) < 1e-9 * self._shape.area:
            ends = shapely.multipolygons([self._shape, self.moved(by)._shape])
            return Footprint(ends.convex_hull)
        passed = [self._shape]
        for part in shapely.get_parts(self._shape):
            for number, ring in enumerate((part.exterior, *part.interiors)):
                spots = shapely.get_coordinates(ring)
                start, end = spots[:-1], spots[1:]
                quads = np.stack((start, end, end + by, start + by), axis=1)
                along = end - start
                turns = along[:, 0] * by[1] - along[:, 1] * by[0]
                is_left_filled = ring.is_ccw == (number == 0)
                faces = turns < -1e-12 if is_left_filled else turns > 1e-12
                passed += list(shapely.polygons(quads[faces]))
        return Footprint(shapely.union_all(passed, grid_size=GRID_MM))

    def joined(self, other: "Footprint") -> "Footprint":
        """Give both together."""
        return Footprint(self._shape.union(other._shape))

    def within(self, other: "Footprint") -> "Footprint":
        """Give what both share."""
        return Footprint(self._shape.intersection(other._shape))

    def without(self, other: "Footprint") -> "Footprint":
        """Give what the other does not cover."""
        return Footprint(self._shape.difference(other._shape))

    def grown(self, by_mm: float) -> "Footprint":
        """Grow it all round; corners stay sharp."""
        return Footprint(self._shape.buffer(by_mm, join_style="mitre", mitre_limit=2.0))

    def meets(self, other: "Footprint") -> bool:
        """Tell whether both share a place; their edges count."""
        return bool(self._shape.intersects(other._shape))

    def gap_mm(self, other: "Footprint") -> float:
        """Give the distance between both, 0 where they meet. [mm]."""
        return float(self._shape.distance(other._shape))

    def made_ready(self) -> "Footprint":
        """Get ready to be asked often what it covers."""
        import shapely

        shapely.prepare(self._shape)
        return self

    def covers(self, other: "Footprint") -> bool:
        """Tell whether all of the other lies in it."""
        return bool(self._shape.covers(other._shape))

    def beyond_mm(self, other: "Footprint") -> float:
        """Give the distance from the other of that corner which lies farthest from it. [mm]."""
        import shapely

        corners = shapely.points(shapely.get_coordinates(self._shape))
        return float(shapely.distance(corners, other._shape).max())

    def nearest(self, spot: Spot) -> Spot:
        """Give the place of it that lies nearest to a spot."""
        import shapely

        x, y = shapely.get_coordinates(shapely.shortest_line(self._shape, shapely.Point(*spot)))[
            0
        ].tolist()
        return x, y

    @property
    def bounds_mm(self) -> Bounds:
        """Left, bottom, right and top. [mm]."""
        left, bottom, right, top = self._shape.bounds
        return float(left), float(bottom), float(right), float(top)

    @property
    def is_nothing(self) -> bool:
        """Whether nothing of it is left."""
        return bool(self._shape.is_empty)

    def spans(self, start: Spot, *, end: Spot) -> tuple[tuple[float, float], ...]:
        """Give from where to where a straight line lies in it, as lengths from its start. [mm]."""
        import shapely

        cut = shapely.intersection(self._shape, shapely.LineString((start, end)))
        found = []
        for part in shapely.get_parts(cut):
            if part.length > 0.0:
                away = shapely.distance(
                    shapely.Point(*start), shapely.points(shapely.get_coordinates(part))
                )
                found.append((float(away.min()), float(away.max())))
        return tuple(sorted(found))

    def rings(self) -> tuple[tuple[Spot, ...], ...]:
        """Give the edge of every part and of every hole in it, the last point not the first.

        Scraps that rounding leaves are left out.
        """
        import shapely

        return tuple(
            tuple((float(x), float(y)) for x, y in ring.coords[:-1])
            for part in shapely.get_parts(self._shape)
            if part.geom_type == "Polygon"
            for ring in (part.exterior, *part.interiors)
            if shapely.Polygon(ring).area >= LEAST_MM2
        )


def footprint(corners: Corners) -> Footprint:
    """Make the footprint of a sound outline."""
    import numpy as np
    import shapely

    return Footprint(shapely.polygons(np.array(flatten(corners, error_mm=CHORD_MM))))


def corridor(start: Spot, *, end: Spot, half_mm: float) -> Footprint:
    """Make the strip along a straight line, round at its ends."""
    import shapely

    return Footprint(shapely.LineString((start, end)).buffer(half_mm))


def upright_box(bounds: Bounds) -> Footprint:
    """Make an upright rectangle from left, bottom, right and top."""
    import shapely

    return Footprint(shapely.box(*bounds))


class Crowd:
    """Many footprints, made ready to be asked which of them another one meets."""

    def __init__(self, members: Sequence[Footprint]) -> None:
        """Make them ready."""
        import numpy as np
        import shapely

        self._shapes: Any = np.array([member._shape for member in members], dtype=object)
        self._tree = shapely.STRtree(self._shapes)

    def meetings(self, others: Sequence[Footprint]) -> tuple[tuple[int, int], ...]:
        """Give each of the others with each member it shares a place with, by their numbers."""
        import numpy as np

        shapes: Any = np.array([other._shape for other in others], dtype=object)
        pairs = self._tree.query(shapes, predicate="intersects").T.tolist()
        return tuple(sorted((other, member) for other, member in pairs))
