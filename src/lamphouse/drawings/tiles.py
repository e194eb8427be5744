"""A drawing larger than the paper, cut into tiles that overlap.

Terminology
-----------
window
    The part of the drawing that one tile shows. Windows of one drawing are equally large and
    share strips of 10 mm.
mark
    A target in the middle of a shared strip, at the same place of the drawing on both tiles:
    laid on one another, the tiles join true.
"""

import math
import string
from collections.abc import Iterator, Sequence

from lamphouse.drawings.clip import clipped, shared
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import cross, rectangle, segment
from lamphouse.drawings.ground import Ground
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.moves import Box, moved, scaled
from lamphouse.record import Record, replace
from lamphouse.shapes.outline import QUARTER, Spot

OVERLAP_MM = 10.0
"""Width of the strip that neighbours share."""
SKIRT_MM = 4.0
"""Left free around a window for the names of its neighbours."""
_MARK_REACH_MM = 4.0
_MARK_MM = 4.0
"""Diameter of a mark's circle."""
_MARK_SHARES = (
    (0.2, 0.23, 0.17, 0.26, 0.14, 0.29, 0.11, 0.32),
    (0.8, 0.77, 0.83, 0.74, 0.86, 0.71, 0.89, 0.68),
)
"""Where along its strip each of the two marks is tried, in shares of the window."""


class Grid(Record):
    """How a drawing is cut: rows from the top, columns from the left."""

    columns: int
    rows: int
    left_mm: float
    top_mm: float
    width_mm: float
    """Of one window."""
    height_mm: float

    @property
    def count(self) -> int:
        """Number of tiles."""
        return self.columns * self.rows

    def window(self, *, column: int, row: int) -> Box:
        """Give the window of one tile, in the drawing's own coordinates."""
        left = self.left_mm + column * (self.width_mm - OVERLAP_MM)
        top = self.top_mm - row * (self.height_mm - OVERLAP_MM)
        return left, top - self.height_mm, left + self.width_mm, top

    def cells(self) -> Iterator[tuple[int, int]]:
        """Go through the tiles as column and row, along the rows from the top left."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield column, row


class Tile(Record):
    """One tile: its name, its window, and what the window shows."""

    name: str
    """Row letter and column number; ``A1`` is at the top left."""
    window: Box
    items: tuple[Item, ...]
    """In the drawing's own coordinates; all lie in the window but for the neighbours' names."""


def grid_of(drawing: Drawing, *, room_mm: tuple[float, float]) -> Grid:
    """Cut a drawing into as few equal windows as fit the room on one page.

    Parameters
    ----------
    drawing
        The drawing.
    room_mm
        Width and height of the room. A drawing that fits is one tile as large as itself; of a
        larger one the skirt of 4 mm around each window is taken off the room first.
    """
    size = (drawing.width_mm, drawing.height_mm)
    if size[0] <= room_mm[0] and size[1] <= room_mm[1]:
        counts = (1, 1)
    else:
        counts = (_count(size[0], room_mm[0]), _count(size[1], room_mm[1]))
    width, height = (
        (length + (count - 1) * OVERLAP_MM) / count
        for length, count in zip(size, counts, strict=True)
    )
    return Grid(
        columns=counts[0],
        rows=counts[1],
        left_mm=drawing.left_mm,
        top_mm=drawing.bottom_mm + drawing.height_mm,
        width_mm=width,
        height_mm=height,
    )


def _count(length_mm: float, room_mm: float) -> int:
    window = room_mm - 2 * SKIRT_MM
    return max(1, math.ceil((length_mm - OVERLAP_MM) / (window - OVERLAP_MM)))


def tiles_of(drawing: Drawing, *, grid: Grid) -> tuple[Tile, ...]:
    """Cut a drawing into its tiles, with marks and the names of neighbours."""
    windows = [grid.window(column=column, row=row) for column, row in grid.cells()]
    lines = [item for item in drawing.items if not isinstance(item, Text)]
    texts = [item for item in drawing.items if isinstance(item, Text)]
    words = shared(texts, windows=windows)
    ground = Ground()
    ground.add(drawing.items)
    return tuple(
        Tile(
            name=_name(column, row),
            window=window,
            items=(
                *(piece for item in lines for piece in clipped(item, window=window)),
                *held,
                *_edges(grid, ground, column, row),
            ),
        )
        for (column, row), window, held in zip(grid.cells(), windows, words, strict=True)
    )


def key_map(
    drawing: Drawing, *, grid: Grid, tile: str, room_mm: tuple[float, float]
) -> tuple[Item, ...]:
    """Draw the whole in small with its tiles, a disc on the one of this page.

    The map lies with its lower left corner at the origin, within the room.
    """
    factor = min(room_mm[0] / drawing.width_mm, room_mm[1] / drawing.height_mm)
    outline = (
        replace(item, pen=Pen.SIZE)
        for item in drawing.items
        if isinstance(item, Path) and item.closed and item.pen is Pen.CUT
    )
    items: list[Item] = list(outline)
    for column, row in grid.cells():
        left, bottom, right, top = _middle_of_strips(grid, column, row)
        items.append(rectangle(Pen.FRAME, left=left, bottom=bottom, right=right, top=top))
        if _name(column, row) == tile:
            disc_mm = min(right - left, top - bottom) / 3
            x, y = (left + right) / 2, (bottom + top) / 2
            items.append(Circle(pen=Pen.FRAME, x_mm=x, y_mm=y, diameter_mm=disc_mm, filled=True))
    return tuple(
        scaled(
            moved(item, right_mm=-drawing.left_mm, up_mm=-drawing.bottom_mm),
            factor=factor,
        )
        for item in items
    )


def _middle_of_strips(grid: Grid, column: int, row: int) -> Box:
    """Give a window cut back to the middle of the strips it shares."""
    left, bottom, right, top = grid.window(column=column, row=row)
    half = OVERLAP_MM / 2
    return (
        left + half * (column > 0),
        bottom + half * (row < grid.rows - 1),
        right - half * (column < grid.columns - 1),
        top - half * (row > 0),
    )


def _name(column: int, row: int) -> str:
    return f"{_letters(row)}{column + 1}"


def _letters(number: int) -> str:
    """Count A, B ... Z, AA, AB ..."""
    letters = string.ascii_uppercase
    before, last = divmod(number, len(letters))
    return (_letters(before - 1) if before else "") + letters[last]


def _edges(grid: Grid, ground: Ground, column: int, row: int) -> Iterator[Item]:
    """Draw a tile's edges, their marks, and the names of its neighbours outside them."""
    left, bottom, right, top = grid.window(column=column, row=row)
    near = SKIRT_MM / 2 - LEAST_MM / 2
    middle_x, middle_y = (left + right) / 2, (bottom + top) / 2
    if column:
        yield segment(Pen.HIDDEN, start=(left, bottom), end=(left, top))
        yield from _upright_marks(grid, ground, column - 1, row)
        yield _neighbour(left - near, middle_y, _name(column - 1, row), 90)
    if column < grid.columns - 1:
        yield segment(Pen.HIDDEN, start=(right, bottom), end=(right, top))
        yield from _upright_marks(grid, ground, column, row)
        yield _neighbour(right + near + LEAST_MM, middle_y, _name(column + 1, row), 90)
    if row:
        yield segment(Pen.HIDDEN, start=(left, top), end=(right, top))
        yield from _level_marks(grid, ground, column, row - 1)
        yield _neighbour(middle_x, top + near, _name(column, row - 1), 0)
    if row < grid.rows - 1:
        yield segment(Pen.HIDDEN, start=(left, bottom), end=(right, bottom))
        yield from _level_marks(grid, ground, column, row)
        yield _neighbour(middle_x, bottom - near - LEAST_MM, _name(column, row + 1), 0)


