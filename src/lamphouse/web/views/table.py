"""The table: the sub-assemblies as they stand on the floor plan, with their state."""

from starlette.requests import Request
from starlette.responses import Response

from lamphouse.web.showing import page
from lamphouse.web.views.view import View
from lamphouse.web.workbench import Workbench


async def body(_request: Request, bench: Workbench) -> Response:
    """Show the table."""
    plan = await bench.plan()
    return page("table.html", bench=bench, plan=plan)


VIEW = View(key="table", label="Table", body=body)
