"""Copper and solder as bars with round ends, for the proof: how far apart they lie, what is joined.

A pad is a bar without length; a strip runs from its first hole to its last.
"""

from collections.abc import Hashable, Iterable, Iterator
from math import hypot

from lamphouse.board.holes import PAD_MM, Hole
from lamphouse.board.soldered import BoardLayout
from lamphouse.design.supply import BoardKind
from lamphouse.record import Record

Point = tuple[float, float]
SOLDER_MM = 1.0
"""Width of a solder bridge [PRACTICE]."""
BARE_WIRE_MM = 0.6
"""Thickness of tinned wire, like a resistor's lead [PRACTICE]."""


class Bar(Record):
    """Metal within a radius of a straight line."""

    start: Point
    end: Point
    radius_mm: float
    words: str
    """What it is, such as ``the bridge C4 to C5``."""


def gap_mm(one: Bar, other: Bar) -> float:
    """Give the space between two bars; negative by as much as they overlap."""
    return _apart(one.start, one.end, other.start, other.end) - one.radius_mm - other.radius_mm


def reach_mm(bar: Bar, *, corner: Point, opposite: Point) -> float:
    """Give the space between a bar and an upright rectangle; negative when they overlap."""
    (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(corner, opposite, strict=True))
    if any(x0 <= x <= x1 and y0 <= y <= y1 for x, y in (bar.start, bar.end)):
        return -bar.radius_mm
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    sides = zip(corners, corners[1:] + corners[:1], strict=True)
    return min(_apart(bar.start, bar.end, a, b) for a, b in sides) - bar.radius_mm


def _apart(a: Point, b: Point, c: Point, d: Point) -> float:
    """Give the distance between two straight lines with ends."""
    if _crossing(a, b, c, d):
        return 0.0
    return min(_to_line(a, c, d), _to_line(b, c, d), _to_line(c, a, b), _to_line(d, a, b))


def _crossing(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _to_line(point: Point, start: Point, end: Point) -> float:
    run = (end[0] - start[0], end[1] - start[1])
    length2 = run[0] ** 2 + run[1] ** 2
    away = (point[0] - start[0], point[1] - start[1])
    share = (away[0] * run[0] + away[1] * run[1]) / length2 if length2 else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(away[0] - share * run[0], away[1] - share * run[1])


def lands(layout: BoardLayout) -> dict[Hole, Bar]:
    """Give the copper at every hole that has some: its pad, or its piece of strip."""
    gone = {cut.hole for cut in layout.cuts}
    found: dict[Hole, Bar] = {}
    for row in range(layout.rows):
        holes = [Hole(row=row, column=column) for column in range(layout.columns)]
        for piece in _pieces(holes, gone, whole=layout.kind is BoardKind.STRIPBOARD):
            first, last = piece[0], piece[-1]
            words = f"pad {first.name}" if first == last else f"strip {first.name} to {last.name}"
            bar = Bar(start=first.at_mm, end=last.at_mm, radius_mm=PAD_MM / 2, words=words)
            found.update(dict.fromkeys(piece, bar))
    return found


def _pieces(holes: Iterable[Hole], gone: set[Hole], *, whole: bool) -> Iterator[list[Hole]]:
    piece: list[Hole] = []
    for hole in holes:
        if piece and (hole in gone or not whole):
            yield piece
            piece = []
        if hole not in gone:
            piece.append(hole)
    if piece:
        yield piece


def soldered_bars(layout: BoardLayout) -> Iterator[Bar]:
    """Give every bridge, tail and bare run on the solder side."""
    leads = {part.name: part.body.lead_mm for part in layout.parts}
    for bridge in layout.bridges:
        words = f"the bridge {bridge.first.name} to {bridge.second.name}"
        yield _bar(bridge.first, bridge.second, SOLDER_MM, words)
    for tail in layout.tails:
        words = f"the tail of {tail.part} from {tail.start.name} to {tail.end.name}"
        yield _bar(tail.start, tail.end, leads.get(tail.part, BARE_WIRE_MM), words)
    for run in layout.bare_runs:
        words = f"the bare wire {run.start.name} to {run.end.name}"
        yield _bar(run.start, run.end, BARE_WIRE_MM, words)


def _bar(start: Hole, end: Hole, width_mm: float, words: str) -> Bar:
    return Bar(start=start.at_mm, end=end.at_mm, radius_mm=width_mm / 2, words=words)


class Islands:
    """Things that are joined, as they come to be joined."""

    def __init__(self) -> None:
        """Start with nothing joined."""
        self._above: dict[Hashable, Hashable] = {}

    def of(self, thing: Hashable) -> Hashable:
        """Give the one thing that stands for an island."""
        self._above.setdefault(thing, thing)
        while self._above[thing] != thing:
            self._above[thing] = self._above[self._above[thing]]
            thing = self._above[thing]
        return thing

    def join(self, one: Hashable, other: Hashable) -> None:
        """Join two things and all that hangs on them."""
        self._above[self.of(one)] = self.of(other)
