"""Fields of the whole project file: what it is called, its room, its sub-assemblies, its stock."""

from datetime import date
from typing import Annotated, Any

from pydantic import Field, ValidationInfo

from lamphouse.catalogue.sheet_stock import SIDES_MM
from lamphouse.design.supply import Grouping
from lamphouse.project.fields.blink_fields import GroupFields, SceneFields
from lamphouse.project.fields.built_fields import BuiltFields
from lamphouse.project.fields.controller_fields import ControllerFields
from lamphouse.project.fields.curve_fields import SheetName
from lamphouse.project.fields.cutting_fields import CuttingFields
from lamphouse.project.fields.light_fields import Lamp
from lamphouse.project.fields.loom_fields import LoomFields
from lamphouse.project.fields.panel_fields import PanelFields
from lamphouse.project.fields.print_fields import ChartFields
from lamphouse.project.fields.room_fields import RoomFields, StandFields
from lamphouse.project.fields.sections import Maybe, Named, Rows, Section
from lamphouse.project.fields.supply_fields import (
    BoardFields,
    CircuitFields,
    PigtailFields,
    StringFields,
    SupplyFields,
    YesNo,
)
from lamphouse.project.fields.upkeep_fields import CareFields, PriceFields
from lamphouse.project.fields.values import (
    NOT_UNDERSTOOD,
    Choice,
    Count,
    Day,
    Kind,
    Measure,
    Sizes,
    Span,
    Words,
    refuse,
    text_of,
)
from lamphouse.project.fields.work_fields import (
    EveningFields,
    OwnOrderFields,
    OwnStepFields,
    WaitingFields,
)
from lamphouse.project.upgrade import NEWEST
from lamphouse.units import Quantity, UnitError, parse_scale


class Scale(Kind):
    """Full size over model size."""

    def read(self, value: Any, info: ValidationInfo) -> float:  # noqa: ARG002  as for every kind
        """Read ``1:24`` or ``4 mm/ft``."""
        try:
            return parse_scale(text_of(value, example="1:24"))
        except UnitError as fault:
            refuse(NOT_UNDERSTOOD, fault.problem, fault.remedy)

    def described(self) -> dict[str, Any]:
        """Describe a ratio, or a length to the foot."""
        return {
            "type": "string",
            "pattern": r"^1 *[:/] *\d|/ *(ft|foot)$",
            "examples": ["1:24", "4 mm/ft"],
        }


class LookFields(Section):
    """What the eye should see at an opening."""

    luminance: Annotated[
        tuple[float, float],
        Span(
            quantity=Quantity.LUMINANCE,
            least=0.001,
            most=100_000.0,
            why="from just seen to glaring",
            example="20 to 100 cd/m2",
        ),
    ] = Field(description="Least and most luminance.")
    evenness: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.0,
            most=1.0,
            why="the darkest place over the mean",
            example="70 %",
        ),
    ] = Field(0.7, description="The least over the mean luminance of the opening.")
    colour: Annotated[str, Words(example="warm white")] = Field(
        "",
        description="The colour of its light: a name such as warm white or amber, a white such as "
        "2900 K, or Lab 60 40 20 as seen in the room.",
    )


class MatchFields(Section):
    """How far openings with one match word may differ."""

    luminance: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.01,
            most=10.0,
            why="from just seen to another lamp",
            example="20 %",
        ),
    ] = Field(0.5, description="By how much the brightest may outshine the darkest.")
    steps: Annotated[int, Count(least=1, most=100, why="what still is one colour")] = Field(
        5, description="Colour steps of 0.0011 in u', v' they may lie apart; three are just seen."
    )
    difference: Annotated[int, Count(least=1, most=100, why="the scale of CIEDE2000")] | None = (
        Field(
            None,
            description="CIEDE2000 difference they may show in the room, at equal lightness; not "
            "judged without.",
        )
    )


class SubAssemblyFields(Section):
    """What unplugs and lifts out as one."""

    stands: Maybe[StandFields] = Field(None, description="Where it stands in the room.")
    pigtail: Maybe[PigtailFields] = Field(None, description="Its lead and plug.")
    board: Maybe[BoardFields] = Field(None, description="The board for its resistors.")
    panels: Named[PanelFields] = Field({}, description="Its panels by name.")
    strings: Named[StringFields] = Field(
        {}, description="LEDs you want in one string; the tool groups the others."
    )
    grouping: Annotated[Grouping, Choice(of=Grouping)] | None = Field(
        None, description="How the tool groups its LEDs; the circuit's grouping without."
    )
    trim: YesNo = Field(
        "no",
        description="Whether each of its strings is set by a trim knob at the bench, as long as "
        "no resistor is given for it.",
    )
    lamps: Named[Lamp] = Field(
        {}, description="LEDs that shine into the room without a box, by name."
    )


