"""The long squeeze of stock sheets, from the page: begun, followed, and its places kept."""

from typing import TYPE_CHECKING, Annotated

from pydantic import BaseModel, ConfigDict, Field
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.record import Record
from lamphouse.web.completing import for_cutting
from lamphouse.web.jobs import Tell
from lamphouse.web.page_views.long_work import begun
from lamphouse.web.reading_bodies import understood
from lamphouse.web.showing import told
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.outputs.page_sheets import ShownSheet


class Squeezed(Record):
    """What a squeeze came to."""

    revision: str
    """Of the text it was made from."""
    sheets: "tuple[ShownSheet, ...]"
    """Every sheet, squeezed or not."""
    gains: tuple[tuple[str, float], ...]
    """Sheets that came out shorter, each with how much. [mm]."""
    kind: str = "squeeze"


class Asked(BaseModel):
    """Which sheets are squeezed, and for how long each."""

    model_config = ConfigDict(extra="forbid", strict=True)
    sheets: Annotated[list[Annotated[str, Field(max_length=300)]], Field(max_length=500)]
    seconds: Annotated[int, Field(ge=2, le=600)] = 10


async def start_squeeze(request: Request, bench: Workbench) -> Response:
    """Begin to squeeze."""
    asked = understood(Asked, await request.body())
    if isinstance(asked, Response):
        return asked
    plan = await for_cutting(bench)
    if plan is None or plan.layout is None:
        return told("There is nothing to squeeze.", status=409)
    revision = bench.revision

    def work(tell: Tell) -> Squeezed:
        from lamphouse.outputs.page_sheets import page_sheets
        from lamphouse.plan.sheeted import SqueezeMissing, squeezed

        try:
            layout = squeezed(plan, only=asked.sheets, seconds=asked.seconds, tell=tell)
        except SqueezeMissing as fault:
            raise ValueError(str(fault)) from fault
        before = {one.name: one.reach_mm for one in page_sheets(plan.layout)}
        sheets = page_sheets(layout)
        gains = tuple(
            (one.name, before[one.name] - one.reach_mm)
            for one in sheets
            if before[one.name] - one.reach_mm > 0.0
        )
        return Squeezed(revision=revision, sheets=sheets, gains=gains)

    return begun(bench, "Squeeze", work)


def squeezed_places(bench: Workbench) -> "tuple[ShownSheet, ...]":
    """Give the sheets as the last squeeze left them, while the text has not changed since."""
    jobs = (job.outcome for job in bench.jobs.all())
    last = next((one for one in jobs if isinstance(one, Squeezed)), None)
    return last.sheets if last and last.revision == bench.revision else ()
