"""Proves a board from its solder, wires and bodies alone; knows nothing of how it was laid out.

Copper on the solder side is bars and discs in mm: what overlaps is joined, and what comes nearer
than ``CLEAR_MM`` without overlapping is a fault. Bodies, leads and wires above the board are boxes
that may not meet.

Terminology
-----------
island
    Copper that is joined, with all that is soldered to it.
"""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from math import dist

from lamphouse.board.blocks import blocks_of, meeting
from lamphouse.board.copper import (
    BARE_WIRE_MM,
    Bar,
    Islands,
    gap_mm,
    lands,
    reach_mm,
    soldered_bars,
)
from lamphouse.board.holes import HOLE_MM, PAD_MM, PITCH_MM, THICKNESS_MM, Hole
from lamphouse.board.legs import (
    BODY_GAP_MM,
    CHIP_LAP_MM,
    LEAD_LENGTH_MM,
    LEAST_STRAIGHT_MM,
    Form,
    Posture,
)
from lamphouse.board.soldered import BoardLayout, Face, PlacedPart
from lamphouse.circuit.wired import Pin, WiredKind, WiredSubAssembly
from lamphouse.design.supply import BoardKind

CLEAR_MM = 0.3
"""Kept between copper of different nets: three times what [IPC2221] asks below 30 V, as solder is
laid by hand [PRACTICE]."""
HOLE_PLAY_MM = 0.1
"""A lead is thinner than its hole by this [PRACTICE]."""
_A_HAIR_MM = 1e-9
_FORMS = {
    Form.AXIAL: (Posture.LYING, Posture.STANDING),
    Form.CHIP: (Posture.CHIP,),
    Form.RADIAL: (Posture.RADIAL,),
}


def faults_of(
    layout: BoardLayout, *, wired: WiredSubAssembly, space_mm: tuple[float, float] | None = None
) -> tuple[str, ...]:
    """List everything that is wrong with a board; a sound one has no faults.

    Parameters
    ----------
    layout
        The board as it would be soldered.
    wired
        The circuit it must be: exactly the nets of it that reach the board.
    space_mm
        Room there is for the board, either way up; None when it does not matter.

    Returns
    -------
    tuple of str
        In words that name holes.

    Notes
    -----
    Boxes stand for round bodies, so that a sound board may be refused and no unsound one passes.
    Bridges, tails and bare wire are taken as straight, leads as centred in their holes.

    References
    ----------
    [IEC60097], [LEAD-FORMING], [IPC2221]
    """
    outside = (*_outside(layout, space_mm), *_strangers(layout, wired))
    if outside:
        return outside
    return (
        *_crowded(layout),
        *(fault for part in layout.parts for fault in _legs(part)),
        *_solder(layout),
        *_joined(layout, wired),
        *_meeting(layout),
    )


def _outside(layout: BoardLayout, space_mm: tuple[float, float] | None) -> Iterator[str]:
    """Find holes that are not on the board, and a board larger than its space."""
    for hole, words in _places(layout):
        if not (0 <= hole.row < layout.rows and 0 <= hole.column < layout.columns):
            yield f"{words} is off the board of {layout.columns} by {layout.rows} holes"
    size = (layout.columns * PITCH_MM, layout.rows * PITCH_MM)
    if dist(size, layout.size_mm) > 1e-6:
        yield f"{layout.columns} by {layout.rows} holes are not {layout.size_mm} mm"
    if space_mm is not None and any(
        side > room + _A_HAIR_MM for side, room in zip(sorted(size), sorted(space_mm), strict=True)
    ):
        yield f"{size[0]:.2f} x {size[1]:.2f} mm is larger than its space"
    if layout.cuts and layout.kind is not BoardKind.STRIPBOARD:
        yield "only a strip can be cut"


