"""Steps spread over the evenings there are: what to do when, and what decides when it ends.

One builder works on one thing at a time; what dries and cures goes on between evenings. Evenings
follow one another in time, so that a coat laid at ten is dry the next evening at half past seven.
A step longer than any evening goes on the next time; every other is done in one go. Among schedules
that end on the same evening, the one with the fewest changes of theme is taken.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from functools import partial
from math import ceil, inf

from lamphouse.build.critical_path import Activity, critical_path
from lamphouse.build.one_theme import by_theme, gathered
from lamphouse.build.resource_schedule import Job, Problem, Starts, least_end, search
from lamphouse.build.slot_calendar import SlotCalendar
from lamphouse.build.step_times import STEP_MIN
from lamphouse.build.steps import Step, WorkOrder
from lamphouse.build.themes import ANY, THEME_OF
from lamphouse.design.whole import Evening
from lamphouse.record import Record

TRIES = 24
"""Orders tried; more than these gain nothing on the demos."""
SPARE = 1.6
"""Evenings looked at first: so many times the work that is left."""
SLOT_H = STEP_MIN / 60.0
LAST_YEAR = 9000
"""Evenings after it are none: what dries then would be dry after the last day there is."""
UNHURRIED_H = 2.0
"""What an evening is taken to have when the project names none."""


class Session(Record):
    """What is done on one evening."""

    day: date
    starts_h: float
    """Hour of the day."""
    steps: tuple[str, ...]
    """Ids, in the order of the evening; one that goes on next time stands in both."""
    minutes: float
    """Hands on."""
    theme: str
    """What most of its time goes to; empty for tests alone."""


class Placed(Record):
    """When a step is done, and when it is dry."""

    step: str
    starts: float
    ends: float
    rests_until: float
    """All in hours since the midnight of ``Schedule.first_day``."""


class Schedule(Record):
    """Steps spread over evenings."""

    sessions: tuple[Session, ...]
    unplaced: tuple[str, ...]
    """Steps for which there is no evening, or whose part has no day."""
    critical: tuple[str, ...]
    """The chain of steps that decides how soon the model can be done."""
    ends: date | None
    """Day of the last step; None while steps are unplaced."""
    next: tuple[str, ...]
    """Best for the next evening."""
    placed: tuple[Placed, ...] = ()
    first_day: date | None = None
    """The day from whose midnight hours are counted."""
    held_up: tuple[str, ...] = ()
    """Steps that wait, by themselves or by what comes before, for a part nobody has a day for."""
    hours_left: float = 0.0
    """Hands on, of all steps not done."""
    hours_short: float = 0.0
    """Of those that found no evening."""
    soonest: date | None = None
    """Before it no order of the work is done; None while steps are unplaced."""


def schedule(
    order: WorkOrder,
    *,
    evenings: Sequence[Evening],
    done: frozenset[str] = frozenset(),
    waiting: Mapping[str, date | None] | None = None,
    dry: Mapping[str, datetime] | None = None,
    tries: int = TRIES,
) -> Schedule:
    """Spread the steps that are left over evenings.

    Parameters
    ----------
    order
        Every step.
    evenings
        In any order; two of one day that overlap follow on one another.
    done
        Ids of steps that are done.
    waiting
        Parts that are not there yet with the day they come; None: nobody knows.
    dry
        When what done steps left is dry, by the clock on the wall; what is not named is dry.
    tries
        Orders of the steps to try.

    Returns
    -------
    Schedule
        The same for the same arguments on every machine.
    """
    left = [step for step in order.steps if step.id not in done]
    after = _forerunners(order, left)
    held = _held_up(left, after=after, waiting=waiting or {})
    able = [step for step in left if step.id not in held]
    free = _in_time(evenings)
    ready = _ready(order, able, waiting=waiting or {}, dry=dry or {})
    starts, problem = _placed(able, after=after, evenings=free, ready=ready, tries=tries)
    there = sum(round(one.hours / SLOT_H) for one in free)
    kept = tuple(
        None if at is None or at + job.lasts > there else at
        for job, at in zip(problem.jobs, starts, strict=True)
    )
    sessions = tuple(_sessions(able, kept, calendar=problem.calendar, evenings=free))
    missing = {step.id for step, at in zip(able, kept, strict=True) if at is None}
    unplaced = tuple(step.id for step in left if step.id in missing or step.id in held)
    return Schedule(
        sessions=sessions,
        unplaced=unplaced,
        critical=_critical(left, after=after),
        ends=sessions[-1].day if sessions and not unplaced else None,
        next=_first(able, starts, calendar=problem.calendar),
        placed=_times(able, kept, calendar=problem.calendar, evenings=free),
        first_day=free[0].day if free else None,
        held_up=tuple(step.id for step in left if step.id in held),
        hours_left=sum(step.minutes for step in left) / 60.0,
        hours_short=sum(step.minutes for step in able if step.id in missing) / 60.0,
        soonest=_soonest(problem, evenings=free) if sessions and not unplaced else None,
    )


def _soonest(problem: Problem, *, evenings: Sequence[Evening]) -> date:
    return evenings[_session_of(problem.calendar)[least_end(problem) - 1]].day


def _forerunners(order: WorkOrder, left: Sequence[Step]) -> dict[str, tuple[str, ...]]:
    names = {step.id for step in left}
    after: dict[str, list[str]] = {name: [] for name in names}
    for edge in order.edges:
        if edge.before in names and edge.after in names:
            after[edge.after].append(edge.before)
    return {name: tuple(dict.fromkeys(before)) for name, before in after.items()}


def _held_up(
    left: Sequence[Step],
    *,
    after: Mapping[str, Sequence[str]],
    waiting: Mapping[str, date | None],
) -> frozenset[str]:
    """Find what waits for a part without a day, and all that comes after it."""
    never = {part for part, day in waiting.items() if day is None}
    held: set[str] = set()
    for step in left:
        if never & set(step.parts) or held & set(after[step.id]):
            held.add(step.id)
    return frozenset(held)


def _ready(
    order: WorkOrder,
    steps: Sequence[Step],
    *,
    waiting: Mapping[str, date | None],
    dry: Mapping[str, datetime],
) -> dict[str, float]:
    """Give for steps the hour before which they cannot begin: parts come, coats of before dry."""
    ready: dict[str, float] = {}
    for step in steps:
        for part in step.parts:
            if day := waiting.get(part):
                ready[step.id] = max(ready.get(step.id, -inf), 24.0 * day.toordinal())
    for edge in order.edges:
        if at := dry.get(edge.before):
            hour = 24.0 * at.toordinal() + at.hour + at.minute / 60.0
            ready[edge.after] = max(ready.get(edge.after, -inf), hour)
    able = {step.id for step in steps}
    return {name: hour for name, hour in ready.items() if name in able}


def _in_time(evenings: Sequence[Evening]) -> list[Evening]:
    """Sort evenings; one that begins before the one before it has ended begins at its end."""
    free: list[Evening] = []
    over = -inf
    for one in sorted(evenings, key=lambda each: (each.day, each.starts_h)):
        at = max(24.0 * one.day.toordinal() + one.starts_h, over)
        slots = int(one.hours / SLOT_H + 1e-6)
        if slots < 1 or one.day.year > LAST_YEAR:
            continue
        over = at + slots * SLOT_H
        starts = at - 24.0 * one.day.toordinal()
        free.append(Evening(day=one.day, hours=slots * SLOT_H, starts_h=starts, suits=one.suits))
    return free


def _placed(
    steps: Sequence[Step],
    *,
    after: Mapping[str, Sequence[str]],
    evenings: Sequence[Evening],
    ready: Mapping[str, float],
    tries: int,
) -> tuple[Starts, Problem]:
    """Plan the whole build, on evenings to come where those named do not suffice.

    So the first evenings are spent on what the end hangs on, and not on what happens to fit. No
    more evenings are looked at than it takes: most of a year's are never needed.
    """
    wanted = SPARE * sum(step.minutes for step in steps) / 60.0
    themes = [THEME_OF[step.kind] for step in steps]
    while True:
        comes_h = max(ready.values(), default=-inf)
        free = _enough(evenings, hours=wanted, comes_h=comes_h)
        problem = _problem(steps, after=after, free=free, ready=ready)
        cost = partial(_cost, problem, themes=themes)
        first = [by_theme(problem, themes=themes)]
        starts = search(problem, cost=cost, first=first, tries=tries)
        if all(at is not None for at in starts):
            return gathered(problem, starts=starts, themes=themes), problem
        wanted = 2.0 * wanted + 24.0


class _Free(Record):
    """Time in which work can be done; it needs no date, and so may lie in any year."""

    at_h: float
    """Hours since the first day of the calendar."""
    slots: int
    suits: tuple[str, ...] = ()


def _enough(evenings: Sequence[Evening], *, hours: float, comes_h: float) -> list[_Free]:
    """Take evenings until they have so many hours, as many again after all has come and is dry.

    After the last one named every day has one more, and every day from ``comes_h`` on.
    """
    wanted = ceil(hours / SLOT_H)
    used: list[_Free] = []
    before = after = 0
    for one in evenings:
        slots = round(one.hours / SLOT_H)
        at_h = 24.0 * one.day.toordinal() + one.starts_h
        used.append(_Free(at_h=at_h, slots=slots, suits=one.suits))
        before, after = before + slots, after + slots * (at_h >= comes_h)
        if before >= wanted and after >= wanted:
            return used
    longest = max((one.slots for one in used), default=round(UNHURRIED_H / SLOT_H))
    at_h = used[-1].at_h if used else 0.0
    while before < wanted:
        at_h += 24.0
        used.append(_Free(at_h=at_h, slots=longest))
        before, after = before + longest, after + longest * (at_h >= comes_h)
    at_h = max(at_h, comes_h)
    while after < wanted:
        at_h += 24.0
        used.append(_Free(at_h=at_h, slots=longest))
        after += longest
    return used


def _problem(
    steps: Sequence[Step],
    *,
    after: Mapping[str, Sequence[str]],
    free: Sequence[_Free],
    ready: Mapping[str, float],
) -> Problem:
    masks = _suited(free)
    place = {step.id: number for number, step in enumerate(steps)}
    jobs = []
    for step in steps:
        jobs.append(
            Job(
                lasts=max(1, round(step.minutes / STEP_MIN)),
                needs=(1,),
                after=tuple(place[one] for one in after[step.id]),
                rest=step.rest_hours,
                ready=ready.get(step.id, -inf),
                allowed=masks.get(THEME_OF[step.kind], -1),
            )
        )
    calendar = SlotCalendar(tuple((one.at_h, one.slots) for one in free), SLOT_H)
    return Problem(jobs=tuple(jobs), levels=(1,), calendar=calendar)


def _suited(free: Sequence[_Free]) -> dict[str, int]:
    """Mask for every theme the slots of evenings that suit it; what no evening limits is absent."""
    if not any(one.suits for one in free):
        return {}
    masks = dict.fromkeys(set(THEME_OF.values()) - {ANY}, 0)
    at = 0
    for one in free:
        for theme in masks:
            if not one.suits or theme in one.suits:
                masks[theme] |= ((1 << one.slots) - 1) << at
        at += one.slots
    return masks


def _cost(problem: Problem, starts: Starts, *, themes: Sequence[str]) -> tuple[float, ...]:
    """Rate a schedule: steps without a place, its last evening, changes of theme, its end."""
    missing = sum(at is None for at in starts)
    session_of = _session_of(problem.calendar)
    last = max(
        (at + job.lasts for job, at in zip(problem.jobs, starts, strict=True) if at is not None),
        default=0,
    )
    evening = session_of[last - 1] if last else 0
    changes, before = 0, (-1, ANY)
    for at, number in sorted((at, number) for number, at in enumerate(starts) if at is not None):
        if themes[number] != ANY:
            now = (session_of[at], themes[number])
            changes += now[0] == before[0] and now[1] != before[1]
            before = now
    return (float(missing), float(evening), float(changes), float(last))


def _session_of(calendar: SlotCalendar) -> list[int]:
    return [number for number, (_, count) in enumerate(calendar.sessions) for _ in range(count)]


def _times(
    steps: Sequence[Step],
    starts: Starts,
    *,
    calendar: SlotCalendar,
    evenings: Sequence[Evening],
) -> tuple[Placed, ...]:
    zero = 24.0 * evenings[0].day.toordinal() if evenings else 0.0
    found = []
    for step, at in zip(steps, starts, strict=True):
        if at is None:
            continue
        ends = calendar.end_of(at + max(1, round(step.minutes / STEP_MIN)) - 1) - zero
        found.append(
            Placed(
                step=step.id,
                starts=calendar.starts[at] - zero,
                ends=ends,
                rests_until=ends + step.rest_hours,
            )
        )
    return tuple(sorted(found, key=lambda one: one.starts))


def _sessions(
    steps: Sequence[Step],
    starts: Starts,
    *,
    calendar: SlotCalendar,
    evenings: Sequence[Evening],
) -> list[Session]:
    """Give the evenings on which something is done."""
    sessions, first = [], 0
    order = sorted((at, number) for number, at in enumerate(starts) if at is not None)
    for one, (_, count) in zip(evenings, calendar.sessions, strict=False):
        names: list[str] = []
        minutes: dict[str, float] = {}
        for at, number in order:
            lasts = max(1, round(steps[number].minutes / STEP_MIN))
            slots = min(at + lasts, first + count) - max(at, first)
            if slots > 0:
                names.append(steps[number].id)
                theme = THEME_OF[steps[number].kind]
                minutes[theme] = minutes.get(theme, 0.0) + slots * STEP_MIN
        if names:
            themed = {theme: spent for theme, spent in minutes.items() if theme != ANY}
            sessions.append(
                Session(
                    day=one.day,
                    starts_h=one.starts_h,
                    steps=tuple(names),
                    minutes=sum(minutes.values()),
                    theme=max(themed, key=lambda each: themed[each]) if themed else ANY,
                )
            )
        first += count
    return sessions


def _critical(steps: Sequence[Step], *, after: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Follow the longest chain of work and drying back from its end; of equal ones the first."""
    lasts = {step.id: step.minutes / 60.0 + step.rest_hours for step in steps}
    activities = [
        Activity(name=step.id, lasts=lasts[step.id], after=tuple(after[step.id])) for step in steps
    ]
    found = critical_path(activities)
    if not found.critical:
        return ()
    ends = {name: timing.earliest + lasts[name] for name, timing in found.timings.items()}
    chain = [max(found.critical, key=lambda name: ends[name])]
    while before := after[chain[-1]]:
        chain.append(max(before, key=lambda name: ends[name]))
    return tuple(reversed(chain))


def _first(steps: Sequence[Step], starts: Starts, *, calendar: SlotCalendar) -> tuple[str, ...]:
    """Give the steps that begin on the first evening on which anything is done."""
    session_of = _session_of(calendar)
    order = sorted((at, number) for number, at in enumerate(starts) if at is not None)
    return tuple(
        steps[number].id for at, number in order if session_of[at] == session_of[order[0][0]]
    )
