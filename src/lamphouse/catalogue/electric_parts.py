"""Wires, plugs, resistor packages, and the preferred numbers of IEC 60063."""

from collections.abc import Iterable, Mapping
from math import pi
from types import MappingProxyType

from lamphouse.catalogue.cells import OutOfRange, Span, amount, or_word, several, whole_number
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, show

COPPER_OHM_M = 1.7241e-8
"""Resistivity of annealed copper at 20 degC [IACS]."""

_PUREST = 0.97
"""Resistance of the best copper sold, as a share of the standard's."""


class WireType(Record):
    """One kind of wire."""

    name: str
    """Such as ``30 AWG insulated``."""
    copper_mm: float
    """Diameter of solid copper, or of the equal-area circle."""
    outside_mm: float
    """Over the insulation or enamel; the largest its standard allows where there is one."""
    ohm_per_m: float
    """At 20 degC, one way; for bunched wire the largest its standard allows."""
    max_current_A: float
    origin: Origin


class PlugType(Record):
    """One kind of plug and socket."""

    name: str
    pins: int
    pitch_mm: float
    max_current_A: float
    """Per contact."""
    contact_ohm: float
    body_mm: tuple[float, float, float]
    origin: Origin


class ResistorPackage(Record):
    """One size of resistor."""

    name: str
    """Such as ``axial 1/4 W`` or ``0805``."""
    power_W: float
    """Rated dissipation at and below ``full_power_degC``."""
    full_power_degC: float
    zero_power_degC: float
    """Dissipation is derated in a straight line to nothing here."""
    max_V: float
    body_mm: tuple[float, float, float]
    origin: Origin


def copper_ohm_per_m(diameter_mm: float) -> float:
    """Give the resistance of solid round copper wire at 20 degC [IACS].

    Parameters
    ----------
    diameter_mm
        Of the copper alone. [mm]

    Returns
    -------
    float
        One way. [ohm/m] Bunched wire has a few per cent more, for the lay of its strands.
    """
    return COPPER_OHM_M / (pi * (diameter_mm * 1e-3) ** 2 / 4)


def _wire(*, copper_mm: float, ohm_per_m: float | None, **rest: object) -> WireType:
    """Make a wire, with the resistance of solid copper where the table says ``computed``."""
    computed = copper_ohm_per_m(copper_mm) if ohm_per_m is None else ohm_per_m
    return WireType(copper_mm=copper_mm, ohm_per_m=computed, **rest)  # type: ignore[arg-type]


def _wire_faults(wire: WireType) -> Iterable[OutOfRange]:
    if wire.outside_mm < wire.copper_mm:
        outside, copper = (
            show(size, Quantity.LENGTH) for size in (wire.outside_mm, wire.copper_mm)
        )
        problem = f"{outside} over the insulation is less than {copper} of copper inside"
        yield OutOfRange(problem, remedy="measure the wire over its insulation again")
    solid = copper_ohm_per_m(wire.copper_mm)
    if wire.ohm_per_m < _PUREST * solid:
        given, least = (
            show(value, Quantity.RESISTANCE_PER_LENGTH) for value in (wire.ohm_per_m, solid)
        )
        problem = f"{given} is less than copper of this size has, {least}"
        yield OutOfRange(problem, remedy=f"write {least}, or 'computed'")


def _package_faults(package: ResistorPackage) -> Iterable[OutOfRange]:
    if package.zero_power_degC <= package.full_power_degC:
        full, zero = (
            show(value, Quantity.TEMPERATURE)
            for value in (package.full_power_degC, package.zero_power_degC)
        )
        problem = f"full power up to {full} and none at {zero} cannot both be"
        yield OutOfRange(problem, remedy="read the derating curve again, such as 70 and 155 degC")


_SIDE = Span(above=0, most=200, why="a part has length, width and height")
_CURRENT = Span(above=0, most=100, why="a part that carries current has a limit")
_WIDTH = Span(above=0, most=20, why="a wire has a diameter")
_WARMTH = Span(least=-55, most=400, why="resistors live between these temperatures")

