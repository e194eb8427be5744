"""The swing of a strand from straight back behind its hole, sideways, to straight back again.

Notes
-----
Seen from the side a run leaves its hole square to the panel, turns into the plane of the panel,
and turns back into the axis of its bundle: two arcs of one radius that turn opposite ways, with a
straight piece between them where the way is long enough for two quarter turns.
"""

from math import acos, pi, sin

from lamphouse.record import Record


class Swing(Record):
    """One swing."""

    length_mm: float
    radius_mm: float | None
    """Of its arcs; None where it needs none."""


def depth_needed_mm(across_mm: float, *, radius_mm: float) -> float:
    """Depth that a swing to a place so far aside takes at a radius. [mm]."""
    if across_mm >= 2.0 * radius_mm:
        return 2.0 * radius_mm
    return 2.0 * radius_mm * sin(acos(1.0 - across_mm / (2.0 * radius_mm)))


def swing(across_mm: float, *, depth_mm: float, radius_mm: float) -> Swing:
    """Swing over a distance within a depth, as gently as the wanted radius where there is room.

    Parameters
    ----------
    across_mm
        Along the way in the plane of the panel.
    depth_mm
        From where the strand may bend to where it must be straight again; not negative.
    radius_mm
        Wanted.

    Returns
    -------
    Swing
        With a smaller radius where the depth is short: the greatest that fits.
    """
    if across_mm <= 0.0:
        return Swing(length_mm=depth_mm, radius_mm=None)
    radius = radius_mm
    if depth_needed_mm(across_mm, radius_mm=radius) > depth_mm:
        radius = _fitting(across_mm, depth_mm=depth_mm)
    if across_mm >= 2.0 * radius:
        length = across_mm - 2.0 * radius + pi * radius + depth_mm - 2.0 * radius
        return Swing(length_mm=max(length, across_mm), radius_mm=radius)
    angle = acos(1.0 - across_mm / (2.0 * radius))
    length = 2.0 * radius * angle + depth_mm - 2.0 * radius * sin(angle)
    return Swing(length_mm=length, radius_mm=radius)


def _fitting(across_mm: float, *, depth_mm: float) -> float:
    """Greatest radius whose swing takes no more than a depth.

    Two arcs over ``p`` aside within ``d`` meet where ``d^2 = p (4 r - p)``; beyond quarter turns
    the depth is twice the radius.
    """
    if depth_mm >= across_mm:
        return (depth_mm**2 / across_mm + across_mm) / 4.0
    return depth_mm / 2.0
