"""The order of work of a plan, with what each gate should show, and what the maker wished wrong."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING

from lamphouse.build.made_things import MadeThings
from lamphouse.build.order_rules import judge_order
from lamphouse.build.steps import WorkOrder
from lamphouse.build.work_order import Ordered, work_order
from lamphouse.design.whole import Design, Evening
from lamphouse.findings import Finding
from lamphouse.plan.result import Plan
from lamphouse.record import replace
from lamphouse.units import Quantity, parse

if TYPE_CHECKING:
    from lamphouse.build.schedule import Schedule

MOST_HOURS = 24.0
"""Of one evening."""


def with_order(plan: Plan) -> Plan:
    """Add the order of work, and the readings its gates expect; one that has it stays as it is."""
    from lamphouse.plan.bench_readings import with_readings

    if plan.order is not None:
        return plan
    read = plan if plan.readings else with_readings(plan)
    return replace(read, order=ordered(read).order)


def ordered(plan: Plan) -> Ordered:
    """Bring the steps of a plan into order; gates show readings where the plan has them."""
    return work_order(
        MadeThings(
            design=plan.design,
            panels=plan.panels,
            boxes=plan.boxes,
            formers=plan.formers,
            paintings=plan.paintings,
            circuits=plan.circuits,
            glows=plan.glows,
            loom=plan.loom,
            readings=plan.readings,
            removal=plan.room_plan.removal if plan.room_plan else None,
        )
    )


def order_findings(made: MadeThings) -> tuple[Finding, ...]:
    """Judge the maker's own steps; a design without any costs nothing."""
    wishes = made.design.work
    if not (wishes.steps or wishes.orders or wishes.waiting):
        return ()
    return judge_order(work_order(made), wishes=wishes, items=items_of(made.design))


def items_of(design: Design) -> tuple[str, ...]:
    """Name all that a step can hide."""
    found: list[str] = [one.where.item for one in design.controllers]
    for sub in design.sub_assemblies:
        found.append(sub.where.item)
        found += [panel.where.item for panel in sub.panels]
        found += [box.where.item for _, box in sub.boxes]
        found += [led.where.item for led in sub.leds()]
        found += [strand.where.item for _, strand in sub.strands]
        found += [sub.board.where.item] if sub.board else []
    return tuple(dict.fromkeys([*found, *([design.loom.where.item] if design.loom else [])]))


def order_of(plan: Plan) -> WorkOrder:
    """Give the order of work of a plan, found now where it is not there yet."""
    return plan.order or ordered(plan).order


def planned(
    plan: Plan,
    *,
    evenings: Sequence[Evening] | None = None,
    done: frozenset[str] = frozenset(),
    dry: Mapping[str, datetime] | None = None,
) -> "Schedule":
    """Spread the steps of a plan with its order over evenings.

    Parameters
    ----------
    evenings
        The project's own when left out.
    done
        Ids of steps that are done.
    dry
        When what they left is dry; see :func:`lamphouse.build.judged_log.dry_at`.
    """
    from lamphouse.build.schedule import schedule

    return schedule(
        order_of(plan),
        evenings=plan.design.evenings if evenings is None else evenings,
        done=done,
        waiting={one.part: one.until for one in plan.design.work.waiting},
        dry=dry,
    )


def evenings_asked(
    named: Sequence[Evening], *, tonight: str = "", day: date | None = None, today: date
) -> tuple[Evening, ...]:
    """Give the evenings from a day on, tonight's before all that come after its day.

    Parameters
    ----------
    named
        Those of the project.
    tonight
        How long an evening is planned besides them, such as ``2h``; empty for none.
    day
        What lies before it is left out; with ``tonight`` that evening's day.
    today
        Day of ``tonight`` where ``day`` is None.

    Raises
    ------
    ValueError
        When ``tonight`` is no length of an evening; the message says why.
    """
    if not tonight:
        return tuple(one for one in named if day is None or one.day >= day)
    hours = parse(tonight, Quantity.DURATION) / 3600.0
    if not 0.0 < hours <= MOST_HOURS:
        message = f"{tonight} is no evening; name up to {MOST_HOURS:g} h"
        raise ValueError(message)
    first = day or today
    return (Evening(day=first, hours=hours), *(one for one in named if one.day > first))
