"""A traced part judged: places moved by hand, drills chosen, and all of it taken into a panel."""

import asyncio
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from lamphouse import units
from lamphouse.storage.refusal import StorageError
from lamphouse.web.answering import answered, state
from lamphouse.web.page_views import trace_kept
from lamphouse.web.page_views.trace_work import TraceFound, begin, found_in
from lamphouse.web.reading_bodies import understood
from lamphouse.web.showing import told
from lamphouse.web.workbench import Workbench

MOST_NUDGES = 5000
_Way = Annotated[float, Field(ge=-1000.0, le=1000.0, allow_inf_nan=False)]
_Piece = Annotated[int, Field(ge=0, le=5000)]


class _Asked(BaseModel):
    model_config = ConfigDict(extra="forbid")
    job: Annotated[int, Field(ge=1)]


class Move(_Asked):
    """One place moved."""

    do: Literal["move"]
    piece: _Piece
    corner: Annotated[int, Field(ge=0, le=20_000)] | None
    by: tuple[_Way, _Way]


class Back(_Asked):
    """The last nudge, those of one place, or all taken back."""

    do: Literal["last", "place", "all"]
    piece: _Piece = 0
    corner: Annotated[int, Field(ge=0, le=20_000)] | None = None


class Drill(_Asked):
    """The drill that a hole was made with; empty for as measured."""

    do: Literal["drill"]
    piece: _Piece
    drill: Annotated[str, Field(max_length=60)]


class Done(BaseModel):
    """One thing done to a tracing."""

    model_config = ConfigDict(extra="forbid")
    command: Annotated[Move | Back | Drill, Field(discriminator="do")]


class Taken(_Asked):
    """Where a traced part goes."""

    panel: Annotated[str, Field(min_length=1, max_length=400)]
    into: Literal["panel", "opening"]
    opening: Annotated[str, Field(max_length=200)] = ""
    at: Annotated[str, Field(max_length=60)] = ""


async def shown(request: Request, bench: Workbench) -> Response:
    """Give where the part lies in its picture, and what can be moved."""
    found = found_in(bench, request.query_params.get("job", ""))
    return JSONResponse(await asyncio.to_thread(_shown, found))


async def nudge(request: Request, bench: Workbench) -> Response:
    """Move a place, take nudges back, or choose a drill."""
    done = understood(Done, await request.body())
    if isinstance(done, Response):
        return done
    command = done.command
    found = found_in(bench, str(command.job))
    if found.part is None:
        return told("Nothing was traced there.", status=409)
    try:
        await asyncio.to_thread(_carry_out, found, command)
        await asyncio.to_thread(trace_kept.keep, bench.file, found)
    except StorageError as fault:
        return told(f"Moved, but not kept: {fault.what}; {fault.remedy}.", status=507)
    except (ValueError, LookupError) as fault:
        return told(f"Not moved: {fault.args[0]}.", status=422)
    return JSONResponse(await asyncio.to_thread(_shown, found))


def _carry_out(found: TraceFound, command: Move | Back | Drill) -> None:
    from lamphouse.trace.nudges import Nudge

    match command:
        case Move():
            if len(found.nudges) >= MOST_NUDGES:
                full = "too much was moved by hand; trace the picture again"
                raise ValueError(full)
            right, up = command.by
            one = Nudge(piece=command.piece, corner=command.corner, right_mm=right, up_mm=up)
            found.nudged((one,))
            found.nudges.append(one)
        case Back(do="last"):
            del found.nudges[-1:]
        case Back(do="all"):
            found.nudges.clear()
        case Back():
            place = (command.piece, command.corner)
            kept = [one for one in found.nudges if (one.piece, one.corner) != place]
            found.nudges[:] = kept
        case Drill():
            _choose(found, command)


def _choose(found: TraceFound, command: Drill) -> None:
    from lamphouse.trace.nudges import Chosen

    holes = found.part.holes if found.part else ()
    ring = holes[command.piece - 1].round if 1 <= command.piece <= len(holes) else None
    if ring is None:
        lost = "there is no round hole of this number"
        raise LookupError(lost)
    if not command.drill:
        found.chosen.pop(command.piece, None)
        return
    if command.drill not in ring.near:
        unfit = f"{command.drill} does not fit hole {command.piece}"
        raise ValueError(unfit)
    found.chosen[command.piece] = Chosen(
        drill=command.drill, diameter_mm=found.drill_mm[command.drill]
    )


