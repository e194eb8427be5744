"""A flat piece as a drawing: seen from its face or, mirrored, from behind.

The piece lies where its record puts it. Around it stand the datum edges, the overall sizes, the
face in words and the grain; on it the hole numbers, the names of openings and the LED seats.
A mirrored view keeps its box, so that front and back laid on one another agree.
"""

from collections.abc import Callable, Iterator, Sequence

from lamphouse.cutting.piece import Piece
from lamphouse.design.panel import Outline
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import arrowhead, cross, segment
from lamphouse.drawings.ground import Ground, Named
from lamphouse.drawings.lettering import LEAST_MM, lines_of, shortened, width_mm
from lamphouse.drawings.moves import Box, bounds, drawing_of, mirrored, moved
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.seat import seat
from lamphouse.drawings.sizes import level, upright
from lamphouse.shapes.measure import bounds_mm

BACK = "back, mirrored"
"""The face in the title block of a mirrored view."""
_DATUM_AWAY_MM = 1.5
"""From the edge to the datum line beside it."""
_SAME_DATUM_MM = 0.05
_DATUM_REACH_MM = 10.0
"""From the piece to a datum that is drawn beside it."""
_ARM_MM = 0.8
"""What the centre lines of a drilled hole go past its rim."""
_CENTRE_ARM_MM = 2.0
"""Half the cross in the middle of a round opening that is cut."""
_RIM_ARM_MM = 1.5
"""What the ticks at its rim reach to either side."""
_BELOW_MM = 6.0
"""From the lower edge to the baseline of the words under it."""
_NEAR_BELOW_MM = 3.4
"""The same where no datum edge and no face stand between."""
_FACE_MM = 2.5
_NAME_MM = 2.2
_NAME_ROOM_MM = 40.0
_LINE_STEP_MM = 3.6
_NOTE_MM = 1.8
_NOTE_STEP_MM = 3.2
_NOTE_LEAST_MM = 60.0
"""Notes run at least this wide, however small the piece."""
_CLEAR_MM = 1.0
"""Between words and the size above them."""
_LEAN_ROOM_MM = 3.0
"""Past the seat of a tilted LED, for its arrow."""
_GRAIN_MM = 8.0
"""Length of the grain arrow."""
_PASSABLE = frozenset({Pen.CUT, Pen.HIDDEN, Pen.DATUM})
"""Lines that the leader of a label may cross."""
_SAME_ROW_MM = 0.5
"""Holes whose heights differ by less stand in one row."""
_COUNT_ON = "Where a hole has no number there is no room: count on along its row."

Flip = Callable[[Item], Item]


def draw(piece: Piece, *, mirror: bool = False) -> Drawing:
    """Draw a piece at full size.

    Parameters
    ----------
    piece
        The piece, in its own coordinates.
    mirror
        Draw it as seen from behind: everything mirrored left to right but the words.

    Returns
    -------
    Drawing
        In mm, where the piece lies; its box holds the words and sizes around the piece too.
    """
    drawn, all_numbered = _drawn(piece, notes=piece.notes, mirror=mirror)
    if all_numbered:
        return drawn
    return _drawn(piece, notes=(*piece.notes, _COUNT_ON), mirror=mirror)[0]


