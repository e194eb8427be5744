"""Number drills and metric drills."""

from dataclasses import dataclass

from lamphouse.catalogue.tables import Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """One twist drill."""

    name: str
    """``#75`` or ``0.55 mm``."""
    diameter_mm: float
    origin: Origin