def _shown(found: TraceFound) -> dict[str, Any]:
    from lamphouse.trace.nudges import in_picture

    made: dict[str, Any] = {"answer": found.answer, "asked": found.asked}
    part, scale, sight = found.part, found.scale, found.sight
    if part is None or scale is None or sight is None:
        return {**made, "sight": None, "pieces": [], "nudged": None, "open": []}
    after = found.nudged()
    return {
        **made,
        "sight": {"columns": sight.columns, "rows": sight.rows},
        "pieces": [
            {
                "piece": one.piece,
                "round": one.is_round,
                "line": [
                    (round(column - sight.left + 0.5, 2), round(row - sight.top + 0.5, 2))
                    for column, row in one.spots
                ],
                "handles": [
                    {
                        "corner": spot.corner,
                        "mm": (spot.x_mm, spot.y_mm),
                        "at": (spot.column - sight.left + 0.5, spot.row - sight.top + 0.5),
                        "right": spot.by_right,
                        "up": spot.by_up,
                        "moved": after.moved.get((one.piece, spot.corner), 0.0),
                    }
                    for spot in one.handles
                ],
            }
            for one in in_picture(part, scale=scale, pieces=after.pieces)
        ],
        "nudged": {
            "places": len(after.moved),
            "most_mm": after.most_mm,
            "rms_mm": after.fit.rms_mm,
            "max_mm": after.fit.max_mm,
            "words": after.words,
        },
        "open": [
            {
                "piece": number,
                "measured_mm": hole.round.measured_mm,
                "uncertain_mm": hole.round.uncertain_mm,
                "near": hole.round.near,
                "chosen": found.chosen[number].drill if number in found.chosen else "",
            }
            for number, hole in enumerate(part.holes, start=1)
            if hole.round and hole.round.near
        ],
    }


async def again(_request: Request, bench: Workbench) -> Response:
    """Trace anew what was nudged and not taken when the program ended, nudges and all."""
    kept = await asyncio.to_thread(trace_kept.kept_of, bench.file)
    if kept is None:
        return told("No tracing was left open.", status=404)
    return begin(bench, kept.asked, then=lambda found: trace_kept.put_back(kept, found))


async def accept(request: Request, bench: Workbench) -> Response:
    """Write the traced part into a panel of the project."""
    taken = understood(Taken, await request.body())
    if isinstance(taken, Response):
        return taken
    found = found_in(bench, str(taken.job))
    if found.part is None:
        return told("Nothing was traced there.", status=409)
    at_mm = (0.0, 0.0)
    if taken.into == "opening":
        try:
            at_mm = _place(taken.at) if taken.at else at_mm
        except units.UnitError as fault:
            return told(f"Where its middle lies: {fault}.", status=422, field="at")
    answer = await answered(bench, _write(bench, found, taken, at_mm))
    if answer.status_code != 200:
        return answer
    await asyncio.to_thread(trace_kept.forget, bench.file)
    found.written = taken.panel if taken.into == "panel" else f"{taken.panel} / {taken.opening}"
    return JSONResponse({**state(bench), "written": found.written})


def _place(text: str) -> tuple[float, float]:
    x, y = units.parse_many(text, units.Quantity.LENGTH, count=2)
    return x, y


async def _write(
    bench: Workbench, found: TraceFound, taken: Taken, at_mm: tuple[float, float]
) -> None:
    await bench.look()
    text = bench.text or ""
    new = await asyncio.to_thread(_written, bench, text, found, taken, at_mm)
    names = ", ".join(found.names)
    await bench.write(new, of=text, label=f"Trace {names} into {taken.panel}"[:180])


def _written(
    bench: Workbench, text: str, found: TraceFound, taken: Taken, at_mm: tuple[float, float]
) -> str:
    from lamphouse.design.panel import Traced
    from lamphouse.project.trace_written import (
        TracedHole,
        source_words,
        written_opening,
        written_trace,
    )
    from lamphouse.trace.traced import EDGE_RULE

    part, after = found.part, found.nudged()
    if part is None:
        raise LookupError
    outline, *holes = after.from_corner()
    design, names = bench.reading.design, ", ".join(found.names)
    source = source_words(
        names,
        day=str(design.day or "") if design else "",
        scale=part.scale_words,
        edge_rule=EDGE_RULE,
        within_mm=part.uncertain_mm,
        rms_mm=part.deviation.rms_mm,
        nudged=after.words,
    )
    if taken.into == "opening":
        return written_opening(
            text,
            panel=taken.panel,
            opening=taken.opening,
            outline=outline.corners,
            at_mm=at_mm,
            source=source,
        )
    return written_trace(
        text,
        panel=taken.panel,
        outline=outline.corners,
        holes=tuple(
            TracedHole(corners=hole.corners, diameter_mm=hole.diameter_mm) for hole in holes
        ),
        traced=Traced(picture=names, within_mm=part.uncertain_mm, nudged_mm=after.most_mm),
        source=source,
    )
