"""Fields of pillars: what stands through a light box from its back to its panel."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.project.fields.curve_fields import SheetName
from lamphouse.project.fields.light_fields import Angle, Position, RowSection
from lamphouse.project.fields.shape_words import ShapeText, ShapeWish
from lamphouse.project.fields.values import APART, Words, refuse


class PillarFields(RowSection):
    """A post, a column or a tube through a light box from back to panel, or a row of equal ones."""

    at: Position | None = Field(  # type: ignore[assignment]
        None,
        description="Its middle, in mm from the panel's datum seen from the front: to the right, "
        "up. The first of a row, the middle of a ring. One like an opening may leave it out.",
    )
    shape: ShapeText = Field(
        description="Its outline around its middle, in words or as points; of a tube the outer one."
    )
    turn: Angle = Field(0.0, description="Anticlockwise turn about its middle.")
    sheet: SheetName | None = Field(
        None,
        description="Sheet it is cut from, slice on slice. Left out, it is a round rod or a square "
        "or flat bar bought by the length.",
    )
    finish: Annotated[str, Words(example="matt black paint")] | None = Field(
        None, description="What it is painted with, as the catalogue names it; the box's without."
    )

    @field_validator("shape")
    @classmethod
    def _shape_has_place(cls, shape: ShapeWish, info: ValidationInfo) -> ShapeWish:
        ways = info.data.get("along", "x") or shape.like
        if "at" in info.data and info.data["at"] is None and not ways:
            refuse(
                APART, "nothing says where it lies", "add its middle, such as at: [30 mm, 20 mm]"
            )
        return shape
