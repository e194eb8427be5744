"""What protects a feed: fuses that melt or reset, and what blocks a reversed supply."""

from collections.abc import Iterable

from lamphouse.catalogue.cells import OutOfRange, Span, amount, one_of
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, show

CONSTRUCTIONS = ("glass", "chip", "resettable")
FUSE_DEGC = 23.0
"""Air in which a fuse's currents are told."""


class FuseType(Record):
    """One fuse."""

    name: str
    """Such as ``resettable 500 mA``."""
    construction: str
    """``glass``, ``chip`` or ``resettable``."""
    hold_A: float
    """What it carries for ever in still air of 23 degC."""
    trip_A: float
    """What surely opens it there, if slowly."""
    series_ohm: float
    """The largest, for a resettable one after it has tripped once."""
    max_V: float
    loss_per_kelvin: float
    """Share of its currents that it loses for each kelvin above 23 degC."""
    origin: Origin

    def hold_at_A(self, degC: float) -> float:
        """Give what it carries in air of another temperature, at least nothing."""
        return self.hold_A * self._left(degC)

    def trip_at_A(self, degC: float) -> float:
        """Give what opens it in air of another temperature."""
        return self.trip_A * self._left(degC)

    def _left(self, degC: float) -> float:
        return max(1.0 - self.loss_per_kelvin * (degC - FUSE_DEGC), 0.0)


class Protector(Record):
    """What sits in the plus lead and blocks a reversed supply."""

    name: str
    """Such as ``schottky diode``."""
    least_drop_V: float
    """At a small current, warm."""
    most_drop_V: float
    """At its rated current, cold."""
    series_ohm: float
    """Of a transistor that is switched on; nothing for a diode."""
    max_current_A: float
    max_V: float
    """What it blocks."""
    origin: Origin

    @property
    def drop_V(self) -> float:
        """What it usually takes, halfway."""
        return 0.5 * (self.least_drop_V + self.most_drop_V)


def _fuse_faults(fuse: FuseType) -> Iterable[OutOfRange]:
    if fuse.trip_A <= fuse.hold_A:
        hold, trip = (show(value, Quantity.CURRENT) for value in (fuse.hold_A, fuse.trip_A))
        problem = f"it cannot carry {hold} for ever and open at {trip}"
        yield OutOfRange(problem, remedy="exchange 'hold' and 'trip', or read them again")


def _protector_faults(part: Protector) -> Iterable[OutOfRange]:
    if part.most_drop_V < part.least_drop_V:
        problem = "the most it drops is less than the least"
        yield OutOfRange(problem, remedy="exchange 'least drop' and 'most drop'")


_AMPS = Span(above=0, most=100, why="a part in a feed carries current")
_VOLTS = Span(above=0, most=1000, why="a part in a feed stands a voltage")
_DROP = Span(least=0, most=5, why="what protects a feed takes little of it")
_OHMS = Span(least=0, most=1000, why="a part in a feed lets current pass")

FUSES = Table(
    name="fuses",
    row=FuseType,
    columns=(
        Column(name="construction", fields=("construction",), read=one_of(*CONSTRUCTIONS)),
        Column(name="hold", fields=("hold_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(name="trip", fields=("trip_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(
            name="resistance", fields=("series_ohm",), read=amount(Quantity.RESISTANCE, span=_OHMS)
        ),
        Column(name="max voltage", fields=("max_V",), read=amount(Quantity.VOLTAGE, span=_VOLTS)),
        Column(
            name="loss per kelvin",
            fields=("loss_per_kelvin",),
            read=amount(
                Quantity.SHARE, span=Span(least=0, most=0.05, why="a fuse carries less when warm")
            ),
        ),
    ),
    faults=_fuse_faults,
)

PROTECTORS = Table(
    name="protectors",
    row=Protector,
    columns=(
        Column(
            name="least drop", fields=("least_drop_V",), read=amount(Quantity.VOLTAGE, span=_DROP)
        ),
        Column(
            name="most drop", fields=("most_drop_V",), read=amount(Quantity.VOLTAGE, span=_DROP)
        ),
        Column(
            name="resistance", fields=("series_ohm",), read=amount(Quantity.RESISTANCE, span=_OHMS)
        ),
        Column(
            name="max current",
            fields=("max_current_A",),
            read=amount(Quantity.CURRENT, span=_AMPS),
        ),
        Column(name="max voltage", fields=("max_V",), read=amount(Quantity.VOLTAGE, span=_VOLTS)),
    ),
    faults=_protector_faults,
)
