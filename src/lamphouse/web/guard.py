"""Who may ask, from where, how much and how often; and what a browser may load.

Every request passes here before anything else sees it. A page on the web can make a browser send
requests to this machine (cross-site requests), or give its own name this machine's address (DNS
rebinding): the first are told by ``Origin`` and ``Sec-Fetch-Site``, the second by ``Host``
[RFC9110] [FETCH-METADATA].
"""

from asyncio import CancelledError
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

from starlette.applications import Starlette
from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import Message, Receive, Scope, Send

from lamphouse.units.digits import whole_number
from lamphouse.web.keys import COOKIE, KeyRing, Role
from lamphouse.web.shelf_of_projects import Projects

MOST_BODY = 1_048_576
"""Bytes of a request that is no upload."""
MOST_UPLOAD = 64 * 1_048_576
TOO_LARGE = "This is more than the page takes at once."
UPLOADS = ("/photo", "/picture", "/trace")
"""Endings of the addresses that take files."""
PER_SECOND, AT_ONCE = 100.0, 300.0
"""Requests of one client: lasting, and saved up."""
OPEN_TO_ALL = ("/enter", "/pair/", "/static/")
"""Addresses that need no key."""
FOR_PHONES = "/bench"
"""What a phone may reach stands below a project's address and this word."""
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "font-src 'self'",
        "img-src 'self' blob: data:",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), microphone=(), geolocation=(), usb=()",
}


@dataclass(slots=True)
class _Bucket:
    left: float
    seen_s: float


@dataclass(slots=True)
class Pace:
    """How often each client may ask."""

    clock: Callable[[], float]
    _buckets: dict[str, _Bucket] = field(default_factory=dict)

    def allows(self, client: str) -> bool:
        """Take one request of a client, unless it has asked too often."""
        now = self.clock()
        if len(self._buckets) > 1000:  # addresses seen long ago
            self._buckets = {k: b for k, b in self._buckets.items() if now - b.seen_s < 10.0}
        bucket = self._buckets.setdefault(client, _Bucket(AT_ONCE, now))
        bucket.left = min(bucket.left + (now - bucket.seen_s) * PER_SECOND, AT_ONCE)
        bucket.seen_s = now
        if bucket.left < 1.0:
            return False
        bucket.left -= 1.0
        return True


class Guard:
    """Lets through what is allowed, and puts the safety headers on every answer."""

    def __init__(self, app: Starlette, *, keys: KeyRing, hosts: Iterable[str], pace: Pace) -> None:
        self.app = app
        self._keys = keys
        self._hosts = frozenset(host.casefold() for host in hosts)
        self._pace = pace
        self.projects: Projects = app.state.projects

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request, or hand it on."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        refusal = self._refusal(scope)
        if scope["type"] == "websocket":
            if refusal:
                await receive()
                await send({"type": "websocket.close", "code": 1008})
            else:
                await self.app(scope, receive, send)
            return
        guarded = _with_headers(send, scope=scope)
        if refusal:
            status, words = refusal
            await PlainTextResponse(words, status_code=status)(scope, receive, guarded)
            return
        with suppress(CancelledError):  # the server ends while something is still computed
            await self.app(scope, _limited(receive, most=_most(scope["path"])), guarded)

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        headers = Headers(scope=scope)
        if headers.get("host", "").casefold() not in self._hosts:
            return 421, "This address is not the page's own."
        if _from_elsewhere(headers, scope=scope, hosts=self._hosts):
            return 403, "Another site may not ask this page for anything."
        client = scope["client"][0] if scope.get("client") else ""
        if not self._pace.allows(client):
            return 429, "Too many requests at once; wait a second."
        length = whole_number(headers.get("content-length", "0"))
        if length is None or length > _most(scope["path"]):
            return 413, TOO_LARGE
        return self._unknown(scope, headers)

    def _unknown(self, scope: Scope, headers: Headers) -> tuple[int, str] | None:
        """Refuse whoever has no key, and a phone outside its bench."""
        path = scope["path"]
        if path.startswith(OPEN_TO_ALL):
            return None
        holder = self._keys.holder(_key_in(headers))
        if holder is None:
            words = "Open the page by the address that 'lamphouse open' prints, or pair this phone."
            return 403, words
        scope.setdefault("state", {})["holder"] = holder
        if holder.role is Role.BENCH:
            ground = f"/p/{holder.project}{FOR_PHONES}"
            if path != ground and not path.startswith(f"{ground}/"):
                return 403, "A phone sees the bench of its project only."
        return None


def _key_in(headers: Headers) -> str:
    try:
        morsel = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return ""
    return morsel.value if morsel else ""


def _from_elsewhere(headers: Headers, *, scope: Scope, hosts: frozenset[str]) -> bool:
    """Tell whether another site makes a browser ask."""
    origin = headers.get("origin")
    if origin is not None:
        return origin.casefold().removeprefix("http://") not in hosts
    site = headers.get("sec-fetch-site", "none")
    changes = scope["type"] == "websocket" or scope["method"] not in ("GET", "HEAD")
    if changes:
        return site != "same-origin"
    # A link on another site may open a page, but load nothing into its own.
    return site not in ("same-origin", "none") and headers.get("sec-fetch-mode") != "navigate"


def _most(path: str) -> int:
    return MOST_UPLOAD if path.endswith(UPLOADS) else MOST_BODY


def _limited(receive: Receive, *, most: int) -> Receive:
    seen = 0

    async def counted() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most:
            raise HTTPException(413, TOO_LARGE)
        return message

    return counted


def _with_headers(send: Send, *, scope: Scope) -> Send:
    async def guarded(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            if not scope["path"].startswith("/static/"):
                headers.setdefault("Cache-Control", "no-store")
        await send(message)

    return guarded