def _places(layout: BoardLayout) -> Iterator[tuple[Hole, str]]:
    for part in layout.parts:
        yield from ((hole, f"{part.name} in {hole.name}") for hole in part.holes)
    yield from ((wire.hole, f"wire {wire.number} in {wire.hole.name}") for wire in layout.wires)
    for pair in ((bridge.first, bridge.second) for bridge in layout.bridges):
        yield from ((hole, f"a bridge at {hole.name}") for hole in pair)
    ends = [(tail.start, tail.end) for tail in layout.tails]
    ends += [(run.start, run.end) for run in layout.bare_runs]
    ends += [(link.start, link.end) for link in layout.links]
    yield from ((hole, f"a wire at {hole.name}") for pair in ends for hole in pair)
    yield from ((cut.hole, f"a cut at {cut.hole.name}") for cut in layout.cuts)
    yield from ((probe.hole, f"{probe.name} at {probe.hole.name}") for probe in layout.probes)


def _strangers(layout: BoardLayout, wired: WiredSubAssembly) -> Iterator[str]:
    """Find parts and wires that are missing, doubled, or of another circuit."""
    wanted = {part.name: part for part in wired.parts if part.on_board}
    for name, count in Counter(part.name for part in layout.parts).items():
        if count > 1:
            yield f"{name} stands on the board {count} times"
        if name not in wanted:
            yield f"{name} does not belong on this board"
    for name, part in wanted.items():
        placed = next((one for one in layout.parts if one.name == name), None)
        if placed is None:
            yield f"{name} is missing"
        elif len(placed.holes) != part.pins:
            yield f"{name} has {part.pins} pins and {len(placed.holes)} holes"
        elif placed.value != part.value:
            yield f"{name} is {placed.value} and should be {part.value}"
    leaving = {pin for pins in _nets_on_board(wired).values() for pin in pins}
    leaving = {pin for pin in leaving if pin.part not in wanted}
    for pin, count in Counter(wire.pin for wire in layout.wires).items():
        if count > 1:
            yield f"{pin.part} pin {pin.pin} has {count} wires"
        if pin not in leaving:
            yield f"no wire goes to {pin.part} pin {pin.pin}"
    for pin in sorted(leaving - {wire.pin for wire in layout.wires}, key=str):
        yield f"the wire to {pin.part} pin {pin.pin} is missing"


def _nets_on_board(wired: WiredSubAssembly) -> dict[str, tuple[Pin, ...]]:
    """Give the nets that a part of the board or the plug belongs to."""
    held = {p.name for p in wired.parts if p.on_board or p.kind is WiredKind.PLUG}
    return {net.name: net.pins for net in wired.nets if any(pin.part in held for pin in net.pins)}


def _crowded(layout: BoardLayout) -> Iterator[str]:
    """Find holes with more than one lead, wire or link in them, or with one in a cut."""
    taken: dict[Hole, list[str]] = {}
    for part in layout.parts:
        for hole in part.holes:
            taken.setdefault(hole, []).append(part.name)
    for wire in layout.wires:
        taken.setdefault(wire.hole, []).append(f"wire {wire.number}")
    for link in layout.links:
        for hole in (link.start, link.end):
            taken.setdefault(hole, []).append("a link")
    for cut in layout.cuts:
        taken.setdefault(cut.hole, []).append("a cut")
    for hole, things in sorted(taken.items()):
        if len(things) > 1:
            yield f"{hole.name} holds {' and '.join(things)}"


def _legs(part: PlacedPart) -> Iterator[str]:
    """Find leads that cannot reach their holes, or must bend too near their body."""
    body, names = part.body, " and ".join(hole.name for hole in part.holes)
    if part.posture not in _FORMS[body.form]:
        yield f"{part.name} has no such posture"
        return
    if body.lead_mm > HOLE_MM - HOLE_PLAY_MM:
        yield f"the leads of {part.name} are too thick for a hole"
    if body.form is Form.RADIAL:
        if not _turned_alike(part):
            yield f"the pins of {part.name} do not go into {names}"
        return
    first, second = part.holes
    if first.row != second.row and first.column != second.column:
        yield f"{part.name} lies askew from {names}"
    span = dist(first.at_mm, second.at_mm)
    straight = max(LEAST_STRAIGHT_MM, body.lead_mm)
    if part.posture is Posture.CHIP:
        lap = (body.size_mm[0] - (span - PAD_MM)) / 2
        if lap < CHIP_LAP_MM or body.size_mm[0] > span + PAD_MM:
            yield f"{part.name} does not bridge {names}"
    elif part.posture is Posture.LYING:
        if span < body.size_mm[0] + 2 * straight + 3 * body.lead_mm - _A_HAIR_MM:
            yield f"{part.name} must bend its leads too near its body between {names}"
        if _spare_lead_mm(part) < 0:
            yield f"the leads of {part.name} do not reach {names}"
    else:
        if span < max(body.size_mm[1] / 2 + body.lead_mm / 2 + BODY_GAP_MM, 3 * body.lead_mm):
            yield f"{part.name} cannot stand between {names}"
        if _spare_lead_mm(part) < 0:
            yield f"the lead of {part.name} does not reach down to {names}"


