"""One use of a part in one sub-assembly, and the kinds of parts in the order of the list."""

from lamphouse.record import Record

KINDS = (
    *("sheet", "bar", "film", "paint", "led", "resistor", "knob", "supply", "cell", "fuse"),
    *("controller", "transistor", "capacitor"),
    *("board", "plug", "wire", "sleeve", "fibre", "tube", "screw", "magnet", "drill"),
)
MELTS = "melts once"
"""Said of a fuse of which a spare is wanted."""


class Use(Record):
    """One use of a part in one sub-assembly."""

    kind: str
    part: str
    amount: float
    unit: str
    used_in: str
    note: str = ""
    rank: float = 0.0
    """Orders parts of one kind before their names do: resistors by value."""
