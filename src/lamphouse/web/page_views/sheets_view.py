"""The stock sheets with every piece: moved, turned, locked, squeezed; templates, cutter files."""

import asyncio
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import BaseModel, ConfigDict, Field
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.project import write
from lamphouse.project.locking import Place, locked, unlocked
from lamphouse.web.answering import answered
from lamphouse.web.completing import for_cutting
from lamphouse.web.mend_button import by_button
from lamphouse.web.page_views.long_work import download
from lamphouse.web.page_views.named import sub_named
from lamphouse.web.page_views.squeezing import squeezed_places, start_squeeze
from lamphouse.web.page_views.view import Address, View
from lamphouse.web.reading_bodies import understood
from lamphouse.web.showing import page, told
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.design.place import SubAssembly
    from lamphouse.outputs.page_sheets import ShownSheet
    from lamphouse.plan.result import Plan

MOST_MM = 20_000.0
_KINDS = (
    ("templates", "Panels, 1:1"),
    ("boxes", "Light-box pieces, 1:1"),
    ("assembly", "Light boxes pulled apart"),
    ("masks", "Paint masks"),
    ("formers", "Formers"),
)
"""Drawings of a sub-assembly for cutting, in the order of their use."""
_FOUND = ("CUT050", "CUT051", "CUT052", "CUT053")
"""Findings about sheets."""


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class Placed(_Asked):
    """A piece where the maker wants it."""

    piece: Annotated[str, Field(min_length=1, max_length=300)]
    stock: Annotated[int, Field(ge=1, le=100_000)]
    x: Annotated[float, Field(ge=-MOST_MM, le=MOST_MM, allow_inf_nan=False)]
    y: Annotated[float, Field(ge=-MOST_MM, le=MOST_MM, allow_inf_nan=False)]
    turn: Annotated[float, Field(ge=-3600.0, le=3600.0, allow_inf_nan=False)]


class Freed(_Asked):
    """Pieces whose place is left to the program again."""

    pieces: Annotated[list[Annotated[str, Field(max_length=300)]], Field(max_length=2000)]


class Named(_Asked):
    """A stock sheet by its name."""

    sheet: Annotated[str, Field(max_length=300)]


async def body(request: Request, bench: Workbench) -> Response:
    """Show the stock sheets, or the templates of a sub-assembly."""
    from lamphouse.outputs.page_sheets import page_sheets

    plan = await for_cutting(bench)
    if plan is None:
        raise HTTPException(404, "There is no plan.")
    names = [sub.name for sub in plan.design.sub_assemblies]
    wished = request.query_params.get("sub", "")
    if wished:
        sub = sub_named(plan, wished)
        kinds = await asyncio.to_thread(_drawn, plan, sub)
        return page("templates.html", bench=bench, names=names, sub=sub, kinds=kinds)
    sheets = await asyncio.to_thread(page_sheets, plan.layout)
    found = tuple(one for one in plan.findings if one.stands and one.code in _FOUND)
    return page(
        "sheets.html",
        bench=bench,
        plan=plan,
        names=names,
        sheets=sheets,
        unlaid=sorted({one.name for one in plan.layout.unlaid} if plan.layout else ()),
        held=_held(plan),
        findings=found,
        buttons=by_button(bench, found),
        squeezes=squeezed_places(bench),
    )


def _drawn(plan: "Plan", sub: "SubAssembly") -> list[dict[str, Any]]:
    from lamphouse.outputs.page_drawings import drawings

    shown = [
        {"what": what, "words": words, "drawings": drawings(plan, what, sub=sub)}
        for what, words in _KINDS
    ]
    return [kind for kind in shown if kind["drawings"]]


def _held(plan: "Plan") -> dict[str, int]:
    """Give the entry of the stock list that holds each material, the first of them."""
    held: dict[str, int] = {}
    for number, entry in enumerate(plan.design.sheets, start=1):
        held.setdefault(entry.sheet.name, number)
    return held


async def place(request: Request, bench: Workbench) -> Response:
    """Lock a piece where the maker has put it: within its sheet, to a tenth of a millimetre."""
    asked = understood(Placed, await request.body())
    if isinstance(asked, Response):
        return asked
    plan = await for_cutting(bench)
    text = bench.text
    piece = next((one for one in (plan.pieces() if plan else ()) if one.name == asked.piece), None)
    if plan is None or text is None or piece is None:
        return told(f"There is no piece '{asked.piece}' any more.", status=409)
    if not asked.stock <= len(plan.design.sheets):
        return told(f"There is no entry {asked.stock} in the stock list.", status=409)
    from lamphouse.outputs.page_sheets import within

    entry = plan.design.sheets[asked.stock - 1]
    x_mm, y_mm = within(piece, entry, x_mm=asked.x, y_mm=asked.y, turn_deg=asked.turn)
    wanted = Place(piece=asked.piece, stock=asked.stock, x_mm=x_mm, y_mm=y_mm, turn_deg=asked.turn)
    return await answered(
        bench,
        bench.write(locked(text, [wanted]), of=text, label=f"Lock {asked.piece} where it lies"),
    )


