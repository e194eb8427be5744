"""The readings of a step that is a gate: what to expect, and what was logged, judged in place."""

from collections.abc import Sequence

from lamphouse.build.log_entries import LogEntry, LogKind
from lamphouse.build.steps import Step
from lamphouse.outputs import reading_sheets
from lamphouse.outputs.log_lines import JudgedLine, LogResult, log_result
from lamphouse.plan.judged_readings import WHOLE_MODEL, judge
from lamphouse.plan.result import Plan
from lamphouse.record import Record

GATE_OF_VERB = {
    "test LEDs": "loose",
    "test board": "board",
    "test open": "open",
    "test closed": "closed",
    "test in model": "model",
}
"""Word by which the log names the gate of a step, by what the step does; as
``plan.judged_readings.GATES`` has them, in the order of the readings sheet."""
WHOLE_STEP = "model/rehearse"
"""The step at which supply and feeds are read with everything lit."""


class ReadingRow(Record):
    """One reading to take."""

    name: str
    place: str
    """Where the probe goes."""
    range: str
    """Of the meter."""
    shows: str
    """As designed."""
    band: str
    """What good parts may show."""
    logged: str
    """What was logged last at this gate; empty where nothing was."""
    verdict: JudgedLine | None
    """Of what was logged; None where nothing was, or it could not be understood."""


class GateReadings(Record):
    """What is read at one gate."""

    item: str
    """As the log names it: a sub-assembly, or the whole model."""
    gate: str
    """A word of ``plan.judged_readings.GATES``; empty for the whole model."""
    title: str
    how: str
    rows: tuple[ReadingRow, ...]
    judged: LogResult | None
    """What was logged as a whole, with what to do next; None while nothing was."""


def gate_of(step: Step) -> str:
    """Give the log's word for the gate of a step; empty where nothing is foretold at it."""
    for verb, gate in GATE_OF_VERB.items():
        if step.sub_assembly and step.id == f"{step.sub_assembly}/{verb}":
            return gate
    return ""


def text_of(gate: str) -> str:
    """Give the words by which an entry of the log tells its gate."""
    return f"gate {gate}" if gate else ""


def gate_readings(
    plan: Plan, step: Step, *, entries: Sequence[LogEntry] = ()
) -> GateReadings | None:
    """Give what is read at a step; None where it is no gate, or nothing is foretold.

    Parameters
    ----------
    plan
        With its readings; see :func:`lamphouse.plan.bench_readings.with_readings`.
    step
        Of its order of work.
    entries
        The bench log.
    """
    gate = gate_of(step)
    if step.id == WHOLE_STEP:
        item, title, how = WHOLE_MODEL, "Supply and feeds, everything lit", ""
        rows: Sequence[Sequence[str]] = reading_sheets.whole(plan)
    elif gate:
        item = step.sub_assembly
        sub = next(one for one in plan.design.sub_assemblies if one.name == item)
        sheet = reading_sheets.readings(plan, sub)
        if sheet is None:
            return None
        at = sheet["gates"][list(GATE_OF_VERB.values()).index(gate)]
        title, how, rows = at["name"], at["how"], at["rows"]
    else:
        return None
    if not rows:
        return None
    logged = _logged(entries, item=item, gate=gate)
    judged, verdicts = _judged(plan, item, gate=gate, logged=logged)
    return GateReadings(
        item=item,
        gate=gate,
        title=title,
        how=how,
        rows=tuple(
            ReadingRow(
                name=name,
                place=place,
                range=top,
                shows=shows,
                band=band,
                logged=logged.get(name, ""),
                verdict=verdicts.get(name),
            )
            for name, place, top, shows, band in rows
        ),
        judged=judged,
    )


def _logged(entries: Sequence[LogEntry], *, item: str, gate: str) -> dict[str, str]:
    """Give what was logged last at a gate, by name."""
    return {
        one.name: one.value
        for one in entries
        if one.kind == LogKind.READING and one.item == item and one.text == text_of(gate)
    }


def _judged(
    plan: Plan, item: str, *, gate: str, logged: dict[str, str]
) -> tuple[LogResult | None, dict[str, JudgedLine]]:
    """Judge what was logged; what cannot be understood stays without a verdict."""
    written = {}
    for name, value in logged.items():
        try:
            judge(plan, item, written=[f"{name}={value}"], gate=gate or None)
        except (LookupError, ValueError):
            continue
        written[name] = f"{name}={value}"
    if not written:
        return None, {}
    judgement = judge(plan, item, written=list(written.values()), gate=gate or None)
    result = log_result("", entries=(), every=(), judgement=judgement)
    return result, dict(zip(written, result.judged, strict=True))
