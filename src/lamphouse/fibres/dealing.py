"""Deals points to source groups so that neighbours differ and every group takes its share.

Terminology
-----------
clash
    Two neighbours in one group.
dealing
    A group for every point. The best has the fewest clashes, and of those the least way in all.
"""

from collections.abc import Iterator, Sequence
from math import inf

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]

MOST_EXACT = 400
"""Up to so many choices (points times groups) are solved to the proven best ..."""
NODES = 2_000
"""... within so many nodes of the search."""
ROUNDS = 60
"""Rounds of improving moves for larger ones."""
MOST_EXCHANGED = 1000
"""More points than this are dealt in the order of the file, and moved but not exchanged."""
_SAME = 1e-9


class Dealt(Record):
    """A dealing with what is proven about it."""

    groups: tuple[int, ...]
    """Number of the group of each point."""
    clashes: int
    way_mm: float
    """Of all points to their groups."""
    least_clashes: int
    least_way_mm: float
    """No dealing within the shares has fewer clashes, nor, clashes allowed, a shorter way."""
    is_best: bool
    """Whether it is proven the best."""


def deal(
    ways_mm: Sequence[Sequence[float]],
    *,
    neighbours: Sequence[tuple[int, int]],
    most: Sequence[int],
    fixed: Sequence[int | None] | None = None,
) -> Dealt | None:
    """Deal points to groups.

    Parameters
    ----------
    ways_mm
        Of each point to each group; infinite where the group may not have it.
    neighbours
        Pairs of points.
    most
        How many points each group takes, fixed ones counted.
    fixed
        Groups that are given already.

    Returns
    -------
    Dealt or None
        None when the groups cannot take all points.

    Notes
    -----
    Small ones are solved as an integer program to the proven best. Larger ones are dealt greedily,
    the point with the fewest groups left first, and improved by moves and exchanges; the bounds
    then are those of the points and the cliques alone.
    """
    way = np.array(ways_mm, dtype=np.float64)
    if not len(way):
        return Dealt(
            groups=(), clashes=0, way_mm=0.0, least_clashes=0, least_way_mm=0.0, is_best=True
        )
    for point, group in enumerate(fixed or ()):
        if group is not None:
            kept = way[point, group]
            way[point] = inf
            way[point, group] = kept if np.isfinite(kept) else 0.0
    if not np.isfinite(way).any(axis=1).all():
        return None
    edges = sorted({(min(pair), max(pair)) for pair in neighbours if pair[0] != pair[1]})
    if way.size <= MOST_EXACT:
        return _exact(way, edges=edges, most=most)
    return _searched(way, edges=edges, most=most)


def clashes_of(groups: Sequence[int], *, neighbours: Sequence[tuple[int, int]]) -> int:
    """Count neighbours in one group."""
    return sum(groups[one] == groups[other] for one, other in neighbours)


def _exact(way: Floats, *, edges: list[tuple[int, int]], most: Sequence[int]) -> Dealt | None:
    count, groups = way.shape
    free = np.isfinite(way)
    length = np.where(free, way, 0.0)
    # One clash weighs more than all ways together.
    weight = 1.0 + float(length.max(axis=1).sum())
    cost = np.concatenate((length.ravel() / weight, np.ones(len(edges))))
    rows: list[tuple[int, int, float]] = []
    low: list[float] = []
    high: list[float] = []
    for point in range(count):
        rows += [(len(low), point * groups + group, 1.0) for group in range(groups)]
        low.append(1.0)
        high.append(1.0)
    for group in range(groups):
        rows += [(len(low), point * groups + group, 1.0) for point in range(count)]
        low.append(0.0)
        high.append(float(most[group]))
    for number, (one, other) in enumerate(edges):
        for group in range(groups):
            rows += [
                (len(low), one * groups + group, 1.0),
                (len(low), other * groups + group, 1.0),
                (len(low), count * groups + number, -1.0),
            ]
            low.append(-inf)
            high.append(1.0)
    at, column, value = zip(*rows, strict=True)
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    matrix = coo_array((value, (at, column)), shape=(len(low), len(cost))).tocsr()
    solved = milp(
        cost,
        integrality=np.concatenate((np.ones(count * groups), np.zeros(len(edges)))),
        bounds=Bounds(0.0, np.concatenate((free.ravel().astype(float), np.ones(len(edges))))),
        constraints=LinearConstraint(matrix, np.array(low), np.array(high)),
        options={"node_limit": NODES, "mip_rel_gap": 0.0},
    )
    if solved.x is None:
        return None
    chosen = solved.x[: count * groups].reshape(count, groups).argmax(axis=1)
    bound = float(solved.mip_dual_bound) if solved.mip_dual_bound is not None else 0.0
    return _told(
        chosen.tolist(),
        way=way,
        edges=edges,
        least_clashes=int(max(bound + 1e-6, 0.0)),
        is_best=bool(solved.status == 0),
    )


