"""A board from both sides, enlarged, and at full size: parts, wires, copper and cuts by hole.

The view of the solder side is mirrored left to right, as one sees it with the board turned over;
its holes keep their names. Every wire stands as its number in a ring.
"""

from collections.abc import Iterator
from itertools import pairwise

from lamphouse.board.holes import HOLE_MM, PAD_MM, PITCH_MM, Hole, row_name
from lamphouse.board.legs import Posture
from lamphouse.board.soldered import BoardLayout, Face, PlacedPart
from lamphouse.design.supply import BoardKind
from lamphouse.drawings.drawing import Anchor, Circle, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, width_mm
from lamphouse.drawings.moves import drawing_of, mirrored

ENLARGED = (4.0, 3.0, 2.0)
"""Drawn size over true size, the largest first."""
_LETTERS_MM = 8.0
"""Width of the row letters on both sides of a view."""
_APART_MM = 16.0
"""Gaps behind three drawings."""
_CAPTION_MM = 34.0
"""Width of the words under the full-size drawing."""
_LETTER_MM = LEAST_MM
_NUMBER_MM = LEAST_MM
_RING_MM = 1.9
"""Diameter of a wire's ring on the board, before enlarging."""
_MARGIN_MM = 1.6
"""From the board's edge to the letters, on paper."""
_BRIDGE_MM = 0.9
_WIRE_MM = 0.5
Spot = tuple[float, float]


def enlargement(layout: BoardLayout, *, room_mm: float) -> float:
    """Give the drawn size over true size of both views.

    The largest at which they stand side by side with the full-size drawing; a board too long for
    that is drawn twice its size, or as large as the room is.

    Parameters
    ----------
    layout
        The board.
    room_mm
        Width of the room.
    """
    wide = layout.columns * PITCH_MM
    for scale in ENLARGED:
        if 2 * (scale * wide + _LETTERS_MM) + max(wide, _CAPTION_MM) + _APART_MM <= room_mm:
            return scale
    return min(ENLARGED[-1], (room_mm - _LETTERS_MM) / wide)


def parts_view(layout: BoardLayout, *, scale: float) -> Drawing:
    """Draw a board from its parts side.

    Parameters
    ----------
    layout
        The board.
    scale
        Drawn size over true size.
    """
    items = [*_board(layout, scale, mirror=False), *_holes(layout, scale)]
    for part in layout.parts:
        if part.posture is not Posture.CHIP:
            items += _part(part, scale)
    for link in layout.links:
        if link.face is Face.PARTS:
            items += _link(link.start, link.end, scale, insulated=link.insulated)
    items += _wires(layout, scale)
    return drawing_of(items, name=f"{layout.sub_assembly} board, parts side")


def solder_view(layout: BoardLayout, *, scale: float) -> Drawing:
    """Draw a board from its solder side, mirrored.

    Parameters
    ----------
    layout
        The board.
    scale
        Drawn size over true size.
    """
    items: list[Item] = [*_lands(layout, scale)]
    for bridge in layout.bridges:
        items += _bars(bridge.first, bridge.second, _BRIDGE_MM, scale)
    for tail in layout.tails:
        items += _bars(tail.start, tail.end, _WIRE_MM, scale)
    for run in layout.bare_runs:
        items += _bars(run.start, run.end, _WIRE_MM, scale)
    for link in layout.links:
        if link.face is Face.SOLDER:
            items += _link(link.start, link.end, scale, insulated=True)
    for cut in layout.cuts:
        items += _cut(cut.hole, scale)
    for part in layout.parts:
        items += _chip(part, scale) if part.posture is Posture.CHIP else _ends(part, scale)
    items += _wires(layout, scale)
    about = layout.columns * PITCH_MM * scale / 2
    turned = [mirrored(item, about_x_mm=about) for item in items]
    edge = _board(layout, scale, mirror=True)
    return drawing_of([*edge, *turned], name=f"{layout.sub_assembly} board, solder side")


def life_size(layout: BoardLayout) -> Drawing:
    """Draw a board at full size, to lay the real one on: its edge, its holes, its bodies."""
    items = [*_edge(layout, 1.0)]
    for hole in _every(layout):
        items.append(_dot(hole, HOLE_MM, 1.0))
    for part in layout.parts:
        if part.posture is not Posture.CHIP:
            items.append(_outline(part, 1.0))
    return drawing_of(items, name=f"{layout.sub_assembly} board, full size")


