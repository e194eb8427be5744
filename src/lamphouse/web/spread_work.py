"""The work of an open project spread over evenings, from what its bench log says is done."""

import asyncio
from collections import OrderedDict
from collections.abc import Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException

from lamphouse.findings import Finding
from lamphouse.outputs.work_states import done_steps, dry_at
from lamphouse.record import Record
from lamphouse.storage.refusal import StorageError
from lamphouse.web import log_of_project
from lamphouse.web.completing import for_the_work
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.design.whole import Evening
    from lamphouse.outputs.step_lines import StepsResult
    from lamphouse.outputs.step_page import Schedule, WorkOrder
    from lamphouse.plan.result import Plan
    from lamphouse.storage.bench_log import LogEntry

_KEY = "work over evenings"
_MOST_KEPT = 6
MOST_STEPS = 200
"""Taken for done in one question."""


class Asked(Record):
    """Which evenings, and what is taken for done besides the log."""

    tonight: str = ""
    day: date | None = None
    done: tuple[str, ...] = ()


class Spread(Record):
    """The work of a project over its evenings."""

    plan: "Plan"
    """With its order."""
    order: "WorkOrder"
    evenings: "tuple[Evening, ...]"
    planned: "Schedule"
    done: frozenset[str]
    dry: Mapping[str, datetime]
    """When what done steps left is dry."""
    entries: "tuple[LogEntry, ...]"
    log_fault: str
    """Why the log could not be read; empty when it could."""

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is wrong with the order of work."""
        return tuple(one for one in self.plan.findings if one.code.startswith("ORD"))

    def result(self, *, why: str = "") -> "StepsResult":
        """Give the answer of ``steps``.

        Raises
        ------
        LookupError
            When there is no step ``why``.
        """
        from lamphouse.outputs.step_lines import steps_result

        hours = sum(one.hours for one in self.evenings)
        return steps_result(
            self.plan, self.planned, evening_hours=hours, done=self.done, dry=self.dry, why=why
        )


class _Kept:
    """Schedules of one revision, by what is done and which evenings there are."""

    def __init__(self) -> None:
        self.revision = ""
        self.schedules: OrderedDict[Any, Schedule] = OrderedDict()
        self.lock = asyncio.Lock()


def read_asked(given: Mapping[str, str], *, done: tuple[str, ...] = ()) -> Asked:
    """Read which evenings an address asks for.

    Raises
    ------
    HTTPException
        400 when it names no day, or too many steps.
    """
    day = given.get("from", "")
    if len(done) > MOST_STEPS:
        raise HTTPException(400, f"At most {MOST_STEPS} steps can be taken for done.")
    try:
        return Asked(
            tonight=given.get("tonight", "").strip()[:40],
            day=date.fromisoformat(day) if day else None,
            done=done,
        )
    except ValueError as fault:
        raise HTTPException(400, "A day is written like 2026-12-01.") from fault


async def spread(bench: Workbench, asked: Asked, *, today: date) -> Spread | None:
    """Spread the work that is left over evenings; None when there is no plan.

    Raises
    ------
    ValueError
        When ``tonight`` is no length of an evening.
    """
    from lamphouse.plan.ordered import evenings_asked, order_of, planned

    plan = await for_the_work(bench)
    if plan is None:
        return None
    evenings = evenings_asked(
        plan.design.evenings, tonight=asked.tonight, day=asked.day, today=today
    )
    entries, fault = await asyncio.to_thread(_entries, bench)
    done = done_steps(entries) | frozenset(asked.done)
    dry = dry_at(entries, order=order_of(plan))
    kept: _Kept = bench.extra.setdefault(_KEY, _Kept())
    async with kept.lock:
        if kept.revision != bench.revision:
            kept.revision, kept.schedules = bench.revision, OrderedDict()
        key = (evenings, done, tuple(sorted(dry.items())))
        found = kept.schedules.get(key)
        if found is None:
            found = await asyncio.to_thread(planned, plan, evenings=evenings, done=done, dry=dry)
        kept.schedules[key] = found
        while len(kept.schedules) > _MOST_KEPT:
            kept.schedules.popitem(last=False)
    return Spread(
        plan=plan,
        order=order_of(plan),
        evenings=evenings,
        planned=found,
        done=done,
        dry=dry,
        entries=entries,
        log_fault=fault,
    )


def _entries(bench: Workbench) -> "tuple[tuple[LogEntry, ...], str]":
    try:
        return log_of_project.entries_of(bench), ""
    except StorageError as fault:
        return (), f"The log cannot be read: {fault.what}; {fault.remedy}."
