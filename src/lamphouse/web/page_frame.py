"""The frame around every view, and the addresses all views share: edits, undo, findings, events."""

import asyncio
import json
from collections.abc import AsyncIterator, Awaitable, Callable

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.websockets import WebSocket

from lamphouse.findings import RULES
from lamphouse.web.answering import answered, counts, state
from lamphouse.web.edits import Edits
from lamphouse.web.keys import Holder, Role
from lamphouse.web.mend_button import by_button, mend
from lamphouse.web.page_views import VIEWS, view_named
from lamphouse.web.reading_bodies import understood
from lamphouse.web.shelf_of_projects import Projects
from lamphouse.web.showing import lasting_static, page
from lamphouse.web.starting import projects_of
from lamphouse.web.workbench import Workbench

HEARTBEAT_S = 15.0
LOOK_S = 1.0
"""How often a project's file is looked at for changes made elsewhere, while somebody listens."""

ON_THE_PHONE = {"Cache-Control": "private, max-age=2592000"}
"""A phone shows its bench from what it has kept, and so without the network; the bench itself
fetches the page anew where that has changed."""

Handler = Callable[[Request, Workbench], Awaitable[Response]]


def bench_of(request: Request) -> Workbench:
    """Give the open project an address names.

    Raises
    ------
    HTTPException
        404 when it is not open.
    """
    bench = projects_of(request).find(request.path_params["project"])
    if bench is None:
        raise HTTPException(404, "This project is not open; open it from the first screen.")
    return bench


def bench_if_open(socket: WebSocket) -> Workbench | None:
    """Give the open project a socket names; None when it is not open."""
    projects: Projects = socket.app.state.projects
    return projects.find(socket.path_params["project"])


def of_project(handler: Handler) -> Callable[[Request], Awaitable[Response]]:
    """Hand a request on with the open project it names."""

    async def handled(request: Request) -> Response:
        return await handler(request, bench_of(request))

    return handled


async def frame(request: Request, bench: Workbench) -> Response:
    """Show the frame; the view itself follows as soon as it is computed."""
    view = view_named(request.path_params["view"])
    if view is None:
        raise HTTPException(404, "There is no such view.")
    await bench.look()
    query = f"?{request.url.query}" if request.url.query else ""
    phone = _is_phone(request)
    return page(
        "phone.html" if phone else "frame.html",
        static=lasting_static() if phone else "/static",
        headers=ON_THE_PHONE if phone else None,
        bench=bench,
        views=VIEWS,
        view=view,
        body_address=f"/p/{bench.id}/{view.key}/body{query}",
        counts=counts(bench.findings()),
        room_lx=_room_lx(bench),
    )


async def body(request: Request, bench: Workbench) -> Response:
    """Show the view itself, once the plan is there."""
    view = view_named(request.path_params["view"])
    if view is None:
        raise HTTPException(404, "There is no such view.")
    if await bench.plan() is None:
        return page("broken.html", bench=bench, findings=bench.findings(), status=200)
    shown = await view.body(request, bench)
    if _is_phone(request):
        shown.headers.update(ON_THE_PHONE)
    return shown


async def edit(request: Request, bench: Workbench) -> Response:
    """Make edits."""
    edits = understood(Edits, await request.body())
    if isinstance(edits, Response):
        return edits
    return await answered(bench, bench.change(edits))


async def undo(_request: Request, bench: Workbench) -> Response:
    """Take the last change back."""
    return await answered(bench, bench.undo())


async def redo(_request: Request, bench: Workbench) -> Response:
    """Make the change again that was taken back."""
    return await answered(bench, bench.redo())


async def state_now(_request: Request, bench: Workbench) -> Response:
    """Say how things stand."""
    await bench.look()
    return JSONResponse(state(bench))


async def findings(_request: Request, bench: Workbench) -> Response:
    """List the findings, each with its mend and a place to accept it."""
    await bench.plan()
    can = {code: rule.can_be_accepted for code, rule in RULES.items()}
    found = bench.findings()
    return page(
        "findings.html", bench=bench, findings=found, can=can, buttons=by_button(bench, found)
    )


async def events(request: Request, bench: Workbench) -> Response:
    """Send what happens as it happens (server-sent events)."""
    return StreamingResponse(_events(request, bench), media_type="text/event-stream")


async def _events(request: Request, bench: Workbench) -> AsyncIterator[str]:
    queue = bench.listen()
    stop: asyncio.Event = request.app.state.closing
    quiet_s = 0.0
    try:
        yield f"data: {json.dumps({'event': 'hello', **state(bench)})}\n\n"
        while not stop.is_set():
            try:
                event = await asyncio.wait_for(queue.get(), timeout=LOOK_S)
            except TimeoutError:
                quiet_s += LOOK_S
                await bench.look()
                if quiet_s >= HEARTBEAT_S:
                    quiet_s = 0.0
                    yield ": still here\n\n"
                continue
            yield f"data: {json.dumps({**event, 'state': state(bench)})}\n\n"
    finally:
        bench.leave(queue)


async def stop_job(request: Request, bench: Workbench) -> Response:
    """Stop long work."""
    bench.jobs.stop(request.path_params["number"])
    return JSONResponse({})


async def jobs(_request: Request, bench: Workbench) -> Response:
    """List the long work."""
    return page("jobs.html", bench=bench, jobs=bench.jobs.all())


def _is_phone(request: Request) -> bool:
    holder: Holder = request.scope["state"]["holder"]
    return holder.role is Role.BENCH


def _room_lx(bench: Workbench) -> float:
    design = bench.reading.design
    return design.room.room_light_lx if design and design.room else 100.0


ROUTES = [
    Route("/p/{project}/edit", of_project(edit), methods=["POST"]),
    Route("/p/{project}/mend", of_project(mend), methods=["POST"]),
    Route("/p/{project}/undo", of_project(undo), methods=["POST"]),
    Route("/p/{project}/redo", of_project(redo), methods=["POST"]),
    Route("/p/{project}/state", of_project(state_now)),
    Route("/p/{project}/findings", of_project(findings)),
    Route("/p/{project}/events", of_project(events)),
    Route("/p/{project}/jobs", of_project(jobs)),
    Route("/p/{project}/jobs/{number:int}/stop", of_project(stop_job), methods=["POST"]),
    *(route for view in VIEWS for route in view.routes(of_project, found=bench_if_open)),
    Route("/p/{project}/{view}", of_project(frame)),
    Route("/p/{project}/{view}/body", of_project(body)),
]
