"""A stock sheet with the pieces to cut from it: whole for cutters, and small on a page to read.

Pieces carry the number in which they are cut out; rests worth keeping are hatched. The sheet's
grain runs along its width.
"""

from collections.abc import Iterator

from lamphouse.cutting.kerf import followed
from lamphouse.cutting.sheet_layout import Laid, LaidSheet
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import arrowhead, rectangle, segment
from lamphouse.drawings.hatching import hatched
from lamphouse.drawings.lettering import LEAST_MM, lines_of, shortened, width_mm
from lamphouse.drawings.moves import drawing_of, moved, scaled, turned
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import upright
from lamphouse.drawings.seat import seat
from lamphouse.record import replace
from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle
from lamphouse.shapes.spacing import inner_spot

SCALES = (1.0, 0.5, 0.2, 0.1, 0.05)
"""Drawn over true size: the steps of [ISO5455]."""
_WORDS_MM = 2.0
_STEP_MM = 3.2
_UNDER_MM = 6.0
"""From the sheet to the first line below it."""
_COLUMNS = 2
_HATCH_MM = 3.5
_GRAIN_MM = 14.0
_LEAST_WIDE_MM = 120.0
"""Of the lines below the sheet."""
_LARGEST_SHARE = 0.55
"""Of the page's height that the sheet itself may take."""
_LABEL_ERROR_MM = 0.05
_CLEAR_MM = 3.5
"""Across a round space on the page that the number of a piece leaves free for each hole."""
_MOST_HOLES = 60
_LEAST_MM2 = 5.0
"""On the page, of a place that takes a number."""


def draw_sheet(sheet: LaidSheet, *, kerf_mm: float = 0.0) -> Drawing:
    """Draw a whole sheet at full size, its lines in the order in which they are cut.

    Parameters
    ----------
    sheet
        With the pieces on it.
    kerf_mm
        Where it is above 0, lines are the way of a tool of this kerf.
    """
    laid = [replace(one, piece=followed(one.piece, kerf_mm=kerf_mm)) for one in sheet.laid]
    return drawing_of(
        (_rim(sheet, 1.0), *(item for one in laid for item in (*_marks(one), *_cuts(one)))),
        name=sheet.name,
    )


