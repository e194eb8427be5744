"""Fields of painting: the areas of a face with their paints, and what masks are cut from."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.design.masks import CoatOrder
from lamphouse.project.fields.light_fields import Angle, Position, RowCount
from lamphouse.project.fields.sections import Named, Rows, Section
from lamphouse.project.fields.shape_words import Shape, ShapeWish
from lamphouse.project.fields.values import (
    APART,
    OUT_OF_RANGE,
    Choice,
    Measure,
    Reference,
    Words,
    refuse,
)
from lamphouse.units import Quantity

MOST_PAINTED = 100
"""Shapes painted on one panel, counting every one of a row."""

_Width = Annotated[
    float,
    Measure(
        quantity=Quantity.LENGTH,
        least=0.1,
        most=500.0,
        why="the range of what is masked by hand",
        example="3 mm",
    ),
]
_Overlap = Annotated[
    float,
    Measure(
        quantity=Quantity.LENGTH,
        least=0.1,
        most=20.0,
        why="less lets paint through, more is hard to lay",
        example="1 mm",
    ),
]
_Lightness = Annotated[
    float,
    Measure(
        quantity=Quantity.SHARE, least=0.0, most=1.0, why="from black to white", example="90 %"
    ),
]


class PaintFields(Section):
    """Part of a face in one paint: the whole face, a shape, a frame, or a stripe."""

    paint: Annotated[str, Words(example="sea blue", longest=60)] = Field(
        description="The paint, in your words."
    )
    lightness: _Lightness | None = Field(
        None, description="How light it looks, from 0 % for black to 100 % for white."
    )
    shape: Annotated[ShapeWish, Shape()] | None = Field(
        None, description="Its shape, around its middle unless it is like another."
    )
    at: Position | None = Field(
        None, description="Middle of the shape on the panel: right, up. The first of a row."
    )
    turn: Angle = Field(0.0, description="Anticlockwise turn of the shape.")
    round_: Annotated[str, Reference(example="screen")] | None = Field(
        None, alias="round", description="Opening that it is a frame round; needs its width."
    )
    edge: _Width | None = Field(
        None, description="Width of a frame along the panel's edge, inside it."
    )
    from_: Position | None = Field(
        None, alias="from", description="Where the middle line of a stripe begins: right, up."
    )
    to: Position | None = Field(None, description="Where it ends.")
    count: RowCount = Field(1, description="How many of the shape or stripe stand in a row.")
    step: Position | None = Field(None, description="From one of a row to the next: right, up.")
    width: _Width | None = Field(
        None,
        validate_default=True,
        description="Width of a stripe, or of a frame round an opening.",
    )

    @field_validator("width")
    @classmethod
    def _one_kind(cls, width: float | None, info: ValidationInfo) -> float | None:
        given = info.data
        kinds = [key for key in ("shape", "round_", "edge", "from_") if given.get(key) is not None]
        names = [key.strip("_") for key in kinds]
        if len(kinds) > 1:
            refuse(APART, f"{' and '.join(names)} each say what is painted", f"keep {names[0]}")
        kind = kinds[0] if kinds else ""
        if (kind == "from_") != (given.get("to") is not None):
            refuse(APART, "a stripe has from and to", "write both ends of its middle line")
        if kind in ("round_", "from_") and width is None:
            what = "a stripe" if kind == "from_" else "a frame"
            refuse(APART, f"{what} needs its width", "add it, such as width: 3 mm")
        if kind not in ("round_", "from_") and width is not None:
            refuse(APART, "only a stripe or a frame has a width", "remove width")
        shape = given.get("shape")
        if shape is not None and given.get("at") is None and not shape.like:
            refuse(
                APART, "nothing says where it lies", "add its middle, such as at: [34 mm, 26 mm]"
            )
        if given.get("count", 1) > 1 and given.get("step") in (None, (0.0, 0.0)):
            refuse(
                APART,
                "more than one in a row without a step would all lie in one place",
                "add the distance from one to the next, such as step: [0 mm, 12 mm]",
            )
        return width


class MasksFields(Section):
    """How a panel is painted; the masks follow."""

    overlap: _Overlap = Field(1.0, description="How far a mask laps over those already there.")
    film: Annotated[str, Words(example="masking film 0.08 mm")] = Field(
        "masking film 0.08 mm", description="What masks are cut from, as the catalogue names it."
    )
    order: Annotated[CoatOrder, Choice(of=CoatOrder)] = Field(
        CoatOrder.LISTED, description="In which order the coats go on."
    )
    clear: Rows[Annotated[str, Reference(example="screen")]] = Field(
        [], description="Openings that stay clear of paint, masked from behind."
    )
    areas: Named[PaintFields] = Field(
        {},
        validate_default=True,
        description="What is painted, by name. A later one lies over an earlier one.",
    )

    @field_validator("areas")
    @classmethod
    def _lightness_known(
        cls, areas: dict[str, PaintFields], info: ValidationInfo
    ) -> dict[str, PaintFields]:
        total = sum(area.count for area in areas.values())
        if total > MOST_PAINTED:
            refuse(
                OUT_OF_RANGE,
                f"{total} painted shapes are out of range: at most {MOST_PAINTED}, each with a "
                "mask to cut and lay",
                f"write at most {MOST_PAINTED}",
            )
        if info.data.get("order") is CoatOrder.LIGHT_TO_DARK:
            lacking = [name for name, area in areas.items() if area.lightness is None]
            if lacking:
                refuse(
                    APART,
                    f"coats from light to dark need the lightness of '{lacking[0]}'",
                    "add it, such as lightness: 90 %, or write order: as listed",
                )
        return areas
