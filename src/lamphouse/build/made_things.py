"""What the plan made of a design, as far as steps come from it."""

from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.expected import ModelReadings
from lamphouse.circuit.loom_runs import Loom
from lamphouse.cutting.mask_plan import MaskPlan
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import LayerKind, Opening, Panel
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import Head, Strand
from lamphouse.design.whole import Design
from lamphouse.light.box_glow import BoxGlow
from lamphouse.record import Record
from lamphouse.room.taking_out import Removal
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, circle
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import overlap_mm2


class MadeThings(Record):
    """A design with what is cut, painted and wired for it."""

    design: Design
    panels: tuple[Piece, ...] = ()
    boxes: tuple[BoxPieces, ...] = ()
    formers: tuple[Piece, ...] = ()
    paintings: tuple[MaskPlan, ...] = ()
    circuits: tuple[SubAssemblyCircuit, ...] = ()
    glows: tuple[BoxGlow, ...] = ()
    loom: Loom | None = None
    readings: ModelReadings | None = None
    removal: Removal | None = None
    """How everything comes out of the room; None where nothing has a place."""

    def pieces_of(self, panel: Panel, *, sub: SubAssembly) -> tuple[Piece, ...]:
        """List the pieces of a panel: its layers and its overlays."""
        others = [f"{sub.name} / {one.name}" for one in sub.panels if one is not panel]
        name = f"{sub.name} / {panel.name}"
        longer = [other for other in others if _begins(other, name)]
        return tuple(
            piece
            for piece in self.panels
            if _begins(piece.name, name) and not any(_begins(piece.name, one) for one in longer)
        )

    def formers_of(self, panel: Panel, *, sub: SubAssembly) -> tuple[Piece, ...]:
        """List the pieces of a panel's former."""
        name = f"{sub.name} / {panel.name} former / "
        return tuple(piece for piece in self.formers if piece.name.startswith(name))

    def box_pieces(self, box: LightBox, *, panel: str, sub: SubAssembly) -> BoxPieces | None:
        """Find what a box is made from; None when it cannot be cut."""
        wanted = (sub.name, panel, box.name)
        made = (one for one in self.boxes if (one.sub_assembly, one.panel, one.box) == wanted)
        return next(made, None)

    def painting(self, panel: Panel, *, sub: SubAssembly) -> MaskPlan | None:
        """Find how a panel is painted; None when the project does not say."""
        wanted = (sub.name, panel.name)
        plans = (one for one in self.paintings if (one.sub_assembly, one.panel) == wanted)
        return next((one for one in plans if one.steps), None)

    def circuit(self, sub: SubAssembly) -> SubAssemblyCircuit | None:
        """Find the circuit of a sub-assembly; None without any string."""
        return next((c for c in self.circuits if c.sub_assembly == sub.name and c.strings), None)


def _begins(name: str, beginning: str) -> bool:
    return name == beginning or name.startswith((f"{beginning} ", f"{beginning} / "))


def through(box: LightBox, *, strands: tuple[Strand, ...]) -> tuple[Strand, ...]:
    """List the strands that run through a box."""
    if not strands or flaw_of(box.inside.corners):
        return ()
    return tuple(one for one in strands if _inside(one, box.inside.corners))


def under_decals(panel: Panel, *, strands: tuple[Strand, ...]) -> tuple[Strand, ...]:
    """List the strands that a decal covers: those set back, and those where one is laid."""
    decals = [one.outline.corners for one in decalled(panel) if not flaw_of(one.outline.corners)]
    return tuple(
        one
        for one in strands
        if one.head is Head.SET_BACK or any(_inside(one, corners) for corners in decals)
    )


def decalled(panel: Panel) -> tuple[Opening, ...]:
    """List the openings over which a decal lies."""
    return tuple(
        one for one in panel.openings if any(layer.kind is LayerKind.DECAL for layer in one.layers)
    )


def _inside(strand: Strand, corners: Corners) -> bool:
    """Tell whether any of a strand lies within an outline, its edge counted in."""
    radius = strand.fibre.diameter_mm / 2.0
    left, bottom, right, top = bounds_mm(corners)
    if not (left - radius <= strand.x_mm <= right + radius):
        return False
    if not (bottom - radius <= strand.y_mm <= top + radius):
        return False
    end = circle(2.0 * radius, x_mm=strand.x_mm, y_mm=strand.y_mm)
    return overlap_mm2(end, other=corners) > 0.0
