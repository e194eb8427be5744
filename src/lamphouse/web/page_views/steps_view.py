"""The order of work: what to do tonight, on which evening the rest, and why a step waits."""

import asyncio
from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.record import replace
from lamphouse.storage.file_names import safe_name
from lamphouse.web.edits import value_at
from lamphouse.web.page_views.long_work import download
from lamphouse.web.page_views.view import Address, View
from lamphouse.web.showing import page
from lamphouse.web.spread_work import Asked, Spread, read_asked, spread
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.outputs.step_page import PageEvening, PageStep

STATES = {
    "": "all",
    "tonight": "the next evening",
    "ready": "what can be done now",
    "waits": "what waits",
    "gates": "gates",
    "critical": "what decides the end",
    "done": "what is done",
}
"""What the list is narrowed to, by the word in the address."""
SHOWN = {"": "Evenings", "chart": "Chart", "wishes": "Time and wishes"}
WHOLE = "whole model"
"""In an address: steps of no sub-assembly."""
MOST_LISTED = 250
"""Steps shown at once; a model with more is narrowed down."""


async def body(request: Request, bench: Workbench) -> Response:
    """Show the order of work."""
    asked = dict(request.query_params)
    show = asked.get("show", "")
    found, fault = await _spread(request, bench)
    if show == "chart":
        shown = await asyncio.to_thread(_chart, found)
    elif show == "wishes":
        shown = {"template": "steps_wishes.html", **_wishes(bench, found)}
    else:
        now = request.app.state.now()[:16].replace("T", " ")
        shown = await asyncio.to_thread(_listed, found, asked, now=now)
    template = shown.pop("template", "steps.html")
    return page(
        template,
        bench=bench,
        asked={key: asked.get(key, "") for key in ("where", "state", "tonight", "from", "step")},
        address=_address(asked),
        show=show if show in SHOWN else "",
        shows=SHOWN,
        states=STATES,
        whole=WHOLE,
        fault=fault or found.log_fault,
        found=found,
        subs=[sub.name for sub in found.plan.design.sub_assemblies],
        today=_today(request),
        **shown,
    )


async def calendar(request: Request, bench: Workbench) -> Response:
    """Give the evenings as a calendar file."""
    from lamphouse.outputs.calendar_file import calendar as written

    found, _ = await _spread(request, bench)
    name = found.plan.design.name
    data = await asyncio.to_thread(written, found.order, found.planned, project=name)
    return download(data, f"{safe_name(f'{name} evenings')}.ics", "text/calendar; charset=utf-8")


async def steps_pdf(request: Request, bench: Workbench) -> Response:
    """Give the pages of the order of work, as the evenings are now."""
    from lamphouse.outputs.step_page import order_pdf

    found, _ = await _spread(request, bench)
    data = await asyncio.to_thread(order_pdf, found.plan, found.planned)
    if data is None:
        raise HTTPException(404, "There is no step to print.")
    name = safe_name(f"{found.plan.design.name} order of work")
    head = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(data, media_type="application/pdf", headers=head)


async def _spread(request: Request, bench: Workbench) -> tuple[Spread, str]:
    """Spread the work as the address asks, and say what in it cannot be understood.

    On the page evenings that are past count no more, unless a day is asked for.
    """
    today, fault = _today(request), ""
    asked = read_asked(request.query_params)
    asked = replace(asked, day=asked.day or today)
    try:
        found = await spread(bench, asked, today=today)
    except ValueError as wrong:
        fault = f"Hours tonight: {wrong}."
        found = await spread(bench, Asked(day=asked.day), today=today)
    if found is None:
        raise HTTPException(409, "The file must be mended first.")
    return found, fault


def _today(request: Request) -> date:
    return date.fromisoformat(request.app.state.now()[:10])


def _address(asked: Mapping[str, str]) -> str:
    """Give the address asked for without the step, to be followed by one."""
    from urllib.parse import urlencode

    kept = {
        key: asked[key] for key in ("where", "state", "tonight", "from", "show") if asked.get(key)
    }
    return f"?{urlencode(kept)}&" if kept else "?"


