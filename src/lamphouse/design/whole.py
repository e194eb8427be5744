"""The design of one model: everything the maker decided, in one record."""

from datetime import date

from lamphouse.catalogue.drills import Drill
from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.sheet_heat import SheetHeat
from lamphouse.catalogue.sheet_light import SheetLight
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.tube_types import TubeType
from lamphouse.design.as_built import AsBuilt
from lamphouse.design.care import Care
from lamphouse.design.controller import Controller, Workshop
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.day_scenes import Scene
from lamphouse.design.loom import LoomWishes
from lamphouse.design.place import Room, SubAssembly
from lamphouse.design.prices import PartPrice
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.design.surroundings import Surroundings
from lamphouse.design.work import WorkWishes
from lamphouse.findings import Acceptance, Where
from lamphouse.record import Record, field


class Look(Record):
    """A wanted look: what the eye should see, never a current."""

    name: str
    where: Where
    least_cd_m2: float
    most_cd_m2: float
    evenness: float
    """Wanted min/mean over the opening, 0 to 1."""
    colour: str = ""


class Match(Record):
    """How far openings of one match word may differ."""

    name: str = ""
    where: Where | None = None
    """None where the maker set no limits."""
    luminance_ratio: float = 1.5
    """Largest over smallest mean luminance [PRACTICE]."""
    steps: int = 5
    """Steps of 0.0011 in u', v' [PRACTICE]."""
    difference: int | None = None
    """CIEDE2000 in the room at equal lightness; None: not judged."""


class OwnParts(Record):
    """What the maker's own tables add to the built-in ones, for mends of colour."""

    leds: tuple[LedType, ...] = ()
    films: tuple[FilmType, ...] = ()


class SheetInHand(Record):
    """A sheet or offcut the maker has."""

    where: Where
    sheet: SheetStock
    width_mm: float
    height_mm: float
    count: int


class PartInHand(Record):
    """A small part in the maker's drawer."""

    where: Where
    part: str
    count: int


class Evening(Record):
    """Time the builder has."""

    day: date
    hours: float
    starts_h: float = 19.5
    """Hour of the day at which it begins."""
    suits: tuple[str, ...] = ()
    """Words of ``build.themes.THEMES`` for what can be done then; empty for everything."""


class Design(Record):
    """One model, as the maker decided it."""

    name: str
    revision: str
    where: Where
    day: date | None
    """The date printed on the sheets; an input, never the clock."""
    scale: float
    """Full size divided by model size; 24 for 1:24."""
    seed: int
    paper: str
    """``A4`` or ``Letter``."""
    room: Room | None
    supply: Supply
    habits: CircuitHabits
    looks: tuple[Look, ...]
    groups: tuple[SourceGroup, ...]
    sub_assemblies: tuple[SubAssembly, ...]
    drills: tuple[Drill, ...]
    """The drills there are, thin to thick."""
    resistor_package: ResistorPackage
    """What resistors come in where a sub-assembly has no board."""
    scenes: tuple[Scene, ...] = ()
    """Parts of the time line; without any, every group follows its pattern all day."""
    controllers: tuple[Controller, ...] = ()
    """What switches the groups that blink."""
    workshop: Workshop = field(default_factory=Workshop)
    """The controllers and transistors there are."""
    tubes: tuple[TubeType, ...] = ()
    """For ferrules and collars, in the order of the catalogue."""
    loom: LoomWishes | None = None
    """None lays no loom."""
    surroundings: Surroundings = field(default_factory=Surroundings)
    """What stands round the sub-assemblies."""
    materials: tuple[SheetLight, ...] = ()
    """What sheet materials do to light, as far as it is known."""
    sheet_heat: tuple[SheetHeat, ...] = ()
    """What heat does to them, likewise."""
    own_parts: OwnParts = field(default_factory=OwnParts)
    sheets: tuple[SheetInHand, ...] = ()
    drawer: tuple[PartInHand, ...] = ()
    prices: tuple[PartPrice, ...] = ()
    care: Care = field(default_factory=Care)
    evenings: tuple[Evening, ...] = ()
    acceptances: tuple[Acceptance, ...] = ()
    work: WorkWishes = field(default_factory=WorkWishes)
    """Of the order of work."""
    cutting: CuttingHabits = field(default_factory=CuttingHabits)
    matches: tuple[Match, ...] = ()
    """Match words with limits of their own."""
    as_built: tuple[AsBuilt, ...] = ()
    """What was measured on the model; where two differ the first holds."""
