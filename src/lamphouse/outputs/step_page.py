"""The order of work as the page shows it: evening by evening, with what each step waits for."""

from collections.abc import Iterator
from enum import StrEnum

from lamphouse.build.schedule import Schedule as Schedule
from lamphouse.build.steps import WorkOrder as WorkOrder
from lamphouse.build.themes import THEMES as THEMES
from lamphouse.drawings.work_chart import work_chart
from lamphouse.outputs.contents import document_of
from lamphouse.outputs.order_pages import order_pages
from lamphouse.outputs.page_drawings import Shown, shown
from lamphouse.outputs.pdf import set_pages
from lamphouse.outputs.step_lines import EveningLine, StepLine, StepsResult
from lamphouse.plan.ordered import order_of
from lamphouse.plan.result import Plan
from lamphouse.record import Record, replace

MOST_REASONS = 2
"""Reasons told beside a step that waits; its card tells all."""


class Standing(StrEnum):
    """How a step stands; the value is the maker's word for it."""

    READY = "can be done now"
    WAITS = "waits"
    DRIES = "not dry yet"
    HELD = "waits for a part"
    DONE = "done"


class WaitsFor(Record):
    """A step that is not done and must come first."""

    step: str
    title: str
    why: str


class PageStep(Record):
    """One step as the page lists it."""

    line: StepLine
    standing: Standing
    waits: tuple[WaitsFor, ...]
    """The first few of what is open before it, the latest first; of one reason the last step."""
    more: int
    """For how many other reasons it waits."""
    wet: str
    """Day and time until which what was done before it dries; empty where all is dry."""
    goes_on: bool
    """Whether it was begun on an evening before."""


class PageEvening(Record):
    """One evening with its steps; one without a day holds what found no evening."""

    evening: EveningLine | None
    steps: tuple[PageStep, ...]


def evenings_of(result: StepsResult, *, now: str) -> tuple[PageEvening, ...]:
    """Sort the steps of an answer into its evenings.

    What found no evening comes after the last one, and what is done after that, both in the order
    of work.

    Parameters
    ----------
    now
        Day and time on the wall, as :class:`~lamphouse.outputs.step_lines.StepLine` has them.
    """
    listed = {one.line.id: one for one in _listed(result, now=now)}
    placed: set[str] = set()
    evenings = []
    for evening in result.evenings:
        steps = (
            replace(listed[name], goes_on=name in placed) for name in dict.fromkeys(evening.steps)
        )
        evenings.append(PageEvening(evening=evening, steps=tuple(steps)))
        placed.update(evening.steps)
    rest = [one for name, one in listed.items() if name not in placed]
    for done in (False, True):
        some = tuple(one for one in rest if one.line.done is done)
        if some:
            evenings.append(PageEvening(evening=None, steps=some))
    return tuple(evenings)


def chart_of(plan: Plan, planned: Schedule) -> tuple[Shown, ...]:
    """Draw the evenings as the pack draws them."""
    return tuple(map(shown, work_chart(order_of(plan), planned, paper=plan.design.paper)))


def order_pdf(plan: Plan, planned: Schedule) -> bytes | None:
    """Set the pack's pages of the order of work, with these evenings; None without a step.

    Parameters
    ----------
    plan
        With its order; see :func:`lamphouse.plan.ordered.with_order`.
    """
    entries = list(order_pages(plan, spread=planned))
    return set_pages(document_of(plan, entries), day=plan.design.day) if entries else None


def parts_waited_for(order: WorkOrder) -> tuple[str, ...]:
    """Name every part that a step needs, as the parts list does."""
    return tuple(sorted({part for step in order.steps for part in step.parts}))


def _listed(result: StepsResult, *, now: str) -> Iterator[PageStep]:
    """Say of every step how it stands; what is done last before it is told first."""
    place = {line.id: number for number, line in enumerate(result.steps)}
    open_: dict[str, dict[str, str]] = {}
    wet: dict[str, str] = {}
    for edge in result.edges:
        before = result.steps[place[edge.before]]
        if before.done:
            if before.dry > now:
                wet[edge.after] = max(wet.get(edge.after, ""), before.dry)
        else:
            open_.setdefault(edge.after, {}).setdefault(edge.before, edge.why)
    held = set(result.held_up)
    for line in result.steps:
        first = {} if line.done else open_.get(line.id, {})
        latest = sorted(first, key=place.__getitem__)
        nearest = {first[name]: name for name in latest}  # of one reason the last step alone
        waits = [
            WaitsFor(step=name, title=result.steps[place[name]].title, why=why)
            for why, name in sorted(nearest.items(), key=lambda one: -place[one[1]])
        ]
        yield PageStep(
            line=line,
            standing=_standing(line, held=line.id in held, waits=bool(first), wet=line.id in wet),
            waits=tuple(waits[:MOST_REASONS]),
            more=max(len(waits) - MOST_REASONS, 0),
            wet="" if line.done else wet.get(line.id, ""),
            goes_on=False,
        )


def _standing(line: StepLine, *, held: bool, waits: bool, wet: bool) -> Standing:
    if line.done:
        return Standing.DONE
    if held:
        return Standing.HELD
    if waits:
        return Standing.WAITS
    return Standing.DRIES if wet else Standing.READY
