"""Sheets of paper: their sizes, which way they lie, and where on them things go.

A page is a frame 10 mm inside the paper's edge, where every office printer still prints. Inside
it: the upright ruler in a strip on the left, the level ruler and the title block in a band along
the bottom, and the field for the drawing in what is left.
"""

from lamphouse.drawings.moves import Box
from lamphouse.record import Record

INCH_MM = 25.4
MARGIN_MM = 10.0
"""From the paper's edge to the frame; common practice, no source."""
STRIP_MM = 13.0
"""Width of the strip with the upright ruler."""
BAND_MM = 30.0
"""Height of the band with the level ruler and the title block."""
PAD_MM = 1.5
"""Left free around the field, so that a drawing never touches a ruler or the frame."""


def _iso_a(number: int) -> tuple[float, float]:
    """Halve A0 again and again, dropping half millimetres [ISO216]."""
    short, long = 841, 1189
    for _ in range(number):
        short, long = long // 2, short
    return float(short), float(long)


SIZES_MM: dict[str, tuple[float, float]] = {
    "A4": _iso_a(4),
    "A3": _iso_a(3),
    "Letter": (8.5 * INCH_MM, 11 * INCH_MM),
    "Legal": (8.5 * INCH_MM, 14 * INCH_MM),
}
"""Width and height of each paper, standing upright."""


class Paper(Record):
    """A sheet of paper as it lies in front of one."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def frame(self) -> Box:
        """The frame line."""
        return MARGIN_MM, MARGIN_MM, self.width_mm - MARGIN_MM, self.height_mm - MARGIN_MM

    @property
    def band(self) -> Box:
        """The band along the bottom."""
        left, bottom, right, _ = self.frame
        return left, bottom, right, bottom + BAND_MM

    @property
    def strip(self) -> Box:
        """The strip on the left, above the band."""
        left, bottom, _, top = self.frame
        return left, bottom + BAND_MM, left + STRIP_MM, top

    @property
    def field(self) -> Box:
        """Where a drawing may stand."""
        left, bottom, right, top = self.frame
        return (
            left + STRIP_MM + PAD_MM,
            bottom + BAND_MM + PAD_MM,
            right - PAD_MM,
            top - PAD_MM,
        )

    @property
    def room_mm(self) -> tuple[float, float]:
        """Width and height of the field."""
        left, bottom, right, top = self.field
        return right - left, top - bottom


def upright(name: str) -> Paper:
    """Give a paper standing upright.

    Raises
    ------
    KeyError
        If the paper is none of ``SIZES_MM``.
    """
    width, height = SIZES_MM[name]
    return Paper(name=name, width_mm=width, height_mm=height)


def lying(name: str) -> Paper:
    """Give a paper lying on its long side.

    Raises
    ------
    KeyError
        If the paper is none of ``SIZES_MM``.
    """
    width, height = SIZES_MM[name]
    return Paper(name=name, width_mm=height, height_mm=width)