def _turned_alike(part: PlacedPart) -> bool:
    """Tell whether the holes are the body's pins, turned by quarters and never mirrored."""
    first = part.holes[0]
    steps = [(h.column - first.column, h.row - first.row) for h in part.holes]
    wanted = [
        (x - part.body.pin_steps[0][0], y - part.body.pin_steps[0][1])
        for x, y in part.body.pin_steps
    ]
    for _ in range(4):
        if steps == wanted:
            return True
        wanted = [(-y, x) for x, y in wanted]
    return False


def _spare_lead_mm(part: PlacedPart) -> float:
    """Give the length of lead left below the board; of a standing part, of its long way round."""
    span = dist(part.holes[0].at_mm, part.holes[1].at_mm)
    if part.posture is Posture.LYING:
        return LEAD_LENGTH_MM - (span - part.body.size_mm[0]) / 2 - _drop_mm(part)
    return LEAD_LENGTH_MM - 2 * LEAST_STRAIGHT_MM - span - part.body.size_mm[0] - THICKNESS_MM


def _drop_mm(part: PlacedPart) -> float:
    return part.body.size_mm[2] / 2 + THICKNESS_MM


def _solder(layout: BoardLayout) -> Iterator[str]:
    """Find bridges that are too long, and tails that are no lead of their part."""
    for bridge in layout.bridges:
        if abs(dist(bridge.first.at_mm, bridge.second.at_mm) - PITCH_MM) > _A_HAIR_MM:
            yield f"solder cannot bridge {bridge.first.name} and {bridge.second.name}"
    parts = {part.name: part for part in layout.parts}
    for (name, pin), count in Counter((t.part, t.pin) for t in layout.tails).items():
        if count > 1:
            yield f"{name} has one lead {pin} and {count} tails of it"
    for tail in layout.tails:
        part = parts.get(tail.part)
        if part is None or not 1 <= tail.pin <= len(part.holes):
            yield f"there is no lead {tail.pin} of {tail.part}"
        elif part.holes[tail.pin - 1] != tail.start:
            yield f"the tail of {tail.part} does not start at {tail.start.name}"
        elif part.body.form is not Form.AXIAL:
            yield f"the pins of {tail.part} are too short for a tail"
        else:
            spare = LEAD_LENGTH_MM - THICKNESS_MM
            if part.posture is Posture.LYING or part.upright_over != tail.pin - 1:
                spare = _spare_lead_mm(part)
            if dist(tail.start.at_mm, tail.end.at_mm) > spare:
                yield f"the lead of {tail.part} does not reach {tail.end.name}"


def _joined(layout: BoardLayout, wired: WiredSubAssembly) -> Iterator[str]:
    """Compare what is joined with the nets of the circuit."""
    at, islands = lands(layout), Islands()
    copper = list(dict.fromkeys(at.values()))
    bars = list(soldered_bars(layout))
    above = [link for link in layout.links if not link.insulated]
    wires = [_link_bar(link.start, link.end) for link in above]
    tops = {hole: _lead_bar(hole) for hole in _leads(layout) if hole in at}
    close: list[tuple[Bar, Bar]] = []

    def touch(one: Bar, other: Bar) -> bool:
        gap = gap_mm(one, other)
        if 0 < gap < CLEAR_MM:
            close.append((one, other))
        return gap <= 0

    for number, bar in enumerate(bars):
        for other in (*copper, *bars[number + 1 :]):
            if touch(bar, other):
                islands.join(bar, other)
    for hole, top in tops.items():
        islands.join(top, at[hole])
    for link, wire in zip(above, wires, strict=True):
        side = [*tops.values()] if link.face is Face.PARTS else [*copper, *bars]
        others = [w for k, w in zip(above, wires, strict=True) if k.face is link.face]
        for other in (*side, *(w for w in others if w is not wire)):
            if touch(wire, other):
                islands.join(wire, other)
    for link in layout.links:
        if link.start in at and link.end in at:
            islands.join(at[link.start], at[link.end])
    yield from _compared(layout, wired, at, islands)
    for one, other in close:
        if islands.of(one) != islands.of(other):
            yield f"{one.words} comes within {CLEAR_MM:g} mm of {other.words}"