def _upright_marks(grid: Grid, ground: Ground, column: int, row: int) -> Iterator[Item]:
    """Draw the marks in the strip to the right of a tile."""
    _, bottom, right, top = grid.window(column=column, row=row)
    x = right - OVERLAP_MM / 2
    for shares in _MARK_SHARES:
        yield from _mark([(x, bottom + share * (top - bottom)) for share in shares], ground)


def _level_marks(grid: Grid, ground: Ground, column: int, row: int) -> Iterator[Item]:
    """Draw the marks in the strip at the bottom of a tile."""
    left, bottom, right, _ = grid.window(column=column, row=row)
    y = bottom + OVERLAP_MM / 2
    for shares in _MARK_SHARES:
        yield from _mark([(left + share * (right - left), y) for share in shares], ground)


def _neighbour(x: float, y: float, name: str, turn_deg: float) -> Text:
    return Text(
        x_mm=x,
        y_mm=y,
        words=f"tile {name} joins here",
        height_mm=LEAST_MM,
        pen=Pen.FRAME,
        anchor=Anchor.MIDDLE,
        turn_deg=turn_deg,
    )


def _mark(places: Sequence[Spot], ground: Ground) -> Iterator[Item]:
    """Draw a target at the first place on bare ground: unlike a hole, two quarters are filled."""
    x, y = next((place for place in places if ground.is_bare(_mark_box(*place))), places[0])
    reach = _MARK_MM / 2
    yield from cross(Pen.FRAME, x_mm=x, y_mm=y, reach_mm=_MARK_REACH_MM)
    yield Circle(pen=Pen.FRAME, x_mm=x, y_mm=y, diameter_mm=_MARK_MM)
    for side in (1, -1):
        corners = ((x, y, 0.0), (x + side * reach, y, QUARTER), (x, y + side * reach, 0.0))
        yield Path(pen=Pen.FRAME, corners=corners, closed=True, filled=True)


def _mark_box(x: float, y: float) -> Box:
    return x - _MARK_REACH_MM, y - _MARK_REACH_MM, x + _MARK_REACH_MM, y + _MARK_REACH_MM
