"""An LED's seat: the outline of its package, and which end is plus."""

import math

from lamphouse.cutting.piece import SeatMark
from lamphouse.drawings.drawing import Path, Pen
from lamphouse.drawings.figures import cross

_PLUS_MM = 0.5
"""Half the size of the plus sign."""
_PLUS_GAP_MM = 0.8


def seat(mark: SeatMark) -> tuple[Path, ...]:
    """Draw the package, a bar across its plus end, and a plus sign beside that end.

    The bar and the sign say the same, so that either may be lost under glue.
    """
    half_length, half_width = mark.length_mm / 2, mark.width_mm / 2
    package = _turned(
        mark,
        (
            (-half_length, -half_width),
            (half_length, -half_width),
            (half_length, half_width),
            (-half_length, half_width),
        ),
    )
    bar = _turned(
        mark,
        (
            (-half_length, -half_width),
            (-half_length / 2, -half_width),
            (-half_length / 2, half_width),
            (-half_length, half_width),
        ),
    )
    ((x, y, _),) = _turned(mark, ((-half_length - 0.1, half_width + _PLUS_GAP_MM + _PLUS_MM),))
    return (
        Path(pen=Pen.MARK, corners=package, closed=True),
        Path(pen=Pen.MARK, corners=bar, closed=True, filled=True),
        *cross(Pen.MARK, x_mm=x, y_mm=y, reach_mm=_PLUS_MM),
    )


def _turned(
    mark: SeatMark, points: tuple[tuple[float, float], ...]
) -> tuple[tuple[float, float, float], ...]:
    turn = math.radians(mark.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    return tuple(
        (mark.x_mm + x * cos - y * sin, mark.y_mm + x * sin + y * cos, 0.0) for x, y in points
    )
