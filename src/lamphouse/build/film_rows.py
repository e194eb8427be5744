"""Rectangles of film laid in rows on the sheets at hand, and those that find no room.

First fit by decreasing height: each goes into the first row that has room for it, else begins a row
on the first sheet that has. A tight cutter may get by with less.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.findings import Where
from lamphouse.record import Record

MOST_LAID = 500
"""Of more pieces only the areas are compared."""
_ROUNDING_MM = 1e-6


class FilmPiece(Record):
    """A rectangle of film that is needed."""

    where: Where
    name: str
    width_mm: float
    height_mm: float


class InRow(Record):
    """A rectangle in its place, perhaps turned by a quarter."""

    sheet: int
    """From 0, in the order of the sheets."""
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(slots=True, kw_only=True)
class _Row:
    sheet: int
    y_mm: float
    height_mm: float
    next_mm: float
    """Where the next rectangle of the row begins."""


def without_room(
    needed: Sequence[FilmPiece], *, sheets: Sequence[tuple[float, float]], habits: CuttingHabits
) -> tuple[FilmPiece, ...]:
    """Give the rectangles that find no room.

    Parameters
    ----------
    sheets
        Width and height of each. [mm]
    """
    if len(needed) > MOST_LAID:
        area = sum(piece.width_mm * piece.height_mm for piece in needed)
        return tuple(needed[:1]) if area > sum(wide * high for wide, high in sheets) else ()
    return lay_in_rows(needed, sheets=sheets, habits=habits)[1]


def lay_in_rows(
    needed: Sequence[FilmPiece], *, sheets: Sequence[tuple[float, float]], habits: CuttingHabits
) -> tuple[tuple[InRow, ...], tuple[FilmPiece, ...]]:
    """Lay rectangles in rows, and give those laid and those left.

    Parameters
    ----------
    sheets
        Width and height of each. [mm]
    """
    laid, left = [], []
    rows: list[_Row] = []
    for piece in sorted(
        needed,
        key=lambda one: (-min(one.width_mm, one.height_mm), -max(one.width_mm, one.height_mm)),
    ):
        place = _in_row(piece, rows, sheets=sheets, habits=habits)
        place = place or _in_new_row(piece, rows, sheets=sheets, habits=habits)
        if place:
            laid.append(place)
        else:
            left.append(piece)
    return tuple(laid), tuple(left)


def _turns(piece: FilmPiece) -> tuple[tuple[float, float], tuple[float, float]]:
    """Give both ways to lay it, the longer side along the row first."""
    sides = sorted((piece.width_mm, piece.height_mm), reverse=True)
    return (sides[0], sides[1]), (sides[1], sides[0])


def _in_row(
    piece: FilmPiece,
    rows: Sequence[_Row],
    *,
    sheets: Sequence[tuple[float, float]],
    habits: CuttingHabits,
) -> InRow | None:
    for along, across in _turns(piece):
        for row in rows:
            end_mm = sheets[row.sheet][0] - habits.edge_mm + _ROUNDING_MM
            if across <= row.height_mm + _ROUNDING_MM and row.next_mm + along <= end_mm:
                place = _put(row, along, across)
                row.next_mm += along + habits.gap_mm
                return place
    return None


def _in_new_row(
    piece: FilmPiece,
    rows: list[_Row],
    *,
    sheets: Sequence[tuple[float, float]],
    habits: CuttingHabits,
) -> InRow | None:
    for sheet, (width, height) in enumerate(sheets):
        own = [row for row in rows if row.sheet == sheet]
        y_mm = own[-1].y_mm + own[-1].height_mm + habits.gap_mm if own else habits.edge_mm
        for along, across in _turns(piece):
            wide = along + 2.0 * habits.edge_mm <= width + _ROUNDING_MM
            if wide and y_mm + across + habits.edge_mm <= height + _ROUNDING_MM:
                start_mm = habits.edge_mm
                row = _Row(sheet=sheet, y_mm=y_mm, height_mm=across, next_mm=start_mm)
                rows.append(row)
                place = _put(row, along, across)
                row.next_mm += along + habits.gap_mm
                return place
    return None


def _put(row: _Row, along: float, across: float) -> InRow:
    return InRow(sheet=row.sheet, x_mm=row.next_mm, y_mm=row.y_mm, width_mm=along, height_mm=across)
