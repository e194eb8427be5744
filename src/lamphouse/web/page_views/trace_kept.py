"""What was moved by hand on a tracing, kept beside the project until it is taken or traced anew."""

from contextlib import suppress
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from lamphouse.storage.atomic import write_file
from lamphouse.storage.reading import read_file
from lamphouse.web.page_views.trace_asked import TraceAsked
from lamphouse.web.page_views.trace_work import TraceFound

ENDING = ".tracing.json"
"""Of the file beside a project's file."""
_MOST_BYTES = 2_000_000
_Way = Annotated[float, Field(ge=-1000.0, le=1000.0, allow_inf_nan=False)]


class KeptNudge(BaseModel):
    """One place moved."""

    model_config = ConfigDict(extra="forbid")
    piece: Annotated[int, Field(ge=0)]
    corner: Annotated[int, Field(ge=0)] | None
    by: tuple[_Way, _Way]


class Kept(BaseModel):
    """A tracing as it was asked for, and what was done to it since."""

    model_config = ConfigDict(extra="forbid")
    asked: TraceAsked
    nudges: Annotated[list[KeptNudge], Field(max_length=5000)]
    chosen: dict[int, Annotated[str, Field(max_length=60)]]


def keep(file: Path, found: TraceFound) -> None:
    """Keep what was moved by hand.

    Raises
    ------
    lamphouse.storage.refusal.StorageError
        If the disk refuses.
    """
    if not found.nudges and not found.chosen:
        forget(file)
        return
    kept = Kept(
        asked=TraceAsked.model_validate(found.asked),
        nudges=[
            KeptNudge(piece=one.piece, corner=one.corner, by=(one.right_mm, one.up_mm))
            for one in found.nudges
        ],
        chosen={number: one.drill for number, one in found.chosen.items()},
    )
    write_file(_place(file), kept.model_dump_json().encode())


def kept_of(file: Path) -> Kept | None:
    """Give what was kept; None when there is nothing, or nothing that can be read."""
    try:
        return Kept.model_validate_json(read_file(_place(file), most_bytes=_MOST_BYTES))
    except (OSError, ValidationError):
        return None


def forget(file: Path) -> None:
    """Let go of what was kept: it is taken into the project."""
    with suppress(OSError):
        _place(file).unlink()


def put_back(kept: Kept, found: TraceFound) -> None:
    """Move the places of a tracing made anew as they were; what does not fit it any more goes."""
    from lamphouse.trace.nudges import Chosen, Nudge

    if found.part is None:
        return
    for number, drill in kept.chosen.items():
        ring = found.part.holes[number - 1].round if 1 <= number <= len(found.part.holes) else None
        if ring is not None and drill in ring.near:
            found.chosen[number] = Chosen(drill=drill, diameter_mm=found.drill_mm[drill])
    found.nudges[:] = [
        Nudge(piece=one.piece, corner=one.corner, right_mm=one.by[0], up_mm=one.by[1])
        for one in kept.nudges
    ]
    try:
        found.nudged()
    except ValueError:
        found.nudges.clear()


def _place(file: Path) -> Path:
    return file.with_name(file.name + ENDING)
