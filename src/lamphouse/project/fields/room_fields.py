"""Fields of the room: its size and light, fixed walls, the hull behind them, what is under it."""

import re
from typing import Annotated, Any

from pydantic import Field, ValidationInfo

from lamphouse.catalogue.spectral_data import ROOM_LIGHTS
from lamphouse.design.place import Lie, Looks
from lamphouse.design.surroundings import OutMove, OutWay, Side
from lamphouse.project.fields.light_fields import Angle, FloorPosition
from lamphouse.project.fields.sections import Named, Rows, Section
from lamphouse.project.fields.shape_words import ShapeText
from lamphouse.project.fields.values import (
    NOT_UNDERSTOOD,
    OUT_OF_RANGE,
    Choice,
    Measure,
    Sizes,
    Span,
    measured,
    refuse,
    scale_of,
    text_of,
)
from lamphouse.units import Quantity

MOST_MOVES = 4
_MOVE = Measure(
    quantity=Quantity.LENGTH,
    least=0.1,
    most=20_000.0,
    why="the range of models",
    example="12 mm",
)
Heights = Annotated[
    tuple[float, float],
    Span(
        quantity=Quantity.LENGTH,
        least=-20_000.0,
        most=20_000.0,
        why="the range of models",
        example="0 to 180 mm",
    ),
]


class WayOut(Measure):
    """Moves in turn: ``forwards``, or ``up 12 mm, front``."""

    def read(self, value: object, info: ValidationInfo) -> tuple[OutMove, ...]:  # type: ignore[override]
        """Read each move; only the last may go on until it is clear."""
        parts = value if isinstance(value, list) else text_of(value, example="up").split(",")
        if not 1 <= len(parts) <= MOST_MOVES:
            refuse(
                OUT_OF_RANGE,
                f"{len(parts)} moves: a way out has 1 to {MOST_MOVES}",
                f"write {self.example}",
            )
        moves = tuple(self._move(part, info) for part in parts)
        for move in moves[:-1]:
            if move.by_mm is None:
                refuse(
                    NOT_UNDERSTOOD,
                    f"'{move.way}' says not how far, and another move follows",
                    f"write how far, such as {move.way} 12 mm",
                )
        return moves

    def _move(self, part: object, info: ValidationInfo) -> OutMove:
        text = " ".join(text_of(part, example=self.example).split())
        word, _, far = text.partition(" ")
        ways = [str(way) for way in OutWay]
        if word.casefold() not in ways:
            refuse(
                NOT_UNDERSTOOD,
                f"'{text[:60]}' is no move: a move begins with {', '.join(ways)}",
                f"write {self.example}",
            )
        by_mm = None
        if far:
            by_mm = _MOVE.within(measured(far, self.quantity, scale=scale_of(info)), far)
        return OutMove(way=OutWay(word.casefold()), by_mm=by_mm)

    def stand_in(self) -> Any:
        """Give the shortest way."""
        return "up"

    def described(self) -> dict[str, Any]:
        """Describe one text, or a list of them."""
        ways = "|".join(re.escape(str(way)) for way in OutWay)
        one = {"type": "string", "pattern": rf"^({ways})"}
        listed = {"type": "array", "items": one, "minItems": 1, "maxItems": MOST_MOVES}
        return {"anyOf": [one, listed], "examples": [self.example]}


class WallFields(Section):
    """A wall of the model that stays where it is."""

    from_: FloorPosition = Field(
        alias="from", description="Where its middle line begins, from the room's corner."
    )
    to: FloorPosition = Field(description="Where its middle line ends.")
    via: FloorPosition | None = Field(
        None, description="A place its middle line goes through, for a round wall."
    )
    thickness: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=0.1,
            most=500.0,
            why="the range of walls of models",
            example="3 mm",
        ),
    ] = Field(2.0, description="Its thickness.")
    heights: Heights | None = Field(
        None, description="Its foot and its top above the floor; the room's height without."
    )


class HullFields(Section):
    """The inner face of the hull or shell behind the walls, between two heights."""

    inside: ShapeText = Field(description="The space inside it, on the floor plan.")
    at: FloorPosition = Field(
        (0.0, 0.0),
        description="The middle of that shape, from the room's corner; where 0, 0 of points lies.",
    )
    heights: Heights = Field(description="From where to where it is so wide, above the floor.")


