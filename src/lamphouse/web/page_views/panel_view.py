"""The panel: one panel at scale, drawn and edited, with its glow beside it."""

import asyncio
import json
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, TypeVar
from urllib.parse import quote

from msgspec import to_builtins
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lamphouse.design.whole import Design
from lamphouse.findings import RULES, Finding
from lamphouse.project.item_fields import film_uses, form_of, names_of
from lamphouse.project.panel_items import panel_items
from lamphouse.web.mend_button import by_button
from lamphouse.web.page_views import panel_commands, panel_live, panel_suggest
from lamphouse.web.page_views.view import Address, Socket, View
from lamphouse.web.showing import page, see_other, told
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.plan.result import Plan

KEPT = "panel pictures"
MOST_KEPT = 12
T = TypeVar("T")


def meant(request: Request, design: Design) -> tuple[str, str] | None:
    """Tell which panel an address means; without one, the first with a light box behind it.

    An address may name a sub-assembly alone, and means one of its panels then.
    """
    wanted, panel = request.query_params.get("sub", ""), request.query_params.get("panel", "")
    subs = [sub for sub in design.sub_assemblies if wanted in ("", sub.name)]
    panels = [(sub.name, one.name) for sub in subs for one in sub.panels]
    if panel:
        return (wanted, panel) if (wanted, panel) in panels else None
    lit = [
        (sub.name, behind)
        for sub in subs
        for behind, _ in sub.boxes
        if (sub.name, behind) in panels
    ]
    return next(iter(lit or panels), None)


async def body(request: Request, bench: Workbench) -> Response:
    """Show the panel's stage and what stands beside it."""
    design = bench.reading.design
    here = meant(request, design) if design else None
    if design is None or here is None:
        return page("panel_none.html", bench=bench)
    sub, panel = here
    return page(
        "panel.html",
        bench=bench,
        design=design,
        sub=sub,
        panel=panel,
        names=names_of(bench.reading.shelf, design=design),
        uses=film_uses(bench.reading.shelf),
    )


async def lead_on(request: Request, bench: Workbench) -> Response:
    """Lead from the address of a panel to its place in the frame."""
    sub, panel = request.path_params["sub"], request.path_params["panel"]
    return see_other(f"/p/{bench.id}/panel?sub={quote(sub, safe='')}&panel={quote(panel, safe='')}")


async def shown(request: Request, bench: Workbench) -> Response:
    """Give all that is drawn of a panel: what the file says, and what the plan adds to it."""
    from lamphouse.outputs import page_panel

    await bench.look()
    reading = bench.reading
    if reading.design is None or reading.tree is None:
        return told(f"The file must be mended first: {bench.findings()[0]}", status=409)
    here = meant(request, reading.design)
    if here is None:
        return told("There is no such panel.", status=404)
    sub, panel = here
    made = page_panel.panel_shown(reading.design, sub_assembly=sub, panel=panel)
    items = panel_items(reading.tree, sub_assembly=sub, panel=panel, scale=reading.design.scale)
    plan = bench.plan_if_ready
    glow = page_panel.panel_glow(plan, sub_assembly=sub, panel=panel) if plan else None
    ground = None
    if plan:
        ground = await of_plan(
            bench,
            plan,
            ("ground", sub, panel),
            lambda: page_panel.ground(plan, sub_assembly=sub, panel=panel),
        )
    return JSONResponse(
        {
            "revision": bench.revision,
            "planned": plan is not None,
            **made,
            "items": [to_builtins(item) for item in items],
            "glow": glow,
            "ground": to_builtins(ground) if ground else None,
            "findings": _findings(bench, sub=sub, panel=panel) if plan else [],
        }
    )


def _findings(bench: Workbench, *, sub: str, panel: str) -> list[dict[str, Any]]:
    """List the findings of a sub-assembly, each with the item it is about."""
    return [
        {
            "code": one.code,
            "severity": str(one.severity),
            "item": one.where.item,
            "name": one.where.item.split(" / ")[-1],
            "stands": one.stands,
            "words": one.message,
        }
        for one in of_panel(bench, sub=sub, panel=panel)
    ]


def of_panel(bench: Workbench, *, sub: str, panel: str) -> list[Finding]:
    """List the findings about a panel or anything on it or behind it."""
    tree, design = bench.reading.tree, bench.reading.design
    if tree is None or design is None:
        return []
    try:
        items = panel_items(tree, sub_assembly=sub, panel=panel, scale=design.scale)
    except LookupError:
        return []
    names = {item.name for item in items} | {str(item.path[-1]) for item in items}
    found = []
    for one in bench.findings():
        words = one.where.item.split(" / ")
        if words[0] == sub and (panel in words[1:] or any(word in names for word in words[1:])):
            found.append(one)
    return found


