"""Shortest ways between two spots, straight where nothing stands between, else round it."""

from collections.abc import Sequence
from functools import lru_cache

from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.roundabout import Roundabout

CLEAR_MM = 2.0
"""Kept between a wire and what it goes round [PRACTICE]."""


@lru_cache(maxsize=4096)
def detour(start: Spot, *, end: Spot, around: Sequence[Corners]) -> tuple[Spot, ...] | None:
    """Give the corners of the shortest way, both ends included.

    Parameters
    ----------
    around
        Sound outlines, in a tuple, that the way keeps ``CLEAR_MM`` from.

    Returns
    -------
    tuple of Spot or None
        None where no way leads there: an end lies in an obstacle or nearer to it than is kept, or
        obstacles close one of the ends in.

    Notes
    -----
    Round a corner the way follows chords that lie outside the arc it keeps clear by, which makes
    it up to 1 percent longer there.
    """
    if not around:
        return start, end
    ways = Roundabout(around, goal=end, radius_mm=CLEAR_MM, clear_mm=CLEAR_MM)
    return ways.way(start)
