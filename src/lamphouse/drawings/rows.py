"""Small drawings side by side in rows, so that a page is not spent on every little piece.

Pieces keep their way up, so that the sheet's grain stays where the maker wants it. The taller ones
come first; pieces of equal height keep their order. Each has its caption below it.
"""

from collections.abc import Sequence

from lamphouse.drawings.drawing import Anchor, Drawing, Item, Text
from lamphouse.drawings.lettering import shortened, width_mm
from lamphouse.drawings.moves import moved
from lamphouse.record import Record

CAPTION_MM = 2.2
_CAPTION_ROOM_MM = 5.0
"""Height kept below a drawing for its caption."""
_GAP_MM = 6.0
"""Between neighbours, and between rows."""


class Captioned(Record):
    """A drawing with the words to stand below it."""

    drawing: Drawing
    caption: str


class _Place(Record):
    """A captioned drawing with the lower left corner of its cell."""

    cell: Captioned
    left_mm: float
    bottom_mm: float


def in_rows(
    cells: Sequence[Captioned], *, room_mm: tuple[float, float]
) -> tuple[tuple[Item, ...], ...]:
    """Set drawings in rows and give the items of each page, lower left corner at the origin.

    Parameters
    ----------
    cells
        What to set. Each must fit the room by itself, caption included.
    room_mm
        Width and height of a page's field.

    Returns
    -------
    tuple of tuple of Item
        One for each page.
    """
    order = sorted(cells, key=lambda cell: -cell.drawing.height_mm)
    pages: list[list[_Place]] = [[]]
    along, row_top, row_height = 0.0, room_mm[1], 0.0
    for cell in order:
        width, height = _size(cell, room_mm[0])
        if along and along + width > room_mm[0]:
            along, row_top, row_height = 0.0, row_top - row_height - _GAP_MM, 0.0
        if row_top - height < 0:
            pages.append([])
            along, row_top, row_height = 0.0, room_mm[1], 0.0
        pages[-1].append(_Place(cell=cell, left_mm=along, bottom_mm=row_top - height))
        along += width + _GAP_MM
        row_height = max(row_height, height)
    return tuple(
        tuple(item for place in page for item in _placed(place, room_mm[0])) for page in pages
    )


def fits_a_row(cell: Captioned, *, room_mm: tuple[float, float]) -> bool:
    """Tell whether a drawing leaves room for another beside or below it."""
    width, height = _size(cell, room_mm[0])
    return (2 * width + _GAP_MM <= room_mm[0] and height <= room_mm[1]) or (
        width <= room_mm[0] and 2 * height + _GAP_MM <= room_mm[1]
    )


def _size(cell: Captioned, room_mm: float) -> tuple[float, float]:
    words = min(width_mm(cell.caption, height_mm=CAPTION_MM), room_mm)
    return max(cell.drawing.width_mm, words), cell.drawing.height_mm + _CAPTION_ROOM_MM


def _placed(place: _Place, room_mm: float) -> list[Item]:
    drawing = place.cell.drawing
    width, _ = _size(place.cell, room_mm)
    right = place.left_mm + (width - drawing.width_mm) / 2 - drawing.left_mm
    up = place.bottom_mm + _CAPTION_ROOM_MM - drawing.bottom_mm
    items = [moved(item, right_mm=right, up_mm=up) for item in drawing.items]
    caption = Text(
        x_mm=place.left_mm + width / 2,
        y_mm=place.bottom_mm + 1.0,
        words=shortened(place.cell.caption, height_mm=CAPTION_MM, room_mm=width),
        height_mm=CAPTION_MM,
        anchor=Anchor.MIDDLE,
        bold=False,
    )
    return [*items, caption]
