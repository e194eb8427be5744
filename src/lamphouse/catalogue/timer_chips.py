"""Timer chips of the 555 kind, from which astables are built without any program."""

from lamphouse.catalogue.cells import Span, amount, band
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity


class TimerChip(Record):
    """One timer chip."""

    name: str
    least_V: float
    most_V: float
    """Of its supply."""
    own_A: float
    """What it draws itself at most."""
    source_A: float
    """What its output gives while high."""
    sink_A: float
    """What its output takes while low."""
    high_drop_V: float
    """By how much its output stays below its supply at most."""
    low_V: float
    """Of its output while low, at most."""
    timing_error: float
    """Share by which the chip itself may change the times."""
    most_ohm: float
    """Of the timing resistors together, for the current of its inputs."""
    discharge_ohm: float
    """Of its discharge pin while on."""
    origin: Origin


_AMPS = Span(above=0, most=1, why="a timer chip is a small part")
_VOLTS = Span(above=0, most=24, why="timer chips live on extra-low voltage")
_DROP = Span(least=0, most=3, why="an output reaches near its rails")

TIMER_CHIPS = Table(
    name="timer_chips",
    row=TimerChip,
    columns=(
        Column(
            name="supply", fields=("least_V", "most_V"), read=band(Quantity.VOLTAGE, span=_VOLTS)
        ),
        Column(name="own current", fields=("own_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(name="gives", fields=("source_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(name="takes", fields=("sink_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(
            name="high drop", fields=("high_drop_V",), read=amount(Quantity.VOLTAGE, span=_DROP)
        ),
        Column(name="low level", fields=("low_V",), read=amount(Quantity.VOLTAGE, span=_DROP)),
        Column(
            name="timing error",
            fields=("timing_error",),
            read=amount(
                Quantity.SHARE, span=Span(least=0, most=0.2, why="a timer keeps time to some share")
            ),
        ),
        Column(
            name="most resistance",
            fields=("most_ohm",),
            read=amount(
                Quantity.RESISTANCE,
                span=Span(least=10_000, most=1e8, why="its inputs draw some current"),
            ),
        ),
        Column(
            name="discharge",
            fields=("discharge_ohm",),
            read=amount(
                Quantity.RESISTANCE, span=Span(least=0, most=500, why="a switch that is on")
            ),
        ),
    ),
)
