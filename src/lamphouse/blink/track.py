"""A track: what one source group does over time, in whole ticks and whole steps of lightness.

Terminology
-----------
tick
    1/240 s, the length of a frame of pulse-width modulation: light is set once a tick.
step of lightness
    1/255 of the way from dark to the LED's full light, even to the eye: CIE 1976 lightness
    [CIE-LAB], on which a fade is a straight line.
light
    Luminance relative to the LED's full light, which is the share of time it is on.
knot
    Where a straight piece of a track ends.
"""

from collections.abc import Sequence
from itertools import accumulate

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lamphouse.record import Record

TICKS_PER_S = 240
FULL = 255
"""Steps of lightness from dark to full."""
_KAPPA = 24389.0 / 27.0
"""Slope of lightness in the dark, where it is a straight line [CIE-LAB]."""
_KNEE = 8.0
"""Lightness up to which that line holds [CIE-LAB]."""


class Track(Record):
    """Straight pieces in lightness, then a loop: after the last piece comes piece ``loop_to``.

    Nothing else is needed to play it: a program holds these same whole numbers.
    """

    first: int
    """Step of lightness at the beginning, 0 to 255."""
    ticks: tuple[int, ...]
    """Length of each piece; 0 for a jump. Their sum is at least 1."""
    ends: tuple[int, ...]
    """Step of lightness at the end of each piece, 0 to 255."""
    loop_to: int = 0
    """Piece that follows the last one, from where it starts; the pieces before it play once."""

    @property
    def lead_in(self) -> int:
        """Ticks before the loop."""
        return sum(self.ticks[: self.loop_to])

    @property
    def length(self) -> int:
        """Ticks of the loop."""
        return sum(self.ticks[self.loop_to :])


def light_of(steps: ArrayLike) -> NDArray[np.float64]:
    """Give the light of steps of lightness, by the inverse of CIE 1976 lightness [CIE-LAB].

    Parameters
    ----------
    steps
        Of any shape, 0 to 255, whole or not.

    Returns
    -------
    ndarray
        Light of the same shape, 0 to 1.
    """
    lightness = np.asarray(steps, dtype=np.float64) * (100.0 / FULL)
    bright = ((lightness + 16.0) / 116.0) ** 3
    return np.where(lightness > _KNEE, bright, lightness / _KAPPA)


def steps_of(light: ArrayLike) -> NDArray[np.float64]:
    """Give the steps of lightness of light, the other way round [CIE-LAB]."""
    share = np.asarray(light, dtype=np.float64)
    bright = 116.0 * np.cbrt(share) - 16.0
    return np.where(share > _KNEE / _KAPPA, bright, share * _KAPPA) * (FULL / 100.0)


def steps_at(track: Track, ticks: ArrayLike) -> NDArray[np.float64]:
    """Give a track's steps of lightness at times from its beginning.

    At a jump the value after it holds.

    Parameters
    ----------
    track
        What is played.
    ticks
        Times of any shape from 0, whole ticks or parts of them.

    Returns
    -------
    ndarray
        Of the same shape, 0 to 255.
    """
    knots = np.array([0, *accumulate(track.ticks)], dtype=np.float64)
    values = np.array([track.first, *track.ends], dtype=np.float64)
    times = np.asarray(ticks, dtype=np.float64)
    lead = track.lead_in
    times = np.where(times < lead, times, lead + (times - lead) % track.length)
    after = np.searchsorted(knots, times, side="right")
    start, end = after - 1, np.minimum(after, len(knots) - 1)
    span = knots[end] - knots[start]
    share = np.where(span > 0.0, (times - knots[start]) / np.where(span > 0.0, span, 1.0), 0.0)
    return values[start] + share * (values[end] - values[start])


def mean_light(track: Track) -> float:
    """Give the mean light over the loop, in closed form piece by piece.

    Notes
    -----
    Above the knee light is the cube of a straight line, whose mean is a difference of fourth
    powers; below it is a straight line itself. A piece that crosses the knee is cut there.
    """
    steps = np.array((track.first, *track.ends), dtype=np.float64)[track.loop_to :]
    ticks = np.array(track.ticks[track.loop_to :])
    return float(ticks @ _mean_of_pieces(steps[:-1], steps[1:]) / ticks.sum())


def _mean_of_pieces(starts: NDArray[np.float64], ends: NDArray[np.float64]) -> NDArray[np.float64]:
    low, high = (pick(starts, ends) * (100.0 / FULL) for pick in (np.minimum, np.maximum))
    knee = np.clip(_KNEE, low, high)
    dark = (knee**2 - low**2) / (2.0 * _KAPPA)
    bright = 116.0 / 4.0 * (((high + 16.0) / 116.0) ** 4 - ((knee + 16.0) / 116.0) ** 4)
    level = high == low
    return np.where(level, light_of(starts), (dark + bright) / np.where(level, 1.0, high - low))


def joined(
    pieces: Sequence[tuple[int, int]], *, first: int, lead: Sequence[tuple[int, int]] = ()
) -> Track:
    """Make a track of pieces, each its ticks and the step it ends at; what stays level is joined.

    Parameters
    ----------
    pieces
        Of the loop.
    first
        Step at the beginning of all.
    lead
        Pieces that play once, before the loop.

    Raises
    ------
    ValueError
        If the loop would last no tick, or a step lies outside 0 to 255.
    """
    if sum(ticks for ticks, _ in pieces) < 1:
        message = "a track lasts at least one tick"
        raise ValueError(message)
    if any(not 0 <= step <= FULL for step in (first, *(end for _, end in (*lead, *pieces)))):
        message = f"steps of lightness lie between 0 and {FULL}"
        raise ValueError(message)
    before = _level_joined(lead, first=first)
    loop = _level_joined(pieces, first=before[-1][1] if before else first)
    return Track(
        first=first,
        ticks=tuple(ticks for ticks, _ in (*before, *loop)),
        ends=tuple(end for _, end in (*before, *loop)),
        loop_to=len(before),
    )


def _level_joined(pieces: Sequence[tuple[int, int]], *, first: int) -> list[tuple[int, int]]:
    """Leave out pieces that are nothing, and join those that stay level."""
    merged: list[tuple[int, int]] = []
    starts = first
    for ticks, end in pieces:
        level = merged[-1][1] if merged else first
        if ticks == 0 and end == level:
            continue
        if merged and starts == level == end:
            merged[-1] = (merged[-1][0] + ticks, end)
        else:
            starts = level
            merged.append((ticks, end))
    return merged
