"""Transistors that switch a source group for a pin that cannot carry it."""

from collections.abc import Iterable

from lamphouse.catalogue.cells import OutOfRange, Span, amount, one_of, whole_number
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity

SWITCH_KINDS = ("npn", "n-channel mosfet", "p-channel mosfet")


class SwitchType(Record):
    """One transistor."""

    name: str
    construction: str
    """One of ``SWITCH_KINDS``."""
    max_V: float
    max_A: float
    """What it carries all the time on a small board."""
    gain: int | None
    """Collector over base current by which it is surely saturated at its largest current; of a
    MOSFET none."""
    drive_V: float
    """The most between base and emitter; of a MOSFET the gate voltage at which its resistance is
    told."""
    gate_most_V: float | None
    """What its gate stands; None without a gate."""
    drop_V: float
    """The most from collector to emitter, saturated; nothing of a MOSFET."""
    on_ohm: float
    """Of a MOSFET that is on; nothing of a bipolar one."""
    origin: Origin

    def lost_V(self, current_A: float) -> float:
        """Give what it takes of the string's voltage."""
        return self.drop_V + self.on_ohm * current_A


def _faults(part: SwitchType) -> Iterable[OutOfRange]:
    if (part.construction == "npn") != (part.gain is not None):
        problem = "a bipolar transistor has a gain, and a MOSFET has none"
        yield OutOfRange(problem, remedy="write the gain, or leave it empty")
    if (part.construction == "npn") == (part.gate_most_V is not None):
        problem = "a MOSFET has a largest gate voltage, and a bipolar transistor has none"
        yield OutOfRange(problem, remedy="write the gate's largest voltage, or leave it empty")


_AMPS = Span(above=0, most=30, why="a small transistor")
_VOLTS = Span(above=0, most=200, why="a small transistor")

SWITCHES = Table(
    name="switches",
    row=SwitchType,
    columns=(
        Column(name="construction", fields=("construction",), read=one_of(*SWITCH_KINDS)),
        Column(name="max voltage", fields=("max_V",), read=amount(Quantity.VOLTAGE, span=_VOLTS)),
        Column(name="max current", fields=("max_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(
            name="gain",
            fields=("gain",),
            read=whole_number(span=Span(least=1, most=2000, why="gains of transistors")),
            may_be_empty=True,
        ),
        Column(
            name="drive voltage",
            fields=("drive_V",),
            read=amount(Quantity.VOLTAGE, span=Span(above=0, most=20, why="what drives a gate")),
        ),
        Column(
            name="max gate voltage",
            fields=("gate_most_V",),
            read=amount(Quantity.VOLTAGE, span=Span(above=0, most=40, why="what a gate stands")),
            may_be_empty=True,
        ),
        Column(
            name="drop",
            fields=("drop_V",),
            read=amount(Quantity.VOLTAGE, span=Span(least=0, most=2, why="a switch that is on")),
        ),
        Column(
            name="on resistance",
            fields=("on_ohm",),
            read=amount(
                Quantity.RESISTANCE, span=Span(least=0, most=20, why="a switch that is on")
            ),
        ),
    ),
    faults=_faults,
)
