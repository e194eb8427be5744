"""A drawing: paths, circles and text in mm on named layers, knowing no file format.

Terminology
-----------
drawing
    Items in mm; x to the right, y up, like the panel plane.
pen
    What a line means: cut, drill, mark and so on. Each pen has its line type and width from
    ISO 128; a file format chooses how to show it.
page
    A sheet of paper with its frame, rulers and title block; itself a drawing with a size.
"""

from enum import StrEnum

from lamphouse.record import Record


class Pen(StrEnum):
    """What a line or a text means."""

    CUT = "cut"
    """Cut through here."""
    DRILL = "drill"
    """A round hole to drill."""
    SCORE = "score"
    """Score or fold, do not cut through."""
    MARK = "mark"
    """Mark only: seats, names, glue places."""
    HIDDEN = "hidden"
    """An edge behind the face."""
    CENTRE = "centre"
    """Centre lines and crosses."""
    DATUM = "datum"
    """The edge all sizes are measured from."""
    SIZE = "size"
    """Dimension lines and their text."""
    TEXT = "text"
    """Names and notes."""
    FRAME = "frame"
    """Page frame, rulers, registration marks."""


class Anchor(StrEnum):
    """Which point of a text stands at its place (on the baseline)."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


class Path(Record):
    """A line of straight and round pieces."""

    pen: Pen
    corners: tuple[tuple[float, float, float], ...]
    """``(x_mm, y_mm, bulge)`` as in :class:`lamphouse.design.panel.Outline`."""
    closed: bool = False
    filled: bool = False
    colour: str = ""
    """What it is filled with, a key of ``pens.COLOURS``, where the thing drawn is coloured, with
    the pen's line around it; empty for the pen's ink."""


class Circle(Record):
    """A full circle."""

    pen: Pen
    x_mm: float
    y_mm: float
    diameter_mm: float
    filled: bool = False


class Text(Record):
    """One line of text."""

    x_mm: float
    y_mm: float
    words: str
    height_mm: float
    """Height of capitals."""
    pen: Pen = Pen.TEXT
    anchor: Anchor = Anchor.START
    turn_deg: float = 0.0
    bold: bool = False


Item = Path | Circle | Text


class Drawing(Record):
    """Items in mm with the box they lie in."""

    name: str
    """For file names and headings; unique in a pack."""
    left_mm: float
    bottom_mm: float
    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
