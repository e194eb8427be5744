"""The small shapes drawings are put together from: segments, rectangles, arrowheads, crosses."""

import math

from lamphouse.drawings.drawing import Path, Pen

ARROW_MM = 2.5
"""Length of an arrowhead."""
_ARROW_HALF = math.tan(math.radians(15))
"""A closed, filled arrowhead of 30 degrees, one of those of [ISO129-1]."""


def segment(pen: Pen, *, start: tuple[float, float], end: tuple[float, float]) -> Path:
    """Draw a straight line."""
    return Path(pen=pen, corners=((*start, 0.0), (*end, 0.0)))


def rectangle(
    pen: Pen, *, left: float, bottom: float, right: float, top: float, filled: bool = False
) -> Path:
    """Draw an upright rectangle."""
    corners = ((left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0))
    return Path(pen=pen, corners=corners, closed=True, filled=filled)


def cross(pen: Pen, *, x_mm: float, y_mm: float, reach_mm: float) -> tuple[Path, Path]:
    """Draw a level and an upright line through a point."""
    return (
        segment(pen, start=(x_mm - reach_mm, y_mm), end=(x_mm + reach_mm, y_mm)),
        segment(pen, start=(x_mm, y_mm - reach_mm), end=(x_mm, y_mm + reach_mm)),
    )


def arrowhead(
    pen: Pen, *, tip: tuple[float, float], towards_deg: float, length_mm: float = ARROW_MM
) -> Path:
    """Draw a filled arrowhead that points somewhere, its tip on a point."""
    turn = math.radians(towards_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    half = length_mm * _ARROW_HALF
    corners = tuple(
        (tip[0] + along * cos - across * sin, tip[1] + along * sin + across * cos, 0.0)
        for along, across in ((0.0, 0.0), (-length_mm, half), (-length_mm, -half))
    )
    return Path(pen=pen, corners=corners, closed=True, filled=True)
