"""Pages: drawings set on paper with frame, check rulers and title block, tiled where too large.

Terminology
-----------
labelled drawing
    A drawing with what the title block must say of it.
page
    One sheet of paper as a drawing of exactly its size, lower left corner at the origin.
"""

from collections.abc import Iterator, Sequence

from lamphouse.drawings.drawing import Anchor, Drawing, Item, Text
from lamphouse.drawings.moves import around, bounds, moved
from lamphouse.drawings.paper import Paper, lying, upright
from lamphouse.drawings.rows import Captioned, fits_a_row, in_rows
from lamphouse.drawings.tiles import grid_of, key_map, tiles_of
from lamphouse.drawings.title import (
    RULER_ROOM_MM,
    Entry,
    PageCell,
    TitleBlock,
    entered,
    ground,
    page_cell,
)
from lamphouse.record import Record, replace

LIFE_SIZE = "1:1"
"""Drawn as large as the part; the only scale one may cut from."""
NO_SCALE = "not to scale"
"""Drawn to be read; nothing may be measured from it."""
JOINT = " / "
"""Between the words of a name, from the outside in."""
_ROWS_INSET_MM = 3.0
"""Kept free around drawings that share a page."""
_HANG_MM = 4.0
"""From the top of the field to a diagram."""
_KEY_NAME_MM = 3.0
_KEY_INSET_MM = 1.5


class Labelled(Record):
    """A drawing with what its page says of it."""

    drawing: Drawing
    part: str
    """What it belongs to, such as the panel or the light box."""
    piece: str = ""
    """Which piece of that; empty when the part is one piece."""
    face: str = ""
    """What one sees: ``front``, ``back, mirrored``, ``inside``; empty for a diagram."""
    sheet: str = ""
    """Material and thickness; empty when nothing is cut."""
    drawn: str = LIFE_SIZE
    count: int = 1
    """How many to make."""

    @property
    def name(self) -> str:
        """The part, and the piece of it where there are several."""
        return f"{self.part}{JOINT}{self.piece}" if self.piece else self.part


class Page(Record):
    """One sheet of paper."""

    name: str
    """For headings; unique among the pages laid out together."""
    paper: str
    """``A4``, ``A3``, ``Letter`` or ``Legal``."""
    number: int
    part: str
    face: str
    tile: str
    """Such as ``A2``; empty when the drawing is not tiled."""
    drawing: Drawing
    """Everything on the sheet; exactly as large as the paper, standing or lying."""
    ground: Drawing
    """What it has in common with others; the drawing begins with it."""
    unnumbered: PageCell | None = None
    """Where its number is still to be put; None when it is there."""

    @property
    def own(self) -> Drawing:
        """What no other page has."""
        return replace(self.drawing, items=self.drawing.items[len(self.ground.items) :])


class _Sheet(Record):
    """A page before it knows how many there are."""

    paper: Paper
    label: Labelled
    items: tuple[Item, ...]
    """On the paper, in its place."""
    tile: str = ""


