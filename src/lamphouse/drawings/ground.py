"""The ground a label is set on: what lies there already, and where there is room.

Terminology
-----------
obstacle
    A box or a straight line that a label must not lie on. It may have an owner: the thing it
    belongs to, whose own leader may start on it.
leader
    A thin line from a label to what it names, drawn where the label does not fit beside it.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from lamphouse.drawings.clip import apart
from lamphouse.drawings.drawing import Anchor, Circle, Item, Path, Pen, Text
from lamphouse.drawings.figures import segment
from lamphouse.drawings.lettering import box_of
from lamphouse.drawings.moves import Box, bounds, moved
from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Spot, circle

_CELL_MM = 4.0
"""Size of the squares the obstacles are sorted into."""
_CHORD_ERROR_MM = 0.05
_CLEAR_MM = 0.35
"""Kept free around a label."""
_TOUCH_MM = 0.1
"""A leader ends this far from what it names."""
_PAST_MM = 1.0
"""A leader keeps this far from what is written elsewhere, so as not to underline it."""
_A_LITTLE_MM = 0.01
_BESIDE = ((0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1), (1, 0), (-1, 0))
"""Where a label is tried first, as steps right and up: above, below, the corners, the sides."""
_RINGS_MM = (2.5, 4.0, 5.5, 7.5, 10.0, 14.0, 19.0, 25.0)
_DIRECTIONS = 16


class _Obstacle(Record):
    start: Spot
    end: Spot
    solid: bool
    """True for the box between the two corners, False for the line."""
    owner: int | None
    passable: bool
    """Whether a leader may cross it."""


class Named(Record):
    """Something to be labelled."""

    words: str
    x_mm: float
    y_mm: float
    rim_mm: float
    """From its middle to where a leader ends."""
    reach_mm: float
    """From its middle to where a label may begin; centre lines included."""
    owner: int | None = None


class Ground:
    """What lies on a drawing so far. It grows while labels are set."""

    def __init__(self) -> None:
        """Start with bare ground."""
        self._cells: defaultdict[tuple[int, int], list[_Obstacle]] = defaultdict(list)

    def add(
        self, items: Iterable[Item], *, owner: int | None = None, passable: bool = False
    ) -> None:
        """Lay items on the ground: text and filled shapes as boxes, lines as lines.

        Parameters
        ----------
        items
            What to lay.
        owner
            The thing they belong to; its own leader may start on them.
        passable
            Whether leaders may cross them, as they may an outline.
        """
        for item in items:
            if isinstance(item, Path) and not item.filled:
                spots = flatten(item.corners, error_mm=_CHORD_ERROR_MM)
                ends = spots[1:] + spots[:1] * item.closed
                for start, end in zip(spots, ends, strict=False):
                    self._lay(start, end, solid=False, owner=owner, passable=passable)
            elif isinstance(item, Circle) and not item.filled:
                rim = circle(item.diameter_mm, x_mm=item.x_mm, y_mm=item.y_mm)
                ring = Path(pen=item.pen, corners=rim, closed=True)
                self.add([ring], owner=owner, passable=passable)
            else:
                left, bottom, right, top = bounds(item)
                self._lay((left, bottom), (right, top), solid=True, owner=owner, passable=passable)

    def _lay(
        self, start: Spot, end: Spot, *, solid: bool, owner: int | None, passable: bool
    ) -> None:
        obstacle = _Obstacle(start=start, end=end, solid=solid, owner=owner, passable=passable)
        for cell in _cells_of(_hull(start, end)):
            self._cells[cell].append(obstacle)

    def _near(self, box: Box, *, past_mm: float = 0.0) -> Iterator[_Obstacle]:
        left, bottom, right, top = box
        wide = (left - past_mm, bottom - past_mm, right + past_mm, top + past_mm)
        for cell in _cells_of(wide):
            yield from self._cells.get(cell, ())

    def is_bare(self, box: Box) -> bool:
        """Tell whether a box, and a little around it, lies on nothing."""
        wide = (box[0] - _CLEAR_MM, box[1] - _CLEAR_MM, box[2] + _CLEAR_MM, box[3] + _CLEAR_MM)
        return not any(_lies_on(wide, obstacle) for obstacle in self._near(wide))

    def is_free(self, texts: Iterable[Text]) -> bool:
        """Tell whether texts lie on nothing."""
        return all(self.is_bare(box_of(text)) for text in texts)

    def crosses(self, start: Spot, end: Spot, *, owner: int | None) -> bool:
        """Tell whether a leader would cross an obstacle that is not its owner's."""
        return any(
            _leader_hits(start, end, obstacle)
            for obstacle in self._near(_hull(start, end), past_mm=_PAST_MM)
            if not obstacle.passable and (owner is None or obstacle.owner != owner)
        )

    def label(
        self, named: Named, *, height_mm: float, pen: Pen = Pen.TEXT, far: bool = True
    ) -> tuple[Item, ...]:
        """Set a label beside the thing it names, or away from it with a leader.

        Parameters
        ----------
        named
            What to name.
        height_mm, pen
            Of the letters.
        far
            Whether it may stand away.

        Returns
        -------
        tuple of Item
            The text, and the leader where there is one, which now lie on the ground; nothing
            when there is no room for them.
        """
        text = _text(named, height_mm, pen)
        box = box_of(text)
        for right, up in _beside(box, named):
            if self.is_bare(_shifted(box, right, up)):
                return self._keep((moved(text, right_mm=right, up_mm=up),))
        for right, up in _around(box, named) if far else ():
            there = _shifted(box, right, up)
            leader = _leader(named, there)
            if leader and self.is_bare(there) and not self.crosses(*leader, owner=named.owner):
                line = segment(Pen.SIZE, start=leader[0], end=leader[1])
                return self._keep((moved(text, right_mm=right, up_mm=up), line))
        return ()

    def _keep(self, items: tuple[Item, ...]) -> tuple[Item, ...]:
        self.add(items)
        return items


