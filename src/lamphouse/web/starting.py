"""The first screen: open a project, start a new one, or take a demo."""

from errno import EACCES, EEXIST, ENOENT, ENOTDIR
from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from lamphouse.project import starter
from lamphouse.project.tours import tours
from lamphouse.web.shelf_of_projects import Projects
from lamphouse.web.showing import page, see_other, told

MOST_LISTED = 200
"""Folders shown while one is looked for."""
_WHY = {
    ENOENT: "there is no such file or folder",
    EACCES: "it may not be read",
    ENOTDIR: "a file stands where a folder is named",
    EEXIST: "there is a project already",
}


def projects_of(request: Request) -> Projects:
    """Give the open projects."""
    projects: Projects = request.app.state.projects
    return projects


async def start(request: Request) -> Response:
    """Show the first screen."""
    projects = projects_of(request)
    return page(
        "start.html",
        recent=[(file, file.parent.name) for file in projects.recent()],
        tours=tours(),
        home=str(request.app.state.home),
    )


async def open_project(request: Request) -> Response:
    """Open the project a form names."""
    async with request.form(max_files=0, max_fields=4) as form:
        path = str(form.get("path", "")).strip()
    return _opened(request, Path(path) if path else None)


async def new_project(request: Request) -> Response:
    """Make a folder with a starting project or a demo in it, and open it."""
    async with request.form(max_files=0, max_fields=4) as form:
        folder, demo = str(form.get("folder", "")).strip(), str(form.get("demo", "")).strip()
    if not folder:
        return told("Name the new folder.", status=400)
    if demo and demo not in starter.DEMOS:
        return told(f"There is no demo '{demo[:40]}'.", status=400)
    path = Path(folder).expanduser()
    path = path if path.is_absolute() else request.app.state.home / path
    try:
        starter.start(path, demo=demo or None)
    except (OSError, ValueError) as fault:
        return told(f"'{path}': {reason(fault)}.", status=409)
    return _opened(request, path)


async def folders(request: Request) -> Response:
    """List the folders in one, for looking around."""
    at = Path(request.query_params.get("at") or request.app.state.home).expanduser()
    try:
        at = at.resolve(strict=True)
        inside = sorted(one for one in at.iterdir() if not one.name.startswith("."))
        listed = [one for one in inside if one.is_dir() or one.suffix in (".yaml", ".yml")]
    except (OSError, ValueError, RuntimeError) as fault:
        return told(f"'{at}': {reason(fault)}.", status=404)
    shown = [
        (one, "project" if one.is_file() or (one / "project.yaml").is_file() else "folder")
        for one in listed[:MOST_LISTED]
    ]
    return page("folders.html", at=at, up=at.parent, inside=shown, more=len(listed) - len(shown))


def _opened(request: Request, path: Path | None) -> Response:
    if path is None:
        return told("Name a project's folder or its .yaml file.", status=400)
    try:
        bench = projects_of(request).open(path)
    except (OSError, ValueError, RuntimeError) as fault:
        return told(f"'{path}': {reason(fault)}.", status=404)
    return see_other(f"/p/{bench.id}/table")


def reason(fault: Exception) -> str:
    """Say why the system refused."""
    number = fault.errno if isinstance(fault, OSError) else None
    return _WHY.get(number or 0, str(getattr(fault, "strerror", None) or fault))


ROUTES = [
    Route("/", start),
    Route("/open", open_project, methods=["POST"]),
    Route("/new", new_project, methods=["POST"]),
    Route("/folders", folders),
]
