"""The supply under the floor, and each sub-assembly's strings, board and pigtail."""

from dataclasses import dataclass
from enum import StrEnum

from lamphouse.catalogue.electric_parts import PlugType, ResistorPackage, WireType
from lamphouse.findings import Where


class SupplyKind(StrEnum):
    """Where the power comes from."""

    PLUG_IN = "plug-in supply"
    USB_PORT = "usb port"
    POWER_BANK = "power bank"
    CELLS = "cells"


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What feeds the model. Extra-low voltage only."""

    where: Where
    kind: SupplyKind
    voltage_V: float
    tolerance: float
    """Share of the voltage it may differ either way, ripple included; 0.05 is 5 percent."""
    max_current_A: float
    min_load_A: float = 0.0
    """Below this a power bank switches itself off."""
    fuse_A: float | None = None
    capacity_Ah: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitHabits:
    """How careful the maker wants the circuit to be."""

    where: Where
    series: str = "E12"
    resistor_tolerance: float = 0.05
    coldest_degC: float = 15.0
    warmest_degC: float = 35.0
    least_share: float = 0.6
    """A string whose worst-case current falls below this share of the wanted one is a stop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StringWish:
    """LEDs the maker wants in one string, with its resistor when already chosen."""

    name: str
    where: Where
    leds: tuple[str, ...]
    """Names of LEDs of the same sub-assembly, in order from plus to minus."""
    resistor_ohm: float | None = None


class BoardKind(StrEnum):
    """What the resistors are soldered to."""

    PERFORATED = "perforated"
    STRIPBOARD = "stripboard"
    POINT_TO_POINT = "point to point"


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A piece of perforated board with its parts."""

    where: Where
    kind: BoardKind
    resistor_package: ResistorPackage
    space_mm: tuple[float, float] | None = None
    """Room there is for it; None when it does not matter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pigtail:
    """The short lead with a plug by which a sub-assembly joins the loom."""

    where: Where
    plug: PlugType
    wire: WireType
    length_mm: float
    """One way, from the board to the supply's terminals unless a loom is drawn."""
