"""The front door: lays a sub-assembly's parts and wires on the smallest board that takes them.

The easiest way to solder comes first: parts lying and no wire links; then standing parts; then
links. Within a way, the fewest holes win, then the least copper.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from lamphouse.board.annealing import Arrangement, Ways, arrange
from lamphouse.board.copper_runs import soldering_of
from lamphouse.board.demand import BoardDemand
from lamphouse.board.holes import Hole, cut_size_mm, most_holes
from lamphouse.board.legs import Posture
from lamphouse.board.link_ways import links_of
from lamphouse.board.seatings import Ground
from lamphouse.board.soldered import BoardLayout, PlacedPart, ProbePad, WirePad
from lamphouse.circuit.wired import TestPoint
from lamphouse.design.supply import BoardKind
from lamphouse.record import replace

WAYS = (
    Ways(standing=False, links=False),
    Ways(standing=True, links=False),
    Ways(standing=True, links=True),
)
_TRIES = 1200
"""States looked at for one size of board."""
_LONGEST = 5.0
"""A board without a given space is at most so many times as long as wide."""
_LARGEST, _SPARE = 5, 20
"""And has at most so many times the fewest holes, and so many more."""
_FEW = 8
"""Up to so many parts each size gets all its tries; a board of more gets fewer for each."""
_TRIES_LEAST = 150
_TRIES_ALL = 12_000
"""States looked at over all sizes; where they do not suffice, the smallest is found by halving."""
MANY = 24
"""A board of more parts is laid only where they can be stacked, on sizes found by halving."""


def lay_board(
    demand: BoardDemand, *, seed: int, test_points: Sequence[TestPoint] = ()
) -> BoardLayout | None:
    """Lay out a board; None where no way was found within its space.

    Parameters
    ----------
    demand
        Parts, wires and space.
    seed
        Of the project; the same seed gives the same board.
    test_points
        Those on the board are marked.

    Notes
    -----
    What is returned is the smallest board that was found, not proven the smallest there is;
    ``least_holes`` bounds it from below. It is to be proved by :mod:`lamphouse.board.proof`.
    """
    for ways in WAYS:
        found = _smallest(demand, ways=ways, seed=seed)
        if found is not None:
            return _layout(demand, in_reading_order(found, demand=demand), test_points)
    return None


def _smallest(demand: BoardDemand, *, ways: Ways, seed: int) -> Arrangement | None:
    """Find the first size on which parts stack; then anneal on every smaller one."""
    every = list(sizes(demand, ways=ways))
    tries = max(_TRIES * _FEW // max(len(demand.parts), _FEW), _TRIES_LEAST)
    found = _stacked(demand, every, ways=ways, seed=seed)
    if found is None and len(demand.parts) > MANY:
        return None
    smaller = [
        one
        for one in every
        if found is None or one[0] * one[1] < found.ground.columns * found.ground.rows
    ]
    if len(smaller) * tries > _TRIES_ALL:
        found = _halving(demand, smaller, ways=ways, seed=seed, tries=tries) or found
    else:
        for size in smaller:
            better = _arranged(demand, size, ways=ways, seed=seed, tries=tries)
            if better is not None:
                return better
    if found is None:
        return None
    size = (found.ground.columns, found.ground.rows)
    return _arranged(demand, size, ways=ways, seed=seed, tries=tries) or found


def _stacked(
    demand: BoardDemand, every: Sequence[tuple[int, int]], *, ways: Ways, seed: int
) -> Arrangement | None:
    """Find the first size on which the parts can be stacked; of many parts, one near it."""
    if len(demand.parts) > MANY:
        return _halving(demand, every, ways=ways, seed=seed, tries=0)
    stacks = (_arranged(demand, size, ways=ways, seed=seed, tries=0) for size in every)
    return next((found for found in stacks if found is not None), None)


def _halving(
    demand: BoardDemand,
    every: Sequence[tuple[int, int]],
    *,
    ways: Ways,
    seed: int,
    tries: int,
) -> Arrangement | None:
    """Look for the smallest size by halving, as if all larger ones would do."""
    best, low, high = None, 0, len(every)
    while low < high:
        middle = (low + high) // 2
        found = _arranged(demand, every[middle], ways=ways, seed=seed, tries=tries)
        if found is None:
            low = middle + 1
        else:
            best, high = found, middle
    return best


def _arranged(
    demand: BoardDemand, size: tuple[int, int], *, ways: Ways, seed: int, tries: int
) -> Arrangement | None:
    return arrange(
        demand,
        ground=Ground(columns=size[0], rows=size[1]),
        ways=ways,
        strips=demand.kind is BoardKind.STRIPBOARD,
        seed=seed,
        tries=tries,
    )


def sizes(demand: BoardDemand, *, ways: Ways) -> Iterator[tuple[int, int]]:
    """Go through the sizes that are not too small by count, from the fewest holes, in holes.

    Parameters
    ----------
    demand
        Whose space bounds them.
    ways
        Whether parts may stand.
    """
    least = demand.least_holes(standing=ways.standing)
    most = _LARGEST * least + _SPARE
    bounds = most_holes(demand.space_mm) if demand.space_mm else (most, most)
    every = [
        (columns, rows)
        for columns in range(1, bounds[0] + 1)
        for rows in range(1, min(columns, bounds[1]) + 1)
        if columns * rows >= least
        and (demand.space_mm is not None or (columns <= _LONGEST * rows and columns * rows <= most))
    ]
    if demand.kind is BoardKind.STRIPBOARD:  # strips run along the rows: both ways up differ
        every += [(rows, columns) for columns, rows in every if rows != columns]
    yield from sorted(every, key=lambda size: (size[0] * size[1], abs(size[0] - size[1]), size))


def in_reading_order(found: Arrangement, *, demand: BoardDemand) -> Arrangement:
    """Let like parts follow one another from the top left, each with what hangs on it alone.

    Two resistors that differ in value only may change places: the board stays as it is.
    """
    counts = Counter(net for part in demand.parts for net in part.nets)
    wires = Counter(wire.net for wire in demand.wires)
    alike: dict[object, list[int]] = {}
    for number, part in enumerate(demand.parts):
        own = tuple(net if counts[net] > 1 else wires[net] for net in part.nets)
        alike.setdefault((part.body, part.kind, own), []).append(number)
    seats, nets = list(found.seats), dict(zip(demand.nets(), found.growth.nets, strict=True))
    grown = dict(nets)
    for numbers in alike.values():
        placed = sorted(numbers, key=lambda n: min(found.seats[n].pins))
        for number, source in zip(numbers, placed, strict=True):
            seats[number] = found.seats[source]
            pairs = zip(demand.parts[number].nets, demand.parts[source].nets, strict=True)
            grown |= {net: nets[other] for net, other in pairs if counts[net] == 1}
    growth = replace(found.growth, nets=tuple(grown.values()))
    return replace(found, seats=tuple(seats), growth=growth)


def _layout(
    demand: BoardDemand, found: Arrangement, test_points: Sequence[TestPoint]
) -> BoardLayout:
    ground, nets = found.ground, found.growth.nets
    covered = 0
    for seat in found.seats:
        covered |= seat.covered
    strips = demand.kind is BoardKind.STRIPBOARD
    soldering = soldering_of(
        nets, demand=demand, seats=found.seats, ground=ground, strips=strips, covered=covered
    )
    parts = tuple(
        PlacedPart(
            name=part.name,
            kind=part.kind,
            value=part.value,
            bands=part.bands,
            code=part.code,
            body=part.body,
            posture=seat.pose.posture,
            holes=tuple(ground.hole(bit) for bit in seat.pins),
            upright_over=seat.pose.upright_over,
        )
        for part, seat in zip(demand.parts, found.seats, strict=True)
    )
    grown = dict(zip(demand.nets(), nets, strict=True))
    wires = _wires(demand, {net: ground.holes_of(each.wires) for net, each in grown.items()})
    return BoardLayout(
        sub_assembly=demand.sub_assembly,
        where=demand.where,
        kind=demand.kind,
        columns=ground.columns,
        rows=ground.rows,
        size_mm=cut_size_mm(columns=ground.columns, rows=ground.rows),
        wire_mm=demand.wire_mm,
        parts=parts,
        wires=wires,
        bridges=soldering.bridges,
        tails=soldering.tails,
        bare_runs=soldering.bare_runs,
        links=links_of(nets, parts=parts, wires=wires, ground=ground),
        cuts=soldering.cuts,
        probes=_probes(demand, parts, wires, test_points),
        least_holes=demand.least_holes(
            standing=any(part.posture is Posture.STANDING for part in parts)
        ),
    )


def _wires(demand: BoardDemand, holes: Mapping[str, Sequence[Hole]]) -> tuple[WirePad, ...]:
    """Give each wire a hole of its net, in the order of the holes."""
    left = {net: sorted(each) for net, each in holes.items()}
    return tuple(
        WirePad(
            number=wire.number,
            pin=wire.pin,
            flag=wire.flag,
            colour=wire.colour,
            net=wire.net,
            hole=left[wire.net].pop(0),
        )
        for wire in demand.wires
    )


def _probes(
    demand: BoardDemand,
    parts: Sequence[PlacedPart],
    wires: Sequence[WirePad],
    test_points: Sequence[TestPoint],
) -> tuple[ProbePad, ...]:
    """Put each test point of the board on a lead of its net, or on a wire of it."""
    at = {wire.net: wire.hole for wire in reversed(wires)}
    for part, placed in zip(demand.parts, parts, strict=True):
        at |= dict(zip(part.nets, placed.holes, strict=True))
    return tuple(
        ProbePad(name=point.name, hole=at[point.node], words=point.words)
        for point in test_points
        if point.on_board and point.node in at
    )
