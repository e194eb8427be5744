"""What only a pack shows, added to the plan of an open project and kept until its text changes."""

import asyncio
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.plan.result import Plan

_KEY = "completed plans"


class _Completed:
    """Completed plans of one revision."""

    def __init__(self) -> None:
        self.revision = ""
        self.plans: dict[str, Plan] = {}
        self.lock = asyncio.Lock()


async def for_the_bench(bench: Workbench, *, sub: str = "") -> "Plan | None":
    """Give the plan with readings foretold and the board of one sub-assembly laid out.

    Parameters
    ----------
    sub
        Its name; empty for none.

    Returns
    -------
    Plan
        None when there is no plan.
    """
    return await _completed(bench, f"bench {sub}", partial(_for_the_bench, sub=sub))


async def for_the_work(bench: Workbench) -> "Plan | None":
    """Give the plan with its order of work and readings; None when there is no plan."""
    return await _completed(bench, "work", _for_the_work)


async def for_cutting(bench: Workbench) -> "Plan | None":
    """Give the plan with masks proved and every piece on its sheet; None when there is no plan."""
    return await _completed(bench, "cutting", _for_cutting)


def _for_the_bench(plan: "Plan", *, sub: str) -> "Plan":
    from lamphouse.plan.bench_readings import with_readings
    from lamphouse.plan.boarded import boarded

    return with_readings(boarded(plan, only=sub))


def _for_the_work(plan: "Plan") -> "Plan":
    from lamphouse.plan.ordered import with_order

    return with_order(plan)


def _for_cutting(plan: "Plan") -> "Plan":
    from lamphouse.plan.painted import painted
    from lamphouse.plan.sheeted import sheeted

    return sheeted(painted(plan))


async def _completed(
    bench: Workbench, what: str, complete: "Callable[[Plan], Plan]"
) -> "Plan | None":
    kept: _Completed = bench.extra.setdefault(_KEY, _Completed())
    async with kept.lock:
        plan = await bench.plan()
        if plan is None:
            return None
        revision = bench.revision
        if kept.revision != revision:
            kept.revision, kept.plans = revision, {}
        if what not in kept.plans:
            kept.plans[what] = await asyncio.to_thread(complete, plan)
        return kept.plans[what]
