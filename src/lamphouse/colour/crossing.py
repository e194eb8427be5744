"""Where a function of one number passes through zero; no library is loaded for it.

The root finder of the numerical library takes longer to load than a whole check of a project.
"""

from collections.abc import Callable
from sys import float_info

_MOST_ROUNDS = 300
_FEW = 3
"""Rounds in which the bracket must have shrunk to half, or it is halved."""


def crossing(
    function: Callable[[float], float], low: float, high: float, *, within: float
) -> float:
    """Find where a function passes through zero, by false position, halving where that is slow.

    Parameters
    ----------
    function
        Of opposite sign at both ends, or zero at one.
    low, high
        The ends.
    within
        How close the two numbers around it must come.

    Raises
    ------
    ValueError
        If the function has the same sign at both ends.
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0.0 or at_high == 0.0:
        return low if at_low == 0.0 else high
    if (at_low > 0.0) == (at_high > 0.0):
        problem = f"no change of sign from {low:g} to {high:g}"
        raise ValueError(problem)
    size, side = high - low, 0
    for rounds in range(1, _MOST_ROUNDS + 1):
        if high - low <= max(within, 4.0 * float_info.epsilon * max(abs(low), abs(high))):
            break
        if rounds % _FEW == 0 and high - low > size / 2.0:
            middle = (low + high) / 2.0
        else:
            middle = high - at_high * (high - low) / (at_high - at_low)
        if rounds % _FEW == 0:
            size = high - low
        middle = min(max(middle, low), high)
        here = function(middle)
        if here == 0.0:
            return middle
        if (here > 0.0) == (at_high > 0.0):
            at_low = at_low / 2.0 if side > 0 else at_low
            high, at_high, side = middle, here, 1
        else:
            at_high = at_high / 2.0 if side < 0 else at_high
            low, at_low, side = middle, here, -1
    return low if abs(at_low) < abs(at_high) else high
