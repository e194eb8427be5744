"""The records of pieces laid on stock sheets, of what is left over, and of what found no room."""

from collections import Counter

from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.cutting.piece import Piece
from lamphouse.design.cutting_habits import Turns
from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import area_mm2, size_mm
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.transform import move, turn


class Laid(Record):
    """One copy of a piece on a sheet, its face up."""

    piece: Piece
    copy: int
    """From 1."""
    x_mm: float
    y_mm: float
    """Where the piece's own origin lies, from the lower left corner of the sheet."""
    turn_deg: float
    """Anticlockwise about that origin."""
    locked: bool = False
    order: int = 0
    """Number in which it is cut out, from 1."""

    @property
    def name(self) -> str:
        """The piece's name, with the copy where there are several."""
        return f"{self.piece.name}, copy {self.copy}" if self.piece.count > 1 else self.piece.name

    def placed(self, corners: Corners) -> Corners:
        """Give an outline of the piece where it lies on the sheet."""
        return move(turn(corners, angle_deg=self.turn_deg), x_mm=self.x_mm, y_mm=self.y_mm)


class Offcut(Record):
    """A rectangle that stays whole, as a line for the stock list."""

    x_mm: float
    y_mm: float
    """Its lower left corner on the sheet."""
    width_mm: float
    height_mm: float


class LaidSheet(Record):
    """One sheet or offcut with what is cut from it."""

    number: int
    """From 1, among the sheets of its material and thickness."""
    sheet: SheetStock
    stock: int | None
    """Entry of the stock list, from 1; None when the sheet is to be bought."""
    width_mm: float
    height_mm: float
    laid: tuple[Laid, ...]
    """In the order in which they are cut out."""
    offcuts: tuple[Offcut, ...] = ()

    @property
    def name(self) -> str:
        """Material and number."""
        return f"{self.sheet.name}, sheet {self.number}"

    @property
    def used_share(self) -> float:
        """Area of the pieces over the area of the sheet."""
        pieces = sum(
            area_mm2(one.piece.outline.corners)
            - sum(area_mm2(cutout.corners) for cutout in one.piece.cutouts)
            for one in self.laid
        )
        return pieces / (self.width_mm * self.height_mm)


class SheetLayout(Record):
    """All pieces of a model on sheets."""

    gap_mm: float
    edge_mm: float
    sheets: tuple[LaidSheet, ...]
    unlaid: tuple[Piece, ...] = ()
    """Copies that fit no sheet, each once."""

    def to_buy(self) -> dict[str, int]:
        """Count the sheets to buy, by name."""
        return dict(Counter(each.sheet.name for each in self.sheets if each.stock is None))


def turns_of(piece: Piece, *, turns: Turns) -> tuple[float, ...]:
    """Give the turns a piece may take on a sheet whose grain runs along its width."""
    if piece.grain == "along x":
        return (0.0, 180.0)
    if piece.grain == "along y":
        return (90.0, 270.0)
    step = 15 if turns is Turns.FREE else 90
    return tuple(float(angle) for angle in range(0, 360, step))


def rings_of(piece: Piece) -> tuple[tuple[Spot, ...], ...]:
    """Give the outline and the cut-outs of a piece as chords."""
    return tuple(flatten(each.corners) for each in (piece.outline, *piece.cutouts))


def upright_sizes(piece: Piece, *, turns: Turns) -> tuple[tuple[float, float], ...]:
    """Give width and height of a piece in each turn it may take. [mm]."""
    return tuple(
        size_mm(turn(piece.outline.corners, angle_deg=angle))
        for angle in turns_of(piece, turns=turns)
    )