def _chart(found: Spread) -> dict[str, Any]:
    from lamphouse.outputs.step_page import chart_of

    return {"template": "steps_chart.html", "drawings": chart_of(found.plan, found.planned)}


def _listed(found: Spread, asked: Mapping[str, str], *, now: str) -> dict[str, Any]:
    """Sort the steps into evenings, narrowed to what is asked for."""
    from lamphouse.outputs.step_page import evenings_of

    result, chosen = found.result(), asked.get("step", "")
    evenings, room, left_out = [], MOST_LISTED, 0
    for number, evening in enumerate(evenings_of(result, now=now)):
        steps = [
            one
            for one in evening.steps
            if one.line.id == chosen
            or _is_asked(one, asked, evening=evening, is_first=number == 0, result=result)
        ]
        shown = [one for place, one in enumerate(steps) if place < room or one.line.id == chosen]
        left_out += len(steps) - len(shown)
        room = max(room - len(shown), 0)
        if shown:
            evenings.append((evening, shown))
    return {
        "result": result,
        "evenings": evenings,
        "left_out": left_out,
        "card": _card(found, chosen),
    }


def _is_asked(
    one: "PageStep",
    asked: Mapping[str, str],
    *,
    evening: "PageEvening",
    is_first: bool,
    result: Any,
) -> bool:
    from lamphouse.outputs.step_page import Standing

    where, state = asked.get("where", ""), asked.get("state", "")
    if where and one.line.sub_assembly != ("" if where == WHOLE else where):
        return False
    if state == "tonight":
        if evening.evening is not None:
            return is_first
        return not result.evenings and one.line.id in result.next
    return {
        "ready": one.standing is Standing.READY,
        "waits": one.standing in (Standing.WAITS, Standing.DRIES, Standing.HELD),
        "gates": one.line.kind == "test",
        "critical": one.line.critical,
        "done": one.standing is Standing.DONE,
    }.get(state, True)


def _card(found: Spread, name: str) -> dict[str, Any] | None:
    """Tell all about one step: why it stands where it does, and what is read at it."""
    from lamphouse.outputs.gate_readings import gate_readings
    from lamphouse.outputs.step_lines import explained

    step = next((one for one in found.order.steps if one.id == name), None)
    if step is None:
        return None
    ticks = [one for one in found.entries if one.item == name and one.kind == "step"]
    return {
        "why": explained(found.order, name),
        "readings": gate_readings(found.plan, step, entries=found.entries),
        "tick": ticks[-1] if ticks and name in found.done else None,
        "photos": [one for one in found.entries if one.item == name and one.attachment],
    }


def _wishes(bench: Workbench, found: Spread) -> dict[str, Any]:
    """Give what of the file is edited here, as it stands in it."""
    from lamphouse.outputs.step_page import THEMES, parts_waited_for
    from lamphouse.project.fields.work_fields import KINDS

    text = bench.text or ""
    return {
        "rows": {key: _rows(value_at(text, (key,))) for key in ("evenings", "waiting", "order")},
        "own": _named(value_at(text, ("steps",))),
        "parts": parts_waited_for(found.order),
        "names": [step.id for step in found.order.steps],
        "kinds": KINDS,
        "themes": THEMES,
    }


def _rows(value: object) -> list[dict[str, Any]] | None:
    """Give the rows of a list of the file; None where the list is not there."""
    if not isinstance(value, list):
        return None
    return [one if isinstance(one, dict) else {} for one in value]


def _named(value: object) -> dict[str, dict[str, Any]]:
    if not isinstance(value, dict):
        return {}
    return {str(name): one if isinstance(one, dict) else {} for name, one in value.items()}


VIEW = View(
    key="steps",
    label="Steps",
    body=body,
    addresses=(
        Address(path="evenings.ics", handler=calendar),
        Address(path="steps.pdf", handler=steps_pdf),
    ),
    styles=("drawings.css", "circuit.css", "steps.css"),
    scripts=("steps.js",),
)
