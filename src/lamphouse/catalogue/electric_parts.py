"""Wires, plugs, resistor packages, and the preferred numbers of IEC 60063."""

from dataclasses import dataclass

from lamphouse.catalogue.tables import Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class WireType:
    """One kind of wire."""

    name: str
    """Such as ``30 AWG insulated``."""
    copper_mm: float
    """Diameter of solid copper, or of the equal-area circle."""
    outside_mm: float
    ohm_per_m: float
    """At 20 degC, one way."""
    max_current_A: float
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class PlugType:
    """One kind of plug and socket."""

    name: str
    pins: int
    pitch_mm: float
    max_current_A: float
    """Per contact."""
    contact_ohm: float
    body_mm: tuple[float, float, float]
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class ResistorPackage:
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
