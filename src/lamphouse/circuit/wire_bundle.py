"""How thick a bundle of wires is, and the hole a plug goes through."""

import math

from lamphouse.shapes.circles_around import around

SNUG = 1.05
"""Share by which a hole is wider than what goes through it [PRACTICE]."""


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
