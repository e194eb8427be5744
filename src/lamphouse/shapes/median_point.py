"""The weighted geometric median: the point from which straight ways to given spots are shortest."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from lamphouse.shapes.outline import Spot

_MOST_STEPS = 1000
_STILL_MM = 1e-7
"""Steps end when the point moves less."""


def median_point(spots: Sequence[Spot], *, weights: Sequence[float]) -> Spot:
    """Give the point with the least sum of weighted straight distances to spots.

    Of several such points, as between two equal weights, it gives one.

    Parameters
    ----------
    spots
        At least one. [mm]
    weights
        One for each spot, above 0.

    Returns
    -------
    tuple of float
        The same to the last bit for the spots in any order. [mm]

    Raises
    ------
    ValueError
        If there is no spot, or spots and weights are not as many.

    References
    ----------
    [WEISZFELD]
    """
    if not spots:
        empty = "no spots have no median"
        raise ValueError(empty)
    pull: defaultdict[complex, float] = defaultdict(float)
    for (x, y), weight in sorted(zip(spots, weights, strict=True)):
        pull[complex(x, y)] += weight
    for spot, own in pull.items():
        if abs(_tug(spot, pull)) <= own:
            return spot.real, spot.imag
    at = sum(weight * spot for spot, weight in pull.items()) / sum(pull.values())
    for _ in range(_MOST_STEPS):
        step = _bold_step(at, pull) or _step(at, pull)
        at += step
        if abs(step) < _STILL_MM:
            break
    return at.real, at.imag


def _tug(at: complex, pull: Mapping[complex, float]) -> complex:
    """Sum up how the spots pull at a point, each with its weight; one on the point does not."""
    return sum((w * (spot - at) / abs(spot - at) for spot, w in pull.items() if spot != at), 0j)


def _cost(at: complex, pull: Mapping[complex, float]) -> float:
    return sum(w * abs(spot - at) for spot, w in pull.items())


def _bold_step(at: complex, pull: Mapping[complex, float]) -> complex:
    """Give the step of Newton's method where it makes the ways shorter; else none.

    Beside a spot, where steps by weights get short slowly, it still goes all the way.
    """
    along = across = mixed = 0.0
    for spot, weight in pull.items():
        if spot == at:
            return 0j
        way = spot - at
        stiff = weight / abs(way) ** 3
        along += stiff * way.imag**2
        across += stiff * way.real**2
        mixed -= stiff * way.real * way.imag
    tug, sure = _tug(at, pull), along * across - mixed * mixed
    if sure <= 0.0:
        return 0j
    step = complex(
        (across * tug.real - mixed * tug.imag) / sure, (along * tug.imag - mixed * tug.real) / sure
    )
    return step if _cost(at + step, pull) < _cost(at, pull) else 0j


def _step(at: complex, pull: Mapping[complex, float]) -> complex:
    """Give the next step; on a spot, what its own weight does not hold back."""
    tug = _tug(at, pull)
    held = max(0.0, 1.0 - pull.get(at, 0.0) / abs(tug)) if tug else 0.0
    return held * tug / sum(w / abs(spot - at) for spot, w in pull.items() if spot != at)
