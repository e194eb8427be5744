"""Every address of the page, put together behind the guard."""

import asyncio
import re
import time
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from pathlib import Path
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from lamphouse.storage.recent import Recent
from lamphouse.web import page_frame, pairing, starting
from lamphouse.web.guard import Guard, Pace
from lamphouse.web.keys import COOKIE, KeyRing
from lamphouse.web.shelf_of_projects import Projects
from lamphouse.web.showing import lasting_static, page, see_other, static_file, told

KINDS = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".otf": "font/otf",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
}
LASTS = "public, max-age=31536000, immutable"
_MARK = re.compile(r"^v-[0-9a-f]{16}/")


def make_app(
    *,
    keys: KeyRing,
    hosts: Iterable[str],
    recent: Recent,
    home: Path,
    now: Callable[[], str],
    clock: Callable[[], float] = time.monotonic,
) -> Guard:
    """Put the page together.

    Parameters
    ----------
    keys
        Who may ask.
    hosts
        The page's own addresses, ``name:port``.
    recent
        The projects opened last.
    home
        Where new projects go, and where one begins to look around.
    now
        Gives the time as ISO 8601, for the history and the log.
    clock
        Seconds that only grow, for how often one may ask.
    """

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        app.state.closing = asyncio.Event()
        yield
        app.state.closing.set()

    app = Starlette(
        routes=[
            Route("/enter", _enter),
            Route("/static/{name:path}", _static),
            *starting.ROUTES,
            *pairing.ROUTES,
            *page_frame.ROUTES,
        ],
        exception_handlers={HTTPException: _refused},
        lifespan=lifespan,
    )
    app.state.keys = keys
    app.state.projects = Projects(recent=recent, now=now)
    app.state.home = home
    app.state.hosts = tuple(hosts)
    app.state.now = now
    app.state.closing = asyncio.Event()
    return Guard(app, keys=keys, hosts=hosts, pace=Pace(clock))


async def _enter(request: Request) -> Response:
    """Give the owner's browser its key, and lead it on to a page of its own."""
    keys: KeyRing = request.app.state.keys
    key = keys.enter(request.query_params.get("key", ""))
    if key is None:
        words = "This address is an old one; use the one 'lamphouse open' printed last."
        return PlainTextResponse(words, status_code=403)
    to = request.query_params.get("to", "/")
    answer = see_other(quote(to, safe="/?=&%") if _is_own(to) else "/")
    answer.set_cookie(COOKIE, key, httponly=True, samesite="strict", path="/")
    return answer


def _is_own(address: str) -> bool:
    return address.startswith("/") and not address.startswith(("//", "/\\"))


async def _static(request: Request) -> Response:
    name = request.path_params["name"]
    lasting = f"/static/{name}".startswith(f"{lasting_static()}/")
    data = static_file(_MARK.sub("", name))
    if data is None:
        raise HTTPException(404, "There is no such file.")
    kind = KINDS.get(Path(name).suffix, "application/octet-stream")
    return Response(
        data, media_type=kind, headers={"Cache-Control": LASTS if lasting else "no-cache"}
    )


async def _refused(request: Request, fault: Exception) -> Response:
    status = fault.status_code if isinstance(fault, HTTPException) else 500
    words = fault.detail if isinstance(fault, HTTPException) else "Something went wrong."
    if "text/html" in request.headers.get("accept", "") and request.method == "GET":
        return page("refused.html", status=status, words=words)
    return told(words, status=status)
