"""Pieces the maker has given a place on a sheet, and what is wrong with that place."""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import Laid
from lamphouse.design.cutting_habits import CuttingHabits, LockedPiece
from lamphouse.design.whole import SheetInHand
from lamphouse.findings import Told
from lamphouse.record import Record
from lamphouse.shapes.clearing import Plate
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.plates import too_near
from lamphouse.shapes.transform import turn

ROUNDING_MM = 2e-4
"""What chords and sums may take from a distance."""


class Locked(Record):
    """A piece whose place holds."""

    stock: int
    """Entry of the stock list, from 1; the piece lies on its first sheet."""
    laid: Laid


def locked_pieces(
    pieces: Sequence[Piece], *, in_hand: Sequence[SheetInHand], habits: CuttingHabits
) -> tuple[tuple[Locked, ...], tuple[Told, ...]]:
    """Sort the maker's places into those that hold and what is wrong with the others.

    A locked piece may lie nearer to the edge of its sheet than other pieces, and across the grain:
    the maker has decided it.
    """
    named = {piece.name: piece for piece in pieces}
    holding: list[Locked] = []
    told: list[Told] = []
    for wish in habits.locked:
        locked = _locked(wish, named)
        fault = next(_faults(wish, locked, in_hand, holding, habits.gap_mm), None)
        if fault:
            told.append(Told(where=wish.where, message=fault[0], remedy=fault[1]))
        elif locked:
            holding.append(locked)
    return tuple(holding), tuple(told)


def _locked(wish: LockedPiece, named: Mapping[str, Piece]) -> Locked | None:
    piece = named.get(wish.piece)
    if piece is None:
        return None
    left, bottom, _, _ = bounds_mm(turn(piece.outline.corners, angle_deg=wish.turn_deg))
    laid = Laid(
        piece=piece,
        copy=1,
        x_mm=wish.x_mm - left,
        y_mm=wish.y_mm - bottom,
        turn_deg=wish.turn_deg,
        locked=True,
    )
    return Locked(stock=wish.stock, laid=laid)


def _faults(
    wish: LockedPiece,
    locked: Locked | None,
    in_hand: Sequence[SheetInHand],
    holding: Sequence[Locked],
    gap_mm: float,
) -> Iterator[tuple[str, str]]:
    """Give what is wrong with a place and what would mend it, the gravest first."""
    name = f"'{wish.piece}'"
    if locked is None:
        yield f"no piece is called {name}", "use a name of the list of pieces, or remove the entry"
        return
    sheet = locked.laid.piece.sheet.name
    fitting = [str(n) for n, one in enumerate(in_hand, start=1) if one.sheet.name == sheet]
    if str(wish.stock) not in fitting:
        mend = f"use stock: {' or '.join(fitting)}" if fitting else f"put {sheet} on that list"
        yield f"{name} is cut from {sheet}, and entry {wish.stock} of the stock is not that", mend
        return
    if any(one.laid.piece.name == wish.piece for one in holding):
        yield f"{name} is locked twice", "remove one of the entries"
    yield from _sticking_out(name, locked, in_hand[wish.stock - 1])
    for other in holding:
        if other.stock == wish.stock:
            yield from _too_near(name, locked, other, gap_mm)


def _sticking_out(name: str, locked: Locked, entry: SheetInHand) -> Iterator[tuple[str, str]]:
    left, bottom, right, top = bounds_mm(locked.laid.placed(locked.laid.piece.outline.corners))
    over, above = entry.width_mm - right, entry.height_mm - top
    if min(left, bottom, over, above) >= -ROUNDING_MM:
        return
    fits = left + over >= -ROUNDING_MM and bottom + above >= -ROUNDING_MM
    x, y = max(0.0, min(left, left + over)), max(0.0, min(bottom, bottom + above))
    size = f"{right - left:.4g} x {top - bottom:.4g} mm as turned"
    whole = f"{entry.width_mm:g} x {entry.height_mm:g} mm"
    mend = f"use at: [{x:.4g} mm, {y:.4g} mm]" if fits else "turn it, or use a larger sheet"
    yield f"{name}, {size}, sticks out of its sheet of {whole}", mend


def _too_near(name: str, locked: Locked, other: Locked, gap_mm: float) -> Iterator[tuple[str, str]]:
    plates = (_plate(other.laid), _plate(locked.laid))
    beside = f"'{other.laid.piece.name}'"
    right = bounds_mm(plates[0][0])[2] + gap_mm
    for pair in too_near(plates, gap_mm=gap_mm - ROUNDING_MM):
        lies = f"lies {pair.gap_mm:.3g} mm from" if pair.gap_mm else "overlaps"
        yield (
            f"{name} {lies} {beside}; the gap is to be {gap_mm:g} mm",
            f"begin at x = {right:.4g} mm, right of {beside}, or use another free place",
        )


def _plate(laid: Laid) -> Plate:
    piece = laid.piece
    return laid.placed(piece.outline.corners), tuple(
        laid.placed(cutout.corners) for cutout in piece.cutouts
    )
