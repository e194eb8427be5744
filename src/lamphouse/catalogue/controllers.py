"""Controllers that play programs: their pins, currents, voltages and memory."""

from collections.abc import Iterable

from lamphouse.catalogue.cells import (
    OutOfRange,
    Span,
    amount,
    band,
    one_of,
    several,
    whole_number,
    words,
)
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError

LANGUAGES = ("MicroPython", "C")
MOST_PINS = 64
AVR_FLASH_BYTES = 36_000
"""What a program for an AVR can use: its player, and tables of up to 32767 bytes."""


class ControllerType(Record):
    """One kind of controller."""

    name: str
    """Such as ``8-bit AVR, 28 pins``."""
    language: str
    """``MicroPython``, or ``C`` for an 8-bit AVR."""
    chip: str
    """What the compiler calls it."""
    clock_Hz: float
    pins: tuple[str, ...]
    """Those that can light a group, in the order in which they are given out."""
    button_pins: tuple[str, ...]
    """Further pins, for buttons alone."""
    most_groups: int
    """What it can keep up with, all of them fading."""
    logic_V: float | None
    """Of its pins; None where that is its supply's."""
    least_V: float
    most_V: float
    """Of what feeds it."""
    own_A: float
    """What it draws itself."""
    pin_A: float
    """What one pin gives or takes all the time."""
    pins_A: float
    """The same of all pins together."""
    pin_ohm: float
    """Inside a pin that is on."""
    flash_bytes: int
    """Left for a program and its tables."""
    ram_bytes: int
    """Likewise."""
    body_mm: tuple[float, float]
    """Length and width."""
    origin: Origin

    @property
    def all_pins(self) -> tuple[str, ...]:
        """Every pin that is free for use."""
        return self.pins + tuple(pin for pin in self.button_pins if pin not in self.pins)

    def logic_at_V(self, supply_V: float) -> float:
        """Give the voltage of a pin that is on and carries nothing."""
        return supply_V if self.logic_V is None else self.logic_V


def pin_names(text: str) -> tuple[str, ...]:
    """Read names of pins with blanks between; ``0 to 15`` or ``PA0 to PA7`` are all between.

    Raises
    ------
    UnitError
        If a run is not clear, or a pin is there twice.
    """
    parts = words(text).split()
    pins: list[str] = []
    at = 0
    while at < len(parts):
        if parts[at + 1 : at + 2] == ["to"] and at + 2 < len(parts):
            pins += _run(parts[at], parts[at + 2])
            at += 3
        else:
            pins.append(parts[at])
            at += 1
    if len(set(pins)) != len(pins) or len(pins) > MOST_PINS:
        problem = f"'{text}' names a pin twice, or more than {MOST_PINS}"
        raise UnitError(problem, remedy="name each pin once")
    return tuple(pins)


def _run(first: str, last: str) -> list[str]:
    stem = first.rstrip("0123456789")
    start, end = first[len(stem) :], last[len(stem) :]
    plain = start.isdecimal() and end.isdecimal() and len(start) < 4 and len(end) < 4
    if not (last.startswith(stem) and plain and int(start) <= int(end) < int(start) + MOST_PINS):
        problem = f"'{first} to {last}' is no run of pins"
        raise UnitError(problem, remedy="write such as PB0 to PB5")
    return [f"{stem}{number}" for number in range(int(start), int(end) + 1)]


def _volts_or_supply(text: str) -> float | None:
    if text == "as supply":
        return None
    return amount(Quantity.VOLTAGE, span=_VOLTS)(text)


def _size(text: str) -> tuple[float, float]:
    span = Span(above=0, most=200, why="a controller is a small part")
    length, width = several(Quantity.LENGTH, count=2, span=span)(text)
    return length, width


def _faults(part: ControllerType) -> Iterable[OutOfRange]:
    if part.pin_A > part.pins_A:
        problem = "one pin carries more than all of them together"
        yield OutOfRange(
            problem, remedy="exchange 'pin current' and 'all pins', or read them again"
        )
    if part.language == "C" and not 8e6 <= part.clock_Hz <= 20e6:
        problem = "the program for an AVR is written for clocks of 8 to 20 MHz"
        yield OutOfRange(problem, remedy="write a clock of 8 to 20 MHz, and set its fuses for it")
    if part.language == "C" and part.flash_bytes > AVR_FLASH_BYTES:
        problem = "the compiler for AVRs takes tables of 32 KiB and no more"
        yield OutOfRange(problem, remedy=f"write {AVR_FLASH_BYTES} or less as 'flash bytes'")
    if part.language == "C" and not all(_is_port_pin(pin) for pin in part.all_pins):
        problem = "pins of an AVR are called by port and bit"
        yield OutOfRange(problem, remedy="write such as PA0 to PA7, on ports A to D")
    if part.language == "MicroPython" and not all(pin.isdecimal() for pin in part.all_pins):
        problem = "pins of a board with MicroPython are called by number"
        yield OutOfRange(problem, remedy="write such as 0 to 15")


def _is_port_pin(pin: str) -> bool:
    return len(pin) == 3 and pin[0] == "P" and pin[1] in "ABCD" and pin[2] in "01234567"


_AMPS = Span(above=0, most=10, why="a controller's pins carry little")
_VOLTS = Span(above=0, most=24, why="controllers live on extra-low voltage")
_BYTES = Span(least=100, most=100_000_000, why="the range of small controllers")
_CLOCK = Span(least=100_000, most=1e9, why="the range of small controllers")
_OHMS = Span(least=0, most=1000, why="a pin that is on has little resistance")

CONTROLLERS = Table(
    name="controllers",
    row=ControllerType,
    columns=(
        Column(name="language", fields=("language",), read=one_of(*LANGUAGES)),
        Column(name="chip", fields=("chip",), read=words),
        Column(name="clock", fields=("clock_Hz",), read=amount(Quantity.FREQUENCY, span=_CLOCK)),
        Column(name="pins", fields=("pins",), read=pin_names),
        Column(name="button pins", fields=("button_pins",), read=pin_names),
        Column(
            name="most groups",
            fields=("most_groups",),
            read=whole_number(span=Span(least=1, most=MOST_PINS, why="one pin for each group")),
        ),
        Column(name="logic", fields=("logic_V",), read=_volts_or_supply),
        Column(
            name="supply",
            fields=("least_V", "most_V"),
            read=band(Quantity.VOLTAGE, span=_VOLTS),
        ),
        Column(name="own current", fields=("own_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(name="pin current", fields=("pin_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(name="all pins", fields=("pins_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(
            name="pin resistance", fields=("pin_ohm",), read=amount(Quantity.RESISTANCE, span=_OHMS)
        ),
        Column(name="flash bytes", fields=("flash_bytes",), read=whole_number(span=_BYTES)),
        Column(name="ram bytes", fields=("ram_bytes",), read=whole_number(span=_BYTES)),
        Column(name="size", fields=("body_mm",), read=_size),
    ),
    faults=_faults,
)
