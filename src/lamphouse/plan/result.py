"""The plan: one record that holds every step's result."""

from lamphouse.board.planned_board import BoardPlan
from lamphouse.build.parts import PartLine
from lamphouse.build.steps import WorkOrder
from lamphouse.circuit.branch import SubAssemblyCircuit, SupplyLoad
from lamphouse.circuit.discharge import RunTime
from lamphouse.circuit.expected import ModelReadings
from lamphouse.circuit.loom_runs import Loom, LoomLoad
from lamphouse.circuit.spread import SubAssemblySpread
from lamphouse.circuit.warmth import BoxHeat
from lamphouse.cutting.mask_plan import MaskPlan
from lamphouse.cutting.piece import BoxPieces, Piece
from lamphouse.cutting.sheet_layout import SheetLayout
from lamphouse.design.as_built import AsBuilt
from lamphouse.design.whole import Design
from lamphouse.findings import Finding
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.leaks import BoxLeaks
from lamphouse.plan.judged_prints import PrintFigures
from lamphouse.plan.programmed import Controllers
from lamphouse.plan.stranded import StrandPlan
from lamphouse.plan.time_lined import TimeLine
from lamphouse.record import Record
from lamphouse.room.room_verdict import RoomPlan


class Plan(Record):
    """Everything computed from one design."""

    design: Design
    """As it was built, where that is known."""
    as_built: tuple[AsBuilt, ...] = ()
    """The figures that it follows."""
    panels: tuple[Piece, ...]
    """Every panel; a curved panel gives one piece for each of its layers."""
    boxes: tuple[BoxPieces, ...]
    formers: tuple[Piece, ...] = ()
    """What bent panels are bent over."""
    paintings: tuple[MaskPlan, ...] = ()
    """Coats and masks of every panel that is painted."""
    circuits: tuple[SubAssemblyCircuit, ...]
    spreads: tuple[SubAssemblySpread, ...] = ()
    """What most builds of each circuit come to, beside its worst case."""
    load: SupplyLoad | None
    loom: Loom | None = None
    """None where no pigtail has a place on the floor plan."""
    loom_load: LoomLoad | None = None
    run: RunTime | None = None
    """How long named cells last."""
    heats: tuple[BoxHeat, ...] = ()
    """How warm light boxes get, an estimate."""
    glows: tuple[BoxGlow, ...] = ()
    """Every light box whose glow can be computed."""
    prints: tuple[PrintFigures, ...] = ()
    """How every print that the project names reads when lit."""
    leaks: tuple[BoxLeaks, ...] = ()
    """Where they leak, as far as their materials are known."""
    time_line: TimeLine | None = None
    """What changes over time; None where nothing blinks."""
    strands: StrandPlan | None = None
    """How every strand runs and is lit; None where the model has none."""
    room_plan: RoomPlan | None = None
    """Where everything stands and how it comes out; None where nothing has a place."""
    controllers: Controllers | None = None
    """What switches it; None where nothing blinks."""
    boards: tuple[BoardPlan, ...] = ()
    """Laid out for a pack; empty in a check."""
    readings: ModelReadings | None = None
    """Foretold for a pack; None in a check."""
    order: WorkOrder | None = None
    """Every step with its gates; None until someone asks for it."""
    parts: tuple[PartLine, ...]
    findings: tuple[Finding, ...]
    layout: SheetLayout | None = None
    """Every piece on its sheet; None until a pack wants it."""

    def pieces(self) -> tuple[Piece, ...]:
        """List every flat piece: panels first, then the light boxes, the formers, the masks."""
        boxes = tuple(piece for box in self.boxes for piece in box.pieces)
        films = tuple(piece for painting in self.paintings for piece in painting.pieces())
        return self.panels + boxes + self.formers + films
