"""The fault finder for one sub-assembly of a plan: its book of faults, and readings as written."""

import math
import re
from collections.abc import Iterator, Sequence

from lamphouse.catalogue.cells import nearest
from lamphouse.circuit.fault_finder import Diagnosis, FaultBook, diagnose, open_book
from lamphouse.circuit.meter import LOOKS, Look, Meter, Probe, ProbeKind, Reading
from lamphouse.circuit.probes import PLUG, REST, probes_of, resistance_between, voltage_at
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.plan.result import Plan
from lamphouse.plan.wirings import wirings
from lamphouse.units import Quantity, UnitError, parse

_QUANTITIES = (Quantity.CURRENT, Quantity.VOLTAGE, Quantity.RESISTANCE)
_MOST = {Quantity.CURRENT: 100.0, Quantity.VOLTAGE: 1000.0, Quantity.RESISTANCE: 1e9}
"""What no meter at this bench shows, in A, V and ohm."""
_SHOWN = re.compile(r"[-+]?(\d+)(?:[.,](\d+))?\s*([^\W\d_]+)")
_AS_SHOWN = 3
"""Digits from which a reading is taken to be written as the meter shows it; fewer were rounded."""
_WORDS = {"open": math.inf, "short": 0.0}
_EXAMPLE = "write it like plug=12.3mA, TP1=3.10V, TP2-TP3=4.7kohm, W1=dark or rest=lit"


def fault_book(
    plan: Plan,
    sub_assembly: str,
    *,
    meter: Meter | None = None,
    closed: bool = False,
    written: Sequence[str] = (),
) -> FaultBook:
    """Solve everything that can be wrong with a sub-assembly of a plan.

    Parameters
    ----------
    plan
        The whole model.
    sub_assembly
        Its name.
    meter
        With what is read.
    closed
        Whether only plug and lights can be reached.
    written
        Readings by which the strings of a large sub-assembly are chosen, as for
        :func:`readings_of`.

    Raises
    ------
    LookupError
        If there is no such sub-assembly, or it has no circuit; the message says which have.
    ValueError
        If a reading cannot be understood.
    """
    wired = {one.sub_assembly: one for one in wirings(plan)}
    if sub_assembly not in wired:
        there_are = ", ".join(wired) or "none"
        meant = nearest(sub_assembly, list(wired))
        hint = f"did you mean '{meant}'?" if meant else f"there is: {there_are}"
        unknown = f"no sub-assembly '{sub_assembly}' with a circuit; {hint}"
        raise LookupError(unknown)
    return open_book(
        wired[sub_assembly],
        circuit=next(one for one in plan.circuits if one.sub_assembly == sub_assembly),
        supply=plan.design.supply,
        habits=plan.design.habits,
        led_types=tuple(
            dict.fromkeys(led.led_type for sub in plan.design.sub_assemblies for led in sub.leds())
        ),
        meter=meter,
        closed=closed,
        readings=_readings(wired[sub_assembly], written),
    )


def readings_of(book: FaultBook, written: Sequence[str]) -> tuple[Reading, ...]:
    """Read what the maker has measured and seen.

    Parameters
    ----------
    book
        Of the sub-assembly.
    written
        ``plug=12.3mA``; ``TP1=3.10V`` against the supply's minus; ``TP1-TP2=2.0V``;
        ``TP1-TP2=4.7kohm``, ``open`` or ``short`` with the plug pulled; ``W1=dark``, ``W1,W2=dim``,
        and ``rest=lit`` for all other lights.

    Raises
    ------
    ValueError
        If one cannot be understood, or fits no place of the sub-assembly; it is told which and why.
    """
    return _readings(book.wired, written)


def _readings(wired: WiredSubAssembly, written: Sequence[str]) -> tuple[Reading, ...]:
    found: list[Reading] = []
    rest = None
    for text in written:
        name, sign, value = (part.strip() for part in text.rpartition("="))
        if not (sign and name and value):
            unclear = f"'{text}' is no reading; {_EXAMPLE}"
            raise ValueError(unclear)
        try:
            if value.casefold() in LOOKS:
                look = Look(value.casefold())
                if name.casefold() == REST:
                    rest = look
                else:
                    found += [Reading(probe=one, value=look) for one in _lights(wired, name)]
            else:
                found.append(_number(wired, name, value))
        except (LookupError, UnitError) as fault:
            told = f"'{text}': {fault.args[0] if isinstance(fault, LookupError) else fault}"
            raise ValueError(told) from fault
    if rest is not None:
        named = {reading.probe for reading in found}
        found += [
            Reading(probe=one, value=rest)
            for one in probes_of(wired, closed=True)
            if one.kind is ProbeKind.LIGHT and one not in named
        ]
    return tuple(found)


