"""Outlines moved and turned."""

from math import cos, radians, sin

from lamphouse.shapes.outline import Corners, Spot


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
