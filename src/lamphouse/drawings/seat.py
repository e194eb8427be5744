"""An LED's seat: the outline of its package, which end is plus, and which way it leans."""

import math

from lamphouse.cutting.piece import SeatMark
from lamphouse.drawings.drawing import Path, Pen
from lamphouse.drawings.figures import arrowhead, cross, segment
from lamphouse.record import replace

_PLUS_MM = 0.5
"""Half the size of the plus sign."""
_PLUS_GAP_MM = 0.8
_ARROW_MM = 3.2
"""What the arrow of a tilted LED reaches past the middle of its seat, beyond its package."""
_HEAD_MM = 1.6


def seat(mark: SeatMark) -> tuple[Path, ...]:
    """Draw the package, a bar across its plus end, and a plus sign beside that end.

    The bar and the sign say the same, so that either may be lost under glue. Of a tilted LED the
    foot of its wedge stands for the package, and an arrow points where its beam leans.
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
    flat = replace(mark, on_wedge=False)
    ((x, y, _),) = _turned(flat, ((-half_length - 0.1, half_width + _PLUS_GAP_MM + _PLUS_MM),))
    return (
        Path(pen=Pen.MARK, corners=package, closed=True),
        Path(pen=Pen.MARK, corners=bar, closed=True, filled=True),
        *cross(Pen.MARK, x_mm=x, y_mm=y, reach_mm=_PLUS_MM),
        *_arrow(mark),
    )


def _arrow(mark: SeatMark) -> tuple[Path, ...]:
    """Point from the middle of the seat where the beam of a tilted LED leans."""
    if not mark.tilt_deg:
        return ()
    way = math.radians(mark.towards_deg)
    off = math.radians(mark.turn_deg - mark.towards_deg)
    half = abs(mark.length_mm * math.cos(off)) + abs(mark.width_mm * math.sin(off))
    reach = half / 2.0 + _ARROW_MM
    tip = mark.x_mm + reach * math.cos(way), mark.y_mm + reach * math.sin(way)
    return (
        segment(Pen.MARK, start=(mark.x_mm, mark.y_mm), end=tip),
        arrowhead(Pen.MARK, tip=tip, towards_deg=mark.towards_deg, length_mm=_HEAD_MM),
    )


def _leaned(mark: SeatMark, x_mm: float, y_mm: float) -> tuple[float, float]:
    """Shorten what lies on a wedge along the way it leans, as it is seen from above."""
    if not mark.on_wedge:
        return x_mm, y_mm
    way = math.radians(mark.towards_deg)
    along = x_mm * math.cos(way) + y_mm * math.sin(way)
    less = along * (1.0 - math.cos(math.radians(mark.tilt_deg)))
    return x_mm - less * math.cos(way), y_mm - less * math.sin(way)


def _turned(
    mark: SeatMark, points: tuple[tuple[float, float], ...]
) -> tuple[tuple[float, float, float], ...]:
    turn = math.radians(mark.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    leaned = (_leaned(mark, x * cos - y * sin, x * sin + y * cos) for x, y in points)
    return tuple((mark.x_mm + x, mark.y_mm + y, 0.0) for x, y in leaned)
