"""Which way a wire link goes: over the parts where it is clear, else along the solder side."""

from collections.abc import Iterator, Sequence

from lamphouse.board.growing import Grown
from lamphouse.board.holes import Hole
from lamphouse.board.legs import Form, Posture
from lamphouse.board.seatings import Ground
from lamphouse.board.soldered import Face, PlacedPart, WireLink, WirePad

_BARE_MOST = 4
"""A bare link is at most so many holes long; a longer one bows and is insulated [PRACTICE]."""


def links_of(
    nets: Sequence[Grown],
    *,
    parts: Sequence[PlacedPart],
    wires: Sequence[WirePad],
    ground: Ground,
) -> tuple[WireLink, ...]:
    """Give every link with its side, bare where it runs straight and short over empty holes."""
    pairs = [(ground.hole(one), ground.hole(other)) for net in nets for one, other in net.links]
    taken = {hole for part in parts for hole in part.holes} | {wire.hole for wire in wires}
    taken |= {hole for pair in pairs for hole in pair}
    return tuple(_link(start, end, parts, taken) for start, end in pairs)


def _link(start: Hole, end: Hole, parts: Sequence[PlacedPart], taken: set[Hole]) -> WireLink:
    face = Face.PARTS if _is_clear(start, end, parts) else Face.SOLDER
    passed = list(_passed(start, end))
    straight = start.row == end.row or start.column == end.column
    bare = (
        face is Face.PARTS
        and straight
        and len(passed) < _BARE_MOST
        and not taken.intersection(passed)
    )
    return WireLink(start=start, end=end, face=face, insulated=not bare)


def _passed(start: Hole, end: Hole) -> Iterator[Hole]:
    """Go through the holes between two holes of one row or column."""
    low, high = sorted((start, end))
    for row in range(low.row, high.row + 1):
        for column in range(low.column, high.column + 1):
            hole = Hole(row=row, column=column)
            if hole not in (start, end):
                yield hole


def _is_clear(start: Hole, end: Hole, parts: Sequence[PlacedPart]) -> bool:
    """Tell whether the box around a link keeps off all bodies on the parts side."""
    rows = sorted((start.row, end.row))
    columns = sorted((start.column, end.column))
    return not any(
        low[0] <= rows[1] and rows[0] <= high[0] and low[1] <= columns[1] and columns[0] <= high[1]
        for part in parts
        if part.body.form is not Form.CHIP
        for low, high in [_extent(part)]
    )


def _extent(part: PlacedPart) -> tuple[tuple[int, int], tuple[int, int]]:
    """Give the rows and columns a part's body reaches over, the first and the last."""
    reach = 1 if part.body.size_mm[1] > 4.0 or part.posture is Posture.RADIAL else 0
    rows = [hole.row for hole in part.holes]
    columns = [hole.column for hole in part.holes]
    return (min(rows) - reach, min(columns) - reach), (max(rows) + reach, max(columns) + reach)
