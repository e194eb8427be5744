"""All flat pieces of a model laid on the sheets one has and, where they run out, on bought ones.

Each material and thickness is laid by itself; film only on film in hand, as it has no usual size.
Offcuts come before whole sheets, what is in hand before what is bought. Pieces keep their face up.
A sheet's grain runs along its width, the first number of its size; a piece with grain keeps to it.
Places are whole cells of a grid, 0.5 mm on a sheet of 300 mm, so that up to a cell is lost beside a
piece and at the far edge of a sheet.
"""

from collections.abc import Iterator, Mapping, Sequence

from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_cells import CELLS, pitch_for
from lamphouse.cutting.sheet_layout import Laid, LaidSheet, SheetLayout, rings_of, turns_of
from lamphouse.cutting.sheet_locked import ROUNDING_MM, Locked
from lamphouse.cutting.sheet_offcuts import offcuts
from lamphouse.cutting.sheet_order import in_order
from lamphouse.cutting.sheet_places import Blank, Workshop, rings_turned, turned_items
from lamphouse.cutting.sheet_proof import prove
from lamphouse.cutting.sheet_search import Found, Item, Put, Search
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.whole import SheetInHand
from lamphouse.record import Record, replace
from lamphouse.shapes.measure import area_mm2, bounds_mm, size_mm
from lamphouse.shapes.transform import turn

WORK = 60_000
"""Orders tried times the square of the number of pieces, about."""
LEAST_TRIES, MOST_TRIES = 5, 150
PATIENCE = 60
"""Orders tried in a row without a better layout, after which none is looked for."""
MANY = 150
"""With more pieces than this of one material the grid is half as fine, to keep the time short."""
BOUGHT = 1e9
"""A bought sheet costs more than any sheets in hand, whose cost is their area."""


class _Blank(Record):
    """A sheet that may be used."""

    stock: int | None
    width_mm: float
    height_mm: float


class _Copy(Record):
    """One copy of a piece."""

    piece: Piece
    number: int


def lay_on_sheets(
    pieces: Sequence[Piece],
    *,
    in_hand: Sequence[SheetInHand],
    habits: CuttingHabits,
    locked: Sequence[Locked] = (),
    seed: int,
    most_tries: int = MOST_TRIES,
) -> SheetLayout:
    """Lay pieces on sheets, and prove the result.

    Parameters
    ----------
    pieces
        With sound outlines, in any order: the result does not depend on it.
    in_hand
        The stock list.
    habits
        Gap, edge and turns.
    locked
        Pieces with a place that holds; each lies alone or apart from the others.
    seed
        Where the search begins.
    most_tries
        Orders tried for each material, at most.

    Returns
    -------
    SheetLayout
        Sheets in the order of the names of their materials.

    Raises
    ------
    LayoutFault
        If the proof fails, which is our fault.
    """
    groups: dict[str, list[Piece]] = {}
    for piece in sorted(pieces, key=lambda piece: piece.name):
        groups.setdefault(piece.sheet.name, []).append(piece)
    sheets: list[LaidSheet] = []
    unlaid: list[Piece] = []
    held = {entry.sheet.name for entry in in_hand}
    for name in sorted(groups):
        if name not in held and groups[name][0].sheet.size_mm is None:
            unlaid += [piece for piece in groups[name] for _ in range(piece.count)]
            continue
        table = _Table(groups[name], in_hand=in_hand, habits=habits, locked=locked)
        laid, left = table.lay(seed=seed, most_tries=most_tries)
        sheets += laid
        unlaid += left
    layout = SheetLayout(
        gap_mm=habits.gap_mm, edge_mm=habits.edge_mm, sheets=tuple(sheets), unlaid=tuple(unlaid)
    )
    prove(layout, pieces=pieces)
    return layout


def finished(sheet: LaidSheet, *, habits: CuttingHabits) -> LaidSheet:
    """Put the pieces of a sheet in the order of cutting, and find what is left of it."""
    return replace(
        sheet,
        laid=in_order(sheet.laid),
        offcuts=offcuts(sheet, gap_mm=habits.gap_mm, edge_mm=habits.edge_mm),
    )


