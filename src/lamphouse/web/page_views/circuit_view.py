"""The circuit of a sub-assembly: worst cases, schematic, board, pins and readings; the loom."""

import asyncio
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.units import Quantity, show
from lamphouse.web.completing import for_the_bench
from lamphouse.web.edits import inner
from lamphouse.web.mend_button import by_button
from lamphouse.web.page_views.named import sub_named
from lamphouse.web.page_views.view import View
from lamphouse.web.showing import page
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.design.place import SubAssembly
    from lamphouse.plan.result import Plan

LOOM = "loom"
"""What is asked for in place of a sub-assembly."""
_SERIES = ("E6", "E12", "E24", "E96")
_WISHES = (
    (("supply", "voltage"), "Supply voltage", ()),
    (("supply", "tolerance"), "Its tolerance", ()),
    (("circuit", "resistors"), "Resistors of series", _SERIES),
    (("circuit", "resistor_tolerance"), "Their tolerance", ()),
    (("circuit", "grouping"), "LEDs grouped", ("series", "single")),
    (("circuit", "common"), "Common side", ("positive", "negative")),
    (("circuit", "prefer_drawer"), "Drawer first", ("yes", "no")),
)
"""Wishes about the whole model: path, label, and the words to choose from."""


async def body(request: Request, bench: Workbench) -> Response:
    """Show the circuit of a sub-assembly, or the loom."""
    plan = await bench.plan()
    if plan is None:
        raise HTTPException(404, "There is no plan.")
    names = [sub.name for sub in plan.design.sub_assemblies]
    wished = request.query_params.get("sub", "")
    if not wished and request.query_params.get("show") == LOOM:
        shown = await asyncio.to_thread(_loom, plan)
        return page(
            "loom.html", bench=bench, plan=plan, names=names, sub=None, **_with_mends(bench, shown)
        )
    if not names:
        return page("nothing.html", bench=bench, words="There is no sub-assembly yet.")
    sub = sub_named(plan, wished or names[0])
    plan = await for_the_bench(bench, sub=sub.name) or plan
    shown = await asyncio.to_thread(_shown, plan, sub, bench.values())
    return page(
        "circuit.html", bench=bench, plan=plan, names=names, sub=sub, **_with_mends(bench, shown)
    )


def _with_mends(bench: Workbench, shown: dict[str, Any]) -> dict[str, Any]:
    return {**shown, "buttons": by_button(bench, tuple(shown["findings"]))}


def _shown(plan: "Plan", sub: "SubAssembly", root: object) -> dict[str, Any]:
    from lamphouse.outputs import board_sheets, loom_sheets, reading_sheets
    from lamphouse.outputs.page_drawings import drawings

    circuit = next((one for one in plan.circuits if one.sub_assembly == sub.name), None)
    spreads = {
        one.string: one
        for spread in plan.spreads
        if spread.sub_assembly == sub.name
        for one in spread.strings
    }
    loom = loom_sheets.loom(plan)
    plugs = loom["plugs"] if loom else []
    return {
        "circuit": circuit,
        "strings": [
            {
                "design": one,
                "resistor": show(one.resistor_ohm, Quantity.RESISTANCE),
                "spread": spreads.get(one.name),
                "path": ["sub_assemblies", sub.name, "strings", one.name],
                "file": inner(root, ("sub_assemblies", sub.name, "strings", one.name)),
            }
            for one in (circuit.strings if circuit else ())
        ],
        "wishes": [_wish(root, *wish) for wish in (*_own(sub), *_WISHES)],
        "schematics": drawings(plan, "circuit", sub=sub),
        "board": board_sheets.board(plan, sub),
        "readings": reading_sheets.readings(plan, sub),
        "plug": next((one for one in plugs if one["name"] == sub.name), None),
        "findings": [
            one
            for one in plan.findings
            if one.stands
            and one.code.startswith(("CIR", "BRD"))
            and f"{one.where.item} / ".startswith(f"{sub.name} / ")
        ],
    }


def _own(sub: "SubAssembly") -> tuple[tuple[tuple[str, ...], str, tuple[str, ...]], ...]:
    """Name the wishes about a sub-assembly."""
    at = ("sub_assemblies", sub.name)
    return (
        ((*at, "grouping"), "LEDs here grouped", ("series", "single")),
        ((*at, "board", "kind"), "Board", ("perforated", "stripboard", "point to point")),
        ((*at, "board", "space"), "Room for it", ()),
    )


def _wish(
    root: object, path: tuple[str, ...], label: str, words: tuple[str, ...]
) -> dict[str, Any]:
    stands = inner(root, path)
    value = stands if isinstance(stands, str) else ""
    return {"path": list(path), "label": label, "words": words, "value": value}


def _loom(plan: "Plan") -> dict[str, Any]:
    from lamphouse.outputs import loom_sheets
    from lamphouse.outputs.page_drawings import drawings

    found = [one for one in plan.findings if one.stands and one.where.item.startswith("loom")]
    return {
        "drawings": drawings(plan, "loom"),
        "loom": loom_sheets.loom(plan),
        "findings": found,
    }


VIEW = View(
    key="circuit",
    label="Circuit",
    body=body,
    styles=("drawings.css", "circuit.css"),
    scripts=("circuit.js",),
)
