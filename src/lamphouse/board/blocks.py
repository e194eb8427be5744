"""What stands above and below a board as boxes in mm, for the proof: no two may meet."""

from collections.abc import Iterator, Sequence

from lamphouse.board.holes import Hole
from lamphouse.board.legs import Posture
from lamphouse.board.soldered import BoardLayout, PlacedPart
from lamphouse.record import Record

Point = tuple[float, float]
WIRE_RISE_MM = 3.0
"""A wire goes straight up so far before it turns [PRACTICE]."""
_HAIRPIN_LEADS = 3.0
"""Height of a standing part's bend above its body, in lead diameters."""


class Block(Record):
    """An upright box."""

    owner: str
    words: str
    low: tuple[float, float, float]
    """Left, front and bottom; the parts side of the board lies at height 0."""
    high: tuple[float, float, float]
    is_body: bool = False
    """Whether it is a body, not a lead or a wire."""
    below: bool = False
    """Whether it lies on the solder side."""


def blocks_of(layout: BoardLayout) -> tuple[Block, ...]:
    """Give the boxes of every part and wire."""
    return (
        *(block for part in layout.parts for block in _part(part)),
        *(_wire(wire.hole, wire.number, layout.wire_mm) for wire in layout.wires),
    )


def meeting(blocks: Sequence[Block], *, gap_mm: float) -> Iterator[tuple[Block, Block]]:
    """Go through the pairs of different owners that come nearer than a gap."""
    for place, one in enumerate(blocks):
        for other in blocks[place + 1 :]:
            if one.owner != other.owner and one.below == other.below:
                apart = max(
                    max(a - d, c - b)
                    for a, b, c, d in zip(one.low, one.high, other.low, other.high, strict=True)
                )
                if apart < gap_mm - 1e-9:
                    yield one, other


def _wire(hole: Hole, number: int, wire_mm: float) -> Block:
    low, high = _upright(hole.at_mm, (wire_mm, wire_mm), (0.0, WIRE_RISE_MM))
    return Block(owner=f"wire {number}", words=f"wire {number}", low=low, high=high)


def _part(part: PlacedPart) -> Iterator[Block]:
    name, spots = part.name, [hole.at_mm for hole in part.holes]
    length, width, height = part.body.size_mm
    thick, words = part.body.lead_mm, f"a lead of {part.name}"
    if part.posture is Posture.STANDING:
        middle, side = spots[part.upright_over], (width, width)
        height, lead_mm = length, length + _HAIRPIN_LEADS * thick
    else:
        xs, ys = zip(*spots, strict=True)
        middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        level = max(xs) - min(xs) >= max(ys) - min(ys)
        side, lead_mm = (length, width) if level else (width, length), height / 2
    low, high = _upright(middle, side, (0.0, height))
    below = part.posture is Posture.CHIP
    yield Block(
        owner=name, words=f"the body of {name}", low=low, high=high, is_body=True, below=below
    )
    if part.posture in (Posture.LYING, Posture.STANDING):
        for spot in spots:
            low, high = _upright(spot, (thick, thick), (0.0, lead_mm))
            yield Block(owner=name, words=words, low=low, high=high)
        rise = (lead_mm - thick, lead_mm)
        (x0, x1), (y0, y1) = (sorted(ends) for ends in zip(*spots, strict=True))
        low, high = _upright(
            ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0 + thick, y1 - y0 + thick), rise
        )
        yield Block(owner=name, words=words, low=low, high=high)


def _upright(
    middle: Point, side: Point, height: tuple[float, float]
) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
    """Give the corners of a box, the lowest and the highest."""
    (x, y), (wide, deep) = middle, side
    return (
        (x - wide / 2, y - deep / 2, height[0]),
        (x + wide / 2, y + deep / 2, height[1]),
    )