def _lights(wired: WiredSubAssembly, names: str) -> Iterator[Probe]:
    """Find one light by its name, or several with commas between."""
    lights = {one.name: one for one in probes_of(wired) if one.kind is ProbeKind.LIGHT}
    for name in [names] if names in lights else [part.strip() for part in names.split(",")]:
        if name not in lights:
            meant = nearest(name, list(lights))
            hint = f"did you mean '{meant}'?" if meant else f"there is: {', '.join(lights)}"
            unknown = f"no light '{name}'; {hint}"
            raise LookupError(unknown)
        yield lights[name]


def _number(wired: WiredSubAssembly, name: str, written: str) -> Reading:
    first, _, second = (part.strip() for part in name.partition("-"))
    value, quantity = measured_as(written)
    if quantity is Quantity.CURRENT:
        probe = _current(wired, name)
    elif quantity is Quantity.VOLTAGE:
        probe = voltage_at(wired, first, second)
    else:
        if not second:
            alone = f"a resistance lies between two points, such as {first}-TP2"
            raise LookupError(alone)
        probe = resistance_between(wired, first, second)
    last, digits = _written(written, quantity)
    exact = value == 0.0 or digits >= _AS_SHOWN
    return Reading(
        probe=probe,
        value=value,
        resolution=last if exact and value else None,
        rounded=0.0 if exact or last is None else 0.5 * last,
    )


def _current(wired: WiredSubAssembly, name: str) -> Probe:
    """Find a current: ``plug``, ``plug.2``, or the pin's own name."""
    currents = {one.name: one for one in probes_of(wired) if one.kind is ProbeKind.CURRENT}
    pins = {pin.node: f"{PLUG}.{pin.pin}" for pin in wired.plug_pins}
    meant = pins.get(name.upper(), name.casefold())
    if meant not in currents:
        unknown = f"a current is read at: {', '.join(currents)}"
        raise LookupError(unknown)
    return currents[meant]


def measured_as(written: str) -> tuple[float, Quantity]:
    """Find the one quantity that a text is, with its figure; ``open`` is a resistance too.

    Raises
    ------
    LookupError
        If it is none, or more than a meter shows.
    """
    if written.casefold() in _WORDS:
        return _WORDS[written.casefold()], Quantity.RESISTANCE
    faults = []
    for quantity in _QUANTITIES:
        try:
            value = parse(written, quantity)
        except UnitError as fault:
            faults.append(fault)
            continue
        if abs(value) > _MOST[quantity] or (quantity is Quantity.RESISTANCE and value < 0.0):
            beyond = f"{written} is more than a meter shows at this bench, or less than nothing"
            raise LookupError(beyond)
        return value, quantity
    looks = ", ".join(LOOKS)
    unclear = f"'{written}' is no current, voltage or resistance with its unit, nor one of {looks}"
    raise LookupError(unclear)


def rounded_by(written: str, *, quantity: Quantity) -> float:
    """Give how far the maker may have rounded a reading: half its last digit, in base units.

    A reading with three digits or more is taken to be written as the meter shows it.
    """
    last, digits = _written(written, quantity)
    return 0.0 if last is None or digits >= _AS_SHOWN else 0.5 * last


def _written(written: str, quantity: Quantity) -> tuple[float | None, int]:
    """Give the worth of the last digit as written, None where it is not told, and their number."""
    shown = _SHOWN.fullmatch(written.strip())
    if shown is None:
        return None, _AS_SHOWN
    digits = f"{shown[1]}{shown[2] or ''}".lstrip("0")
    return parse(f"1 {shown[3]}", quantity) * 10.0 ** -len(shown[2] or ""), len(digits)


def diagnosed(
    plan: Plan,
    sub_assembly: str,
    *,
    written: Sequence[str] = (),
    error: float = 0.01,
    digits: float = 2.0,
    closed: bool = False,
) -> tuple[FaultBook, Diagnosis]:
    """Diagnose a sub-assembly from readings as the maker writes them.

    Parameters
    ----------
    plan, sub_assembly, closed
        As for :func:`fault_book`.
    written
        As for :func:`readings_of`.
    error, digits
        Of the meter: share of the reading, and last digits.

    Raises
    ------
    LookupError
        If there is no such sub-assembly.
    ValueError
        If a reading or the meter's error cannot be, or readings contradict each other.
    """
    meter = Meter(share=error, digits=digits)
    book = fault_book(plan, sub_assembly, meter=meter, closed=closed, written=written)
    return book, diagnose(book, readings_of(book, written))
