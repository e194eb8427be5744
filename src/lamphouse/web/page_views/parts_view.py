"""The parts list: what is needed, at hand and to buy, with its cost; every list as a file."""

import asyncio
import sqlite3
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.storage.drawer import Drawer
from lamphouse.storage.drawer_place import drawer_file
from lamphouse.storage.file_names import safe_name
from lamphouse.storage.refusal import StorageError
from lamphouse.web.completing import for_cutting
from lamphouse.web.edits import value_at
from lamphouse.web.page_views.long_work import download
from lamphouse.web.page_views.view import Address, View
from lamphouse.web.showing import page
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.plan.result import Plan

WORDS = {
    "parts": "parts",
    "drill_chart": "drill chart",
    "leds": "LEDs",
    "strings": "strings",
    "pieces": "pieces",
    "loom": "runs of the loom",
    "sheets": "pieces on sheets",
    "offcuts": "offcuts",
    "strands": "strands",
    "pins": "pins",
}
"""What the lists of the pack are called on the page."""
SHARED = "shared"
"""Asks for the shared drawer to be counted."""
BUY = "buy"
"""Asks for what is to be bought alone."""
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


async def body(request: Request, bench: Workbench) -> Response:
    """Show the parts list."""
    plan = await for_cutting(bench)
    if plan is None:
        raise HTTPException(404, "There is no plan.")
    shared, buy = SHARED in request.query_params, BUY in request.query_params
    shown = await asyncio.to_thread(_shown, plan, shared=shared, buy=buy)
    prices = value_at(bench.text or "", ("prices",))
    named = [one.get("part") for one in prices or () if isinstance(one, dict)]
    return page(
        "parts.html",
        bench=bench,
        prices={name: number for number, name in enumerate(named)},
        has_prices=isinstance(prices, list),
        shared=shared,
        buy=buy,
        lists=WORDS,
        **shown,
    )


def _shown(plan: "Plan", *, shared: bool, buy: bool) -> dict[str, Any]:
    from lamphouse.outputs.parts_lines import parts_result
    from lamphouse.outputs.parts_sheet import HEADINGS
    from lamphouse.outputs.records import plain

    plan, bill, drawer = _bill(plan, shared=shared)
    result = plain(parts_result(plan, bill, buy_only=buy, drawer=drawer))
    kinds = dict.fromkeys(line["kind"] for line in result["parts"])
    return {
        "result": result,
        "drawer": drawer,
        "groups": [
            (HEADINGS.get(kind, kind), [one for one in result["parts"] if one["kind"] == kind])
            for kind in kinds
        ],
    }


def _bill(plan: "Plan", *, shared: bool) -> "tuple[Plan, Any, str]":
    """Say what to buy, and which drawer was counted; none where there is none, or no sound one.

    The plan comes back with its pieces on what the drawer has of sheets.
    """
    from lamphouse.outputs.drawer_sheets import laid_with
    from lamphouse.outputs.parts_lines import bought

    file = drawer_file()
    if not shared or not file.exists():
        return plan, bought(plan), ""
    try:
        with Drawer(file) as drawer:
            holdings = drawer.holdings()
    except (StorageError, sqlite3.Error):
        return plan, bought(plan), ""
    plan = laid_with(plan, holdings=holdings)
    return plan, bought(plan, holdings=holdings), str(file)


async def table(request: Request, bench: Workbench) -> Response:
    """Give a list as CSV, as it lies in the pack."""
    from lamphouse.outputs import lists

    name = request.path_params["name"]
    plan = await for_cutting(bench)
    if plan is None or name not in lists.TABLES:
        raise HTTPException(404, f"There are lists of: {', '.join(lists.TABLES)}.")
    data = await asyncio.to_thread(lambda: lists.to_bytes(lists.TABLES[name](plan)))
    return download(data, f"{name}.csv", "text/csv; charset=utf-8")


async def shopping(request: Request, bench: Workbench) -> Response:
    """Give what to buy, as CSV or as a workbook."""
    from lamphouse.outputs import parts_table
    from lamphouse.outputs.lists import to_bytes

    plan = await for_cutting(bench)
    if plan is None:
        raise HTTPException(409, "The file must be mended first.")
    shared, buy = SHARED in request.query_params, BUY in request.query_params
    name = safe_name(f"{plan.design.name} parts")
    bill = (await asyncio.to_thread(_bill, plan, shared=shared))[1]
    if request.path_params["ending"] == "xlsx":
        made = parts_table.to_workbook(bill, title=plan.design.name, buy_only=buy)
        return download(made, f"{name}.xlsx", XLSX)
    if request.path_params["ending"] == "csv":
        data = to_bytes(parts_table.table(bill, buy_only=buy))
        return download(data, f"{name}.csv", "text/csv; charset=utf-8")
    raise HTTPException(404, "The list is given as csv or xlsx.")


VIEW = View(
    key="parts",
    label="Parts",
    body=body,
    addresses=(
        Address(path="tables/{name}.csv", handler=table),
        Address(path="shopping.{ending}", handler=shopping),
    ),
    styles=("circuit.css", "parts.css"),
    scripts=("parts.js",),
)
