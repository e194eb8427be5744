"""The supply under the floor, and each sub-assembly's strings, board and pigtail."""

from enum import StrEnum

from lamphouse.catalogue.cell_types import CellType
from lamphouse.catalogue.electric_parts import PlugType, ResistorPackage, WireType
from lamphouse.catalogue.protection import FuseType, Protector
from lamphouse.findings import Where
from lamphouse.record import Record
from lamphouse.shapes.outline import Spot


class SupplyKind(StrEnum):
    """Where the power comes from."""

    PLUG_IN = "plug-in supply"
    USB_PORT = "usb port"
    POWER_BANK = "power bank"
    CELLS = "cells"


class Holder(StrEnum):
    """How cells are got at."""

    OPEN = "open"
    """By hand."""
    SCREWED = "screwed"
    """Only with a tool."""


class Way(StrEnum):
    """How the supply can be plugged in."""

    KEYED = "keyed"
    """One way only."""
    EITHER = "either way"
    """Loose wires, or a plug that can be reversed."""


class CellPack(Record):
    """Cells in series, and such rows side by side."""

    cell: CellType
    series: int
    parallel: int = 1
    cut_off_V: float
    """Of one cell under load; there the maker takes them out, or their protection ends it."""
    holder: Holder | None = None
    """None: the maker has not said."""


class Supply(Record):
    """What feeds the model. Extra-low voltage only."""

    where: Where
    kind: SupplyKind
    voltage_V: float
    tolerance: float
    """Share of the voltage it may differ either way; 0.05 is 5 percent."""
    max_current_A: float
    min_load_A: float = 0.0
    """Below this a power bank switches itself off."""
    fuse_A: float | None = None
    capacity_Ah: float | None = None
    ripple: float = 0.0
    """Share of the voltage it swings either way besides, at its peaks."""
    cells: CellPack | None = None
    fuse_type: FuseType | None = None
    """The fuse of which ``fuse_A`` is the rating, when the maker names one."""
    protector: Protector | None = None
    """What blocks a reversed supply, in the plus lead."""
    way: Way = Way.KEYED
    buffer_F: float = 0.0
    """Capacitor across the plugs, behind fuse and protection."""
    hours_a_day: float | None = None
    """How long the model is to be lit in one go."""
    sag_V: float = 0.0
    """What the feed takes off its low end besides the tolerance; only of a supply as strings see
    it, behind fuse and protection."""

    @property
    def off(self) -> float:
        """Share of the voltage it may be off either way, tolerance and ripple together."""
        return self.tolerance + self.ripple

    @property
    def ends_V(self) -> tuple[float, float]:
        """Its lowest and its highest voltage."""
        return self.voltage_V * (1.0 - self.off), self.voltage_V * (1.0 + self.off)


class Common(StrEnum):
    """The side that all strings share."""

    POSITIVE = "positive"
    """Groups are switched towards minus."""
    NEGATIVE = "negative"
    """Groups are switched towards plus."""


class Grouping(StrEnum):
    """How the tool puts LEDs into strings."""

    SERIES = "series"
    """As many in series as hold in the worst case."""
    SINGLE = "single"
    """Each with a resistor of its own, so that one that fails darkens no other."""


class CircuitHabits(Record):
    """How careful the maker wants the circuit to be."""

    where: Where
    series: str = "E12"
    resistor_tolerance: float = 0.05
    coldest_degC: float = 15.0
    warmest_degC: float = 35.0
    least_share: float = 0.6
    """A string whose worst-case current falls below this share of the wanted one is a stop."""
    common: Common = Common.POSITIVE
    prefer_drawer: bool = True
    """Whether a resistor in the drawer goes before a nearer value of the series."""
    trim_to: float = 0.2
    """Share of the wanted current that a trim knob reaches down to."""


class StringWish(Record):
    """LEDs the maker wants in one string, with its resistor when already chosen."""

    name: str
    where: Where
    leds: tuple[str, ...]
    """Names of LEDs of the same sub-assembly, in order from plus to minus."""
    resistor_ohm: float | None = None
    measured_ohm: float | None = None
    """What is soldered there, as measured; the value above is then its nominal one."""
    trim: bool = False
    """Whether it is set by a knob at the bench."""


class BoardKind(StrEnum):
    """What the resistors are soldered to."""

    PERFORATED = "perforated"
    STRIPBOARD = "stripboard"
    POINT_TO_POINT = "point to point"


class Board(Record):
    """A piece of perforated board with its parts."""

    where: Where
    kind: BoardKind
    resistor_package: ResistorPackage
    space_mm: tuple[float, float] | None = None
    """Room there is for it; None when it does not matter."""
    at_mm: Spot | None = None
    """Middle of that room in the plane of its sub-assembly; None: not known."""
    behind_mm: float = 20.0
    """How far back it reaches with its parts, from the rear face of the panels."""


class Pigtail(Record):
    """The short lead with a plug by which a sub-assembly joins the loom."""

    where: Where
    plug: PlugType
    wire: WireType
    length_mm: float
    """One way, from the board to its plug; to the supply's terminals where no loom is laid."""
