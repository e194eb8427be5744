"""What the model has in the place of what was designed, as the maker measured it."""

from lamphouse.findings import Where
from lamphouse.record import Record


class AsBuilt(Record):
    """Figures of one thing as it was built; those that are None are as designed."""

    where: Where
    """The entry: a line of the project file, or an entry of the bench log."""
    item: str
    """``supply``, or a string, a resistor or an LED with its sub-assembly: ``bay / S1``."""
    voltage_V: float | None = None
    """Of the supply, under its load."""
    resistor_ohm: float | None = None
    """All that is in series with the LEDs of a string, out of circuit."""
    current_A: float | None = None
    """Through a string."""
    at_mm: tuple[float, float] | None = None
    """Of an LED, in the panel plane."""