def lay_out(
    drawings: Sequence[Labelled],
    *,
    paper: str,
    title: TitleBlock,
    numbered: bool = True,
) -> tuple[Page, ...]:
    """Set drawings on pages.

    A drawing that leaves room for others shares its page with those of the same sheet, face and
    scale; one larger than the paper is tiled; any other stands alone in the middle of its page.
    Paper lies on its long side where that saves tiles.

    Parameters
    ----------
    drawings
        In the order wanted; pieces that share a page stand where the first of them stood.
    paper
        A key of ``paper.SIZES_MM``.
    title
        What all title blocks share.
    numbered
        Whether these are all the pages, so that their numbers stand on them; else the place of
        the number is left empty.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    sheets = [sheet for group in _grouped(drawings, paper) for sheet in _sheets(group, paper)]
    last = len(sheets) if numbered else None
    return tuple(
        _page(sheet, title=title, number=number, last=last)
        for number, sheet in enumerate(sheets, start=1)
    )


def _grouped(drawings: Sequence[Labelled], paper: str) -> list[list[Labelled]]:
    """Put drawings that may share a page together; each other one is a group of its own."""
    width, height = upright(paper).room_mm
    room = (width - 2 * _ROWS_INSET_MM, height - 2 * _ROWS_INSET_MM)
    groups: dict[tuple[str, ...], list[Labelled]] = {}
    for number, label in enumerate(drawings):
        key: tuple[str, ...] = (label.sheet, label.face, label.drawn)
        if not fits_a_row(_captioned(label, label.name), room_mm=room):
            key = (*key, str(number))
        groups.setdefault(key, []).append(label)
    return list(groups.values())


def _sheets(group: Sequence[Labelled], paper: str) -> Iterator[_Sheet]:
    if len(group) > 1:
        yield from _shared(group, upright(paper))
    else:
        yield from _alone(group[0], paper)


def _shared(group: Sequence[Labelled], paper: Paper) -> Iterator[_Sheet]:
    names = [label.name.split(JOINT) for label in group]
    common = _common(names)
    pieces = [JOINT.join(name[len(common) :]) for name in names]
    cells = [_captioned(label, words) for label, words in zip(group, pieces, strict=True)]
    outermost = dict.fromkeys(name[0] for name in names)
    both = replace(group[0], part=JOINT.join(common) or ", ".join(outermost), piece="", count=1)
    left, bottom, _, _ = paper.field
    width, height = paper.room_mm
    room = (width - 2 * _ROWS_INSET_MM, height - 2 * _ROWS_INSET_MM)
    for items in in_rows(cells, room_mm=room):
        placed = tuple(
            moved(item, right_mm=left + _ROWS_INSET_MM, up_mm=bottom + _ROWS_INSET_MM)
            for item in items
        )
        yield _Sheet(paper=paper, label=both, items=placed)


def _common(names: Sequence[Sequence[str]]) -> list[str]:
    """Give the words all names begin with, leaving each at least one of its own."""
    least = min(len(name) for name in names) - 1
    count = 0
    while count < least and len({name[count] for name in names}) == 1:
        count += 1
    return list(names[0][:count])


def _captioned(label: Labelled, words: str) -> Captioned:
    return Captioned(drawing=label.drawing, caption=f"{words}{_how_many(label)}")


def _how_many(label: Labelled) -> str:
    return f", cut {label.count}" if label.count > 1 else ""


def _alone(label: Labelled, name: str) -> Iterator[_Sheet]:
    papers = (upright(name), lying(name))
    paper = min(papers, key=lambda sheet: grid_of(label.drawing, room_mm=sheet.room_mm).count)
    grid = grid_of(label.drawing, room_mm=paper.room_mm)
    for tile in tiles_of(label.drawing, grid=grid):
        left, bottom, right, top = tile.window
        x, y = _middle(paper)
        if label.drawn == NO_SCALE:  # a diagram hangs from the top, to be read
            y = paper.field[3] - _HANG_MM - (top - bottom) / 2
        shift = (x - (left + right) / 2, y - (bottom + top) / 2)
        items = tuple(moved(item, right_mm=shift[0], up_mm=shift[1]) for item in tile.items)
        if grid.count == 1:
            yield _Sheet(paper=paper, label=label, items=items)
            continue
        strip = paper.strip
        room = (strip[2] - strip[0] - 2 * _KEY_INSET_MM, _above_ruler(paper))
        small = key_map(label.drawing, grid=grid, tile=tile.name, room_mm=room)
        yield _Sheet(
            paper=paper,
            label=label,
            items=(*items, *_key(paper, small, tile.name)),
            tile=tile.name,
        )


def _middle(paper: Paper) -> tuple[float, float]:
    left, bottom, right, top = paper.field
    return (left + right) / 2, (bottom + top) / 2


def _above_ruler(paper: Paper) -> float:
    """Give the height left in the strip for the key map, above the ruler and below its name."""
    _, bottom, _, top = paper.strip
    return top - bottom - RULER_ROOM_MM - 2 * _KEY_INSET_MM - _KEY_NAME_MM - 1.0


def _key(paper: Paper, small: Sequence[Item], tile: str) -> Iterator[Item]:
    """Set the key map below the tile's name at the top of the strip."""
    left, _, right, top = paper.strip
    _, _, width, height = around(bounds(item) for item in small)
    name_mm = top - _KEY_INSET_MM - _KEY_NAME_MM
    middle = (left + right) / 2
    yield Text(
        x_mm=middle,
        y_mm=name_mm,
        words=tile,
        height_mm=_KEY_NAME_MM,
        anchor=Anchor.MIDDLE,
        bold=True,
    )
    for item in small:
        yield moved(item, right_mm=middle - width / 2, up_mm=name_mm - 1.5 - height)


def _page(sheet: _Sheet, *, title: TitleBlock, number: int, last: int | None) -> Page:
    """Draw a page; without the ``last`` number it has none of its own."""
    label, paper = sheet.label, sheet.paper
    tile = f", tile {sheet.tile}" if sheet.tile else ""
    part = f"{label.name}{tile}{_how_many(label)}"
    entry = Entry(
        part=part,
        face=label.face,
        drawn=label.drawn,
        sheet=label.sheet,
        page=f"{number} of {last}" if last else "",
    )
    below = ground(paper, title=title, measured=label.drawn != NO_SCALE)
    name = f"{number} {part}"
    drawing = Drawing(
        name=name,
        left_mm=0.0,
        bottom_mm=0.0,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        items=(*below.items, *entered(paper, entry), *sheet.items),
    )
    return Page(
        name=name,
        paper=paper.name,
        number=number,
        part=label.name,
        face=label.face,
        tile=sheet.tile,
        drawing=drawing,
        ground=below,
        unnumbered=None if last else page_cell(paper),
    )
