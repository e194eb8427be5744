"""Finds a port, starts the program behind the page, and says where it is."""

import socket
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

import uvicorn

from lamphouse.record import Record
from lamphouse.storage.recent import Recent
from lamphouse.web.app import make_app
from lamphouse.web.keys import KeyRing
from lamphouse.web.one_heap import share_one_heap

LOOPBACK = "127.0.0.1"
PORT = 7724
"""Taken when it is free; else any."""


class Opened(Record):
    """Where the page is."""

    port: int
    entry: str
    """Address for the owner's browser; whoever has it can do what the owner can."""


def bound(port: int | None, *, host: str = LOOPBACK) -> socket.socket:
    """Take a port.

    Raises
    ------
    OSError
        If a port that was asked for is taken.
    """
    wishes = (PORT, 0) if port is None else (port,)
    for wish in wishes:
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind((host, wish))
            made.listen(64)
        except OSError:
            made.close()
            if wish == wishes[-1]:
                raise
        else:
            return made
    raise AssertionError(wishes)


def serve(
    taken: socket.socket,
    *,
    project: Path | None,
    home: Path,
    recent: Recent,
    now: Callable[[], str],
    clock: Callable[[], float],
    names: Sequence[str],
    ready: Callable[[Opened], None],
) -> None:
    """Answer until one is interrupted.

    Parameters
    ----------
    taken
        The port, from :func:`bound`.
    project
        Opened at once; None shows the first screen.
    names
        Names and addresses this machine goes by, beside loopback's.
    ready
        Called when the page can be opened.
    """
    share_one_heap()
    port = taken.getsockname()[1]
    keys = KeyRing(clock)
    hosts = [f"{name}:{port}" for name in (LOOPBACK, "localhost", *names)]
    app = make_app(keys=keys, hosts=hosts, recent=recent, home=home, now=now, clock=clock)
    to = ""
    if project is not None:
        to = f"&to=/p/{app.projects.open(project).id}/table"
    settings = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        ws="websockets-sansio",
        ws_max_size=65536,
        lifespan="on",
        timeout_graceful_shutdown=2,
    )
    ready(Opened(port=port, entry=f"http://{LOOPBACK}:{port}/enter?key={keys.entry}{to}"))
    with suppress(KeyboardInterrupt):
        uvicorn.Server(settings).run(sockets=[taken])


def own_names() -> tuple[str, ...]:
    """List the names and addresses by which the local network knows this machine."""
    name = socket.gethostname()
    found = {name, f"{name}.local"}
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # [RFC5737]; nothing is sent, the system only picks a way
        found.add(probe.getsockname()[0])
    with suppress(OSError):
        found.update(str(one[4][0]) for one in socket.getaddrinfo(name, None, socket.AF_INET))
    return tuple(sorted(found))
