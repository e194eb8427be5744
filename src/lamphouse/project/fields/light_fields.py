"""Fields of LEDs and of the rows they stand in."""

from typing import Annotated

from pydantic import AfterValidator, Field, ValidationInfo, field_validator

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
FloorPosition = Annotated[
    tuple[float, float],
    Place(
        quantity=Quantity.LENGTH,
        least=-3000.0,
        most=20_000.0,
        why="the range of models built of modules",
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
Tilt = Annotated[
    float,
    Measure(
        quantity=Quantity.ANGLE,
        least=0.0,
        most=90.0,
        why="from square to the seat to along it",
        example="30 deg",
    ),
]
RingSize = Annotated[
    float,
    Measure(
        quantity=Quantity.LENGTH,
        least=0.1,
        most=3000.0,
        why="the range of parts that are cut by hand",
        example="24 mm",
    ),
]
Inset = Annotated[
    float,
    Measure(
        quantity=Quantity.LENGTH,
        least=-500.0,
        most=500.0,
        why="the range of parts that are cut by hand",
        example="3 mm",
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
SmallHole = Measure(
    quantity=Quantity.LENGTH,
    least=0.1,
    most=20.0,
    why="the range of holes for wires and fibres",
    example="0.55 mm",
)
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
    to: Position | None = Field(
        None, description="The last of a row; the others stand evenly between: right, up."
    )
    ring: RingSize | None = Field(
        None, description="Diameter of a ring round the place, on which they stand evenly."
    )
    start: Angle = Field(
        0.0, description="Where on a ring the first stands, anticlockwise from the right."
    )
    along: Annotated[str, Reference(example="screen")] | None = Field(
        None,
        description="Opening of the panel, or panel, along whose outline they stand at an even "
        "pitch; from its first corner, anticlockwise.",
    )
    inset: Inset = Field(
        0.0, description="How far inside that outline they stand; below 0 for outside."
    )
    rows: RowCount = Field(1, description="How many such rows; they are counted row by row.")
    row_step: Position | None = Field(
        None, validate_default=True, description="From one row to the next: right, up."
    )
    staggered: Annotated[str, Choice(of=("yes", "no"))] = Field(
        "no", description="Whether every second row is shifted by half a step."
    )
    step: Position | None = Field(
        None, validate_default=True, description="From one to the next of a row: right, up."
    )

    @property
    def total(self) -> int:
        """How many they are in all."""
        return self.count * self.rows

    @field_validator("row_step")
    @classmethod
    def _rows_have_step(
        cls, row_step: tuple[float, float] | None, info: ValidationInfo
    ) -> tuple[float, float] | None:
        if info.data.get("rows", 1) > 1 and row_step in (None, (0.0, 0.0)):
            refuse(
                APART,
                "more than one row without a step would all stand in one place",
                "add the distance from one row to the next, such as row_step: [0 mm, 8 mm]",
            )
        return row_step

    @field_validator("step")
    @classmethod
    def _row_has_step(
        cls, step: tuple[float, float] | None, info: ValidationInfo
    ) -> tuple[float, float] | None:
        ways = [way for way in ("to", "ring", "along") if info.data.get(way)]
        if step is not None:
            ways.append("step")
        if len(ways) > 1:
            refuse(
                APART,
                f"{' and '.join(ways)} each say where the members of a row stand",
                f"keep one of them, such as {ways[0]}",
            )
        if ways and ways[0] in ("ring", "along") and info.data.get("rows", 1) > 1:
            refuse(APART, f"{ways[0]} makes no rows", "remove rows and row_step")
        if info.data.get("count", 1) > 1 and (not ways or step == (0.0, 0.0)):
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
    tilt: Tilt | None = Field(
        None, description="How far its beam leans from the square to its seat; it needs towards."
    )
    towards: Angle | None = Field(
        None,
        validate_default=True,
        description="The way its beam leans. On back or panel anticlockwise from the right, seen "
        "from the front; on a wall seen from inside the box, 0 deg to the right and 90 deg towards "
        "the panel.",
    )
    group: GroupName = Field("", description="Source group it blinks with; steady without one.")

    @field_validator("towards")
    @classmethod
    def _leans_some_way(cls, towards: float | None, info: ValidationInfo) -> float | None:
        if "tilt" not in info.data:
            return towards
        if info.data["tilt"] is not None and towards is None:
            refuse(
                APART,
                "an LED that is tilted needs the way it leans",
                "add towards, such as towards: 90 deg, or remove tilt",
            )
        if info.data["tilt"] is None and towards is not None:
            refuse(
                APART,
                "only an LED that is tilted leans some way",
                "add tilt, such as tilt: 30 deg, or remove towards",
            )
        return towards

    @field_validator("height")
    @classmethod
    def _height_on_wall(cls, height: float | None, info: ValidationInfo) -> float | None:
        on_wall = info.data.get("seat") is Seat.WALL
        if on_wall and height is None:
            refuse(APART, "an LED on a wall needs its height", "add height, such as height: 6 mm")
        if not on_wall and height is not None and "seat" in info.data:
            refuse(APART, "only an LED on a wall has a height", "add seat: wall, or remove height")
        return height


def lamp_alone(fields: LedFields) -> LedFields:
    """Refuse a tilt of an LED that shines without a box: it has no seat to lean on."""
    if fields.tilt is not None:
        refuse(
            APART,
            "an LED outside a light box has no seat to lean on",
            "remove tilt and towards, or give the LED to a light box",
        )
    return fields


Lamp = Annotated[LedFields, AfterValidator(lamp_alone)]
