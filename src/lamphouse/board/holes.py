"""The holes of a board: their pitch, their names, and the size of a piece cut between them.

Terminology
-----------
row, column
    Rows carry letters from the top, columns numbers from the left, as seen from the parts side. A
    hole keeps its name when the board is turned over.
"""

from math import floor
from string import ascii_uppercase

from lamphouse.record import Record

PITCH_MM = 2.54
"""From hole to hole [IEC60097]."""
HOLE_MM = 1.0
"""Diameter of a hole [PRACTICE]."""
PAD_MM = 2.0
"""Diameter of a pad of perforated board, and width of a strip of stripboard [PRACTICE]."""
THICKNESS_MM = 1.6
"""Of the board [PRACTICE]."""
_A_HAIR_MM = 1e-9


class Hole(Record, order=True):
    """A hole of a board."""

    row: int
    """From 0 at the top."""
    column: int
    """From 0 at the left, seen from the parts side."""

    @property
    def name(self) -> str:
        """Row letter and column number, such as ``C4``."""
        return f"{row_name(self.row)}{self.column + 1}"

    @property
    def at_mm(self) -> tuple[float, float]:
        """Its middle: x to the right, y up, from the board's upper left corner."""
        return (self.column + 0.5) * PITCH_MM, -(self.row + 0.5) * PITCH_MM


def row_name(row: int) -> str:
    """Letter a row: ``A`` to ``Z``, then ``AA``, ``AB`` ..."""
    letters = ascii_uppercase[row % 26]
    return letters if row < 26 else row_name(row // 26 - 1) + letters


def cut_size_mm(*, columns: int, rows: int) -> tuple[float, float]:
    """Give width and height of a board that is cut half way to the next holes."""
    return columns * PITCH_MM, rows * PITCH_MM


def most_holes(space_mm: tuple[float, float]) -> tuple[int, int]:
    """Give columns and rows of the largest board within a space, its longer side along the rows."""
    long, short = max(space_mm), min(space_mm)
    return floor((long + _A_HAIR_MM) / PITCH_MM), floor((short + _A_HAIR_MM) / PITCH_MM)
