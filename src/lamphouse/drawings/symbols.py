"""Circuit symbols after [IEC60617]: resistor, light-emitting diode, junction, contacts of a plug.

Each lies on a level wire that comes in from the left at the origin.
"""

from lamphouse.drawings.drawing import Circle, Item, Path, Pen
from lamphouse.drawings.figures import arrowhead, rectangle, segment

RESISTOR_MM = 12.0
"""Length of the resistor; it is a third as high."""
LED_MM = 5.0
"""Length of the diode's triangle, from its base to its bar."""
CONTACT_MM = 2.0
"""Diameter of a contact's ring."""
_HALF_MM = 3.0
"""Half the base of the triangle, and half its bar."""
_LIGHT_DEG = 55.0
"""The way the arrows of the diode point."""
_LIGHT = (0.57, 0.82)
"""The same as a step right and up."""
_LIGHT_MM = 4.0


def resistor() -> tuple[Item, ...]:
    """Draw a resistor: a rectangle three times as long as high."""
    half = RESISTOR_MM / 6
    return (rectangle(Pen.CUT, left=0.0, bottom=-half, right=RESISTOR_MM, top=half),)


def led() -> tuple[Item, ...]:
    """Draw a light-emitting diode, plus on the left, with its wire through it."""
    triangle = ((0.0, -_HALF_MM, 0.0), (LED_MM, 0.0, 0.0), (0.0, _HALF_MM, 0.0))
    return (
        Path(pen=Pen.CUT, corners=triangle, closed=True),
        segment(Pen.CUT, start=(LED_MM, -_HALF_MM), end=(LED_MM, _HALF_MM)),
        segment(Pen.MARK, start=(0.0, 0.0), end=(LED_MM, 0.0)),
        *_ray(1.8),
        *_ray(4.3),
    )


def _ray(x_mm: float) -> tuple[Item, ...]:
    """Draw one arrow of light above the triangle."""
    start = (x_mm, 3.2)
    tip = (start[0] + _LIGHT[0] * _LIGHT_MM, start[1] + _LIGHT[1] * _LIGHT_MM)
    return (
        segment(Pen.SIZE, start=start, end=tip),
        arrowhead(Pen.SIZE, tip=tip, towards_deg=_LIGHT_DEG, length_mm=1.5),
    )


def junction() -> Circle:
    """Draw the dot where wires meet."""
    return Circle(pen=Pen.MARK, x_mm=0.0, y_mm=0.0, diameter_mm=1.4, filled=True)


def contact() -> Circle:
    """Draw the ring that ends a wire in a plug, its middle at the origin."""
    return Circle(pen=Pen.CUT, x_mm=0.0, y_mm=0.0, diameter_mm=CONTACT_MM)
