"""The circle around equal circles that lie as close as they can."""

import math
from functools import cache

_RATIOS = (
    *(1.0, 2.0, 2.1548, 2.4143, 2.7014, 3.0, 3.0, 3.3048, 3.6132, 3.8131),
    *(3.9239, 4.0297, 4.2361, 4.3285, 4.5214, 4.6155, 4.7921, 4.8638, 4.8638, 5.1224),
)
"""Diameter around 1 to 20 equal circles in circles of their own, rounded up [CIRCLE-PACKING]."""


@cache
def around(count: int) -> float:
    """Give the diameter around equal circles in diameters of one; an upper bound above 20.

    Examples
    --------
    >>> around(7), around(19) < around(37) == 7.0
    (3.0, True)
    """
    if count <= len(_RATIOS):
        return _RATIOS[count - 1]
    rings = math.isqrt(count) + 1
    steps = range(-rings, rings + 1)
    squares = sorted(along * along + along * up + up * up for along in steps for up in steps)
    return 1.0 + 2.0 * math.sqrt(squares[count - 1])
