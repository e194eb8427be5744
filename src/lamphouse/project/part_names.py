"""Names of parts at hand, written as the parts list writes them."""

from lamphouse.build.sheet_parts import sheet_of, sheet_part
from lamphouse.units import Quantity, UnitError, parse, show

VALUED = {
    "resistor": Quantity.RESISTANCE,
    "trim knob": Quantity.RESISTANCE,
    "drill": Quantity.LENGTH,
}
"""Parts that go by a value, with what the value measures."""


def as_listed(part: str, *, scale: float | None = None) -> str:
    """Write a resistor, trim knob, drill or sized sheet as the parts list does; else as it is.

    Examples
    --------
    >>> as_listed("resistor 4.7k"), as_listed("white 0603")
    ('resistor 4k7', 'white 0603')
    """
    part = " ".join(part.split())
    if sheet := sheet_of(part):
        return sheet_part(sheet[0], width_mm=sheet[1], height_mm=sheet[2])
    kind, _, value = part.rpartition(" ") if part.startswith("trim knob") else part.partition(" ")
    quantity = VALUED.get(kind)
    if quantity is None or (kind == "drill" and value.startswith("#")):
        return part
    try:
        return f"{kind} {show(parse(value, quantity, scale=scale), quantity)}"
    except UnitError:
        return part
