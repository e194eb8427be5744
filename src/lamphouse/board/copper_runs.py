"""From claimed pads to what is soldered: bridges, tails, bare wire, and the cuts of strips."""

from collections.abc import Iterator, Sequence

from lamphouse.board.demand import BoardDemand
from lamphouse.board.growing import Grown
from lamphouse.board.holes import PITCH_MM, THICKNESS_MM
from lamphouse.board.legs import LEAD_LENGTH_MM, Form, Posture
from lamphouse.board.seatings import Ground, Seating, members
from lamphouse.board.soldered import BareRun, LeadTail, SolderBridge, TrackCut
from lamphouse.record import Record

Edge = tuple[int, int]
"""Two neighbouring holes, the lower bit first."""


class Soldering(Record):
    """What joins the pads of a board."""

    bridges: tuple[SolderBridge, ...]
    tails: tuple[LeadTail, ...]
    bare_runs: tuple[BareRun, ...]
    cuts: tuple[TrackCut, ...]


def soldering_of(
    nets: Sequence[Grown],
    *,
    demand: BoardDemand,
    seats: Sequence[Seating],
    ground: Ground,
    strips: bool,
    covered: int,
) -> Soldering:
    """Choose how each net is joined: the fewest straight runs, each by the easiest means.

    One step is a solder bridge. Longer runs are the tail of a lead at one of their ends, where
    there is one that is long enough, else bare wire.
    """
    leads = _leads(demand, seats)
    bridges: list[SolderBridge] = []
    tails: list[LeadTail] = []
    bare: list[BareRun] = []
    held = _held(nets, seats)
    for net in nets:
        edges = _fewest_runs(net.claimed, net.claimed & held, ground=ground, strips=strips)
        for start, end, steps in _runs(edges, ground):
            if steps == 1:
                bridges.append(SolderBridge(first=ground.hole(start), second=ground.hole(end)))
                continue
            tail = _tail(start, end, steps, leads, ground) or _tail(
                end, start, steps, leads, ground
            )
            if tail:
                tails.append(tail)
            else:
                bare.append(BareRun(start=ground.hole(start), end=ground.hole(end)))
    cuts = tuple(_cuts(nets, ground, covered)) if strips else ()
    return Soldering(bridges=tuple(bridges), tails=tuple(tails), bare_runs=tuple(bare), cuts=cuts)


def _held(nets: Sequence[Grown], seats: Sequence[Seating]) -> int:
    """Give the holes that hold a lead, a wire or the end of a link."""
    held = 0
    for seat in seats:
        held |= seat.taken
    for net in nets:
        for bit in (*net.wires, *(end for link in net.links for end in link)):
            held |= bit
    return held


def _leads(demand: BoardDemand, seats: Sequence[Seating]) -> dict[int, tuple[str, int, int]]:
    """Give the leads that can be bent, by hole: part, pin, and how many holes a tail reaches."""
    found = {}
    for part, seat in zip(demand.parts, seats, strict=True):
        if part.body.form is not Form.AXIAL:
            continue
        for number, bit in enumerate(seat.pins):
            span = max(max(map(abs, step)) for step in _reach(seat))
            spent = THICKNESS_MM + part.body.size_mm[2] / 2
            if seat.pose.posture is Posture.LYING:
                spent += (span * PITCH_MM - part.body.size_mm[0]) / 2
            elif number != seat.pose.upright_over:
                spent += part.body.size_mm[0] + span * PITCH_MM + 1.6
            reach = int((LEAD_LENGTH_MM - spent) / PITCH_MM)
            found[bit] = (part.name, number + 1, reach)
    return found


def _reach(seat: Seating) -> list[tuple[int, int]]:
    first = seat.pose.steps[0]
    return [(right - first[0], down - first[1]) for right, down in seat.pose.steps]


def _tail(
    start: int, end: int, steps: int, leads: dict[int, tuple[str, int, int]], ground: Ground
) -> LeadTail | None:
    """Make a run the tail of the lead at its start; a lead has one tail."""
    part, pin, reach = leads.get(start, ("", 0, 0))
    if reach < steps:
        return None
    del leads[start]
    return LeadTail(part=part, pin=pin, start=ground.hole(start), end=ground.hole(end))


def _fewest_runs(claimed: int, needed: int, *, ground: Ground, strips: bool) -> list[Edge]:
    """Join the needed pads of a net by few straight runs, rows first or columns first."""
    both = [
        _pruned(_tree(claimed, ways, ground, strips=strips), needed)
        for ways in ((1, ground.stride), (ground.stride, 1))
    ]
    if strips:
        both = [[e for e in edges if e[1] != e[0] << 1] for edges in both]
    return min(both, key=lambda edges: (len(list(_runs(edges, ground))), len(edges)))


def _tree(claimed: int, ways: Sequence[int], ground: Ground, *, strips: bool) -> list[Edge]:
    """Join all claimed pads without a ring, edges of the first way before those of the second.

    The pads of a strip are joined already: there, edges along it always come first.
    """
    above = {bit: bit for bit in members(claimed)}

    def top(bit: int) -> int:
        while above[bit] != bit:
            bit = above[bit]
        return bit

    order = (1, ground.stride) if strips else ways
    edges = []
    for step in order:
        for bit in sorted(above, key=lambda b: divmod(b.bit_length() - 1, ground.stride)[::-1]):
            other = bit << step
            if other & claimed and top(bit) != top(other):
                above[top(bit)] = top(other)
                edges.append((bit, other))
    return edges


def _pruned(edges: list[Edge], needed: int) -> list[Edge]:
    """Take off ends that nothing needs."""
    while True:
        degree: dict[int, int] = {}
        for edge in edges:
            for bit in edge:
                degree[bit] = degree.get(bit, 0) + 1
        kept = [edge for edge in edges if all(degree[bit] > 1 or bit & needed for bit in edge)]
        if len(kept) == len(edges):
            return edges
        edges = kept


def _runs(edges: Sequence[Edge], ground: Ground) -> Iterator[tuple[int, int, int]]:
    """Put edges that follow one another straight into runs: start, end, steps."""
    for step in (1, ground.stride):
        left = {first for first, second in edges if second == first << step}
        for start in sorted(left):
            if start >> step in left:
                continue
            end, steps = start, 0
            while end in left:
                end, steps = end << step, steps + 1
            yield start, end, steps


def _cuts(nets: Sequence[Grown], ground: Ground, covered: int) -> Iterator[TrackCut]:
    """Cut every strip between neighbours of different nets, under a body where there is one."""
    owner = {bit: number for number, net in enumerate(nets) for bit in members(net.claimed)}
    for row in range(ground.rows):
        last: tuple[int, int] | None = None
        for column in range(ground.columns):
            bit = ground.bit(row=row, column=column)
            if bit not in owner:
                continue
            if last is not None and last[1] != owner[bit]:
                between = [ground.bit(row=row, column=c) for c in range(last[0] + 1, column)]
                chosen = next((b for b in between if b & covered), between[0])
                yield TrackCut(hole=ground.hole(chosen))
            last = (column, owner[bit])
