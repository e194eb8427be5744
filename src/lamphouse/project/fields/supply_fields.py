"""Fields of the supply, the circuit's habits, and a sub-assembly's strings, board and pigtail."""

from typing import Annotated

from pydantic import Field

from lamphouse.design.supply import BoardKind, Common, Grouping, Holder, SupplyKind, Way
from lamphouse.project.fields.light_fields import Position
from lamphouse.project.fields.sections import Maybe, Rows, Section
from lamphouse.project.fields.values import Choice, Count, Measure, Sizes, Span, Words
from lamphouse.units import Quantity

YesNo = Annotated[str, Choice(of=("no", "yes"))]


class CellsFields(Section):
    """The cells of a supply."""

    cell_type: Annotated[str, Words(example="alkaline AA")] = Field(
        alias="type", description="Cell, as the catalogue names it."
    )
    count: Annotated[int, Count(least=1, most=20, why="24 V and no more")] = Field(
        1, description="Cells in series; their voltages add up."
    )
    parallel: Annotated[int, Count(least=1, most=20, why="what a model can carry")] = Field(
        1, description="Such rows side by side; their capacities add up."
    )
    cut_off: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.VOLTAGE,
                least=0.1,
                most=30.0,
                why="the range of cells",
                example="1.0 V",
            ),
        ]
        | None
    ) = Field(
        None, description="Voltage of one cell at which it is taken out; the catalogue's without."
    )
    holder: Annotated[Holder, Choice(of=Holder)] | None = Field(
        None, description="Whether a tool is needed to get at them."
    )


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
    ] = Field(0.05, description="Share the voltage may differ either way.")
    ripple: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.0,
            most=0.5,
            why="beyond it the light flickers",
            example="2 %",
        ),
    ] = Field(0.0, description="Share the voltage swings either way besides, at its peaks.")
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
    fuse_type: Annotated[str, Words(example="resettable 500 mA")] | None = Field(
        None, description="The fuse itself, as the catalogue names it; its rating is then known."
    )
    reverse_protection: Annotated[str, Words(example="schottky diode")] | None = Field(
        None, description="What blocks a reversed supply, as the catalogue names it; or none."
    )
    buffer: Annotated[
        float,
        Measure(
            quantity=Quantity.CAPACITANCE,
            least=0.0,
            most=1.0,
            why="what fits under a model",
            example="470 uF",
        ),
    ] = Field(0.0, description="Capacitor across the plugs, behind fuse and protection.")
    plug: Annotated[Way, Choice(of=Way)] = Field(
        Way.KEYED, description="Whether it can be plugged in the wrong way round."
    )
    cells: Maybe[CellsFields] = Field(None, description="Which cells, for a supply of cells.")
    hours_a_day: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.DURATION,
                least=60.0,
                most=86_400.0,
                why="a day has 24 hours",
                example="3 h",
            ),
        ]
        | None
    ) = Field(None, description="How long the model is to be lit on one charge or set of cells.")
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
    common: Annotated[Common, Choice(of=Common)] = Field(
        Common.POSITIVE,
        description="The side that all strings share; groups are switched on the other.",
    )
    grouping: Annotated[Grouping, Choice(of=Grouping)] = Field(
        Grouping.SERIES,
        description="How the tool groups LEDs: in series as long as they hold, or each single "
        "with a resistor of its own, so that one that fails darkens no other.",
    )
    prefer_drawer: Annotated[str, Choice(of=("yes", "no"))] = Field(
        "yes",
        description="Whether a resistor in the drawer is taken that gives the current within "
        "15 % and holds as well, before the nearest value of the series.",
    )
    trim_to: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.01,
            most=0.9,
            why="a share of the wanted current that a knob can reach",
            example="20 %",
        ),
    ] = Field(0.2, description="Share of the wanted current that a trim knob reaches down to.")


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
    trim: YesNo = Field(
        "no",
        description="Whether it is set by a trim knob at the bench, as long as no resistor is "
        "given.",
    )


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
    at: Position | None = Field(
        None,
        description="Middle of that room behind the panels, from the lower left corner of its "
        "sub-assembly: right, up. Strands are led round it; left out, they may cross it.",
    )
    behind: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=1.0,
            most=1000.0,
            why="the depth of a model",
            example="20 mm",
        ),
    ] = Field(
        20.0,
        description="How far back it reaches with its parts, from the rear face of the panels.",
    )
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
    ] = Field(description="One way, from the board to its plug under the floor.")