def _told(
    groups: list[int],
    *,
    way: Floats,
    edges: list[tuple[int, int]],
    least_clashes: int,
    is_best: bool,
) -> Dealt:
    clashes = clashes_of(groups, neighbours=edges)
    return Dealt(
        groups=tuple(groups),
        clashes=clashes,
        way_mm=float(way[np.arange(len(groups)), groups].sum()),
        least_clashes=clashes if is_best else min(least_clashes, clashes),
        least_way_mm=float(np.where(np.isfinite(way), way, np.inf).min(axis=1).sum()),
        is_best=is_best,
    )


class _Table:
    """A dealing being made: who is where, and how many neighbours of each are in each group."""

    def __init__(self, way: Floats, *, edges: list[tuple[int, int]], most: Sequence[int]) -> None:
        self.way = way
        self.beside: list[list[int]] = [[] for _ in way]
        for one, other in edges:
            self.beside[one].append(other)
            self.beside[other].append(one)
        self.near = np.zeros(way.shape, dtype=np.int64)
        self.left = np.array(most, dtype=np.int64)
        self.group = [-1] * len(way)
        self.weight = 1.0 + float(np.where(np.isfinite(way), way, 0.0).max(axis=1).sum())

    def put(self, point: int, group: int) -> None:
        """Give a point to a group."""
        old = self.group[point]
        for other in self.beside[point]:
            if old >= 0:
                self.near[other, old] -= 1
            if group >= 0:
                self.near[other, group] += 1
        if old >= 0:
            self.left[old] += 1
        if group >= 0:
            self.left[group] -= 1
        self.group[point] = group

    def cost(self, point: int) -> Floats:
        """Cost of a point in each group."""
        return np.asarray(self.weight * self.near[point] + self.way[point])


def _searched(way: Floats, *, edges: list[tuple[int, int]], most: Sequence[int]) -> Dealt | None:
    table = _Table(way, edges=edges, most=most)
    for point in _in_turn(table):
        cost = np.where(np.isfinite(way[point]) & (table.left > 0), table.cost(point), inf)
        if not np.isfinite(cost).any():
            return None
        # Of equally good groups the emptiest.
        table.put(point, int(np.lexsort((-table.left, cost))[0]))
    for _ in range(ROUNDS):
        if not _improved(table):
            break
    singles = {edge for edge in edges if _is_forced(way, edge)}
    dealt = _told(table.group, way=way, edges=edges, least_clashes=len(singles), is_best=False)
    is_best = dealt.clashes == dealt.least_clashes and dealt.way_mm <= dealt.least_way_mm + _SAME
    return (
        dealt
        if not is_best
        else _told(table.group, way=way, edges=edges, least_clashes=dealt.clashes, is_best=True)
    )


def _in_turn(table: _Table) -> Iterator[int]:
    """Give points to be dealt: the one with the fewest groups that neither clash nor are full."""
    count = len(table.way)
    if count > MOST_EXCHANGED:
        yield from range(count)
        return
    waiting = set(range(count))
    while waiting:
        open_ = np.isfinite(table.way) & (table.left > 0)
        good = (open_ & (table.near == 0)).sum(axis=1)
        point = min(waiting, key=lambda each: (good[each], -len(table.beside[each]), each))
        waiting.remove(point)
        yield point


def _is_forced(way: Floats, edge: tuple[int, int]) -> bool:
    """Whether both ends of an edge have one and the same group to go to."""
    ends = [np.flatnonzero(np.isfinite(way[point])) for point in edge]
    return all(len(end) == 1 for end in ends) and bool(ends[0][0] == ends[1][0])


def _improved(table: _Table) -> bool:
    """Try for every point the best move, and where its group is full the best exchange."""
    moved = False
    for point in range(len(table.way)):
        here = table.group[point]
        cost = table.cost(point)
        for group in np.argsort(cost, kind="stable"):
            gain = cost[here] - cost[group]
            if gain <= _SAME:
                break
            if table.left[group] > 0:
                table.put(point, int(group))
                moved = True
                break
            if len(table.way) > MOST_EXCHANGED:
                continue
            other = _partner(table, point=point, group=int(group), gain=float(gain))
            if other is not None:
                table.put(point, -1)
                table.put(other, here)
                table.put(point, int(group))
                moved = True
                break
    return moved


def _partner(table: _Table, *, point: int, group: int, gain: float) -> int | None:
    """Find a point of a full group that may take the other's place at a smaller loss."""
    here = table.group[point]
    best, least = None, gain - _SAME
    beside = set(table.beside[point])
    for other, its in enumerate(table.group):
        if its != group or not np.isfinite(table.way[other, here]):
            continue
        if other in beside:
            # Neighbours that change places clash neither before nor after: left alone.
            continue
        loss = table.cost(other)
        if loss[here] - loss[group] < least:
            best, least = other, loss[here] - loss[group]
    return best
