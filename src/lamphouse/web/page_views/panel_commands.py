"""What is done to a panel with pointer and keys, as changes of the maker's file."""

import asyncio
from collections.abc import Sequence
from typing import Annotated, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field
from starlette.requests import Request
from starlette.responses import Response

from lamphouse.project import item_moving, reshaping, wall_numbers
from lamphouse.project.write import ChangeError, remove_item
from lamphouse.web.answering import answered
from lamphouse.web.reading_bodies import understood
from lamphouse.web.workbench import Workbench

Number = Annotated[float, Field(ge=-5000.0, le=5000.0, allow_inf_nan=False)]
Spot = tuple[Number, Number]
Path: TypeAlias = Annotated[list[str | int], Field(min_length=2, max_length=24)]


class _Command(BaseModel):
    model_config = ConfigDict(extra="forbid")
    label: Annotated[str, Field(min_length=1, max_length=200)]
    seen: Annotated[str, Field(max_length=64)] = ""


class Move(_Command):
    """An item or a whole row moved."""

    do: Literal["move"]
    paths: Annotated[list[Path], Field(min_length=1, max_length=100)]
    by: Spot
    stands: Spot | None = None


class TakeOut(_Command):
    """One member of a row put somewhere else, or removed."""

    do: Literal["take out"]
    path: Path
    member: Annotated[int, Field(ge=1, le=500)]
    places: Annotated[list[Spot], Field(min_length=2, max_length=500)]
    to: Spot | None


class Resize(_Command):
    """A side or corner of a sized shape dragged."""

    do: Literal["resize"]
    path: Path
    size: tuple[
        Annotated[float, Field(gt=0.0, le=5000.0)], Annotated[float, Field(gt=0.0, le=5000.0)]
    ]
    by: Spot


class Corner(_Command):
    """A corner of a shape of points moved, added or removed."""

    do: Literal["move corner", "add corner", "remove corner"]
    path: Path
    corner: Annotated[int, Field(ge=0, le=2000)]
    to: Spot = (0.0, 0.0)


class Points(_Command):
    """A shape's words made points."""

    do: Literal["points"]
    path: Path
    corners: Annotated[list[tuple[Number, Number, Number]], Field(min_length=2, max_length=2000)]
    stands: Spot


class Remove(_Command):
    """Items taken out of the file."""

    do: Literal["remove"]
    paths: Annotated[list[Path], Field(min_length=1, max_length=100)]


class Done(BaseModel):
    """One command."""

    model_config = ConfigDict(extra="forbid")
    command: Annotated[
        Move | TakeOut | Resize | Corner | Points | Remove, Field(discriminator="do")
    ]


async def do(request: Request, bench: Workbench) -> Response:
    """Carry a command out."""
    done = understood(Done, await request.body())
    if isinstance(done, Response):
        return done
    return await answered(bench, _carry_out(bench, done.command))


async def _carry_out(
    bench: Workbench, command: Move | TakeOut | Resize | Corner | Points | Remove
) -> None:
    await bench.look()
    text, design = bench.text or "", bench.reading.design
    if command.seen and command.seen != bench.revision:
        changed = "the file has changed meanwhile; look at it again"
        raise ChangeError(changed)
    scale = design.scale if design else 1.0
    made = await asyncio.to_thread(_made, text, command, scale)
    await bench.write(made, of=text, label=command.label)


def _made(
    text: str, command: Move | TakeOut | Resize | Corner | Points | Remove, scale: float
) -> str:
    match command:
        case Move():
            for path in command.paths:
                text = item_moving.moved(
                    text,
                    path=tuple(path),
                    by_mm=command.by,
                    scale=scale,
                    stands_mm=command.stands,
                )
        case TakeOut():
            text = item_moving.taken_out(
                text,
                path=tuple(command.path),
                member=command.member,
                places_mm=command.places,
                to_mm=command.to,
            )
        case Resize():
            text = reshaping.resized(
                text, path=tuple(command.path), size_mm=command.size, by_mm=command.by, scale=scale
            )
        case Points():
            text = reshaping.as_points(
                text,
                path=tuple(command.path),
                corners=tuple(command.corners),
                stands_mm=command.stands,
            )
        case Corner():
            text = _cornered(text, command)
        case Remove():
            for path in _last_first(command.paths):
                text = remove_item(text, tuple(path))
    return text


def _cornered(text: str, command: Corner) -> str:
    path, before = tuple(command.path), text
    if command.do == "move corner":
        text = reshaping.corner_moved(text, path=path, corner=command.corner, to_mm=command.to)
    elif command.do == "add corner":
        text = reshaping.corner_added(text, path=path, before=command.corner, at_mm=command.to)
    else:
        text = reshaping.corner_removed(text, path=path, corner=command.corner)
    return wall_numbers.walls_followed(text, before=before, path=path)


def _last_first(paths: Sequence[list[str | int]]) -> list[list[str | int]]:
    """Put paths in an order in which none shifts another."""
    return sorted(paths, key=lambda path: [str(step).rjust(6, "0") for step in path], reverse=True)
