"""Fields of the supply, the circuit's habits, LEDs, strings, boards, pigtails and source groups."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.design.lightbox import Seat
from lamphouse.design.strand import PatternKind
from lamphouse.design.supply import BoardKind, SupplyKind
from lamphouse.project.fields.sections import Maybe, Rows, Section
from lamphouse.project.fields.values import (
    APART,
    OUT_OF_RANGE,
    Choice,
    Count,
    Measure,
    Place,
    Reference,
    Sizes,
    Span,
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
    height: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=0.0,
                most=500.0,
                why="the depth of a light box",
                example="6 mm",
            ),
        ]
        | None
    ) = Field(
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


class SupplyFields(Section):
    """What feeds the model."""

    kind: Annotated[
        SupplyKind,
        Choice(
            of=SupplyKind,
            never=("mains", "mains voltage", "wall socket", "230 v", "120 v"),
            never_why="mains is never led into a model: a bought supply outside it brings "
            "extra-low voltage",
        ),
    ] = Field(description="Where the power comes from. Mains stays outside, in a bought supply.")
    voltage: Annotated[
        float,
        Measure(
            quantity=Quantity.VOLTAGE,
            least=1.0,
            most=400.0,
            why="the range of anything that is called a supply",
            example="12 V",
        ),
    ] = Field(description="Its rated voltage; extra-low voltage only.")
    tolerance: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.0,
            most=0.5,
            why="beyond it the voltage is not known",
            example="5 %",
        ),
    ] = Field(0.05, description="Share the voltage may differ either way, ripple included.")
    max_current: Annotated[
        float,
        Measure(
            quantity=Quantity.CURRENT,
            least=1e-3,
            most=100.0,
            why="the range of anything that is called a supply",
            example="500 mA",
        ),
    ] = Field(description="The most it may deliver all the time.")
    min_load: Annotated[
        float,
        Measure(
            quantity=Quantity.CURRENT,
            least=0.0,
            most=10.0,
            why="the range of power banks",
            example="60 mA",
        ),
    ] = Field(0.0, description="Below this current a power bank switches itself off.")
    fuse: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.CURRENT,
                least=0.01,
                most=30.0,
                why="the range of small fuses",
                example="500 mA",
            ),
        ]
        | None
    ) = Field(None, description="Rated current of the fuse behind it.")
    capacity: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.CAPACITY,
                least=0.001,
                most=1000.0,
                why="the range of cells and power banks",
                example="6 Ah",
            ),
        ]
        | None
    ) = Field(None, description="What the battery holds, at this voltage.")


class CircuitFields(Section):
    """How careful the circuit is to be."""

    resistors: Annotated[str, Choice(of=("E6", "E12", "E24", "E96"))] = Field(
        "E12", description="Series of IEC 60063 your resistors come from."
    )
    resistor_size: Annotated[str, Words(example="axial 1/4 W")] = Field(
        "axial 1/4 W", description="Size of resistor, as the catalogue names it."
    )
    resistor_tolerance: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.0001,
            most=0.2,
            why="the range of IEC 60062",
            example="5 %",
        ),
    ] = Field(0.05, description="How far a resistor may be off either way.")
    ambient: Annotated[
        tuple[float, float],
        Span(
            quantity=Quantity.TEMPERATURE,
            least=-40.0,
            most=85.0,
            why="what LEDs are rated for",
            example="15 to 35 degC",
        ),
    ] = Field((15.0, 35.0), description="Coldest and warmest air around the model.")
    least_share: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.0,
            most=1.0,
            why="a share of the wanted current",
            example="60 %",
        ),
    ] = Field(
        0.6,
        description="A string whose current can fall below this share of the wanted one is a stop.",
    )


class StringFields(Section):
    """LEDs wanted in one string."""

    leds: Rows[Annotated[str, Words(example="W1")]] = Field(
        description="Names of LEDs of this sub-assembly, from plus to minus."
    )
    resistor: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.RESISTANCE,
                least=0.1,
                most=1e7,
                why="the range of resistors one can buy",
                example="4k7",
            ),
        ]
        | None
    ) = Field(None, description="Its resistor, when already chosen.")


class BoardFields(Section):
    """The board that carries a sub-assembly's resistors."""

    kind: Annotated[BoardKind, Choice(of=BoardKind)] = Field(
        BoardKind.PERFORATED, description="What the resistors are soldered to."
    )
    space: (
        Annotated[
            tuple[float, float],
            Sizes(
                quantity=Quantity.LENGTH,
                least=2.0,
                most=1000.0,
                why="the range of boards",
                example="25 x 15 mm",
                count=2,
            ),
        ]
        | None
    ) = Field(None, description="Room there is for it.")
    resistors: Annotated[str, Words(example="axial 1/4 W")] | None = Field(
        None, description="Size of resistor on it; the circuit's resistor_size without."
    )