class _Table:
    """The pieces of one material and thickness with the sheets for them."""

    def __init__(
        self,
        pieces: Sequence[Piece],
        *,
        in_hand: Sequence[SheetInHand],
        habits: CuttingHabits,
        locked: Sequence[Locked],
    ) -> None:
        self.habits = habits
        self.sheet: SheetStock = pieces[0].sheet
        self.locked = [one for one in locked if one.laid.piece in pieces]
        held = {one.laid.piece.name for one in self.locked}
        self.copies = [
            _Copy(piece=piece, number=number)
            for piece in pieces
            for number in range(1, piece.count + 1)
            if number > 1 or piece.name not in held
        ]
        self.blanks = [*self._in_hand(in_hand), *self._bought()]
        longest = max(max(blank.width_mm, blank.height_mm) for blank in self.blanks)
        self.shop = Workshop(
            pitch_mm=pitch_for(
                longest, gap_mm=habits.gap_mm, cells=CELLS if len(pieces) <= MANY else CELLS // 2
            ),
            gap_mm=habits.gap_mm,
            most_high_mm=max(blank.height_mm for blank in self.blanks),
        )

    def _in_hand(self, in_hand: Sequence[SheetInHand]) -> list[_Blank]:
        """List the sheets in hand, small ones first; of each no more than there are pieces."""
        wanted = max(1, len(self.copies))
        blanks = [
            _Blank(stock=number, width_mm=entry.width_mm, height_mm=entry.height_mm)
            for number, entry in enumerate(in_hand, start=1)
            if entry.sheet.name == self.sheet.name
            for _ in range(min(entry.count, wanted))
        ]
        return sorted(blanks, key=lambda blank: (blank.width_mm * blank.height_mm, blank.stock))

    def _bought(self) -> list[_Blank]:
        if self.sheet.size_mm is None:
            return []
        width, height = self.sheet.size_mm
        bought = _Blank(stock=None, width_mm=width, height_mm=height)
        return [bought] * max(1, len(self.copies))

    def lay(self, *, seed: int, most_tries: int) -> tuple[list[LaidSheet], list[Piece]]:
        """Search for the best places."""
        fitting, tight = self._items()
        empty = {blank: self._empty(blank) for blank in self.blanks}
        blanks = [empty[blank] for blank in self.blanks]
        fixed = self._fix(blanks)
        unlaid = self._snug(tight, blanks, fixed)
        costs = [
            blank.width_mm * blank.height_mm + (BOUGHT if blank.stock is None else 0.0)
            for blank in self.blanks
        ]
        search = Search(
            [item for _, item in fitting], blanks=blanks, costs=costs, shop=self.shop, seed=seed
        )
        tries = max(LEAST_TRIES, min(most_tries, WORK // max(1, len(fitting)) ** 2))
        found = search.run(tries=tries, patience=PATIENCE)
        unlaid += [fitting[index][0].piece for index in found.unlaid]
        return self._sheets(found, [copy for copy, _ in fitting], fixed), unlaid

    def _items(self) -> tuple[list[tuple[_Copy, Item]], list[_Copy]]:
        """Put the pieces on the grid; give apart those that fit no sheet cell by cell."""
        made: dict[int, Item] = {}
        fitting, tight = [], []
        for copy in self.copies:
            piece = copy.piece
            if id(piece) not in made:
                made[id(piece)] = self._item(piece)
            if made[id(piece)].turns:
                fitting.append((copy, made[id(piece)]))
            else:
                tight.append(copy)
        return fitting, tight

    def _item(self, piece: Piece) -> Item:
        """Put a piece on the grid, in those turns in which it fits some sheet."""
        width, height = size_mm(piece.outline.corners)
        turned = turned_items(
            rings_of(piece),
            turns_deg=turns_of(piece, turns=self.habits.turns),
            shop=self.shop,
        )
        room = [self._size(blank) for blank in self.blanks]
        shapes = self.shop.shapes
        return Item(
            turns=tuple(
                one
                for one in turned
                if any(
                    shapes[one.shape].wide <= wide and shapes[one.shape].high <= high
                    for wide, high in room
                )
            ),
            area_mm2=area_mm2(piece.outline.corners),
            wide_mm=width,
            high_mm=height,
        )

    def _size(self, blank: _Blank) -> tuple[int, int]:
        """Count the whole cells of a sheet within its edge."""
        rim = 2.0 * self.habits.edge_mm
        pitch = self.shop.pitch_mm
        return (
            max(0, int((blank.width_mm - rim) / pitch + 1e-6)),
            max(0, int((blank.height_mm - rim) / pitch + 1e-6)),
        )

    def _empty(self, blank: _Blank) -> Blank:
        wide, high = self._size(blank)
        return Blank(wide=wide, high=high)

    def _fix(self, blanks: list[Blank]) -> dict[int, list[Laid]]:
        """Lay the locked pieces on the first sheet of their entry."""
        fixed: dict[int, list[Laid]] = {}
        for one in self.locked:
            number = next(n for n, blank in enumerate(self.blanks) if blank.stock == one.stock)
            self._lie(one.laid, blanks, number)
            fixed.setdefault(number, []).append(one.laid)
        return fixed

    def _lie(self, laid: Laid, blanks: list[Blank], number: int) -> None:
        """Put a piece on the grid of a sheet where it lies, whether or not on whole cells."""
        edge = self.habits.edge_mm
        rings = [
            [(x + laid.x_mm - edge, y + laid.y_mm - edge) for x, y in ring]
            for ring in rings_turned(rings_of(laid.piece), turn_deg=laid.turn_deg)
        ]
        shape, left, bottom = self.shop.number(rings)
        place = left * self.shop.stride + bottom
        blanks[number] = blanks[number].laid(shape, place=place)

    def _snug(
        self, copies: Sequence[_Copy], blanks: list[Blank], fixed: dict[int, list[Laid]]
    ) -> list[Piece]:
        """Lay what fits a sheet, though not cell by cell, into its corner; give what does not."""
        unlaid = []
        for copy in copies:
            number, laid = next(self._corners(copy, fixed), (-1, None))
            if laid is None:
                unlaid.append(copy.piece)
                continue
            self._lie(laid, blanks, number)
            fixed[number] = [laid]
        return unlaid

    def _corners(self, copy: _Copy, fixed: Mapping[int, list[Laid]]) -> Iterator[tuple[int, Laid]]:
        rim, corners = self.habits.edge_mm, copy.piece.outline.corners
        for number, blank in enumerate(self.blanks):
            for turn_deg in turns_of(copy.piece, turns=self.habits.turns):
                left, bottom, right, top = bounds_mm(turn(corners, angle_deg=turn_deg))
                over = blank.width_mm - 2.0 * rim - (right - left)
                above = blank.height_mm - 2.0 * rim - (top - bottom)
                if number not in fixed and min(over, above) >= -ROUNDING_MM:
                    yield (
                        number,
                        Laid(
                            piece=copy.piece,
                            copy=copy.number,
                            x_mm=rim - left,
                            y_mm=rim - bottom,
                            turn_deg=turn_deg,
                        ),
                    )

    def _sheets(
        self, found: Found, copies: Sequence[_Copy], fixed: Mapping[int, list[Laid]]
    ) -> list[LaidSheet]:
        """Turn cells back into millimetres, sheet by sheet."""
        laid = {number: list(held) for number, held in fixed.items()}
        for put in found.puts:
            laid.setdefault(put.blank, []).append(self._laid(put, copies[put.item]))
        return [
            finished(
                LaidSheet(
                    number=number,
                    sheet=self.sheet,
                    stock=self.blanks[blank].stock,
                    width_mm=self.blanks[blank].width_mm,
                    height_mm=self.blanks[blank].height_mm,
                    laid=tuple(laid[blank]),
                ),
                habits=self.habits,
            )
            for number, blank in enumerate(sorted(laid), start=1)
        ]

    def _laid(self, put: Put, copy: _Copy) -> Laid:
        pitch, edge = self.shop.pitch_mm, self.habits.edge_mm
        return Laid(
            piece=copy.piece,
            copy=copy.number,
            x_mm=put.x * pitch + edge - put.turned.left_mm,
            y_mm=put.y * pitch + edge - put.turned.bottom_mm,
            turn_deg=put.turned.turn_deg,
        )
