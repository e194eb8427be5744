"""The parts list, counted from the pieces, strands and circuits of a model."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One line of the parts list."""

    part: str
    kind: str
    """``sheet``, ``led``, ``resistor``, ``fibre``, ``wire``, ``plug``, ``film`` or ``drill``."""
    need: float
    unit: str
    """``pieces``, ``m`` or ``cm2``."""
    spares: float
    have: float
    """What the project's drawer holds."""
    used_in: tuple[str, ...]
    """Sub-assemblies."""
    note: str
