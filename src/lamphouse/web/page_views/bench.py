"""The bench: what is this flag, the next step, the reading to expect, the fault finder, the log.

It is made for a phone in one hand. A phone keeps the whole view and what is logged while the
network is gone, and sends it when it is there again.
"""

import asyncio
from datetime import date
from typing import Annotated

from msgspec import to_builtins
from pydantic import BaseModel, ConfigDict, Field
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lamphouse.record import replace
from lamphouse.storage.bench_log import EntryRefused
from lamphouse.storage.log_photos import read_photo
from lamphouse.storage.refusal import StorageError
from lamphouse.web import log_of_project
from lamphouse.web.completing import for_the_work
from lamphouse.web.keys import Holder, Role
from lamphouse.web.page_views.view import Address, View
from lamphouse.web.pairing import forget, new_code
from lamphouse.web.reading_bodies import understood
from lamphouse.web.showing import lasting_static, page, told
from lamphouse.web.spread_work import read_asked, spread
from lamphouse.web.workbench import Workbench

_KEPT = "bench view"
PICTURES = {"jpg": "image/jpeg", "png": "image/png", "tif": "image/tiff"}


class Asked(BaseModel):
    """Readings for the fault finder, as written at the bench."""

    model_config = ConfigDict(extra="forbid")

    sub_assembly: Annotated[str, Field(max_length=300)]
    readings: Annotated[list[Annotated[str, Field(max_length=100)]], Field(max_length=60)]
    closed: bool = False
    gate: Annotated[str, Field(max_length=20)] = ""


def holder_of(request: Request) -> Holder:
    """Tell who asks."""
    holder: Holder = request.scope["state"]["holder"]
    return holder


async def body(request: Request, bench: Workbench) -> Response:
    """Show the bench; all else comes as data."""
    owner = holder_of(request).role is Role.OWNER
    return page("bench.html", bench=bench, owner=owner)


async def data(_request: Request, bench: Workbench) -> Response:
    """Give all that a phone keeps."""
    from lamphouse.outputs.bench_view import bench_view

    plan = await for_the_work(bench)
    if plan is None:
        return told("The project's file must be mended first.", status=409)
    kept = bench.extra.get(_KEPT)
    if kept is None or kept[0] != bench.revision:
        kept = bench.revision, to_builtins(await asyncio.to_thread(bench_view, plan))
        bench.extra[_KEPT] = kept
    return JSONResponse({"mark": kept[0], "page": lasting_static(), **kept[1]})


async def log(request: Request, bench: Workbench) -> Response:
    """Give the entries after a number."""
    after = request.query_params.get("after", "0")
    number = int(after) if after.isdecimal() and len(after) < 12 else 0
    try:
        entries = await asyncio.to_thread(log_of_project.entries_of, bench, after=number)
    except StorageError as fault:
        return told(f"The log cannot be read: {fault.what}; {fault.remedy}.", status=507)
    return JSONResponse({"entries": [to_builtins(one) for one in entries]})


async def add(request: Request, bench: Workbench) -> Response:
    """Write entries that a device sends."""
    sent = understood(log_of_project.SentEntries, await request.body())
    if isinstance(sent, Response):
        return sent
    device = holder_of(request).device or "this computer"
    try:
        written = await asyncio.to_thread(
            log_of_project.add, bench, sent=sent.entries, device=device
        )
        new = await asyncio.to_thread(log_of_project.entries_of, bench, after=sent.after)
    except EntryRefused as fault:
        return told(f"Not logged: {fault}.", status=422)
    except StorageError as fault:
        return told(f"Not logged: {fault.what}; {fault.remedy}.", status=507)
    await bench.look()
    return JSONResponse(
        {"written": [one.key for one in written], "entries": [to_builtins(one) for one in new]}
    )


async def following(request: Request, bench: Workbench) -> Response:
    """Give the steps that are best for the next evening, or for the hours of tonight."""
    from lamphouse.outputs.step_lines import clock

    today = date.fromisoformat(request.app.state.now()[:10])
    asked = replace(read_asked(request.query_params), day=today)
    try:
        found = await spread(bench, asked, today=today)
    except ValueError as fault:
        return told(f"Hours tonight: {fault}.", status=422)
    if found is None:
        return told("The project's file must be mended first.", status=409)
    evening = next(iter(found.planned.sessions), None)
    return JSONResponse(
        {
            "next": list(found.planned.next),
            "evening": f"{evening.day:%A} {evening.day}, {clock(evening.starts_h)}"
            if evening
            else "",
        }
    )


