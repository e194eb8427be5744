"""The wishes for the order of work, and the evenings, made from checked fields."""

from collections.abc import Iterator
from datetime import date

from lamphouse.design.whole import Evening
from lamphouse.design.work import OwnOrder, OwnStep, WaitedFor, WorkWishes
from lamphouse.project.desk import Desk


def work_wishes(desk: Desk) -> WorkWishes:
    """Make the wishes."""
    fields = desk.fields
    return WorkWishes(
        steps=tuple(_steps(desk)),
        orders=tuple(
            OwnOrder(
                where=desk.where(("order", number)),
                first=order.first,
                then=order.then,
                why=order.why,
            )
            for number, order in enumerate(fields.order)
        ),
        waiting=tuple(
            WaitedFor(where=desk.where(("waiting", number)), part=waiting.part, until=waiting.until)
            for number, waiting in enumerate(fields.waiting)
        ),
    )


def _steps(desk: Desk) -> Iterator[OwnStep]:
    for name, step in desk.fields.steps.items():
        if step.in_ is not None:
            path = ("steps", name, "in")
            desk.refer("sub_assemblies", step.in_, path, names=desk.fields.sub_assemblies)
        yield OwnStep(
            name=name,
            where=desk.where(("steps", name)),
            kind=step.kind,
            sub_assembly=step.in_ or "",
            after=tuple(step.after),
            before=tuple(step.before),
            minutes=step.minutes / 60.0,
            rest_hours=step.rest / 3600.0,
            why=step.why,
            hides=tuple(step.hides),
        )


def evenings_of(desk: Desk) -> tuple[Evening, ...]:
    """List every evening, those that come again each week one by one."""
    return tuple(
        Evening(
            day=date.fromordinal(day),
            hours=evening.hours / 3600.0,
            starts_h=evening.starts,
            suits=tuple(evening.for_),
        )
        for evening in desk.fields.evenings
        for week in range(evening.weeks)
        if (day := evening.date_.toordinal() + 7 * week) <= date.max.toordinal()
    )
