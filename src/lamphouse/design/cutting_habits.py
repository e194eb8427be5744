"""How the maker cuts: the gap between pieces, the tool's kerf, the ways to lay, locked pieces."""

from enum import StrEnum

from lamphouse.findings import Where
from lamphouse.record import Record, field


class Turns(StrEnum):
    """How pieces without grain may be turned on a sheet."""

    QUARTERS = "quarters"
    FREE = "free"
    """By any 15 degrees."""


class LockedPiece(Record):
    """A piece the maker has given its place on a sheet."""

    where: Where
    piece: str
    """Name of the piece; its first copy where there are several."""
    stock: int
    """Entry of the stock list, from 1; the first sheet of that entry."""
    x_mm: float
    y_mm: float
    """Lower left corner of the box around the piece, turned as it is."""
    turn_deg: float = 0.0


class CuttingHabits(Record):
    """How the maker lays pieces on sheets and cuts them."""

    where: Where = field(default_factory=lambda: Where(item="cutting"))
    gap_mm: float = 2.0
    """Between pieces."""
    edge_mm: float = 2.0
    """Between pieces and the edge of a sheet."""
    kerf_mm: float = 0.0
    """Width of what the tool takes away; a knife takes nothing."""
    compensate: bool = False
    """Whether files for cutters hold the way of the tool's middle, half a kerf beside each line."""
    turns: Turns = Turns.QUARTERS
    locked: tuple[LockedPiece, ...] = ()