def _leads(layout: BoardLayout) -> Iterator[Hole]:
    """Go through the holes with bare metal above the board."""
    for part in layout.parts:
        if part.posture is not Posture.CHIP:
            yield from part.holes
    yield from (wire.hole for wire in layout.wires)
    yield from (hole for link in layout.links for hole in (link.start, link.end))


def _lead_bar(hole: Hole) -> Bar:
    words = f"the lead in {hole.name}"
    return Bar(start=hole.at_mm, end=hole.at_mm, radius_mm=BARE_WIRE_MM / 2, words=words)


def _link_bar(start: Hole, end: Hole) -> Bar:
    words = f"the bare link {start.name} to {end.name}"
    return Bar(start=start.at_mm, end=end.at_mm, radius_mm=BARE_WIRE_MM / 2, words=words)


def _compared(
    layout: BoardLayout, wired: WiredSubAssembly, at: dict[Hole, Bar], islands: Islands
) -> Iterator[str]:
    spots = {wire.pin: wire.hole for wire in layout.wires}
    for part in layout.parts:
        spots |= {Pin(part=part.name, pin=n): hole for n, hole in enumerate(part.holes, start=1)}
    nodes: dict[str, set[object]] = {}
    for net, pins in _nets_on_board(wired).items():
        islet: dict[object, list[str]] = {}
        for pin in pins:
            hole = spots[pin]
            found = islands.of(at[hole]) if hole in at else hole
            if hole not in at:
                yield f"{hole.name} has no copper for {pin.part} pin {pin.pin}"
            islet.setdefault(found, []).append(hole.name)
        if len(islet) > 1:
            groups = " from ".join("+".join(sorted(group)) for group in islet.values())
            yield f"net {net} is parted: {groups}"
        nodes[net] = set(islet)
    for (one, first), (other, second) in combinations(nodes.items(), 2):
        if first & second:
            yield f"nets {one} and {other} touch"
    for probe in layout.probes:
        net = next((point.node for point in wired.test_points if point.name == probe.name), "")
        if probe.hole not in at or islands.of(at[probe.hole]) not in nodes.get(net, ()):
            yield f"{probe.name} does not lie at {probe.hole.name}"


def _meeting(layout: BoardLayout) -> Iterator[str]:
    """Find bodies, leads and wires in one place, and wires that run through a body."""
    blocks = blocks_of(layout)
    for one, other in meeting(blocks, gap_mm=BODY_GAP_MM):
        yield f"{one.words} meets {other.words}"
    for link in layout.links:
        bar = _link_bar(link.start, link.end)
        for block in blocks:
            crossed = reach_mm(bar, corner=block.low[:2], opposite=block.high[:2]) < 0
            if block.is_body and block.below == (link.face is Face.SOLDER) and crossed:
                yield f"the link {link.start.name} to {link.end.name} meets {block.words}"
    for part in layout.parts:
        if part.posture is Posture.CHIP:
            low, high = _under_chip(part)
            for bar in soldered_bars(layout):
                if reach_mm(bar, corner=low, opposite=high) < 0:
                    yield f"{bar.words} runs under {part.name}"


def _under_chip(part: PlacedPart) -> tuple[tuple[float, float], tuple[float, float]]:
    """Give the gap between a chip's two pads, as wide as the chip."""
    (x0, y0), (x1, y1) = (hole.at_mm for hole in part.holes)
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    gap, wide = (PITCH_MM - PAD_MM) / 2, part.body.size_mm[1] / 2
    level = y0 == y1
    right, up = (gap, wide) if level else (wide, gap)
    return (x - right, y - up), (x + right, y + up)
