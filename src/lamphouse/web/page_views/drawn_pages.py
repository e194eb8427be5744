"""Pages of the pack one by one: as a PDF to print, and single drawings as SVG to keep."""

import asyncio
from typing import TYPE_CHECKING

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.storage.file_names import safe_name
from lamphouse.web.completing import for_cutting, for_the_bench
from lamphouse.web.page_views.long_work import download
from lamphouse.web.page_views.named import sub_named
from lamphouse.web.page_views.view import Address
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.design.place import SubAssembly
    from lamphouse.plan.result import Plan

_OF_CUTTING = frozenset({"sheets", "masks", "parts"})
"""What shows pieces on sheets, or masks that were proved."""


async def page_pdf(request: Request, bench: Workbench) -> Response:
    """Give some pages of the pack as a PDF."""
    plan, sub, what, only = await _asked(request, bench)
    from lamphouse.outputs.page_drawings import pdf_of

    try:
        data = await asyncio.to_thread(pdf_of, plan, what, sub=sub, only=only)
    except KeyError as fault:
        raise HTTPException(404, f"There is no drawing '{str(fault.args[0])[:60]}'.") from fault
    if data is None:
        raise HTTPException(404, "There is nothing of this kind to print.")
    name = safe_name(" ".join(part for part in (sub.name if sub else "", what, only) if part))
    head = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(data, media_type="application/pdf", headers=head)


async def drawing_svg(request: Request, bench: Workbench) -> Response:
    """Give one drawing of the pack as SVG."""
    plan, sub, what, only = await _asked(request, bench)
    from lamphouse.outputs.page_drawings import drawings

    try:
        found = await asyncio.to_thread(drawings, plan, what, sub=sub)
    except KeyError as fault:
        raise HTTPException(404, "There is no such drawing.") from fault
    one = next((each for each in found if each.name == only), None)
    if one is None:
        raise HTTPException(404, "There is no such drawing.")
    return download(one.svg.encode(), f"{safe_name(one.name)}.svg", "image/svg+xml")


async def _asked(request: Request, bench: Workbench) -> "tuple[Plan, SubAssembly | None, str, str]":
    asked = request.query_params
    what, name = asked.get("what", ""), asked.get("sub", "")
    cut = what in _OF_CUTTING
    plan = await (for_cutting(bench) if cut else for_the_bench(bench, sub=name))
    if plan is None:
        raise HTTPException(409, "The file must be mended first.")
    return plan, sub_named(plan, name) if name else None, what, asked.get("only", "")


ADDRESSES = (
    Address(path="page.pdf", handler=page_pdf),
    Address(path="drawing.svg", handler=drawing_svg),
)
