"""Finishes: what the inside of a light box is painted or lined with."""

from dataclasses import dataclass

from lamphouse.catalogue.tables import Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """A surface seen from inside the box."""

    name: str
    reflectance: float
    """Diffuse reflectance, 0 to 1."""
    origin: Origin
