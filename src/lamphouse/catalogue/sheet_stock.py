"""Sheet stock: plastic, card and board by thickness."""

from dataclasses import dataclass

from lamphouse.catalogue.tables import Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStock:
    """One thickness of one sheet material."""

    name: str
    """Such as ``styrene 0.75 mm``."""
    material: str
    thickness_mm: float
    size_mm: tuple[float, float]
    """The usual sheet as sold."""
    origin: Origin
