"""The answer of ``fault``: what to expect, what is likely wrong, what to read next, as records."""

import math

import numpy as np

from lamphouse import units
from lamphouse.circuit.branch import Band
from lamphouse.circuit.diagnosis import Suspect, meter_deviation
from lamphouse.circuit.fault_finder import Diagnosis, FaultBook
from lamphouse.circuit.fault_kinds import FaultKind
from lamphouse.circuit.meter import LOOKS, MOST_OHM, Look, Probe, ProbeKind, Reading
from lamphouse.circuit.next_reading import NextReading, Outcome
from lamphouse.record import Record
from lamphouse.units import Quantity

NOTHING = {ProbeKind.CURRENT: 5e-6, ProbeKind.VOLTAGE: 5e-4, ProbeKind.RESISTANCE: 0.0}
"""Below it a reading is nothing, whichever way: last digits that waver; from memory."""
_UNITS = {ProbeKind.CURRENT: "mA", ProbeKind.VOLTAGE: "V", ProbeKind.RESISTANCE: "ohm"}
MOST_SUSPECTS = 8
MOST_NAMES = 4
_WIDE = 2.0
"""Deviations either way of a band: 19 good parts of 20 lie in it."""
_QUANTITIES = {
    ProbeKind.CURRENT: Quantity.CURRENT,
    ProbeKind.VOLTAGE: Quantity.VOLTAGE,
    ProbeKind.RESISTANCE: Quantity.RESISTANCE,
}


class ExpectedReading(Record):
    """What a probe reads when nothing is wrong."""

    probe: str
    probe_kind: str
    words: str
    current_A: Band | None
    voltage_V: Band | None
    resistance_ohm: Band | None
    """One of the three; ends hold 19 good parts of 20."""


class FaultLine(Record):
    """One thing that may be wrong."""

    kind: str
    words: str
    mend: str
    alike: int
    """In how many more strings, alike and not solved each for itself, it may be instead."""


class SuspectLine(Record):
    """Faults that no reading can tell apart."""

    share: float
    """How probable it is that one of them is what is wrong."""
    faults: tuple[FaultLine, ...]
    """The likeliest first."""


class OutcomeLine(Record):
    """What the next reading may show, and what that would mean."""

    shows: str
    share: float
    means: tuple[str, ...]


class NextLine(Record):
    """The reading that tells most."""

    probe: str
    words: str
    bits: float
    outcomes: tuple[OutcomeLine, ...]


class FaultResult(Record):
    """The result of ``fault``."""

    sub_assembly: str
    readings: tuple[str, ...]
    expected: tuple[ExpectedReading, ...]
    faults: int
    """How many were solved."""
    left_out: str
    """What was not, of a sub-assembly with many strings; empty where all was."""
    fits: bool
    """Whether any of them explains the readings."""
    misfit: float
    """Deviations by which the best of them misses the readings, on the mean of them."""
    suspects: tuple[SuspectLine, ...]
    """The likeliest first; all others together have what is left of the probability."""
    then: NextLine | None
    """None where no reading tells anything more."""


def fault_result(book: FaultBook, diagnosis: Diagnosis) -> FaultResult:
    """Put a diagnosis into the shape answers carry."""
    return FaultResult(
        sub_assembly=book.wired.sub_assembly,
        readings=tuple(reading_words(reading) for reading in diagnosis.readings),
        expected=tuple(expected_readings(book)),
        faults=len(book.faults),
        left_out=book.bundled.left_out(),
        fits=diagnosis.fits(),
        misfit=diagnosis.misfit,
        suspects=tuple(suspect_line(one) for one in diagnosis.suspects[:MOST_SUSPECTS]),
        then=_then(diagnosis.then) if diagnosis.then else None,
    )