class SheetFields(Section):
    """A sheet or offcut at hand."""

    sheet: SheetName = Field(description="Sheet or film, as the catalogue names it.")
    size: Annotated[
        tuple[float, float],
        Sizes(
            quantity=Quantity.LENGTH,
            least=SIDES_MM[0],
            most=SIDES_MM[1],
            why="the range of sheets",
            example="300 x 200 mm",
            count=2,
        ),
    ] = Field(description="Width and height.")
    count: Annotated[int, Count(least=1, most=100_000, why="what a drawer holds")] = Field(
        1, description="How many there are."
    )


class PartFields(Section):
    """A small part at hand."""

    part: Annotated[str, Words(example="white 0603")] = Field(
        description="The part: a catalogue name, or resistor with its value."
    )
    count: Annotated[int, Count(least=1, most=100_000, why="what a drawer holds")] = Field(
        1, description="How many there are."
    )


class AcceptedFields(Section):
    """A finding that is overruled."""

    code: Annotated[str, Words(example="CUT012", longest=20)] = Field(
        description="Code of the finding."
    )
    item: Annotated[str, Words(example="console / left fascia")] = Field(
        description="Item, as the finding names it."
    )
    reason: Annotated[str, Words(example="tried on scrap, it holds")] = Field(
        description="Why you overrule it."
    )


class ProjectFields(Section):
    """A model with everything its maker decided."""

    lamphouse: Annotated[int, Count(least=0, most=10**6, why="numbers of layouts")] = Field(
        description=f"Number of this file's layout; now {NEWEST}."
    )
    name: Annotated[str, Words(example="Saltmarsh Pilot Station", longest=80)] = Field(
        description="Name of the model, printed on every sheet."
    )
    revision: Annotated[str, Words(example="A", longest=20)] = Field(
        "", description="Your mark for this state of the project."
    )
    date_: Annotated[date, Day()] | None = Field(
        None, alias="date", description="Date printed on every sheet."
    )
    scale: Annotated[float, Scale()] = Field(
        description="Scale; lengths marked real are divided by it."
    )
    seed: Annotated[int, Count(least=0, most=2**31 - 1, why="what a program can hold")] = Field(
        1, description="Where every random choice begins."
    )
    paper: Annotated[str, Choice(of=("A4", "Letter"))] = Field(
        "A4", description="Paper to print on."
    )
    room: Maybe[RoomFields] = Field(None, description="The room of the model.")
    supply: SupplyFields = Field(description="What feeds it.")
    circuit: CircuitFields = Field(
        default_factory=CircuitFields, description="How careful the circuit is to be."
    )
    loom: Maybe[LoomFields] = Field(None, description="The wiring under the floor.")
    looks: Named[LookFields] = Field({}, description="Wanted looks by name.")
    matches: Named[MatchFields] = Field(
        {}, description="Match words whose openings may differ more or less than usual."
    )
    charts: Named[ChartFields] = Field(
        {}, description="Print charts by name: what your own printer's inks let through."
    )
    groups: Named[GroupFields] = Field({}, description="Source groups by name.")
    scenes: Named[SceneFields] = Field(
        {}, description="Parts of the time line by name, in the order in which they come."
    )
    controllers: Named[ControllerFields] = Field(
        {}, description="What switches the groups that blink, by name."
    )
    sub_assemblies: Named[SubAssemblyFields] = Field({}, description="Sub-assemblies by name.")
    stock: Rows[SheetFields] = Field([], description="Sheets and offcuts at hand.")
    cutting: CuttingFields = Field(
        default_factory=CuttingFields, description="How pieces are laid on sheets and cut."
    )
    drawer: Rows[PartFields] = Field([], description="Small parts at hand.")
    prices: Rows[PriceFields] = Field([], description="What you pay for parts, by the pack.")
    care: Maybe[CareFields] = Field(None, description="The papers of the finished model.")
    evenings: Rows[EveningFields] = Field([], description="Time there is.")
    waiting: Rows[WaitingFields] = Field([], description="Parts that are not there yet.")
    steps: Named[OwnStepFields] = Field(
        {}, description="Steps of your own in the order of work, by name."
    )
    order: Rows[OwnOrderFields] = Field(
        [], description="Orders of two steps that you want besides those of the rules."
    )
    as_built: Rows[BuiltFields] = Field(
        [], description="Figures measured on the model, in the place of those designed."
    )
    accepted: Rows[AcceptedFields] = Field(
        [], description="Findings you overrule, each with its reason."
    )
