"""How far outlines lie from one another, what they cover, and what sticks out.

A full circle counts as its middle with a radius around it, so distances between circles and from
circles to straight pieces are exact; other arcs are chords within 5e-5 mm, so that distances
between any two outlines are right within 1e-4 mm.
"""

from collections.abc import Sequence
from functools import cached_property
from math import hypot
from typing import TYPE_CHECKING

from lamphouse.record import Record
from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.outline import Corners, Spot, circle_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely import Polygon, STRtree
    from shapely.geometry.base import BaseGeometry

MOST_NEIGHBOURS = 32
"""An outline is measured against at most this many earlier ones, those whose middles are nearest,
so that thousands of outlines heaped on one spot stay a matter of seconds."""

EDGE_STEPS = 400
"""How far an outline sticks out is looked at in this many steps around it."""

AT_ONCE = 256
"""So many outlines are looked at in one go, which bounds what thousands heaped on a spot need."""

FAR_MM = 20.0
"""An outline farther inside than this is far enough; how far is not looked for."""


class Pair(Record):
    """Two outlines of a list that lie close together."""

    earlier: int
    later: int
    gap_mm: float
    """Distance between their edges; 0 or less where they touch or overlap. Of two circles it is
    negative by the depth of the overlap."""


def _stem(corners: Corners) -> "tuple[BaseGeometry, float]":
    """Give an outline as a shape and the radius to add around it: a point for a circle."""
    import shapely

    ring = circle_of(corners)
    if ring is None:
        return solid_of(corners), 0.0
    return shapely.Point(ring.x_mm, ring.y_mm), ring.diameter_mm / 2.0


def _stems(outlines: Sequence[Corners]) -> "tuple[NDArray[np.object_], NDArray[np.float64]]":
    """Give many outlines as shapes and radii; see ``_stem``."""
    import numpy as np
    import shapely

    rings = [circle_of(corners) for corners in outlines]
    middles = np.array([(ring.x_mm, ring.y_mm) if ring else (0.0, 0.0) for ring in rings])
    shapes = shapely.points(middles.reshape(-1, 2))
    for at, ring in enumerate(rings):
        if ring is None:
            shapes[at] = solid_of(outlines[at])
    return shapes, np.array([ring.diameter_mm / 2.0 if ring else 0.0 for ring in rings])


def close_pairs(outlines: Sequence[Corners], *, nearer_than_mm: float) -> tuple[Pair, ...]:
    """Find outlines that lie closer to an earlier one than a distance.

    Parameters
    ----------
    outlines
        Sound outlines.
    nearer_than_mm
        Gaps below this count.

    Returns
    -------
    tuple of Pair
        By the later outline's place in the list; for each, the nearest first.
    """
    if len(outlines) < 2:
        return ()
    import numpy as np
    import shapely

    shapes, radii = _stems(outlines)
    outwards = np.array([-1.0, -1.0, 1.0, 1.0])
    reach = shapely.bounds(shapes) + radii[:, None] * outwards
    middles = (reach[:, :2] + reach[:, 2:]) / 2.0
    tree = shapely.STRtree(shapely.box(*reach.T))
    found: list[Pair] = []
    for first in range(0, len(outlines), AT_ONCE):
        wider = reach[first : first + AT_ONCE] + nearer_than_mm * outwards
        later, earlier = tree.query(shapely.box(*wider.T))
        later += first
        later, earlier = later[earlier < later], earlier[earlier < later]
        apart = np.hypot(*(middles[earlier] - middles[later]).T)
        order = np.lexsort((earlier, apart, later))
        later, earlier = later[order], earlier[order]
        nearest = np.arange(len(later)) - np.searchsorted(later, later) < MOST_NEIGHBOURS
        later, earlier = later[nearest], earlier[nearest]
        gaps = shapely.distance(shapes[later], shapes[earlier]) - radii[earlier] - radii[later]
        close = np.lexsort((gaps, later))
        close = close[gaps[close] < nearer_than_mm]
        found.extend(
            Pair(earlier=one, later=other, gap_mm=gap)
            for one, other, gap in zip(
                earlier[close].tolist(), later[close].tolist(), gaps[close].tolist(), strict=True
            )
        )
    return tuple(found)