async def free(request: Request, bench: Workbench) -> Response:
    """Leave the place of some pieces to the program again."""
    asked = understood(Freed, await request.body())
    if isinstance(asked, Response):
        return asked
    what = asked.pieces[0] if len(asked.pieces) == 1 else f"{len(asked.pieces)} pieces"
    text = bench.text or ""
    new = unlocked(text, asked.pieces)
    return await answered(bench, bench.write(new, of=text, label=f"Unlock {what}"))


async def hold(request: Request, bench: Workbench) -> Response:
    """Lock every piece of a sheet where it lies, or where the last squeeze has put it."""
    asked = understood(Named, await request.body())
    if isinstance(asked, Response):
        return asked
    from lamphouse.outputs.page_sheets import page_sheets

    plan, text = await for_cutting(bench), bench.text or ""
    squeezed = squeezed_places(bench)
    sheets = squeezed or page_sheets(plan.layout if plan else None)
    sheet = next((one for one in sheets if one.name == asked.sheet), None)
    if plan is None or sheet is None:
        return told("This sheet is not there any more.", status=409)
    if sheet.stock is None or not sheet.is_first:
        return told(_WHY_NOT, status=409)
    new = locked(text, _places(sheet))
    return await answered(
        bench, bench.write(new, of=text, label=f"Lock the pieces of {sheet.name}")
    )


_WHY_NOT = (
    "Only pieces on the first sheet of an entry of the stock list can be locked: a sheet to be "
    "bought, or the second of an entry, has no place in the file."
)


def _places(sheet: "ShownSheet") -> list[Place]:
    return [
        Place(
            piece=one.piece,
            stock=sheet.stock or 1,
            x_mm=one.x_mm,
            y_mm=one.y_mm,
            turn_deg=one.turn_deg,
        )
        for one in sheet.pieces
        if one.can_be_locked
    ]


async def own(request: Request, bench: Workbench) -> Response:
    """Put a sheet that would be bought on the stock list."""
    asked = understood(Named, await request.body())
    if isinstance(asked, Response):
        return asked
    plan, text = await for_cutting(bench), bench.text or ""
    sheets = plan.layout.sheets if plan and plan.layout else ()
    sheet = next((one for one in sheets if one.name == asked.sheet), None)
    if plan is None or sheet is None:
        return told("This sheet is not there any more.", status=409)
    size = f"{sheet.width_mm:g} x {sheet.height_mm:g} mm"
    entry = {"sheet": sheet.sheet.name, "size": size}
    there = bool(plan.design.sheets)
    new = (
        write.add_item(text, ("stock",), entry)
        if there
        else write.add_item(text, (), [entry], key="stock")
    )
    return await answered(
        bench, bench.write(new, of=text, label=f"Have a sheet of {sheet.sheet.name}")
    )


async def cutter_file(request: Request, bench: Workbench) -> Response:
    """Give the file for a cutter of one piece or one sheet, as it lies in the pack."""
    from lamphouse.outputs.cutter_files import cutter_name, lines_of
    from lamphouse.outputs.page_sheets import sheet_named

    plan = await for_cutting(bench)
    if plan is None:
        raise HTTPException(409, "The file must be mended first.")
    asked, ending = request.query_params, request.path_params["ending"]
    name = asked.get("name", "")
    what = sheet_named(plan, name) or next((p for p in plan.pieces() if p.name == name), None)
    if what is None or ending not in ("svg", "dxf"):
        raise HTTPException(404, "There is no such piece or sheet.")
    files = await asyncio.to_thread(lambda: dict(lines_of(plan, what)))
    kind = "image/svg+xml" if ending == "svg" else "image/vnd.dxf"
    return download(files[ending], f"{cutter_name(plan, what)}.{ending}", kind)


VIEW = View(
    key="sheets",
    label="Sheets",
    body=body,
    addresses=(
        Address(path="sheets/place", handler=place, methods=("POST",)),
        Address(path="sheets/free", handler=free, methods=("POST",)),
        Address(path="sheets/hold", handler=hold, methods=("POST",)),
        Address(path="sheets/own", handler=own, methods=("POST",)),
        Address(path="start/squeeze", handler=start_squeeze, methods=("POST",)),
        Address(path="cutter.{ending}", handler=cutter_file),
    ),
    styles=("drawings.css", "circuit.css", "sheets.css"),
    scripts=("sheets.js",),
)
