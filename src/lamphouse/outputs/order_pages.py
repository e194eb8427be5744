"""The pages of the order of work: steps with their gates, evenings, and their chart."""

from collections.abc import Iterator

from lamphouse.build.schedule import Schedule
from lamphouse.drawings.work_chart import work_chart
from lamphouse.outputs import step_sheets
from lamphouse.outputs.page_entries import Drawn, Entry, Sheet
from lamphouse.plan.ordered import planned
from lamphouse.plan.result import Plan

EVENINGS = "evenings"
CHART = "work chart"
ORDER = "steps"


def order_pages(plan: Plan, *, spread: Schedule | None = None) -> Iterator[Entry]:
    """Give the pages; none where the plan has no order, no evenings where none are named.

    Parameters
    ----------
    spread
        Steps over evenings; over those of the project, nothing done, when left out.
    """
    if plan.order is None:
        return
    spread = spread or planned(plan)
    chart = work_chart(plan.order, spread, paper=plan.design.paper)
    if chart:
        yield Drawn(mark=CHART, labels=chart)
    listed = step_sheets.evenings(plan, spread)
    if listed:
        yield Sheet(mark=EVENINGS, kind="evenings", heading="Evenings", data=listed)
    steps = step_sheets.order_of_work(plan)
    if steps:
        yield Sheet(mark=ORDER, kind="steps", heading="Order of work", data=steps)