async def photograph(request: Request, bench: Workbench) -> Response:
    """Give a photograph that an entry of the log names."""
    name = request.path_params["name"]
    kind = PICTURES.get(name.rpartition(".")[2])
    try:
        entries = await asyncio.to_thread(log_of_project.entries_of, bench)
        known = kind and any(one.attachment == name for one in entries)
        content = await asyncio.to_thread(read_photo, bench.file, name) if known else None
    except StorageError as fault:
        return told(f"It cannot be read: {fault.what}; {fault.remedy}.", status=507)
    if content is None:
        return told("The log has no such photograph.", status=404)
    # its name holds its own mark, so what it shows never changes
    return Response(
        content, media_type=kind, headers={"Cache-Control": "private, max-age=31536000"}
    )


async def judge(request: Request, bench: Workbench) -> Response:
    """Judge readings against the plan, and say what to do next."""
    from lamphouse.outputs.log_lines import log_result
    from lamphouse.outputs.records import plain
    from lamphouse.plan.judged_readings import judge as judged

    asked = understood(Asked, await request.body())
    plan = await bench.plan()
    if isinstance(asked, Response) or plan is None:
        return asked if isinstance(asked, Response) else told("Mend the file first.", status=409)
    try:
        judgement = await asyncio.to_thread(
            judged, plan, asked.sub_assembly, written=asked.readings, gate=asked.gate or None
        )
    except (LookupError, ValueError) as fault:
        return told(f"{fault.args[0]}.", status=422)
    return JSONResponse(plain(log_result("", entries=(), every=(), judgement=judgement)))


async def fault(request: Request, bench: Workbench) -> Response:
    """Say what is likely wrong, and what to read next."""
    from lamphouse.outputs import answer
    from lamphouse.outputs.fault_lines import fault_result
    from lamphouse.plan.fault_finding import diagnosed

    asked = understood(Asked, await request.body())
    plan = await bench.plan()
    if isinstance(asked, Response) or plan is None:
        return asked if isinstance(asked, Response) else told("Mend the file first.", status=409)
    try:
        book, found = await asyncio.to_thread(
            diagnosed, plan, asked.sub_assembly, written=asked.readings, closed=asked.closed
        )
    except (LookupError, ValueError) as wrong:
        return told(f"{wrong.args[0]}.", status=422)
    return JSONResponse(answer.fault(fault_result(book, found)))


async def photo(request: Request, bench: Workbench) -> Response:
    """Keep a photograph."""
    from lamphouse.trace.refused import TraceError

    async with request.form(max_files=1, max_fields=6) as form:
        file = form.get("file")
        if not isinstance(file, UploadFile):
            return told("Choose a photograph.", status=400)
        content = await file.read()
        words = {name: str(form.get(name, ""))[:300] for name in ("key", "at", "by", "item")}
        name = file.filename or "photo"
    try:
        entry = await asyncio.to_thread(
            log_of_project.add_photo,
            bench,
            data=content,
            name=name,
            device=holder_of(request).device or "this computer",
            **words,
        )
    except TraceError as refused:
        return told(f"Not kept: {refused}.", status=422)
    except EntryRefused as refused:
        return told(f"Not kept: {refused}.", status=422)
    except StorageError as refused:
        return told(f"Not kept: {refused.what}; {refused.remedy}.", status=507)
    return JSONResponse({"entry": to_builtins(entry)})


VIEW = View(
    key="bench",
    label="Bench",
    body=body,
    styles=("bench.css",),
    scripts=("bench.js",),
    addresses=(
        Address(path="bench/data", handler=data),
        Address(path="bench/next", handler=following),
        Address(path="bench/photo/{name}", handler=photograph),
        Address(path="bench/log", handler=log),
        Address(path="bench/log", handler=add, methods=("POST",)),
        Address(path="bench/judge", handler=judge, methods=("POST",)),
        Address(path="bench/fault", handler=fault, methods=("POST",)),
        Address(path="bench/photo", handler=photo, methods=("POST",)),
        Address(path="phones", handler=new_code, methods=("POST",)),
        Address(path="phones/forget", handler=forget, methods=("POST",)),
    ),
)
