"""Where an edge is best cut into pieces, each a line or an arc.

The edge is cut where the sum of misfit and of a price for every piece is least: among all ways of
cutting, found by dynamic programming [BELLMAN]. A line is priced by its scatter, an arc by the
circle of least squares [KASA].
"""

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
"""(n, 2): x and y in mm."""

MOST_KNOTS = 640
_LEAST_KNOTS = 3
"""A piece shorter than this many knots is not looked for."""
LINE_PRICE = 8.0
ARC_PRICE = 13.0
"""Price of a piece, in squares of half the tolerance."""
LARGEST_RADIUS = 40.0
"""Over the length of the chord; flatter arcs are lines."""


def best_cut(points: Points, *, tolerance_mm: float) -> tuple[list[int], int]:
    """Find the cheapest cutting of a closed edge.

    Parameters
    ----------
    points
        In order.
    tolerance_mm
        How far the pieces may be from the edge.

    Returns
    -------
    list of int, int
        The points at which pieces begin, in order, and into how many knots the edge was gathered.
    """
    knots, bins = _knots(points)
    breaks = _cut(knots, start=_sharpest(knots), tolerance_mm=tolerance_mm)
    if len(breaks) > 2:  # once more from a sure break
        breaks = _cut(knots, start=breaks[len(breaks) // 2], tolerance_mm=tolerance_mm)
    return [bins[one] for one in sorted(breaks)], len(knots)


def _knots(points: Points) -> tuple[Points, list[int]]:
    """Average neighbours, so that there are no more than the search can bear."""
    count = min(MOST_KNOTS, len(points))
    bins = [round(i * len(points) / count) for i in range(count)]
    sums = np.add.reduceat(points, bins, axis=0)
    sizes = np.diff([*bins, len(points)])
    return sums / sizes[:, None], bins


def _sharpest(knots: Points) -> int:
    """Find the knot where the edge turns most."""
    reach = max(2, len(knots) // 160)
    before, after = knots - np.roll(knots, reach, axis=0), np.roll(knots, -reach, axis=0) - knots
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    dot = (before * after).sum(axis=1)
    return int(np.abs(np.arctan2(turn, dot)).argmax())


def _cut(knots: Points, *, start: int, tolerance_mm: float) -> list[int]:
    """Find the cheapest cutting of a closed edge that begins at a knot."""
    count = len(knots)
    ring = np.roll(knots, -start, axis=0)
    ring = np.vstack((ring, ring[:1])) - knots.mean(axis=0)
    sums = _sums(ring)
    price = np.full(count + 1, np.inf)
    price[0] = 0.0
    back = np.zeros(count + 1, dtype=int)
    unit = (tolerance_mm / 2.0) ** 2
    for end in range(_LEAST_KNOTS, count + 1):
        begins = np.arange(0, end - _LEAST_KNOTS + 1)
        total = price[begins] + _price(sums, ring, begins, end, unit=unit)
        best = int(total.argmin())
        price[end], back[end] = total[best], best
    breaks, place = [], count
    while place > 0:
        place = int(back[place])
        breaks.append((place + start) % count)
    return breaks


def _sums(ring: Points) -> NDArray[np.float64]:
    """Sum powers up to every knot, so that any run is fitted in one step."""
    x, y = ring[:, 0], ring[:, 1]
    z = x * x + y * y
    columns = (np.ones_like(x), x, y, x * x, x * y, y * y, x * z, y * z, z * z)
    return np.vstack((np.zeros(9), np.cumsum(np.stack(columns, axis=1), axis=0)))


def _price(
    sums: NDArray[np.float64], ring: Points, begins: NDArray[np.int_], end: int, *, unit: float
) -> NDArray[np.float64]:
    """Give the price of one piece from each beginning to one end: the cheaper of line and arc.

    The knots at both ends are left out where there are enough: blur has rounded them.
    """
    lengths = end - begins
    trim = np.minimum(lengths // 4, 1)
    run = sums[end + 1 - trim] - sums[begins + trim]
    n = run[:, 0]
    mx, my = run[:, 1] / n, run[:, 2] / n
    sxx = run[:, 3] / n - mx * mx
    sxy = run[:, 4] / n - mx * my
    syy = run[:, 5] / n - my * my
    half = (sxx + syy) / 2.0
    apart = np.sqrt(((sxx - syy) / 2.0) ** 2 + sxy**2)
    line = np.maximum(half - apart, 0.0) * n / unit + LINE_PRICE
    chord = np.hypot(*(ring[end] - ring[begins]).T)
    misfit = _arc_misfit(run, means=(mx, my), scatter=(sxx, sxy, syy), chord=chord)
    return np.asarray(np.minimum(line, misfit * n / unit + ARC_PRICE))


def _arc_misfit(
    run: NDArray[np.float64],
    *,
    means: tuple[NDArray[np.float64], NDArray[np.float64]],
    scatter: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
    chord: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Give the mean square distance from the circle of least squares; infinite where it is none."""
    n = run[:, 0]
    (mx, my), (sxx, sxy, syy) = means, scatter
    mz = (run[:, 3] + run[:, 5]) / n
    # covariances of x and y with z = x^2 + y^2, and the variance of z
    sxz = run[:, 6] / n - mx * mz
    syz = run[:, 7] / n - my * mz
    szz = run[:, 8] / n - mz * mz
    det = sxx * syy - sxy * sxy
    safe = np.maximum(det, 1e-30)
    a = (sxz * syy - syz * sxy) / safe
    b = (syz * sxx - sxz * sxy) / safe
    misfit = np.maximum(szz - a * sxz - b * syz, 0.0)
    radius2 = (mz - a * mx - b * my) + (a * a + b * b) / 4.0
    good = (det > 1e-18) & (radius2 > 0.0)
    good &= radius2 < (LARGEST_RADIUS * np.maximum(chord, 1e-3)) ** 2
    return np.where(good & (n >= 5), misfit / (4.0 * np.maximum(radius2, 1e-12)), np.inf)
