"""A resistor as it lies on the bench: the bands of an axial body, or the code on a chip."""

from collections.abc import Iterator

from lamphouse.circuit.branch import StringDesign
from lamphouse.drawings.drawing import Anchor, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle, segment

BODY_MM = 12.0
"""Length of an axial body as drawn."""
_AXIAL_HIGH_MM = 3.2
_LEAD_MM = 2.5
_BAND_MM = 1.1
_FIRST_BAND_MM = 1.3
"""From the end of the body to its first band."""
_NEXT_BAND_MM = 1.9
"""From one band to the next."""
_CHIP_MM = (10.0, 4.0)
_CAP_MM = 1.1
"""Length of a chip's metal ends."""
_CODE_MM = 1.9


def resistor_body(string: StringDesign) -> tuple[Item, ...]:
    """Draw a string's resistor about the origin, larger than life; nothing if it bears no mark.

    Bands stand in the order in which they are read, the last apart from the others, each in its
    own colour within a line, so that their places tell without colour too.

    References
    ----------
    [IEC60062] for the order; the wider gap before the last band.
    """
    if string.resistor_colour_bands:
        return tuple(_axial(string.resistor_colour_bands))
    return tuple(_chip(string.resistor_code)) if string.resistor_code else ()


def _axial(bands: tuple[str, ...]) -> Iterator[Item]:
    end, half = BODY_MM / 2, _AXIAL_HIGH_MM / 2
    for side in (-1.0, 1.0):
        yield segment(Pen.SIZE, start=(side * end, 0.0), end=(side * (end + _LEAD_MM), 0.0))
    yield rectangle(Pen.SIZE, left=-end, bottom=-half, right=end, top=half)
    for number, colour in enumerate(bands):
        left = -end + _FIRST_BAND_MM + number * _NEXT_BAND_MM
        if number == len(bands) - 1 and number > 2:
            left = end - _FIRST_BAND_MM - _BAND_MM
        yield _filled(colour, left=left, right=left + _BAND_MM, half=half)


def _chip(code: str) -> Iterator[Item]:
    end, half = _CHIP_MM[0] / 2, _CHIP_MM[1] / 2
    yield rectangle(Pen.SIZE, left=-end, bottom=-half, right=end, top=half)
    for side in (-1.0, 1.0):
        cap = side * (end - _CAP_MM)
        yield segment(Pen.SIZE, start=(cap, -half), end=(cap, half))
    yield Text(
        x_mm=0.0,
        y_mm=-_CODE_MM / 2,
        words=code,
        height_mm=_CODE_MM,
        anchor=Anchor.MIDDLE,
        bold=True,
    )


def _filled(colour: str, *, left: float, right: float, half: float) -> Path:
    corners = ((left, -half, 0.0), (right, -half, 0.0), (right, half, 0.0), (left, half, 0.0))
    return Path(pen=Pen.SIZE, corners=corners, closed=True, filled=True, colour=colour)
