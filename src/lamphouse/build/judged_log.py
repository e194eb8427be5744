"""What a bench log says: which steps are done, and whether readings lie where they should."""

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from enum import StrEnum
from math import isinf

from lamphouse.build.log_entries import LogEntry, LogKind
from lamphouse.build.steps import WorkOrder
from lamphouse.circuit.expected import Expected, Gate
from lamphouse.circuit.meter import MOST_OHM, Look, Meter, ProbeKind
from lamphouse.record import Record


class Verdict(StrEnum):
    """What a reading says of the model."""

    IN_BAND = "in band"
    LOW = "too low"
    HIGH = "too high"
    OFF = "not as it should be"
    """Of a light, by its look."""
    UNKNOWN = "nothing foretold"
    """Nobody has computed what is read there."""


GATE_ORDER = (Gate.OPEN, Gate.CLOSED, Gate.IN_MODEL, Gate.BOARD, Gate.LOOSE, Gate.WHOLE)
"""Which gate a reading is taken to belong to when nobody says: the first that foretells it."""


class JudgedReading(Record):
    """One reading beside what was foretold."""

    name: str
    """Where it was read: ``plug``, ``TP1``, ``R1``, ``W1``."""
    kind: ProbeKind
    value: float | Look
    """In A, V or ohm; or how a light looks."""
    gate: Gate | None
    """None where no gate foretells it."""
    low: float | None
    """Least that a good model may show on this meter, same unit; None where there is no number."""
    high: float | None
    verdict: Verdict

    @property
    def is_right(self) -> bool:
        """Whether nothing is wrong as far as this reading tells."""
        return self.verdict is Verdict.IN_BAND


def done_steps(entries: Sequence[LogEntry]) -> frozenset[str]:
    """Give the ids of the steps that are done: ticked, and not undone after it.

    Examples
    --------
    >>> done_steps(())
    frozenset()
    """
    last = {
        entry.item: entry.kind for entry in entries if entry.kind in (LogKind.STEP, LogKind.UNDONE)
    }
    return frozenset(item for item, kind in last.items() if kind == LogKind.STEP)


def dry_at(entries: Sequence[LogEntry], *, order: WorkOrder) -> dict[str, datetime]:
    """Tell when what done steps left is dry, by the clock on the wall where they were ticked.

    Steps that leave nothing to dry, or whose time cannot be counted on, are left out.
    """
    done = done_steps(entries)
    rests = {step.id: step.rest_hours for step in order.steps if step.rest_hours}
    found: dict[str, datetime] = {}
    for entry in entries:
        if entry.kind == LogKind.STEP and entry.item in done and entry.item in rests:
            with suppress(ValueError, OverflowError):
                ticked = datetime.fromisoformat(entry.at).replace(tzinfo=None)
                found[entry.item] = ticked + timedelta(hours=rests[entry.item])
    return found


def foretold_at(
    expected: Sequence[Expected], name: str, *, kind: ProbeKind, gate: Gate | None = None
) -> Expected | None:
    """Find what was foretold for a reading.

    Parameters
    ----------
    expected
        Of a sub-assembly, or of the whole model.
    name
        Compared without regard to capitals and spaces.
    kind
        What was measured.
    gate
        At which gate; None takes the first of ``GATE_ORDER`` that foretells it.
    """
    wanted = _plain(name)
    found = [
        one
        for one in expected
        if one.kind is kind and _plain(one.name) == wanted and gate in (None, one.gate)
    ]
    return min(found, key=lambda one: GATE_ORDER.index(one.gate), default=None)


def judged(
    name: str,
    value: float,
    *,
    kind: ProbeKind,
    expected: Expected | None,
    meter: Meter,
    rounded: float = 0.0,
) -> JudgedReading:
    """Judge a number against the band of all good parts, widened by what the meter may be off.

    Parameters
    ----------
    value
        In A, V or ohm; infinite for an open line.
    expected
        What was foretold; None where nothing was.
    meter
        That it was read on.
    rounded
        How far the maker may have rounded it, same unit.
    """
    if expected is None:
        low = high = None
        verdict = Verdict.UNKNOWN
    elif expected.band is None:
        low, high = 0.5 * MOST_OHM, float("inf")
        verdict = Verdict.IN_BAND if value >= low else Verdict.LOW
    else:
        slack = meter.digits * expected.resolution + rounded
        low = expected.band.low - meter.share * abs(expected.band.low) - slack
        high = expected.band.high + meter.share * abs(expected.band.high) + slack
        verdict = Verdict.LOW if value < low else Verdict.HIGH if value > high else Verdict.IN_BAND
    return JudgedReading(
        name=name,
        kind=kind,
        value=value,
        gate=expected.gate if expected else None,
        low=low,
        high=None if high is not None and isinf(high) else high,
        verdict=verdict,
    )


def judged_look(name: str, look: Look) -> JudgedReading:
    """Judge how a light looks: it should be lit."""
    return JudgedReading(
        name=name,
        kind=ProbeKind.LIGHT,
        value=look,
        gate=None,
        low=None,
        high=None,
        verdict=Verdict.IN_BAND if look is Look.LIT else Verdict.OFF,
    )


def _plain(name: str) -> str:
    return name.casefold().replace(" ", "")
