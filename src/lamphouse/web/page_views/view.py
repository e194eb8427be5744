"""What a view is: a word for its address, a label, what shows it, and addresses of its own."""

from collections.abc import Awaitable, Callable, Sequence
from typing import TypeAlias

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route, WebSocketRoute
from starlette.websockets import WebSocket

from lamphouse.record import Record, field
from lamphouse.web.workbench import Workbench

Handler: TypeAlias = Callable[[Request, Workbench], Awaitable[Response]]
Talk: TypeAlias = Callable[[WebSocket, Workbench], Awaitable[None]]
Found: TypeAlias = Callable[[WebSocket], Workbench | None]
OfProject: TypeAlias = Callable[[Handler], Callable[[Request], Awaitable[Response]]]


class Address(Record):
    """One address of a view, below ``/p/{project}/``."""

    path: str
    handler: Handler
    methods: tuple[str, ...] = ("GET",)


class Socket(Record):
    """One WebSocket of a view, below ``/p/{project}/``."""

    path: str
    talk: Talk


class View(Record):
    """One view of the page."""

    key: str
    label: str
    body: Handler
    """Shows the view inside the frame; the plan is there when it is called."""
    addresses: Sequence[Address] = field(default_factory=tuple)
    sockets: Sequence[Socket] = field(default_factory=tuple)
    styles: tuple[str, ...] = ()
    """Style sheets of its own, files below ``static``."""
    scripts: tuple[str, ...] = ()
    """Modules of its own, files below ``static``; they run once, after the frame's."""

    def routes(self, of_project: OfProject, *, found: Found) -> list[BaseRoute]:
        """Give the view's own addresses.

        Parameters
        ----------
        of_project
            Hands a request on with the open project it names.
        found
            Gives the open project a socket names; None when it is not open.
        """
        made: list[BaseRoute] = [
            Route(f"/p/{{project}}/{one.path}", of_project(one.handler), methods=list(one.methods))
            for one in self.addresses
        ]
        made += [
            WebSocketRoute(f"/p/{{project}}/{one.path}", _talking(one.talk, found=found))
            for one in self.sockets
        ]
        return made


def _talking(talk: Talk, *, found: Found) -> Callable[[WebSocket], Awaitable[None]]:
    async def talking(socket: WebSocket) -> None:
        bench = found(socket)
        if bench is None:
            await socket.close(code=1008)
            return
        await socket.accept()
        await talk(socket, bench)

    return talking
