"""Readings at the bench judged against a plan, with what to do next when one is off."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from lamphouse.build.judged_log import (
    JudgedReading,
    Verdict,
    done_steps,
    foretold_at,
    judged,
    judged_look,
)
from lamphouse.catalogue.shelf import nearest
from lamphouse.circuit.diagnosis import meter_deviation
from lamphouse.circuit.expected import Expected, Gate
from lamphouse.circuit.fault_finder import Diagnosis, FaultBook
from lamphouse.circuit.foretold import foretell
from lamphouse.circuit.meter import LOOKS, Look, Meter, ProbeKind
from lamphouse.circuit.phrases import amps, ohms
from lamphouse.circuit.probes import REST
from lamphouse.circuit.resistors import nearest_preferred_ohm
from lamphouse.plan.bench_readings import with_readings
from lamphouse.plan.fault_finding import diagnosed, fault_book, measured_as, readings_of, rounded_by
from lamphouse.plan.result import Plan
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError

__all__ = ["GATES", "WHOLE_MODEL", "Judgement", "done_steps", "judge"]

WHOLE_MODEL = "whole model"
"""Named in the place of a sub-assembly, it means the supply and the feeds."""
GATES: Mapping[str, Gate] = {
    "loose": Gate.LOOSE,
    "board": Gate.BOARD,
    "open": Gate.OPEN,
    "closed": Gate.CLOSED,
    "model": Gate.IN_MODEL,
}
"""Gates by the words a maker types."""
_KINDS = {
    Quantity.CURRENT: ProbeKind.CURRENT,
    Quantity.VOLTAGE: ProbeKind.VOLTAGE,
    Quantity.RESISTANCE: ProbeKind.RESISTANCE,
}
_WIDEST = 3.0
"""Deviations either way that hold every good build but one of some hundreds."""
_UNPOWERED = (Gate.LOOSE, Gate.BOARD)
_WRITE_IT = "write it like plug=12.3mA, TP1=3.10V, R1=4.7kohm, W1=dark or rest=lit"


class Judgement(Record):
    """Readings of one sub-assembly beside what was foretold."""

    sub_assembly: str
    readings: tuple[JudgedReading, ...]
    next: str
    """What to do now, in words."""
    book: FaultBook | None = None
    diagnosis: Diagnosis | None = None
    """What is likely wrong, where something is and the fault finder can tell."""

    @property
    def all_right(self) -> bool:
        """Whether every reading is as it should be."""
        return all(one.is_right for one in self.readings)


def judge(
    plan: Plan,
    item: str,
    *,
    written: Sequence[str],
    gate: str | None = None,
    error: float = 0.01,
    digits: float = 2.0,
) -> Judgement:
    """Judge readings as the maker writes them.

    Parameters
    ----------
    plan
        The whole model.
    item
        A sub-assembly's name, or ``WHOLE_MODEL``.
    written
        ``plug=12.1mA``, ``TP1=3.10V``, ``R1=4.7kohm``, ``rails=open``, ``W1=2.65V`` of a loose
        LED, ``W1=dark``.
    gate
        One of ``GATES``; the first that foretells each reading without.
    error, digits
        Of the meter: share of the reading, and last digits.

    Raises
    ------
    LookupError
        If there is no such sub-assembly or gate.
    ValueError
        If a reading cannot be understood.
    """
    if gate is not None and gate not in GATES:
        unknown = f"no gate '{gate}'; there is: {', '.join(GATES)}"
        raise LookupError(unknown)
    meter = Meter(share=error, digits=digits)
    expected, aliases = _foretold(plan, item)
    at = GATES[gate] if gate else None
    readings = tuple(
        _judged(text, expected=expected, aliases=aliases, gate=at, meter=meter) for text in written
    )
    readings = tuple(
        _between_points(text, plan=plan, item=item, meter=meter)
        if one.verdict is Verdict.UNKNOWN and item != WHOLE_MODEL and gate not in ("loose", "board")
        else one
        for text, one in zip(written, readings, strict=True)
    )
    powered = [
        text
        for text, one in zip(written, readings, strict=True)
        if one.gate not in _UNPOWERED and item != WHOLE_MODEL
    ]
    wrong = [one for one in readings if not one.is_right]
    book = diagnosis = None
    if powered and any(one.gate not in _UNPOWERED for one in wrong):
        book, diagnosis = diagnosed(plan, item, written=powered, error=error, digits=digits)
    return Judgement(
        sub_assembly=item,
        readings=readings,
        next=_next(wrong, plan=plan, item=item, diagnosis=diagnosis),
        book=book,
        diagnosis=diagnosis,
    )


def _foretold(plan: Plan, item: str) -> tuple[tuple[Expected, ...], dict[str, str]]:
    """Give what is foretold for an item, and loose LEDs' names with that of their type."""
    read = plan if plan.readings else with_readings(plan)
    every = read.readings.sub_assemblies if read.readings else ()
    benches = {one.sub_assembly: one for one in every}
    if item == WHOLE_MODEL and read.readings:
        return read.readings.whole, {}
    if item not in benches:
        meant = nearest(item, list(benches))
        hint = f"did you mean '{meant}'?" if meant else f"there is: {', '.join(benches) or 'none'}"
        unknown = f"no sub-assembly '{item}' with a circuit; {hint}"
        raise LookupError(unknown)
    (sub,) = (one for one in plan.design.sub_assemblies if one.name == item)
    return benches[item].expected, {led.name: led.led_type.name for led in sub.leds()}