def expected_readings(book: FaultBook) -> list[ExpectedReading]:
    """List what every probe with a number reads when nothing is wrong, the meter's error in it."""
    lines = []
    deviation = book.foretold.deviation()[0]
    for place, probe in enumerate(book.foretold.numbers()):
        middle = float(book.foretold.middle[0, place])
        own = float(meter_deviation(probe, np.array(middle), meter=book.meter))
        reach = _WIDE * math.hypot(float(deviation[place]), own)
        ends = (middle - reach, middle, middle + reach)
        if probe.kind is ProbeKind.RESISTANCE:
            ends = tuple(math.exp(end) for end in ends)  # type: ignore[assignment]
        band = Band(low=ends[0], nominal=ends[1], high=ends[2])
        lines.append(
            ExpectedReading(
                probe=probe.name,
                probe_kind=str(probe.kind),
                words=probe.words,
                current_A=band if probe.kind is ProbeKind.CURRENT else None,
                voltage_V=band if probe.kind is ProbeKind.VOLTAGE else None,
                resistance_ohm=band if probe.kind is ProbeKind.RESISTANCE else None,
            )
        )
    return lines


def shown(value: float, *, kind: ProbeKind, digits: int = 3) -> str:
    """Give a number as a meter shows it; an open resistance as such."""
    if kind is ProbeKind.RESISTANCE and value >= 0.5 * MOST_OHM:
        return "open"
    floor = {ProbeKind.CURRENT: 1e-6, ProbeKind.VOLTAGE: 1e-4, ProbeKind.RESISTANCE: 0.1}[kind]
    rounded = round(value / floor) * floor
    return units.show(float(f"{rounded:.{digits}g}"), _QUANTITIES[kind])


def _parted(low: str, high: str) -> str:
    """Give two ends, the unit once where it is the same."""
    first, _, unit = low.rpartition(" ")
    return f"{first} to {high}" if first and high.endswith(f" {unit}") else f"{low} to {high}"


def span_words(least: float, most: float, *, kind: ProbeKind) -> str:
    """Give a band as a meter shows its ends, or one where they are the same."""
    if max(-least, most) <= NOTHING[kind]:
        return f"0 {_UNITS[kind]}"
    low, high = shown(least, kind=kind), shown(most, kind=kind)
    return low if low == high else _parted(low, high)


def reading_words(reading: Reading) -> str:
    """Give a reading as it was meant."""
    if isinstance(reading.value, Look):
        return f"{reading.probe.name} {reading.value}"
    return f"{reading.probe.name} {shown(reading.value, kind=reading.probe.kind, digits=4)}"


def suspect_line(suspect: Suspect) -> SuspectLine:
    """Tell a group's faults, of each that differs in a figure alone the likeliest one.

    Two faults at once are told only where there is nothing simpler.
    """
    singles = [one for one in suspect.faults if one.kind is not FaultKind.DOUBLE]
    told = {one.figure or one.name: one for one in reversed(singles or suspect.faults)}
    return SuspectLine(
        share=suspect.share,
        faults=tuple(
            FaultLine(kind=str(one.kind), words=one.words, mend=one.mend, alike=one.alike)
            for one in reversed(told.values())
        ),
    )


def with_alike(line: FaultLine) -> str:
    """Say what may be wrong, and in how many strings alike it may be instead."""
    return f"{line.words}, or so in {line.alike} more strings alike" if line.alike else line.words


def _then(then: NextReading) -> NextLine:
    return NextLine(
        probe=then.probe.name,
        words=then.probe.words,
        bits=then.bits,
        outcomes=tuple(
            OutcomeLine(
                shows=_shows(outcome, probe=then.probe),
                share=outcome.share,
                means=tuple(
                    with_alike(suspect_line(one).faults[0]) for one in outcome.suspects[:MOST_NAMES]
                ),
            )
            for outcome in then.outcomes
        ),
    )


def _shows(outcome: Outcome, *, probe: Probe) -> str:
    if probe.kind is not ProbeKind.LIGHT:
        return span_words(outcome.least, outcome.most, kind=probe.kind)
    if not outcome.looks:
        return "all lit"
    by_look = [
        (str(look), [name for name, seen in outcome.looks if seen == look]) for look in LOOKS
    ]
    return "; ".join(f"{', '.join(names)} {look}" for look, names in by_look if names)