def _text(named: Named, height_mm: float, pen: Pen) -> Text:
    """Make the label with the middle of its capitals on what it names."""
    return Text(
        x_mm=named.x_mm,
        y_mm=named.y_mm - height_mm / 2,
        words=named.words,
        height_mm=height_mm,
        pen=pen,
        anchor=Anchor.MIDDLE,
    )


def _beside(box: Box, named: Named) -> Iterator[tuple[float, float]]:
    """Give the ways, right and up, that bring a centred label clear of what it names."""
    left, bottom, right, top = box
    for step in _BESIDE:
        diagonal = math.sqrt(0.5) if all(step) else 1.0
        clear = named.reach_mm * diagonal + _CLEAR_MM + _A_LITTLE_MM
        yield step[0] * (clear + (right - left) / 2), step[1] * (clear + (top - bottom) / 2)


def _around(box: Box, named: Named) -> Iterator[tuple[float, float]]:
    """Give ways further and further out, each ring from straight up round to the right."""
    left, bottom, right, top = box
    for ring in _RINGS_MM:
        for number in range(_DIRECTIONS):
            angle = math.pi / 2 - math.tau * number / _DIRECTIONS
            yield (
                math.cos(angle) * (named.reach_mm + ring + (right - left) / 2),
                math.sin(angle) * (named.reach_mm + ring + (top - bottom) / 2),
            )


def _shifted(box: Box, right_mm: float, up_mm: float) -> Box:
    left, bottom, right, top = box
    return left + right_mm, bottom + up_mm, right + right_mm, top + up_mm


def _leader(named: Named, box: Box) -> tuple[Spot, Spot] | None:
    """Give a leader from the rim of the named thing to its label; None where they are too near."""
    left, bottom, right, top = box
    end = (min(max(named.x_mm, left), right), min(max(named.y_mm, bottom), top))
    far = math.hypot(end[0] - named.x_mm, end[1] - named.y_mm)
    if far <= named.rim_mm + _TOUCH_MM + _CLEAR_MM:  # a long label may lie over what it names
        return None
    rim, gap = (named.rim_mm + _TOUCH_MM) / far, 1 - _CLEAR_MM / far
    return tuple(  # type: ignore[return-value]
        (
            named.x_mm + share * (end[0] - named.x_mm),
            named.y_mm + share * (end[1] - named.y_mm),
        )
        for share in (rim, gap)
    )


def _hull(start: Spot, end: Spot) -> Box:
    (x0, y0), (x1, y1) = start, end
    left, right = (x0, x1) if x0 <= x1 else (x1, x0)
    bottom, top = (y0, y1) if y0 <= y1 else (y1, y0)
    return left, bottom, right, top


def _cells_of(box: Box) -> Sequence[tuple[int, int]]:
    left, bottom, right, top = box
    first_x, last_x = math.floor(left / _CELL_MM), math.floor(right / _CELL_MM)
    first_y, last_y = math.floor(bottom / _CELL_MM), math.floor(top / _CELL_MM)
    if first_x == last_x and first_y == last_y:
        return ((first_x, first_y),)
    rows = range(first_y, last_y + 1)
    return [(column, row) for column in range(first_x, last_x + 1) for row in rows]


def _lies_on(box: Box, obstacle: _Obstacle) -> bool:
    if obstacle.solid:
        return not apart(box, _hull(obstacle.start, obstacle.end))
    return _meets(box, obstacle.start, obstacle.end)


def _leader_hits(start: Spot, end: Spot, obstacle: _Obstacle) -> bool:
    if obstacle.solid:
        left, bottom, right, top = _hull(obstacle.start, obstacle.end)
        wide = (left - _PAST_MM, bottom - _PAST_MM, right + _PAST_MM, top + _PAST_MM)
        return _meets(wide, start, end)
    return _cross(start, end, obstacle.start, obstacle.end)


def _meets(box: Box, start: Spot, end: Spot) -> bool:
    """Tell whether a straight line comes into a box (Liang and Barsky, 1984)."""
    first, last = 0.0, 1.0
    for axis in (0, 1):
        low, high = box[axis] - start[axis], box[axis + 2] - start[axis]
        run = end[axis] - start[axis]
        if run == 0:
            if low > 0 or high < 0:
                return False
            continue
        near, far = sorted((low / run, high / run))
        first, last = max(first, near), min(last, far)
    return first <= last


def _cross(a: Spot, b: Spot, c: Spot, d: Spot) -> bool:
    """Tell whether two straight lines cross or touch; lines along one another count as not."""
    return _side(a, b, c) * _side(a, b, d) <= 0 and _side(c, d, a) * _side(c, d, b) < 0


def _side(a: Spot, b: Spot, c: Spot) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
