"""What blinks: a time line that plays on the panel, patterns, scenes, safety, load, program."""

import asyncio
import base64
import json
from typing import TYPE_CHECKING, Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lamphouse.web.edits import inner
from lamphouse.web.mend_button import by_button
from lamphouse.web.page_views.asked_light import asked_lx
from lamphouse.web.page_views.long_work import download
from lamphouse.web.page_views.named import sub_named
from lamphouse.web.page_views.view import Address, View
from lamphouse.web.showing import page
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.plan.result import Plan
    from lamphouse.plan.time_lined import TimeLine

SHORT_S = 20.0
"""Shown of a time line, at least."""
KINDS = (
    *("steady", "random", "chase", "beacon", "lighthouse", "grade crossing", "fade", "flicker"),
    *("fire", "tube strike", "welding arc"),
)
TRIGGERS = ("in turn", "button", "timer")
_FIELDS = ("period", "fade", "duty", "level", "phase", "lag", "seed", "set", "repeat")
_SCENE_FIELDS = ("lasts", "every", "fade")


async def body(request: Request, bench: Workbench) -> Response:
    """Show what blinks."""
    plan = await bench.plan()
    if plan is None:
        raise HTTPException(404, "There is no plan.")
    scene = request.query_params.get("scene", "")
    shown = await asyncio.to_thread(_shown, plan, bench, scene)
    shown["buttons"] = by_button(bench, tuple(shown["findings"]))
    return page("blink.html", bench=bench, plan=plan, kinds=KINDS, triggers=TRIGGERS, **shown)


def _shown(plan: "Plan", bench: Workbench, scene: str) -> dict[str, Any]:
    from lamphouse.outputs import program_record, program_sheets, time_sheets
    from lamphouse.outputs.play_frames import of_scene, scene_names, seconds_of, strips, too_often
    from lamphouse.outputs.play_layers import played_panels

    root, line = bench.values(), plan.time_line
    runs = program_record.read_runs(bench.file.parent / program_record.NAME)
    program = program_sheets.program(plan, runs=runs)
    shown: dict[str, Any] = {
        "groups": [_group(root, group.name) for group in plan.design.groups],
        "scenes": [_scene(root, one.name) for one in plan.design.scenes],
        "program": program,
        "line": line,
        "findings": [
            one for one in plan.findings if one.stands and one.code.startswith(("BLK", "BLP"))
        ],
    }
    if line is None:
        return shown
    names = scene_names(line.table)
    chosen = scene if scene in names else ""
    table = of_scene(line.table, chosen)
    return {
        **shown,
        "scene": chosen,
        "scene_names": names,
        "strips": strips(table, seconds=seconds_of(table, least_s=SHORT_S)),
        "panels": played_panels(plan),
        "sheet": time_sheets.figures(plan, line),
        "often": too_often(line),
    }


def _group(root: object, name: str) -> dict[str, Any]:
    """Give the fields of a group's pattern."""
    at = ("groups", name, "pattern")
    return {
        "name": name,
        "kind": _field(root, (*at, "kind")),
        "fields": [_field(root, (*at, key)) for key in _FIELDS],
    }


def _scene(root: object, name: str) -> dict[str, Any]:
    """Give the fields of a scene, with the levels of its groups."""
    at = ("scenes", name)
    levels = inner(root, (*at, "levels"))
    names = list(levels) if isinstance(levels, dict) else []
    return {
        "name": name,
        "path": list(at),
        "trigger": _field(root, (*at, "trigger")),
        "fields": [_field(root, (*at, key)) for key in _SCENE_FIELDS],
        "levels": [_field(root, (*at, "levels", key)) for key in names],
    }


def _field(root: object, path: tuple[str, ...]) -> dict[str, Any]:
    stands = inner(root, path)
    return {
        "path": list(path),
        "label": path[-1],
        "value": stands if isinstance(stands, str) else "",
    }


async def play(request: Request, bench: Workbench) -> Response:
    """Give what every group shows, frame by frame."""
    from lamphouse.outputs.play_frames import RATE_HZ, of_scene, played, seconds_of, too_often

    line = await _line_of(bench)
    try:
        table = of_scene(line.table, request.query_params.get("scene", ""))
    except LookupError as fault:
        raise HTTPException(404, f"There is {fault.args[0]}.") from fault
    seconds = seconds_of(table, least_s=SHORT_S)
    made = await asyncio.to_thread(played, table, seconds=seconds)
    return JSONResponse(
        {
            "rate": RATE_HZ,
            "seconds": seconds,
            "groups": made.groups,
            "count": made.count,
            "frames": base64.b64encode(made.frames).decode(),
            "light": made.light,
            "stretches": made.stretches,
            "often": too_often(line),
            "safe": line.safety.is_safe,
        }
    )


async def play_panel(request: Request, bench: Workbench) -> Response:
    """Give a panel in layers: a header's length, a header in JSON, then the layers.

    Each layer is 16 bits for red, green and blue of every pixel, low byte first; after the layers
    comes one byte a pixel that says how much of it is panel.
    """
    from lamphouse.outputs.play_layers import play_layers

    plan, asked = await bench.plan(), request.query_params
    sub = sub_named(plan, asked.get("sub", ""))
    panel = next((one for one in sub.panels if one.name == asked.get("panel")), None)
    lx = asked_lx(asked.get("lx", "0"))
    if plan is None or panel is None:
        raise HTTPException(404, "There is no such panel.")
    made = await asyncio.to_thread(play_layers, plan, sub=sub, panel=panel, lx=lx)
    head = {
        "rows": made.rows,
        "columns": made.columns,
        "per_mm": made.pixels_per_mm,
        "groups": list(made.groups),
        "dots": [[one.group, one.x_mm, one.y_mm, one.diameter_mm, *one.rgb] for one in made.dots],
        "white": made.white_cd_m2,
    }
    words = json.dumps(head).encode()
    words += b" " * (-len(words) % 4)
    layers = [made.steady, *made.groups.values()]
    data = b"".join(layer.astype("<u2").tobytes() for layer in layers)
    size = len(words).to_bytes(4, "little")
    whole = size + words + data + made.shown.tobytes()
    return Response(whole, media_type="application/octet-stream")


async def program(request: Request, bench: Workbench) -> Response:
    """Give the program of a controller, or how to load it, as it lies in the pack."""
    from lamphouse.outputs.program_files import program_files

    plan, asked = await bench.plan(), request.query_params
    if plan is None:
        raise HTTPException(409, "The file must be mended first.")
    files = await asyncio.to_thread(program_files, plan)
    one = next((each for each in files if each.controller == asked.get("controller")), None)
    if one is None:
        raise HTTPException(404, "There is no such controller.")
    if asked.get("what") == "build":
        return download(one.build.encode(), "build.txt", "text/plain; charset=utf-8")
    return download(one.text.encode(), one.name, "text/plain; charset=utf-8")


async def _line_of(bench: Workbench) -> "TimeLine":
    plan = await bench.plan()
    if plan is None or plan.time_line is None:
        raise HTTPException(404, "Nothing blinks here.")
    return plan.time_line


VIEW = View(
    key="blink",
    label="Blink",
    body=body,
    addresses=(
        Address(path="play.json", handler=play),
        Address(path="play-panel", handler=play_panel),
        Address(path="program", handler=program),
    ),
    styles=("drawings.css", "circuit.css", "blink.css"),
    scripts=("blink.js",),
)
