"""Lines of equal value through a grid of values, chained, cut around labels and thinned out.

Terminology
-----------
grid
    Values at the middles of square pixels, the lowest row first; some may be unknown.
line
    Points in grid units: ``(column, row)``, whole numbers at the middles of pixels.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.drawings.moves import Box
from lamphouse.shapes.outline import Spot

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Line = list[Spot]
_Edge = tuple[int, int, int]
"""Column and row where an edge of a square begins, and 0 when it runs to the right, 1 up."""

_BOTTOM, _RIGHT, _TOP, _LEFT = (0, 0, 0), (1, 0, 1), (0, 1, 0), (0, 0, 1)
_CROSSED = {
    1: ((_LEFT, _BOTTOM),),
    2: ((_BOTTOM, _RIGHT),),
    3: ((_LEFT, _RIGHT),),
    4: ((_RIGHT, _TOP),),
    6: ((_BOTTOM, _TOP),),
    7: ((_LEFT, _TOP),),
}
"""Edges a line joins, by which corners lie above it: 1 lower left, 2 lower right, 4 upper right,
8 upper left. What is not here is its own complement, or one of the two saddles."""
_SADDLES = {True: ((_LEFT, _TOP), (_BOTTOM, _RIGHT)), False: ((_LEFT, _BOTTOM), (_RIGHT, _TOP))}
"""Corners 1 and 4 above, by whether the middle lies above as well."""


def lines_at(values: Floats, *, known: Bools, level: float) -> list[Line]:
    """Trace the lines on which a grid takes a value, by marching squares.

    Parameters
    ----------
    values
        (rows, columns).
    known
        (rows, columns) which of them count; a line ends where they do.
    level
        The value.

    Returns
    -------
    list of Line
        Each from end to end, or round to its own start; the longest first.
    """
    above = values > level
    case = above[:-1, :-1] + 2 * above[:-1, 1:] + 4 * above[1:, 1:] + 8 * above[1:, :-1]
    whole = known[:-1, :-1] & known[:-1, 1:] & known[1:, 1:] & known[1:, :-1]
    joins: defaultdict[_Edge, list[_Edge]] = defaultdict(list)
    for row, column in np.argwhere(whole & (case > 0) & (case < 15)).tolist():
        middle = float(values[row : row + 2, column : column + 2].mean()) > level
        for pair in _pairs(int(case[row, column]), middle_above=middle):
            one, two = ((column + edge[0], row + edge[1], edge[2]) for edge in pair)
            joins[one].append(two)
            joins[two].append(one)
    chains = [[_crossing(edge, values, level) for edge in chain] for chain in _chains(joins)]
    return sorted(chains, key=len, reverse=True)


def _pairs(case: int, *, middle_above: bool) -> Sequence[tuple[_Edge, _Edge]]:
    if case in (5, 10):
        return _SADDLES[middle_above is (case == 5)]
    return _CROSSED[min(case, 15 - case)]


def _chains(joins: dict[_Edge, list[_Edge]]) -> Iterator[list[_Edge]]:
    """Follow joined edges, open chains from their ends first, then rings."""
    starts = [edge for edge, next_to in joins.items() if len(next_to) == 1]
    for start in (*starts, *joins):
        if start not in joins:
            continue
        chain, here = [start], start
        while next_to := joins.get(here):
            following = next_to.pop()
            if not next_to:
                del joins[here]
            joins[following].remove(here)
            if not joins[following]:
                del joins[following]
            chain.append(following)
            here = following
        yield chain


def _crossing(edge: _Edge, values: Floats, level: float) -> Spot:
    column, row, up = edge
    start, end = float(values[row, column]), float(values[row + up, column + 1 - up])
    share = (level - start) / (end - start)
    return column + share * (1 - up), row + share * up


def outside(line: Line, *, boxes: Sequence[Box]) -> Iterator[Line]:
    """Give the parts of a line whose points lie in none of the boxes."""
    part: Line = []
    for x, y in line:
        if any(left <= x <= right and low <= y <= high for left, low, right, high in boxes):
            if len(part) > 1:
                yield part
            part = []
        else:
            part.append((x, y))
    if len(part) > 1:
        yield part


def thinned(line: Line, *, error: float) -> Line:
    """Leave out points that lie within an error of the line through those that stay.

    The method of Ramer (1972) and of Douglas and Peucker (1973).
    """
    points = np.array(line)
    kept = np.zeros(len(points), dtype=np.bool_)
    kept[[0, -1]] = True
    spans = [(0, len(points) - 1)]
    while spans:
        first, last = spans.pop()
        if last - first < 2:
            continue
        run = points[last] - points[first]
        gap = points[first + 1 : last] - points[first]
        length = float(np.hypot(*run))
        off = (
            np.abs(gap[:, 0] * run[1] - gap[:, 1] * run[0]) / length
            if length > error
            else np.hypot(gap[:, 0], gap[:, 1])
        )
        farthest = int(off.argmax())
        if off[farthest] > error:
            middle = first + 1 + farthest
            kept[middle] = True
            spans += [(first, middle), (middle, last)]
    return [(x, y) for x, y in points[kept].tolist()]
