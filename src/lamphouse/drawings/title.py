"""Frame, title block and rulers of a page: what the sheet is, and how to prove its scale."""

from collections.abc import Iterator, Mapping
from functools import cache

from lamphouse.drawings.drawing import Drawing, Item, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import Box, moved, turned
from lamphouse.drawings.paper import BAND_MM, STRIP_MM, Paper
from lamphouse.drawings.ruler import SIDE_MM, ruler
from lamphouse.record import Record

WIDTH_MM = 76.0
"""Width of the title block; the level ruler has the rest of the band."""
_INSET_MM = 1.2
_BASE_MM = 1.2
"""From the foot of a cell to the baseline of its words."""
_WORDS_MM = 2.5
_SMALLER_MM = 2.2
_NAME_MM = 3.0
_RULER_INSET_MM = 4.5
"""From the frame to the zero of a ruler."""
RULER_ROOM_MM = 112.0
"""Length of the strip that its ruler takes, signs included."""
MEASURE = (
    "Measure both rulers before cutting.",
    "Print at 100 %, never fitted to the page. Sizes are in mm.",
)
"""The lines on every page with lengths."""
UNMEASURED = ("Not to scale.", "Nothing on this sheet may be measured.")
"""The lines on every other page."""
_BOLD = ("project", "part")
_LAST_ROW = (21.0, 14.0, 23.0, 18.0)
"""Widths of the lowest cells: drawn, revision, date, page."""
_ROWS = (
    (8.0, ((53.0, "project"), (23.0, "model scale"))),
    (8.0, ((76.0, "part"),)),
    (7.0, ((38.0, "sheet"), (38.0, "face"))),
    (7.0, tuple(zip(_LAST_ROW, ("drawn", "revision", "date", "page"), strict=True))),
)
"""Height of every row, and its cells: width and caption."""


class TitleBlock(Record):
    """What the title blocks of one project have in common."""

    project: str
    revision: str
    day: str
    """The date as printed; empty when the project has none."""
    model_scale: str
    """Scale of the model, such as ``1:24``."""


class Entry(Record):
    """What the title block says of one page."""

    part: str
    face: str
    drawn: str
    """Scale of the drawing on the paper: ``1:1`` or ``not to scale``."""
    sheet: str
    """Material and thickness; empty when nothing is cut."""
    page: str
    """Such as ``3 of 12``; empty when it is put in later, see :func:`page_cell`."""


class PageCell(Record):
    """Where the title block has room for the page's number."""

    x_mm: float
    y_mm: float
    """Of the baseline's left end, from the paper's lower left corner."""
    room_mm: float
    heights_mm: tuple[float, ...]
    """Heights of capitals, the first of which that fits is taken."""


def page_cell(paper: Paper) -> PageCell:
    """Give the place of the page's number for whoever knows how many pages there are."""
    _, bottom, right, _ = paper.frame
    return PageCell(
        x_mm=right - _LAST_ROW[-1] + _INSET_MM,
        y_mm=bottom + _BASE_MM,
        room_mm=_LAST_ROW[-1] - 2 * _INSET_MM,
        heights_mm=(_WORDS_MM, _SMALLER_MM, LEAST_MM),
    )


@cache
def ground(paper: Paper, *, title: TitleBlock, measured: bool) -> Drawing:
    """Draw what every sheet of a paper shows: frame, title block and, where it is wanted, rulers.

    Parameters
    ----------
    paper
        The sheet as it lies.
    title
        What all pages share.
    measured
        Whether lengths can be taken from it, so that it needs rulers.
    """
    lies = "lying" if paper.width_mm > paper.height_mm else "standing"
    return Drawing(
        name=f"{paper.name} {lies}, {'with' if measured else 'without'} rulers",
        left_mm=0.0,
        bottom_mm=0.0,
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        items=tuple(_ground(paper, title, measured=measured)),
    )


