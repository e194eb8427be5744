"""Outlines from pictures: pictures taken in, measured by what lies in them, traced and judged."""

import asyncio
from threading import Lock
from typing import TYPE_CHECKING

from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lamphouse.storage.pictures_folder import picture_named, pictures_of
from lamphouse.storage.refusal import StorageError
from lamphouse.web.page_views import trace_kept, trace_nudge, trace_work
from lamphouse.web.page_views.trace_asked import REFERENCES, TraceAsked
from lamphouse.web.page_views.view import Address, View
from lamphouse.web.reading_bodies import understood
from lamphouse.web.showing import page, told
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.trace.picture_header import Header

_SHOWN = "pictures shown"
_MOST_SHOWN = 4
_UNPACKING = Lock()
"""One picture is unpacked at a time: each may need some hundred megabytes."""


async def body(request: Request, bench: Workbench) -> Response:
    """Show pictures, what gives them their scale, and the last tracing."""
    design = bench.reading.design
    panels = [
        (f"{sub.name} / {panel.name}", [one.name for one in panel.openings])
        for sub in (design.sub_assemblies if design else ())
        for panel in sub.panels
        if panel.curve is None
    ]
    return page(
        "trace.html",
        bench=bench,
        panels=panels,
        into=request.query_params.get("panel", "")[:400],
        pictures=await asyncio.to_thread(pictures_of, bench.file),
        references=REFERENCES,
        latest=trace_work.latest(bench),
        was_left=trace_kept.kept_of(bench.file) is not None,
        install="" if trace_work.is_installed() else trace_work.INSTALL,
    )


async def take_in(request: Request, bench: Workbench) -> Response:
    """Keep a picture in the project's folder."""
    if not trace_work.is_installed():
        return trace_work.missing()
    from lamphouse.trace.refused import TraceError

    async with request.form(max_files=1, max_fields=2) as form:
        file = form.get("file")
        if not isinstance(file, UploadFile):
            return told("Choose a picture.", status=400)
        data, name = await file.read(), file.filename or "picture"
    try:
        kept, header = await asyncio.to_thread(_keep, bench, data, name)
    except TraceError as refused:
        return told(f"Not kept: {refused}.", status=422)
    except StorageError as refused:
        return told(f"Not kept: {refused.what}; {refused.remedy}.", status=507)
    said = {"name": kept, "columns": header.columns, "rows": header.rows, "dpi": header.dpi}
    return JSONResponse(said)


def _keep(bench: Workbench, data: bytes, name: str) -> "tuple[str, Header]":
    from lamphouse.trace import kept_picture

    with _UNPACKING:
        return kept_picture.keep(bench.file, data=data, name=name)


async def picture(request: Request, bench: Workbench) -> Response:
    """Show a picture as it is measured, its size in pixels in the head."""
    if not trace_work.is_installed():
        return trace_work.missing()
    from lamphouse.trace.refused import TraceError

    name = request.query_params.get("name", "")
    try:
        data, columns, rows = await asyncio.to_thread(_picture, bench, name)
    except LookupError as fault:
        return told(f"{str(fault.args[0]).capitalize()}.", status=404)
    except TraceError as refused:
        return told(f"{refused}.", status=422)
    except OSError as fault:
        return told(f"This picture cannot be read: {fault.strerror or fault}.", status=404)
    size = {"Picture-Size": f"{columns} {rows}"}
    return Response(data, media_type="image/jpeg", headers=size)


def _picture(bench: Workbench, name: str) -> tuple[bytes, int, int]:
    from lamphouse.trace import kept_picture
    from lamphouse.trace.asked_pictures import loaded

    path = picture_named(bench.file, name)
    kept: dict[tuple[str, int, int], tuple[bytes, int, int]] = bench.extra.setdefault(_SHOWN, {})
    stamp = path.stat()
    key = (name, stamp.st_mtime_ns, stamp.st_size)
    if key not in kept:
        with _UNPACKING:
            seen = loaded(path)
            rows, columns = seen.levels.shape
            made = (kept_picture.shown(seen), columns, rows)
        while len(kept) >= _MOST_SHOWN:
            kept.pop(next(iter(kept)), None)
        kept[key] = made
        return made
    return kept[key]


async def start(request: Request, bench: Workbench) -> Response:
    """Begin to trace; what was moved by hand on the tracing before goes."""
    form = understood(TraceAsked, await request.body())
    if isinstance(form, Response):
        return form
    answer = trace_work.begin(bench, form)
    if answer.status_code == 200:
        await asyncio.to_thread(trace_kept.forget, bench.file)
    return answer


async def sight(request: Request, bench: Workbench) -> Response:
    """Give the picture around the part, the overlay, or the map of deviations."""
    found = trace_work.found_in(bench, request.query_params.get("job", ""))
    which = request.path_params["which"]
    held = {
        "sight": found.sight.png if found.sight else b"",
        "overlay": found.overlay,
        "against": found.map,
    }
    data = held.get(which, b"")
    if not data:
        return told("There is no such picture.", status=404)
    return Response(data, media_type="image/png")


async def figures(request: Request, bench: Workbench) -> Response:
    """Show what was found in figures, or why nothing was."""
    number = request.query_params.get("job", "")
    found = trace_work.found_in(bench, number)
    after = await trace_work.nudged_of(found) if found.part else None
    return page(
        "trace_figures.html",
        bench=bench,
        job=number,
        found=found,
        result=found.answer["result"],
        nudged=after,
    )


async def card(request: Request, _bench: Workbench) -> Response:
    """Give the frame card to be printed."""
    from lamphouse.outputs.card_sheet import card_sheet

    paper = "Letter" if request.query_params.get("paper") == "Letter" else "A4"
    data = await asyncio.to_thread(card_sheet, paper=paper)
    shown = {"Content-Disposition": f'inline; filename="card-{paper.casefold()}.pdf"'}
    return Response(data, media_type="application/pdf", headers=shown)


VIEW = View(
    key="trace",
    label="Trace",
    body=body,
    styles=("trace.css",),
    scripts=("trace.js",),
    addresses=(
        Address(path="trace/picture", handler=take_in, methods=("POST",)),
        Address(path="trace/shown", handler=picture),
        Address(path="trace/start", handler=start, methods=("POST",)),
        Address(path="trace/found", handler=trace_nudge.shown),
        Address(path="trace/figures", handler=figures),
        Address(path="trace/nudge", handler=trace_nudge.nudge, methods=("POST",)),
        Address(path="trace/again", handler=trace_nudge.again, methods=("POST",)),
        Address(path="trace/accept", handler=trace_nudge.accept, methods=("POST",)),
        Address(path="trace/card.pdf", handler=card),
        Address(path="trace/{which}.png", handler=sight),
    ),
)
