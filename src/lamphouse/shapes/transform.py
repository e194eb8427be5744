"""Outlines moved, turned and mirrored."""

from math import cos, radians, sin

from lamphouse.shapes.outline import Corners, Spot, backwards


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


def mirror(corners: Corners, *, about_x_mm: float) -> Corners:
    """Mirror an outline left to right across an upright line; it keeps its direction.

    Its first corner stays the first.
    """
    turned_back = backwards(tuple((2.0 * about_x_mm - x, y, -bulge) for x, y, bulge in corners))
    return (turned_back[-1], *turned_back[:-1])
