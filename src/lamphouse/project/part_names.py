"""Names of parts at hand, written as the parts list writes them."""

import re

from lamphouse.build.sheet_parts import sheet_of, sheet_part
from lamphouse.units import Quantity, UnitError, parse, show

VALUED = {
    "resistor": Quantity.RESISTANCE,
    "trim knob": Quantity.RESISTANCE,
    "drill": Quantity.LENGTH,
}
"""Parts that go by a value, with what the value measures."""

_MEANT = re.compile(r".*\d ?(?:mm|cm|in|thou), *-?\d.*[x\u00d7].*", re.IGNORECASE)
"""A thickness, and what looks like two sides behind it."""


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


def checked_sheet(part: str) -> None:
    """See that a part which is meant for a sheet has a size that a sheet can have.

    Raises
    ------
    UnitError
        If its size cannot be read, or is outside the range of sheets.
    """
    if _MEANT.fullmatch(" ".join(part.split())) and sheet_of(part) is None:
        problem = f"the size in '{part[:60]}' is none that a sheet can have"
        raise UnitError(problem, remedy="write such as styrene 0.5 mm, 300 x 200 mm")