def _at(hole: Hole, scale: float) -> Spot:
    x, y = hole.at_mm
    return x * scale, y * scale


def _every(layout: BoardLayout) -> Iterator[Hole]:
    return (
        Hole(row=row, column=column)
        for row in range(layout.rows)
        for column in range(layout.columns)
    )


def _edge(layout: BoardLayout, scale: float) -> Iterator[Item]:
    wide, high = (side * scale for side in layout.size_mm)
    yield rectangle(Pen.CUT, left=0.0, bottom=-high, right=wide, top=0.0)


def _board(layout: BoardLayout, scale: float, *, mirror: bool) -> Iterator[Item]:
    """Draw the edge with letters at its sides and numbers above and below."""
    yield from _edge(layout, scale)
    wide, high = (side * scale for side in layout.size_mm)
    for row in range(layout.rows):
        y = -(row + 0.5) * PITCH_MM * scale - _LETTER_MM / 2
        for x, anchor in ((-_MARGIN_MM, Anchor.END), (wide + _MARGIN_MM, Anchor.START)):
            yield _words(row_name(row), x, y, _LETTER_MM, anchor)
    for column in range(layout.columns):
        x = (column + 0.5) * PITCH_MM * scale
        x = wide - x if mirror else x
        for y in (_MARGIN_MM, -high - _MARGIN_MM - _LETTER_MM):
            yield _words(str(column + 1), x, y, _LETTER_MM, Anchor.MIDDLE)


def _holes(layout: BoardLayout, scale: float) -> Iterator[Item]:
    """Draw the holes that one sees: none where a wire's ring stands, none under a body."""
    wires = {wire.hole for wire in layout.wires}
    bodies = [_extent(part, scale) for part in layout.parts if part.posture is not Posture.CHIP]
    for hole in _every(layout):
        x, y = _at(hole, scale)
        hidden = any(left < x < right and low < y < top for left, low, right, top in bodies)
        if hole not in wires and not hidden:
            yield _dot(hole, HOLE_MM, scale)


def _dot(hole: Hole, size_mm: float, scale: float, *, filled: bool = False) -> Circle:
    x, y = _at(hole, scale)
    return Circle(
        pen=Pen.TEXT if filled else Pen.SIZE,
        x_mm=x,
        y_mm=y,
        diameter_mm=size_mm * scale,
        filled=filled,
    )


def _extent(part: PlacedPart, scale: float) -> tuple[float, float, float, float]:
    """Give left, bottom, right and top of a body."""
    spots = [_at(hole, scale) for hole in part.holes]
    xs, ys = [x for x, _ in spots], [y for _, y in spots]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    long, wide = part.body.size_mm[0] * scale, part.body.size_mm[1] * scale
    if part.posture is Posture.STANDING:
        (x, y), long = spots[part.upright_over], wide
    level = max(xs) - min(xs) >= max(ys) - min(ys)
    right, up = (long / 2, wide / 2) if level else (wide / 2, long / 2)
    return x - right, y - up, x + right, y + up


def _outline(part: PlacedPart, scale: float) -> Item:
    left, bottom, right, top = _extent(part, scale)
    if part.posture is Posture.STANDING:
        return Circle(
            pen=Pen.MARK,
            x_mm=(left + right) / 2,
            y_mm=(bottom + top) / 2,
            diameter_mm=right - left,
        )
    return rectangle(Pen.MARK, left=left, bottom=bottom, right=right, top=top)


def _part(part: PlacedPart, scale: float) -> Iterator[Item]:
    """Draw a part from above: its body with name and value, its leads to their holes."""
    left, bottom, right, top = _extent(part, scale)
    x, y = (left + right) / 2, (bottom + top) / 2
    for hole in part.holes:
        end = _at(hole, scale)
        yield _dot(hole, HOLE_MM * 0.6, scale, filled=True)
        start = (min(max(end[0], left), right), min(max(end[1], bottom), top))
        if part.posture in (Posture.LYING, Posture.STANDING) and start != end:
            yield segment(Pen.CUT, start=start, end=end)
    yield _outline(part, scale)
    if part.posture is Posture.STANDING:  # its lead's end stands in the middle
        above = y + (top - y) * 0.3
        yield _words(part.name, x, above, LEAST_MM, Anchor.MIDDLE, bold=True)
        return
    upright = top - bottom > right - left
    room = (top - bottom if upright else right - left) - 0.8
    both = f"{part.name} {part.value}"
    fits = width_mm(both, height_mm=LEAST_MM, bold=True) <= room
    yield Text(
        x_mm=x + LEAST_MM / 2 if upright else x,
        y_mm=y if upright else y - LEAST_MM / 2,
        words=both if fits else part.name,
        height_mm=LEAST_MM,
        anchor=Anchor.MIDDLE,
        turn_deg=90.0 if upright else 0.0,
        bold=True,
    )