async def of_plan(bench: Workbench, plan: "Plan", key: tuple[str, ...], make: Callable[[], T]) -> T:
    """Make something from a plan once; what belongs to an older plan is forgotten."""
    kept: dict[Any, Any] = bench.extra.setdefault(KEPT, {})
    for old in [old for old in kept if old[0] != id(plan)]:
        del kept[old]
    whole = (id(plan), *key)
    if whole not in kept:
        kept[whole] = await asyncio.to_thread(make)
        while len(kept) > MOST_KEPT:
            del kept[next(iter(kept))]
    made: T = kept[whole]
    return made


async def side(request: Request, bench: Workbench) -> Response:
    """Show what is computed of a panel: figures, section, maps, pictures, findings."""
    from lamphouse.outputs import page_panel

    plan = await bench.plan()
    here = meant(request, plan.design) if plan else None
    if plan is None or here is None:
        return told("There is no such panel.", status=404)
    sub, panel = here

    def drawn() -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
        lit = page_panel.lit_boxes(plan, sub_assembly=sub, panel=panel)
        return list(page_panel.sections(plan, lit=lit)), list(page_panel.evenness_maps(lit))

    sections, maps = await of_plan(bench, plan, ("drawn", sub, panel), drawn)
    glows = [one for one in plan.glows if (one.sub_assembly, one.panel) == (sub, panel)]
    found = of_panel(bench, sub=sub, panel=panel)
    design_sub, _ = page_panel.found_panel(plan.design, sub_assembly=sub, panel=panel)
    printed = [
        opening.name
        for one in design_sub.panels
        if one.name == panel
        for opening in one.openings
        if any(layer.printed for layer in opening.layers)
        and any(opening.name == lit.opening for glow in glows for lit in glow.openings)
    ]
    return page(
        "panel_side.html",
        bench=bench,
        sub=sub,
        panel=panel,
        sections=sections,
        maps=dict(maps),
        glows=glows,
        boxes=[box.name for behind, box in design_sub.boxes if behind == panel],
        printed=printed,
        room_lx=plan.design.room.room_light_lx if plan.design.room else 0.0,
        findings=found,
        can={code: rule.can_be_accepted for code, rule in RULES.items()},
        buttons=by_button(bench, tuple(found)),
        revision=bench.revision,
    )


async def picture(request: Request, bench: Workbench) -> Response:
    """Give one of the pack's pictures of a panel."""
    from lamphouse.outputs import page_panel

    plan = await bench.plan()
    here = meant(request, plan.design) if plan else None
    which = request.query_params.get("which", "")
    if plan is None or here is None:
        return told("There is no such panel.", status=404)
    sub, panel = here
    if which == "artwork":
        made = await of_plan(
            bench,
            plan,
            ("artworks", sub, panel),
            lambda: dict(page_panel.artworks(plan, sub_assembly=sub, panel=panel)),
        )
        data = made.get(request.query_params.get("opening", ""))
    else:
        painted = await of_plan(
            bench,
            plan,
            ("pictures", sub, panel),
            lambda: page_panel.pictures(plan, sub_assembly=sub, panel=panel),
        )
        data = painted.get(which)
    if data is None:
        return told("There is no such picture.", status=404)
    return Response(data, media_type="image/png")


async def form(request: Request, bench: Workbench) -> Response:
    """Show the fields of one item."""
    reading = bench.reading
    try:
        path = tuple(json.loads(request.query_params.get("path", "")))
        sound = all(isinstance(step, str | int) for step in path) and 1 < len(path) <= 24
        scale = reading.design.scale if reading.design else 1.0
        made = form_of(reading.tree, path=path, scale=scale) if reading.tree and sound else None
    except (ValueError, TypeError, LookupError):
        made = None
    if made is None:
        return told("There is no such item.", status=404)
    return page(
        "panel_form.html",
        form=made,
        member=request.query_params.get("member", "")[:200],
        row=str(path[-1]),
        uses=film_uses(reading.shelf),
    )


VIEW = View(
    key="panel",
    label="Panel",
    body=body,
    addresses=(
        Address(path="panel/shown", handler=shown),
        Address(path="panel/field", handler=panel_live.field),
        Address(path="panel/side", handler=side),
        Address(path="panel/picture", handler=picture),
        Address(path="panel/form", handler=form),
        Address(path="panel/do", handler=panel_commands.do, methods=("POST",)),
        Address(path="panel/suggest", handler=panel_suggest.suggest, methods=("POST",)),
        Address(path="panel/choices", handler=panel_suggest.choices),
        Address(path="panel/choice-field", handler=panel_suggest.choice_field),
        Address(path="panel/apply", handler=panel_suggest.apply, methods=("POST",)),
        Address(path="panel/{sub}/{panel}", handler=lead_on),
    ),
    sockets=(Socket(path="live", talk=panel_live.talk),),
    styles=("panel.css",),
    scripts=("panel.js",),
)
