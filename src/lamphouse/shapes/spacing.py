"""How far outlines lie from one another, what they cover, and what sticks out.

A full circle counts as its middle with a radius around it, so distances between circles and from
circles to straight pieces are exact; other arcs are chords within 5e-5 mm, so that distances
between any two outlines are right within 1e-4 mm.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import TYPE_CHECKING

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Corners, Round, Spot, circle_of

if TYPE_CHECKING:
    from shapely import STRtree
    from shapely.geometry.base import BaseGeometry

MOST_NEIGHBOURS = 64
"""An outline is measured against this many earlier ones near it at most, so that thousands of
outlines heaped on one spot are told one by one and not pair by pair."""

EDGE_STEPS = 400
"""How far an outline sticks out is looked at in this many steps around it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two outlines of a list that lie close together."""

    earlier: int
    later: int
    gap_mm: float
    """Distance between their edges; 0 or less where they touch or overlap. Of two circles it is
    negative by the depth of the overlap."""


def _solid(corners: Corners) -> "BaseGeometry":
    """Give an outline as a polygon of chords."""
    import shapely

    return shapely.Polygon(flatten(corners))


def _stem(corners: Corners) -> "tuple[BaseGeometry, float]":
    """Give an outline as a shape and the radius to add around it: a point for a circle."""
    import shapely

    ring = circle_of(corners)
    if ring is None:
        return _solid(corners), 0.0
    return shapely.Point(ring.x_mm, ring.y_mm), ring.diameter_mm / 2.0


def close_pairs(outlines: Sequence[Corners], *, nearer_than_mm: float) -> tuple[Pair, ...]:
    """Find outlines that lie closer to an earlier one than a distance.

    Each outline is named at most once, with the nearest of the earlier ones.

    Parameters
    ----------
    outlines
        Sound outlines.
    nearer_than_mm
        Gaps below this count.

    Returns
    -------
    tuple of Pair
        By the later outline's place in the list.
    """
    if len(outlines) < 2:
        return ()
    import numpy as np
    import shapely

    stems, pads = zip(*(_stem(corners) for corners in outlines), strict=True)
    shapes, radii = np.array(stems, dtype=object), np.array(pads)
    reach = shapely.bounds(shapes) + radii[:, None] * np.array([-1.0, -1.0, 1.0, 1.0])
    tree = shapely.STRtree(shapely.box(*reach.T))
    found = []
    for later in range(1, len(outlines)):
        left, bottom, right, top = reach[later] + nearer_than_mm * np.array([-1.0, -1.0, 1.0, 1.0])
        near = np.sort(tree.query(shapely.box(left, bottom, right, top)))
        earlier = near[near < later][:MOST_NEIGHBOURS]
        if not len(earlier):
            continue
        gaps = shapely.distance(shapes[later], shapes[earlier]) - radii[earlier] - radii[later]
        nearest = int(np.argmin(gaps))
        if gaps[nearest] < nearer_than_mm:
            found.append(
                Pair(earlier=int(earlier[nearest]), later=later, gap_mm=float(gaps[nearest]))
            )
    return tuple(found)


def gap_mm(first: Corners, *, other: Corners) -> float:
    """Distance between two outlines; 0 or less where they touch or overlap. [mm]."""
    (shape, radius), (other_shape, other_radius) = _stem(first), _stem(other)
    return float(shape.distance(other_shape)) - radius - other_radius


def margins_mm(inners: Sequence[Corners], *, outer: Corners) -> tuple[float, ...]:
    """Measure how far inside an outline others stay.

    Parameters
    ----------
    inners
        Sound outlines.
    outer
        The sound outline they should lie in.

    Returns
    -------
    tuple of float
        For each: the least distance from its edge to the outer edge when it lies inside; minus
        the farthest it sticks out when it does not. [mm]
    """
    if not inners:
        return ()
    import numpy as np
    import shapely

    solid = _solid(outer)
    shapely.prepare(solid)
    ring = circle_of(outer)
    edge = shapely.get_coordinates(solid.exterior)
    sides = shapely.linestrings(np.stack((edge[:-1], edge[1:]), axis=1))
    tree = shapely.STRtree(sides)
    margins = []
    for corners in inners:
        inner = circle_of(corners)
        if ring is not None and inner is not None:
            apart = hypot(inner.x_mm - ring.x_mm, inner.y_mm - ring.y_mm)
            margins.append((ring.diameter_mm - inner.diameter_mm) / 2.0 - apart)
            continue
        shape, radius = _stem(corners)
        if solid.covers(shape):
            margins.append(_nearest_mm(tree, to=[shape]) - radius)
        elif inner is not None:
            margins.append(-_nearest_mm(tree, to=[shape]) - radius)
        else:
            line = shape.exterior.segmentize(shape.length / EDGE_STEPS)
            points = shapely.points(shapely.get_coordinates(line))
            outside = points[~shapely.covers(solid, points)]
            margins.append(-_nearest_mm(tree, to=outside))
    return tuple(margins)


def _nearest_mm(tree: "STRtree", *, to: "Sequence[BaseGeometry]") -> float:
    """Farthest that any of some shapes lies from the nearest line in a tree; 0 for none. [mm]."""
    if not len(to):
        return 0.0
    return float(tree.query_nearest(to, return_distance=True, all_matches=False)[1].max())


def margin_mm(inner: Corners, *, outer: Corners) -> float:
    """Measure how far inside an outline another stays; see :func:`margins_mm`. [mm]."""
    return margins_mm((inner,), outer=outer)[0]


def overlap_mm2(first: Corners, *, other: Corners) -> float:
    """Area two outlines share, on chords within 5e-5 mm. [mm2]."""
    return float(_solid(first).intersection(_solid(other)).area)


def bare_mm2(outline: Corners, *, covers: Sequence[Corners]) -> float:
    """Area of an outline that none of the covers lies over, on chords within 5e-5 mm. [mm2]."""
    import shapely

    return float(_solid(outline).difference(shapely.union_all([_solid(c) for c in covers])).area)


def holds_spot(outline: Corners, *, spot: Spot) -> bool:
    """Tell whether a point lies inside an outline or on its edge."""
    import shapely

    ring: Round | None = circle_of(outline)
    if ring is not None:
        return hypot(spot[0] - ring.x_mm, spot[1] - ring.y_mm) <= ring.diameter_mm / 2.0
    return bool(_solid(outline).covers(shapely.Point(spot)))


def inner_spot(outline: Corners) -> Spot:
    """Give a point well inside an outline, whatever its shape."""
    import shapely

    point = shapely.point_on_surface(_solid(outline))
    return float(point.x), float(point.y)
