"""The records of a flat piece: outline, cut-outs, drilled holes, and marks for what sits on it."""

from lamphouse.catalogue.drills import Drill
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.cutting.standing import Standing
from lamphouse.design.panel import Outline
from lamphouse.findings import Where
from lamphouse.record import Record
from lamphouse.shapes.offset import Region
from lamphouse.shapes.outline import Corners


class DrilledHole(Record):
    """A round hole made with a drill."""

    number: int
    """Running number on its piece, from 1, by rows from the top left seen from the front."""
    purpose: str
    """The strand's flag, the opening's name, or ``wire`` with the LED and its pole."""
    where: Where
    x_mm: float
    y_mm: float
    wanted_mm: float
    """Diameter asked for."""
    drill: Drill
    """The drill that makes it."""
    pilot: Drill | None
    """A smaller drill to go first; None when the hole is small enough to drill at once."""
    twin: Drill | None = None
    """The nearest drill of the other system: metric for a number drill, and the other way."""


class SeatMark(Record):
    """The place of an LED on a piece, drawn to be glued to."""

    led: str
    colour: str
    x_mm: float
    y_mm: float
    turn_deg: float
    length_mm: float
    width_mm: float
    """Package as seen from the lit side; the anode is at the left end at turn 0."""
    tilt_deg: float = 0.0
    """How far its beam leans; on the template an arrow shows where to."""
    towards_deg: float = 0.0
    """Anticlockwise from the right."""
    on_wedge: bool = False
    """Whether it leans on a wedge, whose foot is then what is marked."""


class Fold(Record):
    """A line to fold along: the middle of the stretch that bends."""

    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    angle_deg: float
    """Positive when the face one sees ends up on the inner side of the bend."""
    allowance_mm: float
    """Width of the stretch that bends, measured on the flat sheet."""


class BodyLayer(Record):
    """A slice of a printed body: everything between two heights has one outline."""

    low_mm: float
    high_mm: float
    """Above the inner face of the back."""
    regions: tuple[Region, ...]
    """What is filled, in the panel plane, without arcs."""


class Body(Record):
    """A body for a 3D printer, as slices from below."""

    name: str
    """Unique in the model."""
    layers: tuple[BodyLayer, ...]
    notes: tuple[str, ...] = ()


class Piece(Record):
    """One flat piece to cut from sheet, seen from its lit or visible side.

    Coordinates start at the piece's datum corner, lower left, except where a piece says that it
    keeps the panel plane.
    """

    name: str
    """Unique in the model: ``chart table / glazing / back``."""
    where: Where
    sub_assembly: str
    sheet: SheetStock
    outline: Outline
    cutouts: tuple[Outline, ...] = ()
    """Openings and notches too large or not round enough to drill."""
    cutout_names: tuple[str, ...] = ()
    """A name for each cut-out."""
    holes: tuple[DrilledHole, ...] = ()
    seats: tuple[SeatMark, ...] = ()
    behind: tuple[Outline, ...] = ()
    """Edges of what stands behind, drawn as hidden lines."""
    folds: tuple[Fold, ...] = ()
    """Lines to score and fold along."""
    glued: tuple[Outline, ...] = ()
    """Feet of what is glued on the side one sees, drawn as marks."""
    face: str = "front"
    """What one sees: ``front`` of a panel, ``inside`` of a light box."""
    grain: str = ""
    count: int = 1
    notes: tuple[str, ...] = ()


class BoxPieces(Record):
    """All pieces of one light box with the sums that shaped them."""

    box: str
    where: Where
    sub_assembly: str
    panel: str = ""
    """The panel it stands behind."""
    pieces: tuple[Piece, ...]
    outside_mm: tuple[float, float, float]
    """Width, height and depth the glued box takes up behind its panel, ears included."""
    foot: Corners = ()
    """What it covers of the panel's rear side, ears included, in the panel plane."""
    standing: tuple[Standing, ...] = ()
    """Every piece in its place."""
    flanges: tuple[Corners, ...] = ()
    """Of a folded box: where each lies on the panel, in the panel plane."""
    bodies: tuple[Body, ...] = ()
    """Of a printed box: the shell, and its lid where it has one."""
