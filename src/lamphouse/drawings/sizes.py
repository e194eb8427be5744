"""Dimension lines after [ISO129-1]: extension lines, arrowheads, and the size above the line."""

from collections.abc import Iterator

from lamphouse.drawings.drawing import Anchor, Item, Pen, Text
from lamphouse.drawings.figures import ARROW_MM, arrowhead, segment
from lamphouse.drawings.lettering import width_mm
from lamphouse.drawings.moves import moved, turned
from lamphouse.shapes.outline import Spot

HEIGHT_MM = 2.2
"""Capitals of a size."""
AWAY_MM = 5.5
"""From the measured edge to its dimension line."""
_GAP_MM = 1.0
"""Between the edge and its extension line."""
_BEYOND_MM = 1.0
"""What an extension line goes past the dimension line."""
_ABOVE_MM = 0.8
"""From the dimension line to the figures above it."""
_STUB_MM = 3.0
"""Line behind an arrowhead that stands outside because there is no room inside."""


def size_text(length_mm: float) -> str:
    """Write a length with at most two decimals."""
    return f"{length_mm:.2f}".rstrip("0").rstrip(".")


def level(
    start: Spot, *, length_mm: float, drawn: float = 1.0, below: bool = False
) -> Iterator[Item]:
    """Dimension a level edge above or below it, from its left end.

    Parameters
    ----------
    start
        Left end of the edge on the drawing.
    length_mm
        Its true length, which is written.
    drawn
        Drawn size over true size.
    below
        Whether the dimension stands below the edge.
    """
    away = -AWAY_MM if below else AWAY_MM
    for item in _dimension(length_mm, drawn=drawn, side=-1 if below else 1):
        yield moved(item, right_mm=start[0], up_mm=start[1] + away)


def upright(
    start: Spot, *, length_mm: float, drawn: float = 1.0, left: bool = False
) -> Iterator[Item]:
    """Dimension an upright edge on its right or left, from its lower end; read from the right."""
    away = -AWAY_MM if left else AWAY_MM
    for item in _dimension(length_mm, drawn=drawn, side=1 if left else -1):
        standing = turned(item, turn_deg=90)
        yield moved(standing, right_mm=start[0] + away, up_mm=start[1])


def _dimension(true_mm: float, *, drawn: float, side: int) -> Iterator[Item]:
    """Draw a dimension line from the origin to the right.

    The edge lies below it at ``side`` 1; at -1 it lies above, where turning by a quarter brings it
    to the left.
    """
    length = true_mm * drawn
    for end in (0.0, length):
        yield segment(
            Pen.SIZE,
            start=(end, side * (_GAP_MM - AWAY_MM)),
            end=(end, side * _BEYOND_MM),
        )
    words = size_text(true_mm)
    long = width_mm(words, height_mm=HEIGHT_MM)
    inside = length >= 2 * ARROW_MM + 1
    reach = 0.0 if inside else ARROW_MM + _STUB_MM
    at_middle = long <= length - 1
    last = length + reach + (0.0 if at_middle or inside else long)
    yield segment(Pen.SIZE, start=(-reach, 0.0), end=(last, 0.0))
    yield arrowhead(Pen.SIZE, tip=(0.0, 0.0), towards_deg=180 if inside else 0)
    yield arrowhead(Pen.SIZE, tip=(length, 0.0), towards_deg=0 if inside else 180)
    yield Text(
        x_mm=length / 2 if at_middle else length + ARROW_MM + 0.5,
        y_mm=_ABOVE_MM,
        words=words,
        height_mm=HEIGHT_MM,
        pen=Pen.SIZE,
        anchor=Anchor.MIDDLE if at_middle else Anchor.START,
    )
