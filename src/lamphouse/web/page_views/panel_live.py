"""The glow that follows the pointer: places come over a socket, fields of luminance go back.

A field goes as one message: the length of a header, the header as JSON, then every opening's
luminances in cd/m2 as 32-bit numbers, the lowest row first; places outside an opening are below 0.
"""

import asyncio
import json
import struct
from collections.abc import Iterable
from contextlib import suppress
from typing import TYPE_CHECKING, Annotated

import numpy as np
from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.background import BackgroundTask
from starlette.requests import Request
from starlette.responses import Response
from starlette.websockets import WebSocket, WebSocketDisconnect

from lamphouse.web.showing import told
from lamphouse.web.workbench import Workbench

if TYPE_CHECKING:
    from lamphouse.plan.live_panel import Draft, LivePanel, OpeningField, Unknown

KEPT = "live panels"
MOST_KEPT = 2
"""Panels held solved at once."""
_OUTSIDE = -1.0

Number = Annotated[float, Field(ge=-5000.0, le=5000.0, allow_inf_nan=False)]
Spot = tuple[Number, Number]
Corner = tuple[Number, Number, Number]
Corners = Annotated[list[Corner], Field(min_length=2, max_length=2000)]
Name = Annotated[str, Field(max_length=200)]


class _Message(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Baffle(_Message):
    """Where a baffle is dragged to."""

    box: Name
    name: Name
    start: Spot
    end: Spot


class Pillar(_Message):
    """Where a pillar is dragged to, or how it is reshaped."""

    box: Name
    name: Name
    corners: Corners


class Dragged(_Message):
    """What the page says while something is dragged."""

    seq: Annotated[int, Field(ge=0, le=2**31)]
    sub: Name
    panel: Name
    leds: Annotated[dict[Name, Spot], Field(max_length=600)] = {}
    openings: Annotated[dict[Name, Corners], Field(max_length=600)] = {}
    insides: Annotated[dict[Name, Corners], Field(max_length=50)] = {}
    baffles: Annotated[list[Baffle], Field(max_length=50)] = []
    pillars: Annotated[list[Pillar], Field(max_length=50)] = []

    def draft(self) -> "Draft":
        """Give the places as the plan's front door takes them."""
        from lamphouse.plan.live_panel import Draft

        return Draft(
            leds=self.leds,
            openings={name: tuple(corners) for name, corners in self.openings.items()},
            insides={name: tuple(corners) for name, corners in self.insides.items()},
            baffles={(one.box, one.name): (one.start, one.end) for one in self.baffles},
            pillars={(one.box, one.name): tuple(one.corners) for one in self.pillars},
        )


def message(fields: "Iterable[OpeningField | Unknown]", *, seq: int) -> bytes:
    """Put fields into one message."""
    from lamphouse.plan.live_panel import Unknown

    openings, unknown, values = [], [], []
    for one in fields:
        if isinstance(one, Unknown):
            unknown.append({"box": one.box, "why": one.why})
            continue
        rows, columns = one.luminance_cd_m2.shape
        openings.append(
            {
                "name": one.opening,
                "rows": rows,
                "columns": columns,
                "left_mm": one.left_mm,
                "bottom_mm": one.bottom_mm,
                "pixel_mm": one.pixel_mm,
                "mean_cd_m2": one.mean_cd_m2,
                "bar_cd_m2": one.bar_cd_m2,
                "evenness": one.evenness,
                "hot_spot": one.hot_spot,
            }
        )
        seen = np.where(one.shown, one.luminance_cd_m2, _OUTSIDE)
        values.append(seen.astype("<f4").tobytes())
    header = json.dumps({"seq": seq, "openings": openings, "unknown": unknown}).encode()
    header += b" " * (-len(header) % 4)
    return struct.pack("<I", len(header)) + header + b"".join(values)


async def live_panel(bench: Workbench, *, sub: str, panel: str) -> "LivePanel | None":
    """Give a panel kept solved for the plan as it is; None when there is none."""
    from lamphouse.plan.live_panel import LivePanel

    plan = bench.plan_if_ready or await bench.plan()
    if plan is None:
        return None
    kept: dict[tuple[str, str, int], LivePanel] = bench.extra.setdefault(KEPT, {})
    key = (sub, panel, id(plan))
    for old in [old for old in kept if old[2] != id(plan)]:
        del kept[old]
    if key not in kept:
        try:
            kept[key] = LivePanel(plan, sub_assembly=sub, panel=panel)
        except LookupError:
            return None
        while len(kept) > MOST_KEPT:
            del kept[next(iter(kept))]
    return kept[key]


async def field(request: Request, bench: Workbench) -> Response:
    """Give the field of every opening of a panel as the plan has it."""
    sub, panel = request.query_params.get("sub", ""), request.query_params.get("panel", "")
    solved = await live_panel(bench, sub=sub, panel=panel)
    if solved is None:
        return told("There is no such panel.", status=404)
    data = await asyncio.to_thread(lambda: message(solved.as_planned(), seq=0))
    ready = BackgroundTask(solved.make_ready)
    return Response(data, media_type="application/octet-stream", background=ready)


async def talk(socket: WebSocket, bench: Workbench) -> None:
    """Answer the latest place of what is dragged, and pass over those before it."""
    latest: asyncio.Queue[Dragged] = asyncio.Queue(maxsize=1)
    answering = asyncio.create_task(_answer(socket, bench, latest))
    try:
        while True:
            try:
                dragged = Dragged.model_validate_json(await socket.receive_text())
            except ValidationError:
                await socket.send_text(json.dumps({"message": "These places are not understood."}))
                continue
            if latest.full():
                latest.get_nowait()
            latest.put_nowait(dragged)
    except (WebSocketDisconnect, KeyError):
        pass
    finally:
        answering.cancel()
        with suppress(asyncio.CancelledError, WebSocketDisconnect, RuntimeError):
            await answering


async def _answer(socket: WebSocket, bench: Workbench, latest: "asyncio.Queue[Dragged]") -> None:
    while True:
        dragged = await latest.get()
        solved = await live_panel(bench, sub=dragged.sub, panel=dragged.panel)
        if solved is None:
            await socket.send_text(json.dumps({"message": "There is no such panel."}))
            continue
        try:
            data = await asyncio.to_thread(_message, solved, dragged.draft(), dragged.seq)
        except Exception:
            # a fault of ours: the page opens another socket, and the fault is told where it belongs
            await socket.close(code=1011)
            raise
        await socket.send_bytes(data)


def _message(solved: "LivePanel", draft: "Draft", seq: int) -> bytes:
    return message(solved.fields(draft), seq=seq)
