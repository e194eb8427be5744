"""The sub-command open: the whole job in a page, on this machine."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from lamphouse.cli import commands

if TYPE_CHECKING:
    from lamphouse.web.server import Opened


@click.command(
    "open",
    epilog="""\b
Examples:
  lamphouse open                        the first screen: open, new, demos
  lamphouse open saltmarsh/mended.yaml
  lamphouse open saltmarsh --network    phones in the same network may be paired""",
)
@click.argument("project", type=click.Path(path_type=Path), required=False)
@click.option("--port", type=click.IntRange(0, 65535), help="Port to use; 0 for any free one.")
@click.option("--network", is_flag=True, help="Let phones in the local network be paired.")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
def open_page(project: Path | None, port: int | None, *, network: bool, no_browser: bool) -> int:
    """Open PROJECT, or the first screen, in a page on this machine.

    The address that is printed opens everything; keep it to yourself. Stop with Ctrl+C.
    """
    import os
    import time
    import webbrowser
    from datetime import datetime

    from lamphouse.project.read import project_file
    from lamphouse.storage.recent import Recent, state_folder
    from lamphouse.web import server

    if project is not None and not project_file(project).is_file():
        message = f"{project}: there is no project; name its folder or its .yaml file"
        raise commands.Unreadable(message)
    try:
        taken = server.bound(port, host="0.0.0.0" if network else server.LOOPBACK)
    except OSError as fault:
        message = f"port {port}: {fault.strerror}; use another, or leave --port out"
        raise commands.Unwritable(message) from fault

    def ready(opened: "Opened") -> None:
        click.echo(f"Lamphouse is open at {opened.entry}")
        click.echo("Stop with Ctrl+C.", err=True)
        sys.stdout.flush()
        if not no_browser:
            webbrowser.open(opened.entry)

    server.serve(
        taken,
        project=project,
        home=Path.cwd(),
        recent=Recent(state_folder(os.environ)),
        now=lambda: datetime.now().astimezone().isoformat(timespec="seconds"),  # noqa: TID251
        clock=time.monotonic,
        names=server.own_names() if network else (),
        ready=ready,
    )
    return 0
