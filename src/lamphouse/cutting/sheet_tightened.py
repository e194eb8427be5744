"""A layout made tighter by the long squeeze, sheet by sheet, where that leaves more of a sheet."""

from collections.abc import Callable, Collection, Iterator, Sequence

from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import LaidSheet, SheetLayout, turns_of
from lamphouse.cutting.sheet_proof import prove
from lamphouse.cutting.sheet_squeeze import squeeze_strip
from lamphouse.cutting.sheet_strip import StripShape
from lamphouse.cutting.sheets import finished
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.record import replace
from lamphouse.shapes.measure import bounds_mm

WORTH_MM = 1.0
"""A gain smaller than this is none."""
Tell = Callable[[int, int, str], None]


def _silent(_done: int, _of: int, _what: str) -> None:
    """Tell nobody."""


def tightened(
    layout: SheetLayout,
    *,
    pieces: Sequence[Piece],
    habits: CuttingHabits,
    seconds: int,
    seed: int,
    only: Collection[str] | None = None,
    tell: Tell = _silent,
) -> SheetLayout:
    """Squeeze the pieces of every sheet to its left, and prove the result.

    No piece changes its sheet. A sheet with locked pieces stays as it is; so does one that comes
    out no shorter, as one does whose pieces lie in cut-outs of others.

    Parameters
    ----------
    seconds
        For each sheet; the result depends on it and on the machine.
    only
        Names of the sheets to squeeze; None for all.
    tell
        Called before each with how many are done, how many there are, and its name; what it raises
        ends the work.

    Raises
    ------
    SqueezeMissing
        Without the library of the extra ``squeeze``.
    LayoutFault
        If the proof fails, which is our fault.
    """
    free = [
        sheet
        for sheet in layout.sheets
        if (only is None or sheet.name in only) and not any(one.locked for one in sheet.laid)
    ]
    done = dict(_each(free, habits=habits, seconds=seconds, seed=seed, tell=tell))
    sheets = tuple(done.get(sheet.name, sheet) for sheet in layout.sheets)
    tight = replace(layout, sheets=sheets)
    prove(tight, pieces=pieces)
    return tight


def _each(
    sheets: Sequence[LaidSheet], *, habits: CuttingHabits, seconds: int, seed: int, tell: Tell
) -> Iterator[tuple[str, LaidSheet]]:
    for number, sheet in enumerate(sheets):
        tell(number, len(sheets), sheet.name)
        yield sheet.name, _tighter(sheet, habits=habits, seconds=seconds, seed=seed)


def _tighter(sheet: LaidSheet, *, habits: CuttingHabits, seconds: int, seed: int) -> LaidSheet:
    edge = habits.edge_mm
    strip = squeeze_strip(
        [
            StripShape(
                outline=one.piece.outline.corners,
                turns_deg=turns_of(one.piece, turns=habits.turns),
                cutouts=tuple(cutout.corners for cutout in one.piece.cutouts),
            )
            for one in sheet.laid
        ],
        height_mm=sheet.height_mm - 2.0 * edge,
        gap_mm=habits.gap_mm,
        seconds=seconds,
        seed=seed,
    )
    if strip.length_mm + edge > _right_mm(sheet) - WORTH_MM:
        return sheet
    laid = tuple(
        replace(
            sheet.laid[place.shape],
            x_mm=place.x_mm + edge,
            y_mm=place.y_mm + edge,
            turn_deg=place.turn_deg,
        )
        for place in strip.places
    )
    return finished(replace(sheet, laid=laid), habits=habits)


def _right_mm(sheet: LaidSheet) -> float:
    """Give the right edge of the last piece."""
    return max(bounds_mm(one.placed(one.piece.outline.corners))[2] for one in sheet.laid)