def _wires(layout: BoardLayout, scale: float) -> Iterator[Item]:
    for wire in layout.wires:
        x, y = _at(wire.hole, scale)
        yield Circle(pen=Pen.CUT, x_mm=x, y_mm=y, diameter_mm=_RING_MM * scale)
        yield _words(str(wire.number), x, y - _NUMBER_MM / 2, _NUMBER_MM, Anchor.MIDDLE, bold=True)


def _link(start: Hole, end: Hole, scale: float, *, insulated: bool) -> Iterator[Item]:
    for hole in (start, end):
        yield _dot(hole, HOLE_MM * 0.6, scale, filled=True)
    pen = Pen.SCORE if insulated else Pen.CUT
    yield segment(pen, start=_at(start, scale), end=_at(end, scale))


def _lands(layout: BoardLayout, scale: float) -> Iterator[Item]:
    """Draw pads, or strips with a gap at every cut; a wire's ring stands for its pad."""
    if layout.kind is not BoardKind.STRIPBOARD:
        wires = {wire.hole for wire in layout.wires}
        yield from (_dot(hole, PAD_MM, scale) for hole in _every(layout) if hole not in wires)
        return
    half = PAD_MM / 2 * scale
    cuts = {cut.hole for cut in layout.cuts}
    for row in range(layout.rows):
        y = -(row + 0.5) * PITCH_MM * scale
        gaps = [column for column in range(layout.columns) if Hole(row=row, column=column) in cuts]
        for first, last in pairwise([-1, *gaps, layout.columns]):
            left = (first + 1) * PITCH_MM * scale
            right = last * PITCH_MM * scale
            if right > left:
                yield rectangle(Pen.SIZE, left=left, bottom=y - half, right=right, top=y + half)


def _bars(start: Hole, end: Hole, width_mm: float, scale: float) -> Iterator[Path]:
    """Draw solder or bare wire as bars from pad to pad, so that what is on the pads stays seen."""
    down, right = end.row - start.row, end.column - start.column
    steps = max(abs(down), abs(right))
    for number in range(steps):
        pair = [
            _at(
                Hole(
                    row=start.row + down * place // steps,
                    column=start.column + right * place // steps,
                ),
                scale,
            )
            for place in (number, number + 1)
        ]
        xs, ys = sorted(x for x, _ in pair), sorted(y for _, y in pair)
        rim, half = _RING_MM / 2 * scale, width_mm / 2 * scale
        level = ys[0] == ys[1]
        yield rectangle(
            Pen.TEXT,
            left=xs[0] + (rim if level else -half),
            bottom=ys[0] + (-half if level else rim),
            right=xs[1] - (rim if level else -half),
            top=ys[1] - (-half if level else rim),
            filled=True,
        )


def _cut(hole: Hole, scale: float) -> Iterator[Item]:
    x, y = _at(hole, scale)
    reach = PAD_MM / 2 * scale
    for rise in (reach, -reach):
        yield segment(Pen.CUT, start=(x - reach, y - rise), end=(x + reach, y + rise))


def _chip(part: PlacedPart, scale: float) -> Iterator[Item]:
    left, bottom, right, top = _extent(part, scale)
    yield rectangle(Pen.CUT, left=left, bottom=bottom, right=right, top=top)
    yield _words(
        part.name,
        (left + right) / 2,
        (bottom + top) / 2 - LEAST_MM / 2,
        LEAST_MM,
        Anchor.MIDDLE,
        bold=True,
    )


def _ends(part: PlacedPart, scale: float) -> Iterator[Item]:
    """Draw the ends of a part's leads on the solder side."""
    for hole in part.holes:
        yield _dot(hole, HOLE_MM * 0.7, scale, filled=True)


def _words(
    words: str,
    x_mm: float,
    y_mm: float,
    height_mm: float,
    anchor: Anchor,
    *,
    bold: bool = False,
) -> Text:
    return Text(x_mm=x_mm, y_mm=y_mm, words=words, height_mm=height_mm, anchor=anchor, bold=bold)
