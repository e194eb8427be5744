"""The table: the sub-assemblies as they stand on the floor plan, with their glow and state."""

import asyncio
from collections import OrderedDict
from collections.abc import Sequence
from hashlib import sha256
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlencode

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.findings import Finding, Severity
from lamphouse.outputs.purposes import Purpose
from lamphouse.outputs.work_states import STAGES, done_steps, hours_left, stage_of
from lamphouse.project.tours import tour_of
from lamphouse.storage.bench_log import log_path, read_log
from lamphouse.storage.refusal import StorageError
from lamphouse.web.completing import for_the_work
from lamphouse.web.drawn import inline
from lamphouse.web.page_views import answers, drawn_pages, long_work
from lamphouse.web.page_views.asked_light import asked_lx, asked_px
from lamphouse.web.page_views.named import sub_named
from lamphouse.web.page_views.view import Address, View
from lamphouse.web.showing import page
from lamphouse.web.sweeping import sweepable
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.plan.result import Plan

MOST_THUMBS = 120
PURPOSES = {
    Purpose.ALL: "everything",
    Purpose.CUTTING: "cutting",
    Purpose.WIRING: "wiring",
    Purpose.BENCH: "the bench",
    Purpose.CARE: "the next owner",
}
"""What a pack is for, in words."""
_KEY = "thumbs"


async def body(_request: Request, bench: Workbench) -> Response:
    """Show the table."""
    plan = await for_the_work(bench)
    if plan is None:
        raise HTTPException(404, "There is no plan.")
    shown = await asyncio.to_thread(lambda: _shown(plan, done=done_at(bench)))
    return page(
        "table.html",
        bench=bench,
        sweepable=sweepable(bench.text),
        tour=_tour_shown(plan, found=bench.findings()),
        **shown,
    )


def _tour_shown(plan: "Plan", *, found: Sequence[Finding]) -> list[dict[str, Any]] | None:
    """Give the planted mistakes of a demo, with the first that stands marked as the one at hand."""
    tour = tour_of(plan.design)
    if tour is None:
        return None
    stand = [stop.stands(found) for stop in tour.stops]
    here = stand.index(True) if any(stand) else -1
    return [
        {
            "stop": stop,
            "stands": stands,
            "here": number == here,
            "query": f"?{urlencode(stop.place)}" if stop.place else "",
        }
        for number, (stop, stands) in enumerate(zip(tour.stops, stand, strict=True))
    ]


def done_at(bench: Workbench) -> frozenset[str]:
    """Give the steps that the bench log says are done; none without a sound log."""
    try:
        return done_steps(read_log(log_path(bench.file)))
    except StorageError:
        return frozenset()


def _shown(plan: "Plan", *, done: frozenset[str]) -> dict[str, Any]:
    from lamphouse.outputs import answer
    from lamphouse.outputs.page_drawings import floor
    from lamphouse.outputs.panel_thumb import lit_panels

    steps = plan.order.steps if plan.order else ()
    ground = floor(plan)
    summary = answer.check(plan, findings=plan.findings)["result"]
    lines = {line["name"]: line for line in summary["sub_assemblies"]}
    return {
        "plan": plan,
        "floor": ground,
        "floor_svg": inline(ground.drawing.svg, role="group") if ground else "",
        "summary": summary,
        "stages": STAGES,
        "purposes": PURPOSES,
        "hours_left": hours_left(steps, done=done) if steps else None,
        "subs": [
            {
                "name": sub.name,
                "at": quote(sub.name, safe=""),
                "line": lines[sub.name],
                "panels": [
                    {"name": panel.name, "at": quote(panel.name, safe="")}
                    for panel in lit_panels(plan, sub)
                ],
                "counts": _counts(plan.findings, item=sub.name),
                "stage": (stage := stage_of(steps, sub_assembly=sub.name, done=done)),
                "state": STAGES[stage],
                "foot": ground.feet.get(sub.name, "") if ground else "",
            }
            for sub in plan.design.sub_assemblies
        ],
    }


def _counts(findings: Sequence[Finding], *, item: str) -> dict[str, int]:
    """Count what is open about an item and everything in it."""
    own = [
        finding
        for finding in findings
        if finding.stands and f"{finding.where.item} / ".startswith(f"{item} / ")
    ]
    return {str(each): sum(one.severity is each for one in own) for each in Severity}


async def thumb(request: Request, bench: Workbench) -> Response:
    """Give a panel as a picture in the light asked for."""
    plan = await bench.plan()
    asked = request.query_params
    sub = sub_named(plan, asked.get("sub", ""))
    panel = next((one for one in sub.panels if one.name == asked.get("panel")), None)
    lx, longest_px = asked_lx(asked.get("lx", "0")), asked_px(asked.get("px", "240"))
    if plan is None or panel is None:
        raise HTTPException(404, "There is no such panel.")
    png = await asyncio.to_thread(
        _thumb, bench, plan, sub_name=sub.name, panel_name=panel.name, lx=lx, longest_px=longest_px
    )
    mark = f'"{sha256(png).hexdigest()[:32]}"'
    headers = {"ETag": mark, "Cache-Control": "no-cache"}
    if request.headers.get("if-none-match") == mark:
        return Response(status_code=304, headers=headers)
    return Response(png, media_type="image/png", headers=headers)


def _thumb(
    bench: Workbench, plan: "Plan", *, sub_name: str, panel_name: str, lx: float, longest_px: int
) -> bytes:
    """Take the picture from those kept, by what it shows; else make it."""
    from lamphouse.outputs.panel_thumb import glows_behind, panel_thumb

    sub = next(one for one in plan.design.sub_assemblies if one.name == sub_name)
    panel = next(one for one in sub.panels if one.name == panel_name)
    kept: OrderedDict[Any, bytes] = bench.extra.setdefault(_KEY, OrderedDict())
    key = (panel, glows_behind(plan, sub, panel), plan.design.room, lx, longest_px)
    png = kept.get(key)
    if png is None:
        png = panel_thumb(plan, sub=sub, panel=panel, lx=lx, longest_px=longest_px)
    kept[key] = png
    while len(kept) > MOST_THUMBS:
        kept.popitem(last=False)
    return png


VIEW = View(
    key="table",
    label="Table",
    body=body,
    addresses=(
        Address(path="glow.png", handler=thumb),
        *long_work.ADDRESSES,
        *answers.ADDRESSES,
        *drawn_pages.ADDRESSES,
    ),
    styles=("drawings.css", "table.css", "tour.css"),
    scripts=("table.js",),
)