def gap_mm(first: Corners, *, other: Corners) -> float:
    """Distance between two outlines; 0 or less where they touch or overlap. [mm]."""
    (shape, radius), (other_shape, other_radius) = _stem(first), _stem(other)
    return float(shape.distance(other_shape)) - radius - other_radius


class Enclosure:
    """A sound outline that measures how far inside it others stay; made ready once asked."""

    def __init__(self, outline: Corners) -> None:
        """Hold the outline."""
        self.outline = outline
        self._ring = circle_of(outline)
        self._margins: dict[Corners, float] = {}

    @cached_property
    def _solid(self) -> "Polygon":
        import shapely

        solid = solid_of(self.outline)
        shapely.prepare(solid)
        return solid

    @cached_property
    def _sides(self) -> "STRtree":
        import numpy as np
        import shapely

        edge = shapely.get_coordinates(self._solid)
        return shapely.STRtree(shapely.linestrings(np.stack((edge[:-1], edge[1:]), axis=1)))

    def measure(self, inners: Sequence[Corners]) -> None:
        """Measure many sound outlines at once, for ``margin_mm`` to know those that lie inside."""
        import numpy as np
        import shapely

        shapes, radii = _stems(inners)
        inside = np.flatnonzero(shapely.covers(self._solid, shapes))
        farthest = FAR_MM + radii.max(initial=0.0)
        near, gaps = self._sides.query_nearest(
            shapes[inside], max_distance=farthest, return_distance=True, all_matches=False
        )
        margins = np.full(len(inside), FAR_MM)
        margins[near[0]] = np.minimum(gaps - radii[inside][near[0]], FAR_MM)
        self._margins.update(
            zip((inners[at] for at in inside.tolist()), margins.tolist(), strict=True)
        )

    def margin_mm(self, inner: Corners) -> float:
        """Measure how far inside a sound outline stays.

        Returns
        -------
        float
            The least distance from its edge to this one's when it lies inside, at most 20 mm;
            minus the farthest it sticks out when it does not. [mm]
        """
        ring = circle_of(inner)
        if ring is not None and self._ring is not None:
            apart = hypot(ring.x_mm - self._ring.x_mm, ring.y_mm - self._ring.y_mm)
            return min((self._ring.diameter_mm - ring.diameter_mm) / 2.0 - apart, FAR_MM)
        if inner not in self._margins:
            self._margins[inner] = self._measured_mm(inner)
        return self._margins[inner]

    def _measured_mm(self, inner: Corners) -> float:
        import shapely

        shape, radius = _stem(inner)
        if self._solid.covers(shape):
            near = self._sides.query_nearest(
                shape, max_distance=FAR_MM + radius, return_distance=True, all_matches=False
            )[1]
            return min(float(near[0]) - radius, FAR_MM) if len(near) else FAR_MM
        if radius:
            return -self._farthest_mm([shape]) - radius
        line = shapely.segmentize(shape.exterior, shape.length / EDGE_STEPS)
        points = shapely.points(shapely.get_coordinates(line))
        return -self._farthest_mm(points[~shapely.covers(self._solid, points)])

    def _farthest_mm(self, shapes: "Sequence[BaseGeometry]") -> float:
        """Greatest of the distances from shapes to this outline's edge; 0 for no shape. [mm]."""
        if not len(shapes):
            return 0.0
        found = self._sides.query_nearest(shapes, return_distance=True, all_matches=False)
        return float(found[1].max())


def margin_mm(inner: Corners, *, outer: Corners) -> float:
    """Measure how far inside an outline another stays; see :class:`Enclosure`. [mm]."""
    return Enclosure(outer).margin_mm(inner)


def overlap_mm2(first: Corners, *, other: Corners) -> float:
    """Area two outlines share, on chords within 5e-5 mm. [mm2]."""
    return float(solid_of(first).intersection(solid_of(other)).area)


def bare_mm2(outline: Corners, *, covers: Sequence[Corners]) -> float:
    """Area of an outline that none of the covers lies over, on chords within 5e-5 mm. [mm2]."""
    import shapely

    return float(
        solid_of(outline).difference(shapely.union_all([solid_of(c) for c in covers])).area
    )


def inner_spot(outline: Corners) -> Spot:
    """Give a point well inside an outline, whatever its shape."""
    import shapely

    point = shapely.point_on_surface(solid_of(outline))
    return float(point.x), float(point.y)
