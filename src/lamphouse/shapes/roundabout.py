"""Shortest ways in the plane from one spot to many, round obstacles and not round sharp corners."""

from collections.abc import Sequence
from itertools import pairwise
from math import cos, dist, hypot, pi
from typing import TYPE_CHECKING

from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.outline import Corners, Spot

if TYPE_CHECKING:
    from typing import Any

ARC_STEPS = 4
"""Chords in a quarter of the arc round an obstacle's corner."""
TOUCH_MM = 0.01
"""A way may graze an obstacle by this much."""
ROUND_MM = 0.02
"""Chords of a round obstacle may leave it by this much; it is grown by as much again."""


class Roundabout:
    """Obstacles grown by a radius, with every shortest way that leads to one goal."""

    def __init__(
        self, obstacles: Sequence[Corners], *, goal: Spot, radius_mm: float, clear_mm: float
    ) -> None:
        """Make the ways ready.

        Parameters
        ----------
        obstacles
            Sound outlines.
        goal
            Where every way ends.
        radius_mm
            No way bends round an obstacle tighter than this.
        clear_mm
            No way comes nearer to an obstacle than this, at most the radius.
        """
        import numpy as np
        import shapely

        solids = [solid_of(each) for each in obstacles]
        plain = shapely.simplify(solids, ROUND_MM)
        fewer = shapely.get_num_coordinates(plain) < shapely.get_num_coordinates(solids)
        # Chords lie within the arc they stand for: grown a little more, they keep clear of it.
        stretch = 1.0 / cos(pi / (4.0 * ARC_STEPS))
        grown = radius_mm * stretch + ROUND_MM * fewer
        wide = shapely.union_all(shapely.buffer(plain, grown, quad_segs=ARC_STEPS))
        self._bare = shapely.union_all(shapely.buffer(solids, clear_mm - TOUCH_MM, quad_segs=8))
        self._inner = shapely.buffer(wide, -TOUCH_MM)
        self._wide = wide
        shapely.prepare(self._bare)
        shapely.prepare(self._inner)
        self._goal = goal
        corners = np.round(shapely.get_coordinates(wide), 6).tolist()
        self._corners = np.array(sorted({(x, y) for x, y in corners})).reshape(-1, 2)
        self._is_lost = not obstacles or bool(shapely.intersects_xy(self._bare, *goal))
        self._has_obstacles = bool(obstacles)
        self._gate = self._gate_of(goal)
        self._ways: tuple[Any, Any] | None = None

    def _gate_of(self, spot: Spot) -> Spot | None:
        """Give the nearest place outside the grown obstacles that a spot reaches straight."""
        import shapely

        if not shapely.intersects_xy(self._inner, *spot):
            return spot
        if shapely.intersects_xy(self._bare, *spot):
            return None
        edge = shapely.boundary(self._wide)
        at = shapely.line_interpolate_point(
            edge, shapely.line_locate_point(edge, shapely.Point(*spot))
        )
        gate = (float(at.x), float(at.y))
        blocked = shapely.intersects(self._bare, shapely.LineString((spot, gate)))
        return None if blocked else gate

    def _searched(self) -> "tuple[Any, Any]":
        """Give every corner's distance to the goal and the corner after it, by Dijkstra's way."""
        import numpy as np

        if self._gate is None or not len(self._corners):
            return None, None
        nodes = np.vstack((np.array(self._gate), self._corners))
        first, second = np.triu_indices(len(nodes), 1)
        free = self._free(nodes[first], nodes[second])
        first, second = first[free], second[free]
        far = np.full((len(nodes),) * 2, np.inf)
        far[first, second] = far[second, first] = np.hypot(*(nodes[first] - nodes[second]).T)
        return _shortest(far)

    def _free(self, starts: "Any", ends: "Any") -> "Any":
        """Tell which straight lines keep out of the grown obstacles."""
        import numpy as np
        import shapely

        lines = shapely.linestrings(np.stack((starts, ends), axis=1))
        return ~shapely.intersects(self._inner, lines)

    def way(self, spot: Spot) -> tuple[Spot, ...] | None:
        """Give the corners of the shortest way from a spot to the goal, both included.

        Returns
        -------
        tuple of Spot or None
            None when no way leads there at this radius.

        Notes
        -----
        A spot nearer to an obstacle than the radius leaves it straight: the strand comes out of
        its own bend there and may set off in any direction.
        """
        import numpy as np

        if not self._has_obstacles:
            return spot, self._goal
        gate = None if self._is_lost else self._gate_of(spot)
        if gate is None or self._gate is None:
            return None
        ends = [spot] if gate != spot else []
        goal = [self._goal] if self._gate != self._goal else []
        if self._free(np.array([gate]), np.array([self._gate]))[0]:
            return _without_doubles((*ends, gate, self._gate, *goal))
        if self._ways is None:
            self._ways = self._searched()
        from_goal, before = self._ways
        if from_goal is None:
            return None
        seen = self._free(np.broadcast_to(gate, self._corners.shape), self._corners)
        whole = np.hypot(*(self._corners - np.array(gate)).T) + from_goal[1:]
        whole = np.where(seen, whole, np.inf)
        best = int(np.argmin(whole))
        if not np.isfinite(whole[best]):
            return None
        node, path = best + 1, [*ends, gate]
        while node > 0:
            x, y = self._corners[node - 1]
            path.append((float(x), float(y)))
            node = int(before[node])
        return _without_doubles((*path, self._gate, *goal))


def _shortest(far: "Any") -> "tuple[Any, Any]":
    """Give the length of the shortest way from the first node to each, and the node before it.

    ``far`` holds the lengths of the edges, (n, n), infinite where there is none. Dijkstra's way,
    a row at a time; a library's would be one more to load in every check.
    """
    import numpy as np

    away, before = np.full(len(far), np.inf), np.full(len(far), -1)
    away[0] = 0.0
    waiting = np.ones(len(far), dtype=bool)
    while True:
        node = int(np.argmin(np.where(waiting, away, np.inf)))
        if not waiting[node] or not np.isfinite(away[node]):
            return away, before
        waiting[node] = False
        through = away[node] + far[node]
        nearer = through < away
        away = np.where(nearer, through, away)
        before = np.where(nearer, node, before)


def _without_doubles(path: Sequence[Spot]) -> tuple[Spot, ...]:
    kept = [path[0]]
    for spot in path[1:]:
        if dist(spot, kept[-1]) > TOUCH_MM:
            kept.append(spot)
    return (*kept, path[-1]) if len(kept) == 1 else tuple(kept)


def length_of(way: Sequence[Spot]) -> float:
    """Length of a way. [mm]."""
    return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(way))
