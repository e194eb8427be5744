"""Outlines moved, turned and stretched; arcs stay arcs where the change allows it."""

from math import cos, radians, sin

from lamphouse.shapes.flatten import ERROR_MM, flatten
from lamphouse.shapes.outline import Corners, Spot, polygon


def move(corners: Corners, *, x_mm: float = 0.0, y_mm: float = 0.0) -> Corners:
    """Shift an outline."""
    return tuple((x + x_mm, y + y_mm, bulge) for x, y, bulge in corners)


def turn(corners: Corners, *, angle_deg: float, about: Spot = (0.0, 0.0)) -> Corners:
    """Turn an outline anticlockwise about a point."""
    cosine, sine = cos(radians(angle_deg)), sin(radians(angle_deg))
    across, up = about
    return tuple(
        (
            across + cosine * (x - across) - sine * (y - up),
            up + sine * (x - across) + cosine * (y - up),
            bulge,
        )
        for x, y, bulge in corners
    )


def stretch_x(corners: Corners, *, factor: float, error_mm: float = ERROR_MM) -> Corners:
    """Multiply every x by a factor.

    A stretched arc is no longer round, so an outline with arcs comes back as chords.

    Parameters
    ----------
    corners
        The outline.
    factor
        Above 0; 1 gives the outline back as it is.
    error_mm
        Greatest distance between an arc and its chords, before stretching.
    """
    if factor == 1.0:
        return corners
    if any(bulge for _, _, bulge in corners):
        corners = polygon(flatten(corners, error_mm=error_mm))
    return tuple((x * factor, y, bulge) for x, y, bulge in corners)
