"""The stock sheets of a plan with every piece on them, for the page to show and to move."""

from collections.abc import Iterator
from math import floor

from lamphouse.cutting.piece import Piece
from lamphouse.cutting.sheet_layout import Laid, LaidSheet, SheetLayout
from lamphouse.design.whole import SheetInHand
from lamphouse.drawings.drawing import Drawing, Path, Pen
from lamphouse.drawings.stock_sheet import draw_sheet, number_spot
from lamphouse.outputs.svg import path_data, render
from lamphouse.plan.result import Plan
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.transform import turn

_SHOWN_SCALE = 0.5
"""About how large a sheet is shown on the page, over its true size."""


class ShownPiece(Record):
    """One copy of a piece where it lies."""

    name: str
    """With its copy where there are several."""
    piece: str
    copy: int
    order: int
    """Number in which it is cut out."""
    x_mm: float
    y_mm: float
    """Lower left corner of the box around it, as turned, from the sheet's lower left corner."""
    width_mm: float
    height_mm: float
    turn_deg: float
    locked: bool
    d: str
    """Its outline and cut-outs as the ``d`` of an SVG path on the sheet's drawing."""
    number_at_mm: tuple[float, float]
    """Where its number is read best, on the sheet."""

    @property
    def can_be_locked(self) -> bool:
        """Whether it may get a place of its own: the first copy of each piece may."""
        return self.copy == 1


class ShownSheet(Record):
    """One stock sheet."""

    name: str
    sheet: str
    """Its material and thickness, as the catalogue names it."""
    stock: int | None
    """Entry of the stock list, from 1; None when it is to be bought."""
    width_mm: float
    height_mm: float
    used: float
    """Share of it."""
    is_first: bool
    """Whether it is the first of its entry: locked pieces lie on that."""
    svg: str
    """The drawing of the pack's file for cutters, with its marks."""
    pieces: tuple[ShownPiece, ...]
    offcuts: tuple[str, ...]
    """What is left over, in words."""
    reach_mm: float
    """Right edge of the last piece."""


def page_sheets(layout: SheetLayout | None) -> tuple[ShownSheet, ...]:
    """Give every stock sheet of a layout; empty until there is one."""
    return tuple(_sheets(layout)) if layout else ()


def drawing_of_sheet(sheet: LaidSheet) -> Drawing:
    """Draw a sheet as it lies on the page: at full size, without a tool's kerf."""
    return draw_sheet(sheet)


def sheet_named(plan: Plan, name: str) -> LaidSheet | None:
    """Find a stock sheet."""
    sheets = plan.layout.sheets if plan.layout else ()
    return next((sheet for sheet in sheets if sheet.name == name), None)


def within(
    piece: Piece, entry: SheetInHand, *, x_mm: float, y_mm: float, turn_deg: float
) -> tuple[float, float]:
    """Give the place nearest to a wanted one at which a piece, turned, lies within its sheet.

    To a tenth of a millimetre. A piece larger than the sheet lies at its lower left corner.
    """
    left, bottom, right, top = bounds_mm(turn(piece.outline.corners, angle_deg=turn_deg))
    most = (entry.width_mm - (right - left), entry.height_mm - (top - bottom))
    x, y = (
        max(0.0, min(round(wish, 1), floor(room * 10.0) / 10.0))
        for wish, room in zip((x_mm, y_mm), most, strict=True)
    )
    return x, y


def _sheets(layout: SheetLayout) -> Iterator[ShownSheet]:
    met: set[int] = set()
    for sheet in layout.sheets:
        drawing = drawing_of_sheet(sheet)
        pieces = tuple(_piece(one, drawing) for one in sheet.laid)
        yield ShownSheet(
            name=sheet.name,
            sheet=sheet.sheet.name,
            stock=sheet.stock,
            width_mm=sheet.width_mm,
            height_mm=sheet.height_mm,
            used=sheet.used_share,
            is_first=sheet.stock is not None and sheet.stock not in met,
            svg=render(drawing),
            pieces=pieces,
            offcuts=tuple(
                f"{int(one.width_mm)} x {int(one.height_mm)} mm" for one in sheet.offcuts
            ),
            reach_mm=max((one.x_mm + one.width_mm for one in pieces), default=0.0),
        )
        if sheet.stock is not None:
            met.add(sheet.stock)


def _piece(one: Laid, drawing: Drawing) -> ShownPiece:
    placed = one.placed(one.piece.outline.corners)
    left, bottom, right, top = bounds_mm(placed)
    rings = (placed, *(one.placed(cutout.corners) for cutout in one.piece.cutouts))
    top_mm = drawing.bottom_mm + drawing.height_mm
    return ShownPiece(
        name=one.name,
        piece=one.piece.name,
        copy=one.copy,
        order=one.order,
        x_mm=left,
        y_mm=bottom,
        width_mm=right - left,
        height_mm=top - bottom,
        turn_deg=one.turn_deg,
        locked=one.locked,
        d="".join(
            path_data(
                Path(pen=Pen.CUT, corners=ring, closed=True),
                left_mm=drawing.left_mm,
                top_mm=top_mm,
            )
            for ring in rings
        ),
        number_at_mm=number_spot(one, scale=_SHOWN_SCALE),
    )
