"""The records of a sub-assembly as it is soldered: its parts, what joins them, where a probe goes.

Terminology
-----------
part
    What is bought and soldered: a resistor, an LED, a plug, a trim knob.
pin
    One end of a part, numbered from 1. An LED's pin 1 is its anode; a resistor has no sign; a plug
    is numbered as its maker does, pin 1 the common wire.
net
    All pins that solder and wire join.
common
    The side that all strings share: plus, when strings are switched towards minus.
test point
    A place for the meter's probe, named on the schematic, the board and the fault sheet.
"""

from enum import StrEnum

from lamphouse.circuit.netlist import Netlist
from lamphouse.findings import Where
from lamphouse.record import Record


class WiredKind(StrEnum):
    """What a part is."""

    RESISTOR = "resistor"
    TRIM = "trim knob"
    LED = "led"
    PLUG = "plug"
    DIODE = "diode"
    FUSE = "fuse"


class WiredPart(Record):
    """One part of a sub-assembly."""

    name: str
    """``R1`` for the resistor of the first string; an LED's own name; ``J1`` for the plug."""
    kind: WiredKind
    value: str
    """As written beside its symbol: ``4k7``, ``white 0603``, ``2-pin 1.25 mm``."""
    pins: int
    on_board: bool
    """Whether it is soldered to the board; LEDs and the plug hang on wires."""
    package: str = ""
    """Row of the catalogue that knows its body; empty where it has none."""
    string: str = ""
    """The string it belongs to."""
    where: Where


class Pin(Record):
    """One end of a part."""

    part: str
    pin: int


class Net(Record):
    """Pins that are joined."""

    name: str
    """Its node in the netlist as far as it lies on the sub-assembly's side of the plug."""
    pins: tuple[Pin, ...]


class TestPoint(Record):
    """A place for the meter's probe."""

    __test__ = False

    name: str
    """``TP1``, ``TP2`` ... in the order of the strings; ``J1.1`` ... at the plug's pins."""
    node: str
    """Node of the netlist."""
    words: str
    """Where it is, such as "between R1 and W1"."""
    on_board: bool


class PlugPin(Record):
    """What one pin of the pigtail's plug carries."""

    pin: int
    node: str
    means: str
    """``common``, ``return``, or the source group switched there."""
    positive: bool


class WiredSubAssembly(Record):
    """A sub-assembly's circuit from the supply to the last LED, ready to be solved and soldered."""

    sub_assembly: str
    where: Where
    netlist: Netlist
    """From the supply's source through lead, plug and board. A part's resistance or junction has
    the part's name; pins 1 and 2 are its ends 0 and 1."""
    parts: tuple[WiredPart, ...]
    nets: tuple[Net, ...]
    test_points: tuple[TestPoint, ...]
    plug_pins: tuple[PlugPin, ...]
    common_positive: bool
