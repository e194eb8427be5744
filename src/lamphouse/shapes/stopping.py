"""Where a straight way runs into a ring and out of it again."""

from collections.abc import Sequence
from math import dist

from lamphouse.shapes.outline import Spot

LEAST_MM = 1e-6
"""A way that is in a ring for less only touches it."""


def crossings_mm(start: Spot, *, end: Spot, ring: Sequence[Spot]) -> list[float]:
    """List where the line from one place to another crosses a ring, as along the line. [mm].

    Negative behind its start; in the order of the ring. One that only touches may be left out.
    """
    length = dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    met = []
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        off_a = (ay - start[1]) * ux - (ax - start[0]) * uy
        off_b = (by - start[1]) * ux - (bx - start[0]) * uy
        if (off_a > 0.0) != (off_b > 0.0):
            share = off_a / (off_a - off_b)
            x, y = ax + share * (bx - ax), ay + share * (by - ay)
            met.append((x - start[0]) * ux + (y - start[1]) * uy)
    return met


def through(start: Spot, *, end: Spot, ring: Sequence[Spot]) -> tuple[float, float] | None:
    """Give where the line from one place to another meets a ring first and last.

    Parameters
    ----------
    start, end
        Two different places; the line goes on beyond both.
    ring
        Corners of a closed polygon.

    Returns
    -------
    tuple of float or None
        Along the line from its start, less than 0 behind it. [mm]. None where it meets no ring, or
        only touches it.

    Examples
    --------
    >>> through((0.0, 1.0), end=(5.0, 1.0), ring=((2.0, 0.0), (4.0, 0.0), (4.0, 3.0), (2.0, 3.0)))
    (2.0, 4.0)
    """
    met = crossings_mm(start, end=end, ring=ring)
    if not met or max(met) - min(met) < LEAST_MM:
        return None
    return min(met), max(met)


def reached(start: Spot, *, end: Spot, run_mm: float) -> Spot:
    """Give the place so far along the line from one place to another. [mm]."""
    share = run_mm / dist(start, end)
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def stopped_mm(start: Spot, *, end: Spot, ring: Sequence[Spot], within_mm: float) -> float | None:
    """Give how far a way from one place to another goes until it ends at a ring.

    Parameters
    ----------
    start, end
        Two different places, the first outside the ring.
    ring
        Corners of a closed polygon.
    within_mm
        A way that ends no farther short of the ring is meant to meet it.

    Returns
    -------
    float or None
        From the start to the ring. [mm]. None where the way does not end in the ring or before it:
        it misses the ring, stops well short of it, or comes out of it again.
    """
    met = through(start, end=end, ring=ring)
    if met is None or met[0] <= 0.0:
        return None
    length = dist(start, end)
    return met[0] if met[0] - within_mm <= length < met[1] - LEAST_MM else None
