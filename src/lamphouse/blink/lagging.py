"""How an old lamp's filament follows what it is told, and how its curve is made straight pieces.

The filament's light follows with one time constant. That is a first-order model: true filaments
cool more slowly the darker they get.
"""

from math import exp

import numpy as np
from numpy.typing import NDArray

from lamphouse.blink.beats import Shape
from lamphouse.blink.track import TICKS_PER_S, Track, joined, light_of, steps_at, steps_of

STRAY = 0.75
"""Steps of lightness by which a straight piece may miss the curve it stands for."""


def lagging(track: Track, *, lag_s: float) -> Track:
    """Let a lamp follow a track with a time constant.

    Parameters
    ----------
    track
        What it is told.
    lag_s
        Time after which it has gone all but 1/e of the way. [s]

    Returns
    -------
    Track
        Within a step of lightness of the lamp's curve; the same track without a lag. The loop is
        the one it settles into.
    """
    if lag_s <= 0.0:
        return track
    keep = exp(-1.0 / (lag_s * TICKS_PER_S))
    lead, length = track.lead_in, track.length
    told = light_of(steps_at(track, np.arange(lead + length)))
    settled = _settled(told[lead:], keep=keep)
    loop = steps_of(settled)
    start = loop[-1] if not lead else float(steps_at(track, 0))
    leading = steps_of(_followed(told[:lead], keep=keep, start=float(light_of(start))))
    first = round(float(start))
    lead_in = straightened(leading, first=first)
    joint = lead_in[-1][1] if lead_in else first
    return joined(straightened(loop, first=joint), first=first, lead=lead_in)


def _followed(told: NDArray[np.float64], *, keep: float, start: float) -> NDArray[np.float64]:
    """Follow light with a first-order lag from a start."""
    light, out = start, np.zeros(len(told))
    for index, target in enumerate(told):
        light = target + (light - target) * keep
        out[index] = light
    return out


def _settled(told: NDArray[np.float64], *, keep: float) -> NDArray[np.float64]:
    """Give the loop that following a loop settles into: it starts where it ends."""
    from_dark = _followed(told, keep=keep, start=0.0)
    start = from_dark[-1] / (1.0 - keep ** len(told))
    fading: NDArray[np.float64] = start * keep ** np.arange(1, len(told) + 1)
    return from_dark + fading


def straightened(steps: NDArray[np.float64], *, first: int) -> Shape:
    """Make a curve straight pieces, each as long as it stays near enough.

    Parameters
    ----------
    steps
        Steps of lightness at the end of each tick.
    first
        Step before the first tick.

    Returns
    -------
    list of tuple
        Pieces, each its ticks and the step it ends at; the last ends at the curve's last step.

    Notes
    -----
    From each knot the slopes that miss no point by more than ``STRAY`` form a cone, which narrows
    from tick to tick; the piece ends at the last tick whose whole step lies within it.
    """
    pieces: Shape = []
    at, level = 0, float(first)
    while at < len(steps):
        low, high = -np.inf, np.inf
        chosen = (1, round(float(steps[at])))
        for ticks in range(1, len(steps) - at + 1):
            value = float(steps[at + ticks - 1])
            low = max(low, (value - STRAY - level) / ticks)
            high = min(high, (value + STRAY - level) / ticks)
            if low > high:
                break
            end = round(value)
            if low <= (end - level) / ticks <= high:
                chosen = (ticks, end)
        pieces.append(chosen)
        at, level = at + chosen[0], float(chosen[1])
    return pieces
