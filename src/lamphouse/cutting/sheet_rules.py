"""The rules of stock sheets: pieces that fit none, sheets not in hand, kerf and locked places."""

from collections.abc import Iterable, Iterator, Sequence

from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import upright_sizes
from lamphouse.cutting.sheet_locked import ROUNDING_MM, Locked, locked_pieces
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.design.whole import SheetInHand
from lamphouse.findings import Finding, Severity, Told, rule


def look_at_sheets(
    pieces: Sequence[Piece], *, in_hand: Sequence[SheetInHand], habits: CuttingHabits
) -> tuple[tuple[Locked, ...], tuple[Finding, ...]]:
    """Look at pieces, stock and habits before anything is laid.

    Returns
    -------
    locked, findings
        The locked pieces whose places hold, and everything that is said.
    """
    locked, told = locked_pieces(pieces, in_hand=in_hand, habits=habits)
    return locked, (
        *larger_than_sheets(pieces, in_hand=in_hand, habits=habits),
        *not_in_hand(pieces, in_hand=in_hand),
        *narrower_than_kerf(habits),
        *locked_wrongly(told),
    )


@rule("CUT050", Severity.WARN, "A piece is larger than every sheet")
def larger_than_sheets(
    pieces: Sequence[Piece], *, in_hand: Sequence[SheetInHand], habits: CuttingHabits
) -> Iterable[Told]:
    """Look for pieces that fit no sheet.

    What it checks
        In one of the turns it may take, a piece fits within the edge of a sheet of the stock
        list, or of the sheet as usually sold. Film has no usual size: its pieces are looked at when
        it is on the stock list.

    Why it matters
        It cannot be cut from one sheet, and that shows when the sheet lies on the bench.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  wide:
                    outline: rectangle 340 x 40 mm
                    sheet: styrene 0.75 mm

    Mend
        Buy a sheet of at least the size in the message and put it on the stock list, or make the
        part of two panels. Cutting it in two is not done for you: a joint shows.

    Source
        Geometry; sizes of sheets as in the catalogue.
    """
    for piece in pieces:
        sizes = [
            *(
                (one.width_mm, one.height_mm)
                for one in in_hand
                if one.sheet.name == piece.sheet.name
            ),
            *([piece.sheet.size_mm] if piece.sheet.size_mm else []),
        ]
        rim = 2.0 * habits.edge_mm
        needed = [
            (wide + rim, high + rim) for wide, high in upright_sizes(piece, turns=habits.turns)
        ]
        if sizes and not any(
            wide <= width + ROUNDING_MM and high <= height + ROUNDING_MM
            for wide, high in needed
            for width, height in sizes
        ):
            wide, high = min(needed, key=lambda size: (size[0] * size[1], -size[0]))
            width, height = max(sizes, key=lambda size: size[0] * size[1])
            yield Told(
                where=piece.where,
                message=f"'{piece.name}' needs {wide:.4g} x {high:.4g} mm of {piece.sheet.name}, "
                f"{habits.edge_mm:g} mm of edge all round; the largest sheet is "
                f"{width:g} x {height:g} mm",
                remedy=f"put a sheet of at least {wide:.4g} x {high:.4g} mm on the stock list",
            )


@rule("CUT051", Severity.NOTE, "A material is not among the sheets in hand")
def not_in_hand(pieces: Sequence[Piece], *, in_hand: Sequence[SheetInHand]) -> Iterable[Told]:
    """Look for materials that the stock list lacks; without a stock list nothing is said.

    What it checks
        Every material and thickness that pieces are cut from is on the stock list; film need not
        be.

    Why it matters
        The work stops at the first piece of it.

    Example
        ::

            stock:
              - {sheet: brass 0.1 mm, size: 250 x 100 mm}

    Mend
        Buy it: the pack says how many sheets. Or cut the pieces from a sheet in hand.

    Source
        Common practice, no source.
    """
    held = {one.sheet.name for one in in_hand}
    lacking: dict[str, list[Piece]] = {}
    for piece in pieces:
        if held and piece.sheet.size_mm and piece.sheet.name not in held:
            lacking.setdefault(piece.sheet.name, []).append(piece)
    for name, wanting in lacking.items():
        count = sum(piece.count for piece in wanting)
        others = f" and {count - 1} more" if count > 1 else ""
        near = sorted(
            {one.sheet.name for one in in_hand if one.sheet.material == wanting[0].sheet.material}
        )
        yield Told(
            where=wanting[0].where,
            message=f"{name} is not on the stock list; '{wanting[0].name}'{others} "
            f"{'are' if others else 'is'} cut from it",
            remedy=f"buy it, or use {' or '.join(near)}" if near else "buy it",
        )


@rule("CUT052", Severity.WARN, "The gap between pieces is narrower than the kerf")
def narrower_than_kerf(habits: CuttingHabits) -> Iterable[Told]:
    """Look at the gap between pieces and the tool.

    What it checks
        The gap between pieces, and the edge of the sheet that is kept free, are at least as wide as
        what the tool takes away.

    Why it matters
        Two cuts run into one another, and each piece loses what belongs to it.

    Example
        ::

            cutting: {gap: 0.5 mm, kerf: 0.8 mm}

    Mend
        Widen the gap to the kerf of the message, or set the kerf to that of your tool.

    Source
        Geometry.
    """
    for name, width in (("gap", habits.gap_mm), ("edge", habits.edge_mm)):
        if width < habits.kerf_mm - ROUNDING_MM:
            yield Told(
                where=habits.where,
                message=f"the {name} of {width:g} mm is narrower than the kerf of "
                f"{habits.kerf_mm:g} mm",
                remedy=f"use {name}: {habits.kerf_mm:g} mm or more",
            )


@rule("CUT053", Severity.WARN, "A locked piece cannot lie where it is locked")
def locked_wrongly(told: Iterable[Told]) -> Iterator[Told]:
    """Look at the places the maker has fixed; such a piece is laid freely instead.

    What it checks
        A locked piece exists, is cut from that entry of the stock list, lies within its first sheet
        and keeps the gap to other locked pieces. It may lie in the edge and across the grain.

    Why it matters
        The piece lies elsewhere than the maker believes.

    Example
        ::

            cutting:
              locked:
                - {piece: no such piece, stock: 1, at: [10 mm, 10 mm]}

    Mend
        As the message says, with the place that would do.

    Source
        Geometry.
    """
    yield from told
