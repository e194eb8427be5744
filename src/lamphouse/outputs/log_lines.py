"""The answer of ``log``: entries, readings beside what was foretold, and what to do next."""

from collections.abc import Mapping, Sequence

from lamphouse.build.judged_log import JudgedReading, done_steps
from lamphouse.build.log_entries import LogEntry
from lamphouse.circuit.meter import Look, ProbeKind
from lamphouse.outputs.fault_lines import FaultResult, fault_result, shown, span_words
from lamphouse.plan.judged_readings import Judgement
from lamphouse.record import Record


class JudgedLine(Record):
    """One reading beside what was foretold."""

    name: str
    shows: str
    gate: str
    """Empty where no gate foretells it."""
    expected: str
    """What a good model shows on this meter; empty where nothing was foretold."""
    verdict: str


class LogResult(Record):
    """The result of every command of ``log``."""

    file: str
    """The log."""
    entries: tuple[LogEntry, ...]
    """Those just written, or those asked for."""
    done: tuple[str, ...]
    """Ids of all steps that are done, in the order of the letters."""
    judged: tuple[JudgedLine, ...]
    next: str
    """What to do now; empty where nothing was judged."""
    fault: FaultResult | None
    """What is likely wrong, where a reading is off."""
    told: tuple[str, ...]
    """What else to know: steps that should come first, what a figure as built changes."""


def log_result(
    file: str,
    *,
    entries: Sequence[LogEntry],
    every: Sequence[LogEntry],
    judgement: Judgement | None = None,
    told: Sequence[str] = (),
) -> LogResult:
    """Put entries and judgement into the shape answers carry.

    Parameters
    ----------
    file
        The log.
    entries
        Those to show.
    every
        The whole log, for what is done.
    judgement
        Of the readings just written.
    told
        What else to know.
    """
    fault = None
    if judgement and judgement.book and judgement.diagnosis:
        fault = fault_result(judgement.book, judgement.diagnosis)
    return LogResult(
        file=file,
        entries=tuple(entries),
        done=tuple(sorted(done_steps(every))),
        judged=tuple(map(_line, judgement.readings)) if judgement else (),
        next=judgement.next if judgement else "",
        fault=fault,
        told=tuple(told),
    )


def entry_words(entry: Mapping[str, str]) -> str:
    """Say in one line what an entry holds: ``chart table: plug = 12.1 mA``."""
    figure = " = ".join(part for part in (entry["name"], entry["value"]) if part)
    said = "; ".join(part for part in (figure, entry["text"], entry["attachment"]) if part)
    return ": ".join(part for part in (entry["item"], said) if part)


def _line(one: JudgedReading) -> JudgedLine:
    if isinstance(one.value, Look):
        shows, expected = str(one.value), str(Look.LIT)
    else:
        shows = shown(one.value, kind=one.kind, digits=4)
        expected = _band_words(one)
    return JudgedLine(
        name=one.name,
        shows=shows,
        gate=str(one.gate) if one.gate else "",
        expected=expected,
        verdict=str(one.verdict),
    )


def _band_words(one: JudgedReading) -> str:
    if one.low is None:
        return ""
    if one.high is None:
        return "open" if one.kind is ProbeKind.RESISTANCE else f"{shown(one.low, kind=one.kind)} up"
    return span_words(one.low, one.high, kind=one.kind)
