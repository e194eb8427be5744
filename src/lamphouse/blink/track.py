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
from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

TICKS_PER_S = 240
FULL = 255
"""Steps of lightness from dark to full."""
_KAPPA = 24389.0 / 27.0
"""Slope of lightness in the dark, where it is a straight line [CIE-LAB]."""
_KNEE = 8.0
"""Lightness up to which that line holds [CIE-LAB]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """A loop of straight pieces in lightness. The last piece ends where the loop begins again.

    Nothing else is needed to play it: a program holds these same whole numbers.
    """

    first: int
    """Step of lightness at the beginning, 0 to 255."""
    ticks: tuple[int, ...]
    """Length of each piece; 0 for a jump. Their sum is at least 1."""
    ends: tuple[int, ...]
    """Step of lightness at the end of each piece, 0 to 255."""

    @property
    def length(self) -> int:
        """Ticks after which it begins again."""
        return sum(self.ticks)


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
    """Give a track's steps of lightness at times from its first beginning, looped.

    At a jump the value after it holds.

    Parameters
    ----------
    track
        What is played.
    ticks
        Times of any shape, whole ticks or parts of them.

    Returns
    -------
    ndarray
        Of the same shape, 0 to 255.
    """
    knots = np.array([0, *accumulate(track.ticks)], dtype=np.float64)
    values = np.array([track.first, *track.ends], dtype=np.float64)
    times = np.asarray(ticks, dtype=np.float64) % track.length
    after = np.searchsorted(knots, times, side="right")
    start, end = after - 1, np.minimum(after, len(knots) - 1)
    span = knots[end] - knots[start]
    share = np.where(span > 0.0, (times - knots[start]) / np.where(span > 0.0, span, 1.0), 0.0)
    return values[start] + share * (values[end] - values[start])


def mean_light(track: Track) -> float:
    """Give the mean light over a whole loop, in closed form piece by piece.

    Notes
    -----
    Above the knee light is the cube of a straight line, whose mean is a difference of fourth
    powers; below it is a straight line itself. A piece that crosses the knee is cut there.
    """
    ends = (track.first, *track.ends)
    total = sum(
        ticks * _mean_of_piece(start, end)
        for (start, end), ticks in zip(pairwise(ends), track.ticks, strict=True)
        if ticks
    )
    return total / track.length


def _mean_of_piece(start: float, end: float) -> float:
    """Integrate light over lightness from one end to the other, over their distance."""
    if start == end:
        return float(light_of(start))
    low, high = sorted(step * 100.0 / FULL for step in (start, end))
    knee = min(max(_KNEE, low), high)
    dark = (knee**2 - low**2) / (2.0 * _KAPPA)
    bright = 116.0 / 4.0 * (((high + 16.0) / 116.0) ** 4 - ((knee + 16.0) / 116.0) ** 4)
    return (dark + bright) / (high - low)


def joined(pieces: Sequence[tuple[int, int]], *, first: int) -> Track:
    """Make a track of pieces, each its ticks and the step it ends at, joining those in one line.

    Raises
    ------
    ValueError
        If it would last no tick, or a step lies outside 0 to 255.
    """
    merged: list[tuple[int, int]] = []
    before = first
    for ticks, end in pieces:
        level = merged[-1][1] if merged else before
        if ticks == 0 and end == level:
            continue
        if merged and merged[-1][1] == end == _start(merged, first):
            merged[-1] = (merged[-1][0] + ticks, end)
        else:
            merged.append((ticks, end))
    if sum(ticks for ticks, _ in merged) < 1:
        message = "a track lasts at least one tick"
        raise ValueError(message)
    if any(not 0 <= step <= FULL for step in (first, *(end for _, end in merged))):
        message = f"steps of lightness lie between 0 and {FULL}"
        raise ValueError(message)
    return Track(
        first=first,
        ticks=tuple(ticks for ticks, _ in merged),
        ends=tuple(end for _, end in merged),
    )


def _start(merged: Sequence[tuple[int, int]], first: int) -> int:
    """Give the step at which the last piece starts."""
    return merged[-2][1] if len(merged) > 1 else first
