"""What each pen draws with: line type and width after ISO 128, and its ink.

Line widths are the steps of [ISO128] with wide to narrow at two to one: 0.35 mm for what is cut,
0.18 mm for fine holes and for
what only explains. Dashes and gaps are multiples of the line width: dot 0.5, gap 3,
dash 12, long dash 24. A pen is told by its line, never by its ink alone.
"""

from collections.abc import Mapping
from types import MappingProxyType

from lamphouse.drawings.drawing import Pen
from lamphouse.record import Record

_DOT, _GAP, _DASH, _LONG = 0.5, 3.0, 12.0, 24.0


class LineStyle(Record):
    """How a pen's line looks on paper."""

    width_mm: float
    dashes_mm: tuple[float, ...]
    """Lengths of line and gap in turn; empty for a continuous line."""
    ink: tuple[int, int, int]
    """Red, green and blue, 0 to 255; dark enough to print well without colour."""


def _style(width_mm: float, pattern: tuple[float, ...], ink: tuple[int, int, int]) -> LineStyle:
    dashes = tuple(round(part * width_mm, 4) for part in pattern)
    return LineStyle(width_mm=width_mm, dashes_mm=dashes, ink=ink)


_BLACK = (0, 0, 0)
_DASHED = (_DASH, _GAP)
_CHAIN = (_LONG, _GAP, _DOT, _GAP)
_DOUBLE_DOT_CHAIN = (_LONG, _GAP, _DOT, _GAP, _DOT, _GAP)

STYLES: Mapping[Pen, LineStyle] = MappingProxyType(
    {
        Pen.CUT: _style(0.35, (), _BLACK),
        Pen.DRILL: _style(0.18, (), (120, 0, 40)),
        Pen.SCORE: _style(0.25, _DOUBLE_DOT_CHAIN, (0, 80, 40)),
        Pen.MARK: _style(0.25, (), (0, 60, 120)),
        Pen.HIDDEN: _style(0.18, _DASHED, (70, 70, 70)),
        Pen.CENTRE: _style(0.18, _CHAIN, (70, 70, 70)),
        Pen.DATUM: _style(0.5, _CHAIN, _BLACK),
        Pen.SIZE: _style(0.18, (), _BLACK),
        Pen.TEXT: _style(0.18, (), _BLACK),
        Pen.FRAME: _style(0.25, (), _BLACK),
    }
)
"""The line of every pen."""

COLOURS: Mapping[str, tuple[int, int, int]] = MappingProxyType(
    {
        "black": (17, 17, 17),
        "brown": (122, 74, 33),
        "red": (196, 22, 28),
        "orange": (238, 127, 0),
        "yellow": (247, 212, 23),
        "green": (31, 138, 59),
        "blue": (29, 95, 176),
        "violet": (123, 63, 152),
        "grey": (140, 140, 140),
        "white": (255, 255, 255),
        "gold": (195, 154, 53),
        "silver": (194, 197, 201),
        "pink": (232, 154, 181),
    }
)
"""Inks for the colours of the bands on a resistor [IEC60062]; words always stand beside them."""

CUTTER: frozenset[Pen] = frozenset({Pen.CUT, Pen.DRILL, Pen.SCORE, Pen.MARK})
"""The pens whose lines are the piece itself: what a cutting machine is given."""
ALL: frozenset[Pen] = frozenset(Pen)
"""Every pen."""
