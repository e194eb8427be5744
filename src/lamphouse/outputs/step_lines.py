"""The answer of ``steps`` as records: steps, edges, evenings, what is next, and why."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

from lamphouse.build.critical_path import chance_within
from lamphouse.build.effort import effort
from lamphouse.build.schedule import Schedule, Session
from lamphouse.build.steps import StepEdge, WorkOrder
from lamphouse.build.themes import mind_of
from lamphouse.catalogue.shelf import nearest
from lamphouse.plan.ordered import order_of
from lamphouse.plan.result import Plan
from lamphouse.record import Record


class StepLine(Record):
    """One step."""

    id: str
    kind: str
    title: str
    sub_assembly: str
    items: tuple[str, ...]
    minutes: float
    rest_hours: float
    gate: str
    """Id of the gate that must pass first; empty without."""
    hides: tuple[str, ...]
    expected: tuple[str, ...]
    """Of a gate: what the meter and the eye should see."""
    parts: tuple[str, ...]
    done: bool
    critical: bool
    """Whether it is of the chain that decides how soon the model is done."""
    day: str
    """ISO 8601; empty where it found no evening."""
    dry: str
    """Day and time from which what it leaves is dry, of a step that is done by the time of its
    tick; empty where nobody knows."""


class EveningLine(Record):
    """One evening with its steps."""

    day: str
    starts: str
    theme: str
    minutes: float
    steps: tuple[str, ...]
    mind: str
    """Cautions for what is done; empty where nothing hurts."""


class Reason(Record):
    """A step before or after another, and why."""

    step: str
    title: str
    why: str


class WhyLine(Record):
    """Why one step stands where it stands."""

    step: str
    title: str
    after: tuple[Reason, ...]
    """What must be done first."""
    before: tuple[Reason, ...]
    """What waits for it."""


class StepsResult(Record):
    """The result of ``steps``."""

    project: str
    steps: tuple[StepLine, ...]
    """In one valid order."""
    edges: tuple[StepEdge, ...]
    evenings: tuple[EveningLine, ...]
    next: tuple[str, ...]
    """Best for the next evening."""
    critical: tuple[str, ...]
    unplaced: tuple[str, ...]
    held_up: tuple[str, ...]
    """Of those, what waits for a part nobody has a day for."""
    hours_left: float
    """Hands on, by the table of times."""
    likely_h: float
    """The same with quick and slow steps weighed."""
    hours_short: float
    """Of work that found no evening."""
    chance: float | None
    """That the evenings named have hours enough; None without evenings."""
    ends: str
    """Day of the last step; empty while some found no evening."""
    soonest: str
    """Day before which no order of the work is done, proved; empty while ``ends`` is."""
    why: WhyLine | None
    file: str
    """The calendar file written; empty without."""


def steps_result(
    plan: Plan,
    planned: Schedule,
    *,
    evening_hours: float,
    done: frozenset[str] = frozenset(),
    dry: Mapping[str, datetime] | None = None,
    why: str = "",
    file: str = "",
) -> StepsResult:
    """Put order and evenings of a plan into an answer.

    Parameters
    ----------
    evening_hours
        Of all evenings that were given.
    dry
        When what done steps left is dry.
    why
        A step to explain; empty for none.

    Raises
    ------
    LookupError
        When there is no such step; its message names the nearest.
    """
    order = order_of(plan)
    left = effort([step for step in order.steps if step.id not in done])
    return StepsResult(
        project=plan.design.name,
        steps=tuple(_lines(order, planned, done=done, dry=dry or {})),
        edges=order.edges,
        evenings=tuple(_evening(one, order=order) for one in planned.sessions),
        next=planned.next,
        critical=planned.critical,
        unplaced=planned.unplaced,
        held_up=planned.held_up,
        hours_left=round(planned.hours_left, 2),
        likely_h=round(left.mean, 2),
        hours_short=round(planned.hours_short, 2),
        chance=round(chance_within(evening_hours, estimate=left), 3) if evening_hours else None,
        ends=planned.ends.isoformat() if planned.ends else "",
        soonest=planned.soonest.isoformat() if planned.soonest else "",
        why=explained(order, why) if why else None,
        file=file,
    )


def no_sooner(ends: str, *, soonest: str) -> str:
    """Say how much sooner another order of the work could be done at best."""
    return f"no order is done {'sooner' if soonest == ends else f'before {soonest}'}"


def explained(order: WorkOrder, name: str) -> WhyLine:
    """Tell what a step waits for and what waits for it; of one reason the nearest steps alone.

    Raises
    ------
    LookupError
        When there is no such step; its message names the nearest.
    """
    steps = {step.id: step for step in order.steps}
    if name not in steps:
        meant = nearest(name, list(steps))
        advice = f"did you mean '{meant}'?" if meant else "see lamphouse steps for their names"
        message = f"no step '{name[:60]}'; {advice}"
        raise LookupError(message)
    first = [edge for edge in order.edges if edge.after == name]
    then = [edge for edge in order.edges if edge.before == name]
    behind = _behind(order)
    return WhyLine(
        step=name,
        title=steps[name].title,
        after=tuple(
            Reason(step=edge.before, title=steps[edge.before].title, why=edge.why)
            for edge in first
            if not any(
                other.why == edge.why and other.before in behind[edge.before] for other in first
            )
        ),
        before=tuple(
            Reason(step=edge.after, title=steps[edge.after].title, why=edge.why)
            for edge in then
            if not any(
                other.why == edge.why and edge.after in behind[other.after] for other in then
            )
        ),
    )


def _behind(order: WorkOrder) -> dict[str, set[str]]:
    """Give for every step all that come after it."""
    behind: dict[str, set[str]] = {step.id: set() for step in order.steps}
    after: dict[str, list[str]] = {step.id: [] for step in order.steps}
    for edge in order.edges:
        after[edge.before].append(edge.after)
    for step in reversed(order.steps):
        for then in after[step.id]:
            behind[step.id] |= behind[then] | {then}
    return behind


def clock(hours: float) -> str:
    """Write an hour of the day as hours and minutes.

    Examples
    --------
    >>> clock(19.5), clock(25.0)
    ('19:30', '01:00')
    """
    minutes = round(hours * 60.0)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def _lines(
    order: WorkOrder, planned: Schedule, *, done: frozenset[str], dry: Mapping[str, datetime]
) -> Sequence[StepLine]:
    placed = {one.step: one for one in planned.placed}
    chain = set(planned.critical)
    lines = []
    for step in order.steps:
        at = placed.get(step.id)
        lines.append(
            StepLine(
                id=step.id,
                kind=str(step.kind),
                title=step.title,
                sub_assembly=step.sub_assembly,
                items=step.items,
                minutes=step.minutes,
                rest_hours=step.rest_hours,
                gate=step.gate,
                hides=step.hides,
                expected=step.expected,
                parts=step.parts,
                done=step.id in done,
                critical=step.id in chain,
                day=_day(planned.first_day, at.starts) if at else "",
                dry=f"{dry[step.id]:%Y-%m-%d %H:%M}"
                if step.id in dry
                else _moment(planned.first_day, at.rests_until)
                if at and step.rest_hours
                else "",
            )
        )
    return lines


def _day(first: date | None, hours: float) -> str:
    return (first + timedelta(days=hours // 24.0)).isoformat() if first else ""


def _moment(first: date | None, hours: float) -> str:
    return f"{_day(first, hours)} {clock(hours % 24.0)}" if first else ""


def _evening(session: Session, *, order: WorkOrder) -> EveningLine:
    return EveningLine(
        day=session.day.isoformat(),
        starts=clock(session.starts_h),
        theme=session.theme,
        minutes=session.minutes,
        steps=session.steps,
        mind=mind_of(step.kind for step in order.steps if step.id in session.steps),
    )