def _judged(
    text: str,
    *,
    expected: Sequence[Expected],
    aliases: Mapping[str, str],
    gate: Gate | None,
    meter: Meter,
) -> JudgedReading:
    name, sign, value = (part.strip() for part in text.rpartition("="))
    if not (sign and name and value):
        unclear = f"'{text}' is no reading; {_WRITE_IT}"
        raise ValueError(unclear)
    if value.casefold() in LOOKS:
        lights = [part.strip() for part in name.split(",")]
        unknown = [one for one in lights if one not in aliases and one.casefold() != REST]
        if unknown and name not in aliases:
            missing = f"'{text}': no light '{unknown[0]}'; there is: {', '.join(aliases) or 'none'}"
            raise ValueError(missing)
        return judged_look(name, Look(value.casefold()))
    try:
        number, quantity = measured_as(value)
    except (LookupError, UnitError) as fault:
        told = f"'{text}': {fault.args[0] if isinstance(fault, LookupError) else fault}"
        raise ValueError(told) from fault
    kind = _KINDS[quantity]
    found = foretold_at(expected, name, kind=kind, gate=gate)
    if found is None and name in aliases and kind is ProbeKind.VOLTAGE:
        found = foretold_at(expected, aliases[name], kind=kind, gate=Gate.LOOSE)
    return judged(
        name,
        number,
        kind=kind,
        expected=found,
        meter=meter,
        rounded=rounded_by(value, quantity=quantity),
    )


def _between_points(text: str, *, plan: Plan, item: str, meter: Meter) -> JudgedReading:
    """Judge a powered reading that no sheet lists, by what it shows when nothing is wrong."""
    book = fault_book(plan, item, meter=meter, written=[text])
    (reading,) = readings_of(book, [text])
    probe = reading.probe
    sound = foretell(
        book.bundled.netlist, book.faults[:1], probes=[probe], spread=book.spread, meter=meter
    )
    middle = float(sound.middle[0, 0])
    own = float(meter_deviation(probe, np.array(middle), meter=meter))
    reach = _WIDEST * math.hypot(float(sound.deviation()[0, 0]), own)
    low, high = middle - reach, middle + reach
    if probe.kind is ProbeKind.RESISTANCE:
        low, high = math.exp(low), math.exp(high)
    value = float(reading.value)
    low, high = low - reading.rounded, high + reading.rounded
    return JudgedReading(
        name=probe.name,
        kind=probe.kind,
        value=value,
        gate=None,
        low=low,
        high=high,
        verdict=Verdict.LOW if value < low else Verdict.HIGH if value > high else Verdict.IN_BAND,
    )


def _next(
    wrong: Sequence[JudgedReading], *, plan: Plan, item: str, diagnosis: Diagnosis | None
) -> str:
    """Say what to do now."""
    if not wrong:
        return "go on"
    unpowered = [one for one in wrong if one.gate in _UNPOWERED]
    if unpowered:
        return _unpowered(unpowered[0], plan=plan)
    if item == WHOLE_MODEL:
        plugs = ", ".join(
            f"{circuit.sub_assembly} {amps(circuit.total_A.nominal)}"
            for circuit in plan.circuits
            if circuit.strings
        )
        return f"plug in one sub-assembly after the other and read each: {plugs}"
    if diagnosis and diagnosis.then:
        return f"read {diagnosis.then.probe.name}, {diagnosis.then.probe.words}"
    if diagnosis:
        return "look at the places named; no other reading tells more"
    return "nothing was foretold there; read plug and test points as the bench sheet names them"


def _unpowered(one: JudgedReading, *, plan: Plan) -> str:
    """Say what to do about a loose LED or a part of the board alone."""
    if one.gate is Gate.LOOSE:
        return "turn the LED round and test it again; else put it aside: another kind, or dead"
    if one.high is None:
        return "look for a bridge of solder between the rails, with the plug pulled"
    value = float(one.value) if not isinstance(one.value, Look) else 0.0
    habits = plan.design.habits
    if not 0.0 < value < 1e9:
        return f"solder both ends of {one.name} again, and look for a crack in it"
    seems = ohms(nearest_preferred_ohm(value, series=habits.series))
    return (
        f"measure it again with the plug pulled: it reads like {seems}; change it, or log it as "
        "built and the plan follows"
    )