def stock_sheet(sheet: LaidSheet, *, paper: str, note: str = "") -> Labelled:
    """Draw a sheet for a page of the pack, at the largest scale of [ISO5455] that fits.

    Parameters
    ----------
    sheet
        With the pieces on it.
    paper
        A key of ``paper.SIZES_MM``.
    note
        A line below the lists.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    wide, high = upright(paper).room_mm
    scale = next(
        (
            step
            for step in SCALES
            if sheet.width_mm * step <= wide - 2.0
            and sheet.height_mm * step <= high * _LARGEST_SHARE
        ),
        SCALES[-1],
    )
    items: list[Item] = [_rim(sheet, scale)]
    for offcut in sheet.offcuts:
        items += _offcut(offcut.x_mm, offcut.y_mm, offcut.width_mm, offcut.height_mm, scale)
    for one in sheet.laid:
        items += [scaled(item, factor=scale) for item in _cuts(one)]
    items += [item for one in sheet.laid for item in _label(one, scale)]
    room_mm = max(sheet.width_mm * scale, min(_LEAST_WIDE_MM, wide))
    items += _lines(sheet, room_mm=room_mm, note=note)
    if any(one.piece.grain for one in sheet.laid):
        items += _grain(sheet, scale)
    return Labelled(
        drawing=drawing_of(items, name=sheet.name),
        part=sheet.name,
        face="face up",
        sheet=sheet.sheet.name,
        drawn="1:1" if scale == 1.0 else f"1:{1.0 / scale:g}",
    )


def _rim(sheet: LaidSheet, scale: float) -> Path:
    wide, high = sheet.width_mm * scale, sheet.height_mm * scale
    return rectangle(Pen.FRAME, left=0.0, bottom=0.0, right=wide, top=high)


def _cuts(one: Laid) -> Iterator[Item]:
    """Give the cuts of a piece where it lies: holes and cut-outs before its outline."""
    for hole in one.piece.holes:
        yield _laid(
            Circle(
                pen=Pen.DRILL, x_mm=hole.x_mm, y_mm=hole.y_mm, diameter_mm=hole.drill.diameter_mm
            ),
            one,
        )
    for outline in (*one.piece.cutouts, one.piece.outline):
        yield Path(pen=Pen.CUT, corners=one.placed(outline.corners), closed=True)


def _marks(one: Laid) -> Iterator[Item]:
    """Give what is only marked on a piece, as long as it is still in the sheet."""
    for mark in one.piece.seats:
        for item in seat(mark):
            yield _laid(item, one)
    for fold in one.piece.folds:
        line = ((*fold.start_mm, 0.0), (*fold.end_mm, 0.0))
        yield Path(pen=Pen.SCORE, corners=one.placed(line))
    for foot in one.piece.glued:
        yield Path(pen=Pen.MARK, corners=one.placed(foot.corners), closed=True)


def _laid(item: Item, one: Laid) -> Item:
    return moved(turned(item, turn_deg=one.turn_deg), right_mm=one.x_mm, up_mm=one.y_mm)


def _label(one: Laid, scale: float) -> Iterator[Item]:
    """Write number and name into a plain piece, or the number alone where there is material."""
    left, bottom, right, top = (
        side * scale for side in bounds_mm(one.placed(one.piece.outline.corners))
    )
    words = f"{one.order}  {one.name}"
    middle = ((left + right) / 2, (bottom + top) / 2)
    size = (right - left, top - bottom)
    plain = _is_plain(one) and not one.piece.holes
    if named := list(_fitting(words, size, middle)) if plain else []:
        yield from named
        return
    x, y = number_spot(one, scale=scale)
    yield _centred(str(one.order), (x * scale, y * scale), 0.0)


def _is_plain(one: Laid) -> bool:
    """Tell whether a piece lies as about an upright rectangle, with nothing cut out of it."""
    outline = one.placed(one.piece.outline.corners)
    left, bottom, right, top = bounds_mm(outline)
    return not one.piece.cutouts and area_mm2(outline) > 0.95 * (right - left) * (top - bottom)


def number_spot(one: Laid, *, scale: float) -> tuple[float, float]:
    """Give where on its sheet a piece has room for its number, clear of holes. [mm].

    Parameters
    ----------
    one
        The piece where it lies.
    scale
        How large it is shown, over its true size.
    """
    outline = one.placed(one.piece.outline.corners)
    left, bottom, right, top = bounds_mm(outline)
    middle = ((left + right) / 2, (bottom + top) / 2)
    holes = [
        one.placed(circle(_CLEAR_MM / scale, x_mm=hole.x_mm, y_mm=hole.y_mm))
        for hole in one.piece.holes[:_MOST_HOLES]
    ]
    if _is_plain(one) and not any(_holds(ring, middle) for ring in holes):
        return middle
    cut = [one.placed(cutout.corners) for cutout in one.piece.cutouts]
    for plates in (cut + holes, cut):  # on a small block the number stands over its hole
        under = [(ring, ()) for ring in plates]
        parts = free_parts(outline, under=under, error_mm=_LABEL_ERROR_MM) or ()
        wide = [part for part in parts if area_mm2(part) * scale**2 > _LEAST_MM2]
        if wide:
            return inner_spot(max(wide, key=area_mm2))
    return inner_spot(outline)


def _holds(ring: Corners, spot: Spot) -> bool:
    """Tell whether a spot lies in the box round a ring."""
    left, bottom, right, top = bounds_mm(ring)
    return left < spot[0] < right and bottom < spot[1] < top


def _fitting(words: str, size: tuple[float, float], middle: tuple[float, float]) -> Iterator[Text]:
    """Write words level or upright into a rectangle; not at all where there is no room."""
    long = width_mm(words, height_mm=LEAST_MM)
    for turn, length, depth in ((0.0, *size), (90.0, *reversed(size))):
        if long <= length - 2.0 and depth >= LEAST_MM + 1.4:
            yield _centred(words, middle, turn)
            return


def _centred(words: str, middle: tuple[float, float], turn_deg: float) -> Text:
    x, y = middle
    down = LEAST_MM / 2
    return Text(
        x_mm=x + (down if turn_deg else 0.0),
        y_mm=y - (0.0 if turn_deg else down),
        words=words,
        height_mm=LEAST_MM,
        anchor=Anchor.MIDDLE,
        turn_deg=turn_deg,
        bold=True,
    )


def _offcut(x: float, y: float, wide: float, high: float, scale: float) -> Iterator[Item]:
    box = (x * scale, y * scale, (x + wide) * scale, (y + high) * scale)
    yield from hatched(box, pen=Pen.HIDDEN, pitch_mm=_HATCH_MM)
    words = f"rest {int(wide)} x {int(high)}"
    middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    yield from _fitting(words, (box[2] - box[0], box[3] - box[1]), middle)


def _grain(sheet: LaidSheet, scale: float) -> Iterator[Item]:
    """Draw the grain as a double arrow above the sheet, beside its name."""
    y = sheet.height_mm * scale + 2.0
    yield Text(x_mm=0.0, y_mm=y, words="grain", height_mm=LEAST_MM)
    start = width_mm("grain", height_mm=LEAST_MM) + 2.5
    middle = y + LEAST_MM / 2
    ends = ((start, middle), (start + _GRAIN_MM, middle))
    yield segment(Pen.SIZE, start=ends[0], end=ends[1])
    yield arrowhead(Pen.SIZE, tip=ends[0], towards_deg=180.0, length_mm=1.6)
    yield arrowhead(Pen.SIZE, tip=ends[1], towards_deg=0.0, length_mm=1.6)


def _named(name: str, *, room_mm: float) -> str:
    """Give a piece's name, its middle left out where it is too long: its end tells it apart."""
    first, *others = name.split(" / ")
    last = others[-1] if others else first
    for words in (name, f"{first} / … / {last}", f"… / {last}"):
        if width_mm(words, height_mm=_WORDS_MM) <= room_mm:
            return words
    return shortened(last, height_mm=_WORDS_MM, room_mm=room_mm)


