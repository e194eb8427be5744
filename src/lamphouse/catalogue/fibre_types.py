"""Plastic optical fibre by diameter."""

from dataclasses import dataclass

from lamphouse.catalogue.tables import Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class FibreType:
    """One size of end-lit plastic fibre."""

    name: str
    """Such as ``fibre 0.5 mm``."""
    diameter_mm: float
    """Over the cladding."""
    numerical_aperture: float
    hole_clearance_mm: tuple[float, float]
    """Least and most to add to the diameter for its hole."""
    bend_radius_mm: float
    """Least radius at which the loss stays small."""
    origin: Origin
