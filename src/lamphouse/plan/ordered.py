"""The order of work of a plan, with what each gate should show."""

from dataclasses import replace

from lamphouse.build.made_things import MadeThings
from lamphouse.build.ordering import Ordered, work_order
from lamphouse.plan.bench_readings import with_readings
from lamphouse.plan.result import Plan


def with_order(plan: Plan) -> Plan:
    """Add the order of work, and the readings its gates expect; one that has it stays as it is."""
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
        )
    )