def entered(paper: Paper, entry: Entry) -> Iterator[Item]:
    """Give the words that the title block says of one page."""
    words = {
        "part": entry.part,
        "sheet": entry.sheet,
        "face": entry.face,
        "drawn": entry.drawn,
        "page": entry.page,
    }
    for cell in _cells(paper):
        yield from _words(cell, words)


def _ground(paper: Paper, title: TitleBlock, *, measured: bool) -> Iterator[Item]:
    left, bottom, right, top = paper.frame
    yield rectangle(Pen.FRAME, left=left, bottom=bottom, right=right, top=top)
    yield segment(Pen.FRAME, start=(left, bottom + BAND_MM), end=(right, bottom + BAND_MM))
    yield from _block(paper, title)
    if measured:
        yield segment(
            Pen.FRAME, start=(left + STRIP_MM, bottom + BAND_MM), end=(left + STRIP_MM, top)
        )
        yield from _rulers(paper)
    else:
        yield from _band_words(paper, UNMEASURED)


def _rulers(paper: Paper) -> Iterator[Item]:
    left, bottom, _, _ = paper.frame
    up = bottom + BAND_MM
    level_mm = bottom + SIDE_MM + 1.0
    for item in ruler():
        yield moved(item, right_mm=left + _RULER_INSET_MM, up_mm=level_mm)
        upright = turned(item, turn_deg=90)
        yield moved(upright, right_mm=left + STRIP_MM / 2, up_mm=up + _RULER_INSET_MM)
    yield from _band_words(paper, MEASURE)


def _band_words(paper: Paper, lines: tuple[str, str]) -> Iterator[Item]:
    left, _, _, top = paper.band
    x = left + _RULER_INSET_MM
    yield Text(x_mm=x, y_mm=top - 5.2, words=lines[0], height_mm=_NAME_MM, bold=True)
    yield Text(x_mm=x, y_mm=top - 10.0, words=lines[1], height_mm=_WORDS_MM)


def _cells(paper: Paper) -> Iterator[tuple[str, Box]]:
    """Give every cell of the title block after its caption."""
    _, bottom, right, _ = paper.frame
    top = bottom + BAND_MM
    for height, cells in _ROWS:
        left = right - WIDTH_MM
        for width, caption in cells:
            yield caption, (left, top - height, left + width, top)
            left += width
        top -= height


def _block(paper: Paper, title: TitleBlock) -> Iterator[Item]:
    _, bottom, right, _ = paper.frame
    x = right - WIDTH_MM
    yield segment(Pen.FRAME, start=(x, bottom), end=(x, bottom + BAND_MM))
    words = {
        "project": title.project,
        "model scale": title.model_scale,
        "revision": title.revision,
        "date": title.day,
    }
    for caption, (left, low, end, high) in _cells(paper):
        yield rectangle(Pen.FRAME, left=left, bottom=low, right=end, top=high)
        yield Text(x_mm=left + _INSET_MM, y_mm=high - 2.5, words=caption, height_mm=LEAST_MM)
        yield from _words((caption, (left, low, end, high)), words)


def _words(cell: tuple[str, Box], words: Mapping[str, str]) -> Iterator[Item]:
    """Give what stands in a cell, as large as it fits."""
    caption, (left, low, right, _) = cell
    if not words.get(caption):
        return
    room, bold = right - left - 2 * _INSET_MM, caption in _BOLD
    capitals = _fitting(words[caption], room_mm=room, bold=bold)
    shown = shortened(words[caption], height_mm=capitals, room_mm=room, bold=bold)
    x, y = left + _INSET_MM, low + _BASE_MM
    yield Text(x_mm=x, y_mm=y, words=shown, height_mm=capitals, bold=bold)


def _fitting(words: str, *, room_mm: float, bold: bool) -> float:
    """Give the largest of the lettering heights at which the words fit, or the smallest."""
    heights = (_NAME_MM, _SMALLER_MM) if bold else (_WORDS_MM, _SMALLER_MM)
    for height in heights:
        if shortened(words, height_mm=height, room_mm=room_mm, bold=bold) == words:
            return height
    return LEAST_MM