class PigtailFields(Section):
    """The lead and plug by which a sub-assembly joins the loom."""

    plug: Annotated[str, Words(example="2-pin 1.25 mm")] = Field(
        description="Plug, as the catalogue names it."
    )
    wire: Annotated[str, Words(example="30 AWG insulated")] = Field(
        description="Wire, as the catalogue names it."
    )
    length: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=5.0,
            most=20_000.0,
            why="the range of leads inside and under a model",
            example="160 mm",
        ),
    ] = Field(description="One way, from the board to the supply unless a loom is drawn.")


class PatternFields(Section):
    """What a source group does over time."""

    kind: Annotated[PatternKind, Choice(of=PatternKind)] = Field(
        PatternKind.STEADY, description="The behaviour."
    )
    period: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.DURATION,
                least=0.01,
                most=86_400.0,
                why="from a blink to a day",
                example="6 s",
            ),
        ]
        | None
    ) = Field(None, validate_default=True, description="Time from one beginning to the next.")
    fade: Annotated[
        float,
        Measure(
            quantity=Quantity.DURATION,
            least=0.0,
            most=3600.0,
            why="up to an hour's dusk",
            example="0.3 s",
        ),
    ] = Field(0.0, description="Time to come on and to go off.")
    duty: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.SHARE,
                least=0.0,
                most=1.0,
                why="a share of the period",
                example="20 %",
            ),
        ]
        | None
    ) = Field(None, description="Share of the period spent lit.")
    seed: Annotated[int, Count(least=0, most=2**31 - 1, why="what a program can hold")] | None = (
        Field(None, description="Where chance begins; groups with one seed blink together.")
    )

    @field_validator("period")
    @classmethod
    def _period_where_needed(cls, period: float | None, info: ValidationInfo) -> float | None:
        kind = info.data.get("kind")
        if period is None and kind in (PatternKind.CHASE, PatternKind.BEACON, PatternKind.FADE):
            refuse(APART, f"a {kind} needs a period", "add the period, such as period: 2 s")
        return period

    @field_validator("fade")
    @classmethod
    def _fade_fits(cls, fade: float, info: ValidationInfo) -> float:
        period = info.data.get("period")
        if period is not None and fade > period / 2.0:
            refuse(
                OUT_OF_RANGE,
                f"a fade of {fade:g} s on and off does not fit into a period of {period:g} s",
                f"write {period / 2.0:g} s or less",
            )
        return fade


class SourceFields(Section):
    """The LED that lights a group's strands."""

    led: Annotated[str, Words(example="green 3 mm")] = Field(
        description="Its type, as the catalogue names it."
    )
    current: Current = Field(description="The current wanted through it.")
    at: Position = Field(
        (0.0, 0.0),
        description="Where it stands behind the panels of its sub-assembly; the lower left corner "
        "until the runs are planned.",
    )


class GroupFields(Section):
    """Strands and LEDs that blink together."""

    in_: Annotated[str, Reference(example="console")] = Field(
        alias="in", description="Sub-assembly that carries its source LED."
    )
    source: Maybe[SourceFields] = Field(
        None, description="The LED that lights its strands; none when it has only LEDs in boxes."
    )
    pattern: PatternFields = Field(
        default_factory=PatternFields, description="What it does over time."
    )
