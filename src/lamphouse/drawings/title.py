"""Frame, title block and rulers of a page: what the sheet is, and how to prove its scale."""

from collections.abc import Iterator
from functools import cache

from lamphouse.drawings.drawing import Item, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import moved, turned
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


def band(paper: Paper, *, title: TitleBlock, entry: Entry, measured: bool) -> Iterator[Item]:
    """Draw frame, title block and, on a page with lengths, both rulers.

    Parameters
    ----------
    paper
        The sheet as it lies.
    title
        What all pages share.
    entry
        What this page is.
    measured
        Whether lengths can be taken from it, so that it needs rulers.
    """
    left, bottom, right, top = paper.frame
    yield rectangle(Pen.FRAME, left=left, bottom=bottom, right=right, top=top)
    yield segment(Pen.FRAME, start=(left, bottom + BAND_MM), end=(right, bottom + BAND_MM))
    yield from _block(right - WIDTH_MM, bottom, title, entry)
    if measured:
        yield segment(
            Pen.FRAME, start=(left + STRIP_MM, bottom + BAND_MM), end=(left + STRIP_MM, top)
        )
        yield from _rulers(paper)
    else:
        yield from _band_words(paper, UNMEASURED)


@cache
def _rulers(paper: Paper) -> tuple[Item, ...]:
    """Draw both rulers, which are the same on every sheet of a paper."""
    left, bottom, _, _ = paper.frame
    up = bottom + BAND_MM
    level_mm = bottom + SIDE_MM + 1.0
    items: list[Item] = []
    for item in ruler():
        items.append(moved(item, right_mm=left + _RULER_INSET_MM, up_mm=level_mm))
        upright = turned(item, turn_deg=90)
        items.append(moved(upright, right_mm=left + STRIP_MM / 2, up_mm=up + _RULER_INSET_MM))
    return (*items, *_band_words(paper, MEASURE))


def _band_words(paper: Paper, lines: tuple[str, str]) -> Iterator[Item]:
    left, _, _, top = paper.band
    x = left + _RULER_INSET_MM
    yield Text(x_mm=x, y_mm=top - 5.2, words=lines[0], height_mm=_NAME_MM, bold=True)
    yield Text(x_mm=x, y_mm=top - 10.0, words=lines[1], height_mm=_WORDS_MM)


def _block(x: float, y: float, title: TitleBlock, entry: Entry) -> Iterator[Item]:
    rows: tuple[tuple[float, tuple[tuple[float, str, str], ...]], ...] = (
        (8.0, ((53.0, "project", title.project), (23.0, "model scale", title.model_scale))),
        (8.0, ((76.0, "part", entry.part),)),
        (7.0, ((38.0, "sheet", entry.sheet), (38.0, "face", entry.face))),
        (
            7.0,
            tuple(
                zip(
                    _LAST_ROW,
                    ("drawn", "revision", "date", "page"),
                    (entry.drawn, title.revision, title.day, entry.page),
                    strict=True,
                )
            ),
        ),
    )
    yield segment(Pen.FRAME, start=(x, y), end=(x, y + BAND_MM))
    head = y + BAND_MM
    for height, cells in rows:
        along = x
        for width, caption, words in cells:
            yield from _cell((along, head - height), (width, height), caption, words)
            along += width
        head -= height


def _cell(
    corner: tuple[float, float], size: tuple[float, float], caption: str, words: str
) -> Iterator[Item]:
    (x, y), (width, height) = corner, size
    yield rectangle(Pen.FRAME, left=x, bottom=y, right=x + width, top=y + height)
    room = width - 2 * _INSET_MM
    bold = caption in _BOLD
    capitals = _fitting(words, room_mm=room, bold=bold)
    shown = shortened(words, height_mm=capitals, room_mm=room, bold=bold)
    left = x + _INSET_MM
    yield Text(x_mm=left, y_mm=y + height - 2.5, words=caption, height_mm=LEAST_MM)
    yield Text(x_mm=left, y_mm=y + _BASE_MM, words=shown, height_mm=capitals, bold=bold)


def _fitting(words: str, *, room_mm: float, bold: bool) -> float:
    """Give the largest of the lettering heights at which the words fit, or the smallest."""
    heights = (_NAME_MM, _SMALLER_MM) if bold else (_WORDS_MM, _SMALLER_MM)
    for height in heights:
        if shortened(words, height_mm=height, room_mm=room_mm, bold=bold) == words:
            return height
    return LEAST_MM
