"""What a view is: a word for its address, a label, what shows it, and addresses of its own."""

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route

from lamphouse.web.workbench import Workbench

Handler: TypeAlias = Callable[[Request, Workbench], Awaitable[Response]]
OfProject: TypeAlias = Callable[[Handler], Callable[[Request], Awaitable[Response]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """One address of a view, below ``/p/{project}/``."""

    path: str
    handler: Handler
    methods: tuple[str, ...] = ("GET",)


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """One view of the page."""

    key: str
    label: str
    body: Handler
    """Shows the view inside the frame; the plan is there when it is called."""
    addresses: Sequence[Address] = field(default_factory=tuple)
    styles: tuple[str, ...] = ()
    """Style sheets of its own, files below ``static``."""
    scripts: tuple[str, ...] = ()
    """Modules of its own, files below ``static``; they run once, after the frame's."""

    def routes(self, of_project: OfProject) -> list[BaseRoute]:
        """Give the view's own addresses."""
        return [
            Route(f"/p/{{project}}/{one.path}", of_project(one.handler), methods=list(one.methods))
            for one in self.addresses
        ]
