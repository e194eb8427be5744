"""The plan: one record that holds every step's result."""

from dataclasses import dataclass

from lamphouse.build.parts import PartLine
from lamphouse.circuit.branch import SubAssemblyCircuit, SupplyLoad
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.cutting.sheet_layout import SheetLayout
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.leaks import BoxLeaks


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything computed from one design."""

    design: Design
    panels: tuple[Piece, ...]
    """Every panel; a curved panel gives one piece for each of its layers."""
    boxes: tuple[BoxPieces, ...]
    circuits: tuple[SubAssemblyCircuit, ...]
    load: SupplyLoad | None
    glows: tuple[BoxGlow, ...] = ()
    """Every light box whose glow can be computed."""
    leaks: tuple[BoxLeaks, ...] = ()
    """Where they leak, as far as their materials are known."""
    parts: tuple[PartLine, ...]
    findings: tuple[Finding, ...]
    layout: SheetLayout | None = None
    """Every piece on its sheet; None until a pack wants it."""

    def pieces(self) -> tuple[Piece, ...]:
        """List every flat piece: panels first, then the light boxes."""
        return self.panels + tuple(piece for box in self.boxes for piece in box.pieces)
