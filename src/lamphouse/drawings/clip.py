"""Items cut to a window: straight pieces and arcs exactly, text whole or not at all."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lamphouse.drawings.drawing import Circle, Item, Path, Text
from lamphouse.drawings.moves import Box, bounds, moved
from lamphouse.drawings.strokes import chained, crossings, part_of, spot_at, strokes_of
from lamphouse.record import replace
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Piece, Spot

_TOUCH_MM = 1e-9
"""Points this close to the window's edge lie in it."""
_SHORT = 1e-12
"""A smaller share of a stroke is no line."""
_FILL_ERROR_MM = 0.01
"""How far the chords of a filled shape may leave its arcs where it is cut."""


def within(box: Box, window: Box, *, slack_mm: float = _TOUCH_MM) -> bool:
    """Tell whether a box lies in a window."""
    return (
        box[0] >= window[0] - slack_mm
        and box[1] >= window[1] - slack_mm
        and box[2] <= window[2] + slack_mm
        and box[3] <= window[3] + slack_mm
    )


def apart(one: Box, other: Box) -> bool:
    """Tell whether two boxes have nothing in common, not even an edge."""
    return one[2] < other[0] or one[0] > other[2] or one[3] < other[1] or one[1] > other[3]


def clipped(item: Path | Circle, *, window: Box) -> Iterator[Item]:
    """Give what of a line lies in a window; nothing, or one item or more.

    A closed path that leaves the window becomes open paths. A filled shape stays one filled
    shape; its arcs become chords within 0.01 mm.
    """
    box = bounds(item)
    if apart(box, window):
        return
    if within(box, window):
        yield item
        return
    path = _outline(item) if isinstance(item, Circle) else item
    if path.filled:
        yield from _clipped_fill(path, window)
    else:
        yield from _clipped_line(path, window)


def shared(texts: Sequence[Text], *, windows: Sequence[Box]) -> tuple[tuple[Text, ...], ...]:
    """Give each window the texts it holds whole.

    A text that no window holds whole goes to the one it lies in most, moved inwards just far
    enough.
    """
    held: list[list[Text]] = [[] for _ in windows]
    for text in texts:
        box = bounds(text)
        homes = [place for place, window in enumerate(windows) if within(box, window)]
        for place in homes:
            held[place].append(text)
        if not homes:
            place = max(range(len(windows)), key=lambda i: _overlap(box, windows[i]))
            held[place].append(_inwards(text, windows[place]))
    return tuple(tuple(texts) for texts in held)


def _outline(circle: Circle) -> Path:
    reach = circle.diameter_mm / 2
    corners = ((circle.x_mm - reach, circle.y_mm, 1.0), (circle.x_mm + reach, circle.y_mm, 1.0))
    return Path(pen=circle.pen, corners=corners, closed=True, filled=circle.filled)


def _clipped_line(path: Path, window: Box) -> Iterator[Path]:
    runs: list[list[Piece]] = []
    for stroke in strokes_of(path):
        for piece in _inside(stroke, window):
            if runs and runs[-1][-1].end == piece.start:
                runs[-1].append(piece)
            else:
                runs.append([piece])
    if path.closed and len(runs) > 1 and runs[-1][-1].end == runs[0][0].start:
        runs[0] = runs.pop() + runs[0]
    for run in runs:
        yield Path(pen=path.pen, corners=chained(run))


def _inside(stroke: Piece, window: Box) -> Iterator[Piece]:
    """Give the pieces of a stroke in a window, joined where they touch."""
    shares = {0.0, 1.0}
    for axis in (0, 1):
        for level in (window[axis], window[axis + 2]):
            shares.update(crossings(stroke, axis=axis, level_mm=level))
    stops = sorted(shares)
    first: float | None = None
    for low, high in pairwise(stops):
        x, y = spot_at(stroke, share=(low + high) / 2)
        if within((x, y, x, y), window):
            first = low if first is None else first
        elif first is not None:
            yield from _piece(stroke, first, low)
            first = None
    if first is not None:
        yield from _piece(stroke, first, 1.0)


def _piece(stroke: Piece, first: float, last: float) -> Iterator[Piece]:
    if last - first > _SHORT:
        whole = first == 0 and last == 1
        yield stroke if whole else part_of(stroke, first=first, last=last)


def _clipped_fill(path: Path, window: Box) -> Iterator[Path]:
    """Cut a filled shape edge by edge of the window (Sutherland and Hodgman, 1974)."""
    corners = list(flatten(path.corners, error_mm=_FILL_ERROR_MM))
    for axis, level, side in (
        (0, window[0], 1),
        (0, window[2], -1),
        (1, window[1], 1),
        (1, window[3], -1),
    ):
        corners = _kept(corners, axis, level, side)
    if len(corners) > 2:
        yield replace(path, corners=tuple((x, y, 0.0) for x, y in corners), closed=True)


def _kept(corners: list[Spot], axis: int, level: float, side: int) -> list[Spot]:
    kept: list[Spot] = []
    for start, end in zip(corners, corners[1:] + corners[:1], strict=True):
        starts_in = (start[axis] - level) * side >= 0
        ends_in = (end[axis] - level) * side >= 0
        if starts_in:
            kept.append(start)
        if starts_in != ends_in:
            share = (level - start[axis]) / (end[axis] - start[axis])
            kept.append(spot_at(Piece(start=start, end=end, bulge=0.0), share=share))
    return kept


def _overlap(box: Box, window: Box) -> float:
    """Give the area a box shares with a window, or minus the way to it when it shares none."""
    wide = min(box[2], window[2]) - max(box[0], window[0])
    high = min(box[3], window[3]) - max(box[1], window[1])
    return wide * high if wide > 0 and high > 0 else min(wide, 0) + min(high, 0)


def _inwards(text: Text, window: Box) -> Text:
    left, bottom, right, top = bounds(text)
    right_mm = max(window[0] - left, 0.0) or min(window[2] - right, 0.0)
    up_mm = max(window[1] - bottom, 0.0) or min(window[3] - top, 0.0)
    return moved(text, right_mm=right_mm, up_mm=up_mm)