def _lines(sheet: LaidSheet, *, room_mm: float, note: str) -> Iterator[Item]:
    """Write below the sheet what it is, the pieces in their order, and the rests."""
    source = f"entry {sheet.stock} of the stock list" if sheet.stock else "to buy"
    head = (
        f"{sheet.width_mm:g} x {sheet.height_mm:g} mm, {source}, "
        f"{100.0 * sheet.used_share:.0f} % used. Cut in this order, holes and cut-outs first:"
    )
    y = -_UNDER_MM
    yield Text(x_mm=0.0, y_mm=y, words=head, height_mm=_WORDS_MM, bold=True)
    rows = -(-len(sheet.laid) // _COLUMNS)
    column = room_mm / _COLUMNS
    for index, one in enumerate(sheet.laid):
        after = one.name.removeprefix(one.piece.name) + (", locked" if one.locked else "")
        left = column - 3.0 - width_mm(after, height_mm=_WORDS_MM)
        order = f"{one.order}  "
        name = _named(one.piece.name, room_mm=left - width_mm(order, height_mm=_WORDS_MM))
        yield Text(
            x_mm=index // rows * column,
            y_mm=y - _STEP_MM * (index % rows + 1),
            words=order + name + after,
            height_mm=_WORDS_MM,
        )
    y -= _STEP_MM * (rows + 1.5)
    if sheet.offcuts:
        words = "Left over, for the stock list of the project file:"
        yield Text(x_mm=0.0, y_mm=y, words=words, height_mm=_WORDS_MM, bold=True)
    for number, rest in enumerate(sheet.offcuts, start=1):
        size = f"{int(rest.width_mm)} x {int(rest.height_mm)} mm"
        yield Text(
            x_mm=0.0,
            y_mm=y - _STEP_MM * number,
            words=f"- {{sheet: {sheet.sheet.name}, size: {size}}}",
            height_mm=_WORDS_MM,
        )
    if note:
        y -= _STEP_MM * (len(sheet.offcuts) + 1.5)
        for number, line in enumerate(lines_of(note, height_mm=_WORDS_MM, room_mm=room_mm)):
            yield Text(x_mm=0.0, y_mm=y - number * _STEP_MM, words=line, height_mm=_WORDS_MM)
