"""Circuit symbols after [IEC60617]: resistors, diodes, fuse, switch, junction, contact, test point.

Those with two ends lie on a level wire that comes in from the left at the origin; their own lines
are drawn with ``Pen.CUT``, so that the wire, drawn with ``Pen.MARK``, ends where a part begins.
"""

from lamphouse.circuit.wired import WiredKind
from lamphouse.drawings.drawing import Circle, Item, Path, Pen
from lamphouse.drawings.figures import arrowhead, rectangle, segment
from lamphouse.drawings.moves import mirrored, moved
from lamphouse.record import Record

RESISTOR_MM = 12.0
"""Length of the resistor; it is a third as high."""
DIODE_MM = 5.0
"""Length of the diode's triangle, from its base to its bar."""
CONTACT_MM = 2.0
"""Diameter of a contact's ring."""
PROBE_MM = 1.6
"""Diameter of a test point's ring."""
_TRIM_MM = 9.0
"""Length of the variable resistor and of the fuse; they are a third as high."""
_HALF_MM = 3.0
"""Half the base of the triangle, and half its bar."""
_LIGHT_DEG = 55.0
"""The way the arrows of the diode point."""
_LIGHT = (0.57, 0.82)
"""The same as a step right and up."""
_LIGHT_MM = 4.0


class Symbol(Record):
    """A part with two ends on a level wire."""

    items: tuple[Item, ...]
    length_mm: float
    """From one end to the other."""

    def placed(self, x_mm: float, y_mm: float, *, forward: bool = True) -> tuple[Item, ...]:
        """Give its items with the left end somewhere; turned round unless it points forward."""
        middle = self.length_mm / 2
        turned = (i if forward else mirrored(i, about_x_mm=middle) for i in self.items)
        return tuple(moved(item, right_mm=x_mm, up_mm=y_mm) for item in turned)


def resistor(length_mm: float = RESISTOR_MM) -> Symbol:
    """Draw a resistor: a rectangle three times as long as high."""
    half = length_mm / 6
    body = rectangle(Pen.CUT, left=0.0, bottom=-half, right=length_mm, top=half)
    return Symbol(items=(body,), length_mm=length_mm)


def trim_knob() -> Symbol:
    """Draw a variable resistor: a resistor with an arrow across."""
    body = resistor(_TRIM_MM)
    start, tip = (1.5, -3.2), (_TRIM_MM - 1.5, 3.2)
    arrow = (
        segment(Pen.CUT, start=start, end=tip),
        arrowhead(Pen.CUT, tip=tip, towards_deg=46.8, length_mm=1.8),
    )
    return Symbol(items=(*body.items, *arrow), length_mm=body.length_mm)


def fuse() -> Symbol:
    """Draw a fuse: a rectangle with the wire going through."""
    body = resistor(_TRIM_MM)
    through = segment(Pen.CUT, start=(0.0, 0.0), end=(body.length_mm, 0.0))
    return Symbol(items=(*body.items, through), length_mm=body.length_mm)


def diode() -> Symbol:
    """Draw a diode, plus on the left."""
    triangle = ((0.0, -_HALF_MM, 0.0), (DIODE_MM, 0.0, 0.0), (0.0, _HALF_MM, 0.0))
    items = (
        Path(pen=Pen.CUT, corners=triangle, closed=True),
        segment(Pen.CUT, start=(DIODE_MM, -_HALF_MM), end=(DIODE_MM, _HALF_MM)),
        segment(Pen.CUT, start=(0.0, 0.0), end=(DIODE_MM, 0.0)),
    )
    return Symbol(items=items, length_mm=DIODE_MM)


def led() -> Symbol:
    """Draw a light-emitting diode: a diode with two arrows of light going away."""
    return Symbol(items=(*diode().items, *_ray(1.8), *_ray(4.3)), length_mm=DIODE_MM)


def _ray(x_mm: float) -> tuple[Item, ...]:
    """Draw one arrow of light above the triangle."""
    start = (x_mm, 3.2)
    tip = (start[0] + _LIGHT[0] * _LIGHT_MM, start[1] + _LIGHT[1] * _LIGHT_MM)
    return (
        segment(Pen.SIZE, start=start, end=tip),
        arrowhead(Pen.SIZE, tip=tip, towards_deg=_LIGHT_DEG, length_mm=1.5),
    )


def switch() -> Symbol:
    """Draw a make contact, off as symbols are."""
    items = (
        segment(Pen.CUT, start=(0.0, 0.0), end=(1.6, 0.0)),
        segment(Pen.CUT, start=(1.6, 0.0), end=(5.4, 2.2)),
        segment(Pen.CUT, start=(5.6, 0.0), end=(7.2, 0.0)),
    )
    return Symbol(items=items, length_mm=7.2)


def symbol_of(kind: WiredKind) -> Symbol:
    """Give the symbol of a part with two ends.

    Raises
    ------
    KeyError
        For a plug, which has contacts instead.
    """
    makers = {
        WiredKind.RESISTOR: resistor,
        WiredKind.TRIM: trim_knob,
        WiredKind.LED: led,
        WiredKind.DIODE: diode,
        WiredKind.FUSE: fuse,
    }
    return makers[kind]()


def junction() -> Circle:
    """Draw the dot where wires meet."""
    return Circle(pen=Pen.MARK, x_mm=0.0, y_mm=0.0, diameter_mm=1.4, filled=True)


def contact() -> Circle:
    """Draw the ring that ends a wire in a plug, its middle at the origin."""
    return Circle(pen=Pen.CUT, x_mm=0.0, y_mm=0.0, diameter_mm=CONTACT_MM)


def probe_ring() -> Circle:
    """Draw the ring on a wire where a probe goes; common practice, no source."""
    return Circle(pen=Pen.SIZE, x_mm=0.0, y_mm=0.0, diameter_mm=PROBE_MM)