def _drawn(piece: Piece, *, notes: tuple[str, ...], mirror: bool) -> tuple[Drawing, bool]:
    """Draw a piece, and tell whether there was room for the number of every hole."""
    box = bounds_mm(piece.outline.corners)
    middle = (box[0] + box[2]) / 2

    def flip(item: Item) -> Item:
        return mirrored(item, about_x_mm=middle) if mirror else item

    lines = [flip(item) for item in _lines(piece, mirror=mirror)]
    crosses = [flip(item) for item in _crosses(piece)]
    sizes = list(_sizes(box, mirror=mirror))
    words = list(_words(piece, box, notes=notes, mirror=mirror))
    around = [*sizes, *_datum(piece, box, flip), *_below(words, sizes=sizes)]
    ground = Ground()
    for item in (*lines, *around):
        ground.add([item], passable=item.pen in _PASSABLE)
    for number, item in enumerate(crosses):
        ground.add([item], owner=number // 2)
    names = list(_names(piece, ground, flip))
    seats = [item for ways in _seats(piece, flip) for item in _first(ground, ways)]
    numbers = [ground.label(named, height_mm=LEAST_MM) for named in _numbers(piece, flip)]
    labels = (*names, *seats, *(item for label in numbers for item in label))
    name = f"{piece.name} back" if mirror else piece.name
    return drawing_of((*lines, *crosses, *around, *labels), name=name), all(numbers)


def panel_sheets(piece: Piece) -> tuple[Labelled, Labelled]:
    """Give a panel's two sheets: its face and its mirrored back."""
    return (
        Labelled(
            drawing=draw(piece),
            part=piece.name,
            face=piece.face,
            sheet=piece.sheet.name,
            count=piece.count,
        ),
        Labelled(
            drawing=draw(piece, mirror=True),
            part=piece.name,
            face=BACK,
            sheet=piece.sheet.name,
            count=piece.count,
        ),
    )


def _lines(piece: Piece, *, mirror: bool) -> Iterator[Item]:
    yield _closed(Pen.CUT, piece.outline)
    for cutout in piece.cutouts:
        yield _closed(Pen.CUT, cutout)
    for edge in piece.behind:
        yield _closed(Pen.HIDDEN, edge)
    for fold in piece.folds:
        yield segment(Pen.SCORE, start=fold.start_mm, end=fold.end_mm)
    for foot in piece.glued:
        yield _closed(Pen.HIDDEN if mirror else Pen.MARK, foot)
    for hole in piece.holes:
        yield Circle(
            pen=Pen.DRILL, x_mm=hole.x_mm, y_mm=hole.y_mm, diameter_mm=hole.drill.diameter_mm
        )
    for mark in piece.seats:
        yield from seat(mark)


def _closed(pen: Pen, outline: Outline) -> Path:
    return Path(pen=pen, corners=outline.corners, closed=True)


def _crosses(piece: Piece) -> Iterator[Path]:
    """Draw the centre lines, two for each hole in order, then two for each round opening."""
    for hole in piece.holes:
        reach = hole.drill.diameter_mm / 2 + _ARM_MM
        yield from cross(Pen.CENTRE, x_mm=hole.x_mm, y_mm=hole.y_mm, reach_mm=reach)
    for cutout in piece.cutouts:
        if cutout.diameter_mm is not None:
            yield from _centre(cutout, cutout.diameter_mm / 2)


def _centre(round_hole: Outline, radius_mm: float) -> Iterator[Path]:
    """Mark the middle of a round opening, and its four quarters across the rim.

    The space between is left free for the opening's name.
    """
    x, y = _middle(round_hole)
    yield from cross(Pen.CENTRE, x_mm=x, y_mm=y, reach_mm=min(_CENTRE_ARM_MM, radius_mm))
    near, far = max(radius_mm - _RIM_ARM_MM, 0.0), radius_mm + _RIM_ARM_MM
    for right, up in ((1, 0), (0, 1), (-1, 0), (0, -1)):
        start, end = ((x + right * reach, y + up * reach) for reach in (near, far))
        yield segment(Pen.CENTRE, start=start, end=end)


def _middle(outline: Outline) -> tuple[float, float]:
    left, bottom, right, top = bounds_mm(outline.corners)
    return (left + right) / 2, (bottom + top) / 2


def _sizes(box: Box, *, mirror: bool) -> Iterator[Item]:
    """Give width and height, away from the datum edges."""
    left, bottom, right, top = box
    yield from level((left, top), length_mm=right - left)
    side = left if mirror else right
    yield from upright((side, bottom), length_mm=top - bottom, left=mirror)


def _below(words: Sequence[Item], *, sizes: Sequence[Item]) -> Sequence[Item]:
    """Move words under the sizes where they cross one whose arrow hangs below a narrow piece."""
    ground = Ground()
    ground.add(sizes)
    if ground.is_free(item for item in words if isinstance(item, Text)):
        return words
    low = min(bounds(item)[1] for item in sizes)
    high = max(bounds(item)[3] for item in words)
    return [moved(item, right_mm=0.0, up_mm=low - _CLEAR_MM - high) for item in words]


def _measured_from_edges(piece: Piece) -> bool:
    return bool(piece.holes or piece.cutouts or piece.seats)


def _datum(piece: Piece, box: Box, flip: Flip) -> Iterator[Item]:
    """Draw the two lines all places are measured from, and the corner they meet in."""
    if not _measured_from_edges(piece):
        return
    left, bottom, right, top = box
    if not _from_corner(box):
        yield flip(segment(Pen.DATUM, start=(min(left, 0.0), 0.0), end=(max(right, 0.0), 0.0)))
        yield flip(segment(Pen.DATUM, start=(0.0, min(bottom, 0.0)), end=(0.0, max(top, 0.0))))
        yield flip(Circle(pen=Pen.DATUM, x_mm=0.0, y_mm=0.0, diameter_mm=1.6, filled=True))
        return
    x, y = left - _DATUM_AWAY_MM, bottom - _DATUM_AWAY_MM
    corners = ((x, top, 0.0), (x, y, 0.0), (right, y, 0.0))
    yield flip(Path(pen=Pen.DATUM, corners=corners))
    yield flip(Circle(pen=Pen.DATUM, x_mm=x, y_mm=y, diameter_mm=1.6, filled=True))


def _from_corner(box: Box) -> bool:
    """Tell whether places are measured from the lower left corner of the box around a piece.

    A datum far from the piece is not drawn; its box's corner is.
    """
    left, bottom, right, top = box
    if max(abs(left), abs(bottom)) < _SAME_DATUM_MM:
        return True
    far = _DATUM_REACH_MM
    return not (left - far <= 0.0 <= right + far and bottom - far <= 0.0 <= top + far)


def _words(piece: Piece, box: Box, *, notes: tuple[str, ...], mirror: bool) -> Iterator[Item]:
    """Write face, grain and notes below the piece."""
    left, bottom, right, _ = box
    base = bottom
    room = max(right - left, _NOTE_LEAST_MM)
    along = left
    if _measured_from_edges(piece):
        base -= _BELOW_MM
        words = "BACK - mirrored" if mirror else piece.face.upper()
        yield Text(x_mm=left, y_mm=base, words=words, height_mm=_FACE_MM, bold=True)
        along += width_mm(words, height_mm=_FACE_MM, bold=True) + 4.0
    elif piece.grain or notes:
        base -= _NEAR_BELOW_MM
    if piece.grain:
        yield from _grain(piece.grain, along, base)
    for note in notes:
        for line in lines_of(note, height_mm=_NOTE_MM, room_mm=room):
            base -= _NOTE_STEP_MM
            yield Text(x_mm=left, y_mm=base, words=line, height_mm=_NOTE_MM)


def _grain(grain: str, x: float, y: float) -> Iterator[Item]:
    """Draw the grain as a double arrow the way it runs, beside its name."""
    words = f"grain {grain}"
    yield Text(x_mm=x, y_mm=y, words=words, height_mm=LEAST_MM)
    start = x + width_mm(words, height_mm=LEAST_MM) + 2.5
    middle = y + LEAST_MM / 2
    if grain == "along y":
        ends, turn = ((start, y - 0.8), (start, y + LEAST_MM + 0.8)), 90.0
    else:
        ends, turn = ((start, middle), (start + _GRAIN_MM, middle)), 0.0
    yield segment(Pen.SIZE, start=ends[0], end=ends[1])
    yield arrowhead(Pen.SIZE, tip=ends[0], towards_deg=turn + 180, length_mm=1.6)
    yield arrowhead(Pen.SIZE, tip=ends[1], towards_deg=turn, length_mm=1.6)


def _numbers(piece: Piece, flip: Flip) -> Iterator[Named]:
    """Name the holes by their running numbers: the ends of the rows first, then those between."""
    holes = list(enumerate(piece.holes))
    ends = {
        owner
        for owner, hole in holes
        for neighbour in (owner - 1, owner + 1)
        if not 0 <= neighbour < len(holes)
        or abs(piece.holes[neighbour].y_mm - hole.y_mm) > _SAME_ROW_MM
    }
    for owner, hole in sorted(holes, key=lambda numbered: numbered[0] not in ends):
        rim = hole.drill.diameter_mm / 2
        x, y = _flipped(hole.x_mm, hole.y_mm, flip)
        yield Named(
            words=str(hole.number),
            x_mm=x,
            y_mm=y,
            rim_mm=rim,
            reach_mm=rim + _ARM_MM,
            owner=owner,
        )


def _first(ground: Ground, ways: Sequence[Named]) -> tuple[Item, ...]:
    """Set a label in the first of several ways that there is room for."""
    labels = (ground.label(named, height_mm=LEAST_MM) for named in ways)
    return next((label for label in labels if label), ())


def _seats(piece: Piece, flip: Flip) -> Iterator[tuple[Named, ...]]:
    """Name the LEDs beside their seats, tilted ones with their angle where there is room."""
    for mark in piece.seats:
        x, y = _flipped(mark.x_mm, mark.y_mm, flip)
        rim = max(mark.length_mm, mark.width_mm) / 2
        leaning = (f"{mark.led} {mark.tilt_deg:g} deg",) if mark.tilt_deg else ()
        yield tuple(
            Named(words=words, x_mm=x, y_mm=y, rim_mm=rim, reach_mm=reach)
            for reach in (rim, rim + _LEAN_ROOM_MM)[: 2 if leaning else 1]
            for words in (*leaning, mark.led)
        )


def _names(piece: Piece, ground: Ground, flip: Flip) -> Iterator[Item]:
    """Write the names of openings in them where they fit, else beside them."""
    for outline, name in zip(piece.cutouts, piece.cutout_names, strict=False):
        left, bottom, right, top = bounds_mm(outline.corners)
        x, y = _flipped((left + right) / 2, (bottom + top) / 2, flip)
        wide, high = right - left, top - bottom
        inside = next(
            (
                block
                for block in _blocks(name, outline.words, (x, y), (wide, high))
                if ground.is_free(block)
            ),
            None,
        )
        if inside:
            ground.add(inside)
            yield from inside
        else:
            short = min(wide, high) / 2
            named = Named(
                words=shortened(name, height_mm=_NAME_MM, room_mm=_NAME_ROOM_MM),
                x_mm=x,
                y_mm=y,
                rim_mm=short,
                reach_mm=short + 0.2,
            )
            yield from ground.label(named, height_mm=_NAME_MM)


def _blocks(
    name: str, shape: str, middle: tuple[float, float], size: tuple[float, float]
) -> Iterator[tuple[Text, ...]]:
    """Try name and shape, then the name alone, at places in an opening from its middle out."""
    wide, high = size
    for words in ((name, shape), (name,)) if shape else ((name,),):
        tall = _NAME_MM + _LINE_STEP_MM * (len(words) - 1)
        length = max(width_mm(line, height_mm=_NAME_MM) for line in words)
        if length > wide - 1 or tall > high - 1:
            continue
        for share in (0.0, 0.2, -0.2, 0.3, -0.3, 0.4, -0.4):
            top = middle[1] + share * high + tall / 2
            yield tuple(
                Text(
                    x_mm=middle[0],
                    y_mm=top - _NAME_MM - number * _LINE_STEP_MM,
                    words=line,
                    height_mm=_NAME_MM,
                    anchor=Anchor.MIDDLE,
                )
                for number, line in enumerate(words)
            )


def _flipped(x_mm: float, y_mm: float, flip: Flip) -> tuple[float, float]:
    left, bottom, _, _ = bounds(flip(Circle(pen=Pen.MARK, x_mm=x_mm, y_mm=y_mm, diameter_mm=0.0)))
    return left, bottom
