"""Fields of LEDs and of the rows they stand in."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.design.lightbox import Seat
from lamphouse.project.fields.sections import Section
from lamphouse.project.fields.values import (
    APART,
    Choice,
    Count,
    Measure,
    Place,
    Reference,
    Words,
    refuse,
)
from lamphouse.units import Quantity

MOST_IN_ROW = 500

Current = Annotated[
    float,
    Measure(
        quantity=Quantity.CURRENT,
        least=1e-5,
        most=1.0,
        why="the range of small LEDs",
        example="1.5 mA",
    ),
]
Position = Annotated[
    tuple[float, float],
    Place(
        quantity=Quantity.LENGTH,
        least=-3000.0,
        most=3000.0,
        why="the range of parts that are cut by hand",
        example="[8 mm, 15 mm]",
    ),
]
RowCount = Annotated[int, Count(least=1, most=MOST_IN_ROW, why="the longest row of equal things")]
Angle = Annotated[
    float,
    Measure(
        quantity=Quantity.ANGLE,
        least=-360.0,
        most=360.0,
        why="a full turn either way",
        example="90 deg",
    ),
]
Height = Annotated[
    float,
    Measure(
        quantity=Quantity.LENGTH,
        least=0.0,
        most=500.0,
        why="the depth of a light box",
        example="6 mm",
    ),
]
GroupName = Annotated[str, Reference(example="green steady")]


class RowSection(Section):
    """An item that may stand for a row of equal ones."""

    at: Position = Field(
        description="Its middle, in mm from the panel's lower left corner seen from the front: "
        "to the right, up. The first of a row."
    )
    count: RowCount = Field(
        1,
        description="How many of it stand in a row; they are called name1, "
        "name2 and so on. One alone keeps its name.",
    )
    step: Position | None = Field(
        None, validate_default=True, description="From one to the next of a row: right, up."
    )

    @field_validator("step")
    @classmethod
    def _row_has_step(
        cls, step: tuple[float, float] | None, info: ValidationInfo
    ) -> tuple[float, float] | None:
        if info.data.get("count", 1) > 1 and (step is None or step == (0.0, 0.0)):
            refuse(
                APART,
                "more than one in a row without a step would all stand in one place",
                "add the distance from one to the next, such as step: [12 mm, 0 mm]",
            )
        return step


class LedFields(RowSection):
    """One LED or a row of equal ones."""

    led_type: Annotated[str, Words(example="white 0603")] = Field(
        alias="type", description="Its type, as the catalogue or your own parts folder names it."
    )
    current: Current = Field(description="The current wanted through it.")
    seat: Annotated[Seat, Choice(of=Seat)] = Field(
        Seat.BACK, description="The face of the light box it is glued to."
    )
    height: Height | None = Field(
        None, validate_default=True, description="Height of its middle above the back, on a wall."
    )
    turn: Angle | None = Field(
        None, description="Anticlockwise turn in its seat; without one the anode lies left."
    )
    group: GroupName = Field("", description="Source group it blinks with; steady without one.")

    @field_validator("height")
    @classmethod
    def _height_on_wall(cls, height: float | None, info: ValidationInfo) -> float | None:
        on_wall = info.data.get("seat") is Seat.WALL
        if on_wall and height is None:
            refuse(APART, "an LED on a wall needs its height", "add height, such as height: 6 mm")
        if not on_wall and height is not None and "seat" in info.data:
            refuse(APART, "only an LED on a wall has a height", "add seat: wall, or remove height")
        return height
