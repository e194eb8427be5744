"""Films: diffusers, gels, tints and printable film."""

from dataclasses import dataclass

from lamphouse.catalogue.tables import Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmType:
    """A film or coat that light goes through."""

    name: str
    use: str
    """``diffuser``, ``gel``, ``tint coat``, ``print`` or ``decal``."""
    thickness_mm: float
    transmittance: float
    """Total visible transmittance, 0 to 1, of one film or coat."""
    reflectance: float
    """Diffuse reflectance on the lamp's side, 0 to 1."""
    origin: Origin
