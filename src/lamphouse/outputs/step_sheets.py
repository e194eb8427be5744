"""The order of work and the evenings as data for the typesetter."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from lamphouse.build.schedule import Schedule
from lamphouse.build.steps import Step, StepEdge, WorkOrder
from lamphouse.build.themes import mind_of
from lamphouse.circuit.phrases import counted
from lamphouse.outputs.step_lines import clock, no_sooner
from lamphouse.plan.result import Plan

WORDS = (
    "One valid order; within it there are others, and the evenings are planned anew from what is "
    "done: lamphouse steps. No step that hides something is begun before the gate named under it "
    "has passed. Minutes and drying times are common practice; where the maker of a paint or a "
    "glue says otherwise, that holds."
)
WHOLE = "The whole model"


def order_of_work(plan: Plan) -> dict[str, Any] | None:
    """List every step with its gate, its reason and a box to tick; None where there is no step."""
    order = plan.order
    if order is None or not order.steps:
        return None
    hours = sum(step.minutes for step in order.steps) / 60.0
    gates = sum(step.is_gate for step in order.steps)
    latest = _latest(order)
    return {
        "words": WORDS,
        "total": f"{counted(len(order.steps), 'step')}, {gates} of them gates, {hours:.0f} h of "
        "work",
        "parts": [
            {"name": name or WHOLE, "rows": [_row(step, latest=latest) for step in steps]}
            for name, steps in _by_sub_assembly(order.steps)
        ],
    }


def evenings(plan: Plan, planned: Schedule) -> dict[str, Any] | None:
    """List evenings with their steps; None where there is none."""
    if plan.order is None or not planned.sessions:
        return None
    steps = {step.id: step for step in plan.order.steps}
    return {
        "words": _outlook(planned),
        "evenings": [
            {
                "when": f"{session.day:%A} {session.day.isoformat()}, {clock(session.starts_h)}",
                "what": f"{session.minutes:g} min, mostly {session.theme}"
                if session.theme
                else f"{session.minutes:g} min",
                "mind": mind_of(steps[name].kind for name in session.steps),
                "rows": [
                    (
                        "gate" if steps[name].is_gate else "",
                        steps[name].title,
                        f"{steps[name].minutes:g}",
                        _hours(steps[name]),
                    )
                    for name in session.steps
                ],
            }
            for session in planned.sessions
        ],
    }


def _outlook(planned: Schedule) -> str:
    told = f"{counted(len(planned.sessions), 'evening')}."
    if planned.ends:
        told += f" Done on {planned.ends.isoformat()}."
        if planned.soonest:
            bound = no_sooner(f"{planned.ends}", soonest=f"{planned.soonest}")
            told += f" {bound[0].upper()}{bound[1:]}."
    if planned.held_up:
        told += f" {counted(len(planned.held_up), 'step')} wait for a part that has no day."
    if planned.hours_short:
        told += f" {planned.hours_short:.3g} h of work find no evening."
    return told


def _by_sub_assembly(steps: Sequence[Step]) -> Iterator[tuple[str, list[Step]]]:
    """Put the steps of each sub-assembly together; what is of the whole model comes last.

    The order within each is kept, and so is that between them where it matters: what is done with
    a sub-assembly after the whole was plugged together stands with the whole model.
    """
    late = _after_the_rehearsal(steps)
    parts: dict[str, list[Step]] = {}
    for step in steps:
        if step.sub_assembly and step.id not in late:
            parts.setdefault(step.sub_assembly, []).append(step)
    yield from parts.items()
    rest = [step for step in steps if not step.sub_assembly or step.id in late]
    if rest:
        yield "", rest


def _after_the_rehearsal(steps: Sequence[Step]) -> frozenset[str]:
    names = [step.id for step in steps]
    if "model/rehearse" not in names:
        return frozenset()
    return frozenset(names[names.index("model/rehearse") :])


def _latest(order: WorkOrder) -> Mapping[str, StepEdge]:
    """Give for every step the edge from what is done last before it."""
    place = {step.id: number for number, step in enumerate(order.steps)}
    latest: dict[str, StepEdge] = {}
    for edge in order.edges:
        known = latest.get(edge.after)
        if known is None or place[edge.before] > place[known.before]:
            latest[edge.after] = edge
    return latest


def _row(step: Step, *, latest: Mapping[str, StepEdge]) -> dict[str, Any]:
    edge = latest.get(step.id)
    return {
        "gate": step.is_gate,
        "id": step.id,
        "title": step.title,
        "minutes": f"{step.minutes:g}",
        "rest": _hours(step),
        "why": f"after {edge.before}: {edge.why}" if edge else "",
        "needs": step.gate,
        "hides": ", ".join(_shown(step.hides)),
        "expected": list(step.expected),
    }


def _shown(items: Sequence[str], *, most: int = 4) -> list[str]:
    """Name the first few items of many."""
    shown = list(items[:most])
    return [*shown, f"{len(items) - most} more"] if len(items) > most else shown


def _hours(step: Step) -> str:
    return f"{step.rest_hours:g} h" if step.rest_hours else ""