WIRES = Table(
    name="wires",
    row=_wire,
    columns=(
        Column(name="copper", fields=("copper_mm",), read=amount(Quantity.LENGTH, span=_WIDTH)),
        Column(name="outside", fields=("outside_mm",), read=amount(Quantity.LENGTH, span=_WIDTH)),
        Column(
            name="resistance",
            fields=("ohm_per_m",),
            read=or_word(
                "computed",
                otherwise=amount(
                    Quantity.RESISTANCE_PER_LENGTH,
                    span=Span(above=0, most=1000, why="every wire has some resistance"),
                ),
            ),
        ),
        Column(
            name="max current",
            fields=("max_current_A",),
            read=amount(Quantity.CURRENT, span=_CURRENT),
        ),
    ),
    faults=_wire_faults,
)
"""``computed`` in the column ``resistance`` stands for solid copper of that size [IACS]."""

PLUGS = Table(
    name="plugs",
    row=PlugType,
    columns=(
        Column(
            name="pins",
            fields=("pins",),
            read=whole_number(span=Span(least=1, most=100, why="a plug has contacts")),
        ),
        Column(
            name="pitch",
            fields=("pitch_mm",),
            read=amount(
                Quantity.LENGTH, span=Span(above=0, most=50, why="contacts stand side by side")
            ),
        ),
        Column(
            name="max current",
            fields=("max_current_A",),
            read=amount(Quantity.CURRENT, span=_CURRENT),
        ),
        Column(
            name="contact resistance",
            fields=("contact_ohm",),
            read=amount(
                Quantity.RESISTANCE, span=Span(least=0, most=10, why="a contact lets current pass")
            ),
        ),
        Column(
            name="body",
            fields=("body_mm",),
            read=several(Quantity.LENGTH, count=3, span=_SIDE),
        ),
    ),
)
"""Bodies as plugged together."""

RESISTOR_PACKAGES = Table(
    name="resistor_packages",
    row=ResistorPackage,
    columns=(
        Column(
            name="power",
            fields=("power_W",),
            read=amount(
                Quantity.POWER, span=Span(above=0, most=100, why="a resistor has a rated power")
            ),
        ),
        Column(
            name="full power up to",
            fields=("full_power_degC",),
            read=amount(Quantity.TEMPERATURE, span=_WARMTH),
        ),
        Column(
            name="no power at",
            fields=("zero_power_degC",),
            read=amount(Quantity.TEMPERATURE, span=_WARMTH),
        ),
        Column(
            name="max voltage",
            fields=("max_V",),
            read=amount(
                Quantity.VOLTAGE,
                span=Span(above=0, most=10000, why="a resistor stands so much"),
            ),
        ),
        Column(
            name="body",
            fields=("body_mm",),
            read=several(Quantity.LENGTH, count=3, span=_SIDE),
        ),
    ),
    faults=_package_faults,
)

_E24 = (
    *(10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30),
    *(33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91),
)
_E96 = (
    *(100, 102, 105, 107, 110, 113, 115, 118, 121, 124, 127, 130),
    *(133, 137, 140, 143, 147, 150, 154, 158, 162, 165, 169, 174),
    *(178, 182, 187, 191, 196, 200, 205, 210, 215, 221, 226, 232),
    *(237, 243, 249, 255, 261, 267, 274, 280, 287, 294, 301, 309),
    *(316, 324, 332, 340, 348, 357, 365, 374, 383, 392, 402, 412),
    *(422, 432, 442, 453, 464, 475, 487, 499, 511, 523, 536, 549),
    *(562, 576, 590, 604, 619, 634, 649, 665, 681, 698, 715, 732),
    *(750, 768, 787, 806, 825, 845, 866, 887, 909, 931, 953, 976),
)

SERIES: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {"E6": _E24[::4], "E12": _E24[::2], "E24": _E24, "E96": _E96}
)
"""The preferred numbers of one decade [IEC60063]. E24 and below are a table, not a formula."""
