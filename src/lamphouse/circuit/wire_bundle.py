"""How thick a bundle of wires is, and the hole a plug goes through."""

import math
from functools import cache

SNUG = 1.05
"""Share by which a hole is wider than what goes through it [PRACTICE]."""
_RATIOS = (
    *(1.0, 2.0, 2.1548, 2.4143, 2.7014, 3.0, 3.0, 3.3048, 3.6132, 3.8131),
    *(3.9239, 4.0297, 4.2361, 4.3285, 4.5214, 4.6155, 4.7921, 4.8638, 4.8638, 5.1224),
)
"""Diameter around 1 to 20 equal circles in circles of their own, rounded up [CIRCLE-PACKING]."""


def bundle_mm(wires_mm: tuple[float, ...]) -> float:
    """Bound the diameter of a bundle of round wires.

    Parameters
    ----------
    wires_mm
        Diameter of each over its insulation. [mm]

    Returns
    -------
    float
        Never too small. Thin wires count as thick as the thickest, so that a mixed bundle comes
        out too large. [mm]

    References
    ----------
    [CIRCLE-PACKING]; above 20, wires stacked as in a honeycomb around one of them.
    """
    return max(wires_mm) * around(len(wires_mm)) if wires_mm else 0.0


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


def plug_mm(body_mm: tuple[float, float, float]) -> float:
    """Give the diameter of the round hole that a plug's body goes through end first. [mm]."""
    first, second, _ = sorted(body_mm)
    return math.hypot(first, second)


def hole_mm(plugs_mm: tuple[float, ...], *, wires_mm: tuple[tuple[float, ...], ...]) -> float:
    """Bound the diameter of a hole through which plugs go one after the other, wires staying.

    Parameters
    ----------
    plugs_mm
        What :func:`plug_mm` gives for each plug. [mm]
    wires_mm
        The wires behind each plug. [mm]

    Returns
    -------
    float
        Wide enough for any plug as the last one, ``SNUG`` included. [mm]
    """
    widest = 0.0
    for last, plug in enumerate(plugs_mm):
        others = tuple(w for each, wires in enumerate(wires_mm) if each != last for w in wires)
        widest = max(widest, plug + bundle_mm(others))
    return SNUG * max(widest, bundle_mm(tuple(w for wires in wires_mm for w in wires)))