class FloorThingFields(Section):
    """A thing under the floor, or a hatch."""

    shape: ShapeText = Field(description="Its outline on the floor plan.")
    at: FloorPosition = Field((0.0, 0.0), description="Its middle; where 0, 0 of points lies.")


class CutFields(Section):
    """Where a section through the room is drawn."""

    from_: FloorPosition = Field(
        alias="from", description="Where the cut begins, on the floor plan."
    )
    to: FloorPosition = Field(
        description="Where it ends; the section is seen to the left of this way."
    )


class StandFields(Section):
    """Where a sub-assembly stands on the floor plan."""

    at: FloorPosition = Field(
        description="Its datum corner, the foot of its face's left edge seen from the front, from "
        "the room's corner: right, back."
    )
    turn: Angle = Field(
        0.0,
        description="Anticlockwise turn about the datum corner seen from above; at 0 the face "
        "looks towards the front edge of the room.",
    )
    lies: Annotated[Lie, Choice(of=Lie)] = Field(
        Lie.UPRIGHT,
        description="Upright as a wall, or flat as a table or a ceiling: then its face goes back "
        "from the datum corner.",
    )
    up: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=-1000.0,
            most=20_000.0,
            why="the range of models",
            example="35 mm",
        ),
    ] = Field(0.0, description="Height above the floor.")
    looks: Annotated[Looks, Choice(of=Looks)] | None = Field(
        None,
        description="Whether the face of one that lies flat looks up, with its light boxes below, "
        "or down; down in the upper half of the room's height without.",
    )
    out: Annotated[
        tuple[OutMove, ...],
        WayOut(
            quantity=Quantity.LENGTH,
            least=0.1,
            most=20_000.0,
            why="the range of models",
            example="up 12 mm, front",
        ),
    ] = Field(
        (),
        description="How it is taken out, move by move: forwards and backwards as its face looks, "
        "or front, back, left, right, up, down as the room stands. Without, a way is looked for.",
    )


class RoomFields(Section):
    """The model's room, what stands round it, and the room it is looked at in."""

    size: Annotated[
        tuple[float, float, float],
        Sizes(
            quantity=Quantity.LENGTH,
            least=1.0,
            most=20_000.0,
            why="the range of models",
            example="360 x 260 x 180 mm",
            count=3,
        ),
    ] = Field(description="Width, depth and height inside.")
    room_light: Annotated[
        float,
        Measure(
            quantity=Quantity.ILLUMINANCE,
            least=0.0,
            most=100_000.0,
            why="full daylight",
            example="50 lx",
        ),
    ] = Field(50.0, description="Light of the room the model will stand in.")
    light_colour: Annotated[str, Choice(of=tuple(ROOM_LIGHTS))] = Field(
        "daylight", description="What lights that room; the eye takes its white for white."
    )
    viewing_distance: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=10.0,
            most=50_000.0,
            why="from the nose to the far wall",
            example="60 cm",
        ),
    ] = Field(600.0, description="From the eye to the model.")
    open_: Rows[Annotated[Side, Choice(of=Side)]] | None = Field(
        None,
        alias="open",
        description="Sides through which hands and sub-assemblies go: front, back, left, right, "
        "top, and below for the floor's underside; front, top and below without.",
    )
    clear: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=0.0,
            most=500.0,
            why="the range of gaps in models",
            example="1 mm",
        ),
    ] = Field(1.0, description="Kept between the hull and what stands in it.")
    walls: Named[WallFields] = Field({}, description="Walls that stay where they are, by name.")
    hull: Named[HullFields] = Field(
        {}, description="The hull or shell behind the walls, by name for each of its widths."
    )
    under_floor: Named[FloorThingFields] = Field(
        {}, description="What stands under the floor in the way of wires, by name."
    )
    hatches: Named[FloorThingFields] = Field(
        {},
        description="Holes in the floor, by name: a hand gets through them at what lies under it, "
        "and what hangs from a table goes through.",
    )
    cuts: Named[CutFields] = Field(
        {},
        description="Where sections through the room are drawn, by name; through its middle "
        "both ways without.",
    )
