"""LEDs by package and colour, with the points of their forward curve."""

from dataclasses import dataclass

from lamphouse.catalogue.tables import Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class LedType:
    """One kind of LED."""

    name: str
    """Such as ``white 0603``."""
    package: str
    """Imperial chip code (``0603``) or dome size (``3 mm``)."""
    package_mm: tuple[float, float, float]
    """Length, width and height."""
    colour: str
    peak_nm: float | None
    """Peak wavelength of a coloured LED; None for white."""
    cct_K: float | None
    """Correlated colour temperature of a white LED; None for coloured."""
    curve: tuple[tuple[float, float], ...]
    """Forward curve as ``(current_A, voltage_V)``, rising, two points or more, at 25 degC."""
    spread_V: float
    """Largest difference of forward voltage from the curve, either way, within the type."""
    drift_V_per_K: float
    """Change of forward voltage with temperature; negative."""
    max_current_A: float
    """Rated continuous current."""
    flux_lm: float
    """Luminous flux at ``flux_current_A``."""
    flux_current_A: float
    beam_deg: float
    """Full width at half maximum."""
    origin: Origin
