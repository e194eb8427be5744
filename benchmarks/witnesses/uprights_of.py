"""Walls and baffles of a box as both renderers need them, straight from the record."""

from lamphouse.light.scene import Box, Spot
from lamphouse.record import Record
from witnesses.sighting import HAIR_MM


class Upright(Record):
    """An upright rectangle, painted on both sides."""

    start_mm: Spot
    end_mm: Spot
    low_mm: float
    high_mm: float
    reflectance: float


def uprights(box: Box) -> list[Upright]:
    """List walls, ring by ring in the order of their paints, then baffles.

    What reaches the panel is drawn up to where the renderers have it.
    """
    panel = box.depth_mm + HAIR_MM
    feet = [
        pair
        for ring in (box.outline, *box.holes)
        for pair in zip(ring, (*ring[1:], ring[0]), strict=True)
    ]
    paints = box.wall_reflectances
    paints = paints * len(feet) if len(paints) == 1 else paints
    walls = [
        Upright(start_mm=start, end_mm=end, low_mm=0.0, high_mm=panel, reflectance=paint)
        for (start, end), paint in zip(feet, paints, strict=True)
    ]
    baffles = [
        Upright(
            start_mm=one.start_mm,
            end_mm=one.end_mm,
            low_mm=one.low_mm,
            high_mm=panel if one.high_mm >= box.depth_mm else one.high_mm,
            reflectance=one.reflectance,
        )
        for one in box.baffles
    ]
    return walls + baffles


def around(box: Box) -> tuple[float, float, float, float]:
    """Give a rectangle 1 mm wider than the outline: left, bottom, right, top. [mm]."""
    x, y = zip(*box.outline, strict=True)
    return min(x) - 1.0, min(y) - 1.0, max(x) + 1.0, max(y) + 1.0
