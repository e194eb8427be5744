"""Parts find their places on a board of a given size by annealing, from a seed.

A state is a seating for every part, and a first hole for every net that only joins wires. Its cost
is what :mod:`lamphouse.board.growing` cannot join on it, then how far copper must reach.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from math import exp

import numpy as np

from lamphouse.board.demand import BoardDemand, BoardPart
from lamphouse.board.growing import Growth, Wish, grow
from lamphouse.board.legs import PartBody, Pose, poses
from lamphouse.board.seatings import Ground, Seating, clear_of, members, seatings
from lamphouse.record import Record

_LACK = 1.0
_LINK = 0.3
_SPREAD = 0.04
_HOT, _COLD = 0.8, 0.08
_STARTS = 4


class Ways(Record):
    """What a layout may use."""

    standing: bool
    links: bool


class Arrangement(Record):
    """Parts in their places with the nets grown between them."""

    ground: Ground
    ways: Ways
    seats: tuple[Seating, ...]
    growth: Growth
    tried: int
    """States looked at before it was found."""

    @property
    def cost(self) -> float:
        """What is lacking first, then links, then copper."""
        links = sum(len(net.links) for net in self.growth.nets)
        return _LACK * self.growth.lacking + _LINK * links + _SPREAD * self.growth.spread


def arrange(
    demand: BoardDemand, *, ground: Ground, ways: Ways, strips: bool, seed: int, tries: int
) -> Arrangement | None:
    """Arrange a board; None when no whole layout was found.

    Parameters
    ----------
    demand
        Parts and wires.
    ground
        The board.
    ways
        Whether parts may stand, and whether wire links may be used.
    strips
        Whether the board is stripboard.
    seed
        Of all chance; the same seed gives the same board.
    tries
        States to look at; with 0, parts are only stacked in rows and columns.
    """
    search = _Search(demand, ground=ground, ways=ways, strips=strips, seed=seed)
    if not all(choice.seats for choice in search.choices):
        return None
    states, found = [], None
    for start in range(_STARTS):
        state = search.first(start)
        if state is not None:
            states.append(state)
            stacked = search.judge(state)
            if not stacked.growth.lacking:
                found = stacked
                break
    for state in states if found is None and tries else ():
        found = search.cool(state, tries=tries // _STARTS)
        if found is not None:
            break
    return found if found is None else search.polish(found, tries=tries // 2)


@dataclass(kw_only=True)
class _Choice:
    """Every seating of a body. Parts that are only stacked do not ask where each one is."""

    seats: tuple[Seating, ...]
    ranked: dict[tuple[int, int], list[Seating]] = field(default_factory=dict)
    """In the order of each way to begin, by the pin that is lined up and the way."""

    @cached_property
    def at(self) -> dict[tuple[Pose, int, int], Seating]:
        """By pose, row and column."""
        return {(seat.pose, seat.row, seat.column): seat for seat in self.seats}

    @cached_property
    def turned(self) -> dict[int, list[Seating]]:
        """Those with the same holes, whichever pin is in which."""
        turned: dict[int, list[Seating]] = {}
        for seat in self.seats:
            turned.setdefault(seat.taken, []).append(seat)
        return turned


@lru_cache(maxsize=8)  # a model's boards are of few sizes
def _choice(body: PartBody, *, ground: Ground, standing: bool, wire_mm: float) -> _Choice:
    return _Choice(seats=seatings(body, ground=ground, standing=standing, wire_mm=wire_mm))


@dataclass(slots=True)
class _State:
    seats: list[Seating]
    seeds: dict[str, int]


class _Search:
    """The walk from state to state."""

    def __init__(
        self, demand: BoardDemand, *, ground: Ground, ways: Ways, strips: bool, seed: int
    ) -> None:
        self.demand, self.ground, self.ways, self.strips = demand, ground, ways, strips
        of_body = {
            body: _choice(body, ground=ground, standing=ways.standing, wire_mm=demand.wire_mm)
            for body in dict.fromkeys(part.body for part in demand.parts)
        }
        self.choices = [of_body[part.body] for part in demand.parts]
        steps = [
            abs(step)
            for body in of_body
            for pose in poses(body, standing=ways.standing)
            for pair in pose.steps
            for step in pair
        ]
        self.far = 2 + 2 * max(steps, default=0)
        self.nets = demand.nets()
        self.count = {net: sum(w.net == net for w in demand.wires) for net in self.nets}
        with_pins = {net for part in demand.parts for net in part.nets}
        self.loose = [net for net in self.nets if net not in with_pins]
        self.chance = _chance(seed)
        self.clear: dict[tuple[object, ...], bool] = {}
        self.tried = 0

    def pick(self, count: int) -> int:
        return int(next(self.chance) * count)

    def fits(self, number: int, seat: Seating, seats: Sequence[Seating]) -> bool:
        """Tell whether a part may sit there beside the others."""
        taken, covered = seat.taken, seat.covered
        others = [one for one in enumerate(seats) if one[0] != number]
        for _, beside in others:
            if taken & beside.taken or taken & beside.covered or covered & beside.taken:
                return False
        return all(self.apart(number, seat, other, beside) for other, beside in others)

    def apart(self, number: int, seat: Seating, other: int, beside: Seating) -> bool:
        steps = (beside.column - seat.column, beside.row - seat.row)
        if abs(steps[0]) > self.far or abs(steps[1]) > self.far:
            return True
        body, second = self.demand.parts[number].body, self.demand.parts[other].body
        key = (body.name, id(seat.pose), second.name, id(beside.pose), *steps)
        known = self.clear.get(key)
        if known is None:
            known = self.clear[key] = clear_of(
                body, seat.pose, second, beside.pose, right=steps[0], down=steps[1]
            )
        return known

    def first(self, start: int) -> _State | None:
        """Stack the parts row by row or column by column, pins of the commonest net in line."""
        pins = [net for part in self.demand.parts for net in part.nets]
        common = max(dict.fromkeys(pins), key=pins.count, default="")
        queues: dict[tuple[int, int], Iterator[Seating]] = {}
        seats: list[Seating] = []
        held: dict[str, int] = {}
        for part, choice in zip(self.demand.parts, self.choices, strict=True):
            index = part.nets.index(common) if common in part.nets else 0
            if (id(choice), index) not in queues:
                queues[id(choice), index] = iter(self.ranked(choice, index, start))
            queue = queues[id(choice), index]  # what once did not fit will not fit later
            number = len(seats)
            seat = next(
                (
                    seat
                    for seat in queue
                    if self.fits(number, seat, seats) and self.parted(part, seat, held)
                ),
                None,
            )
            if seat is None:
                return None
            seats.append(seat)
            for net, bit in zip(part.nets, seat.pins, strict=True):
                held[net] = held.get(net, 0) | bit
        seeds: dict[str, int] = {}
        for net in self.loose:
            free = self.free(seats, seeds)
            if self.strips:  # away from the leads of other nets on the same strip
                taken = sum(seeds.values()) | sum(seat.taken for seat in seats)
                free &= ~(taken << 1 | taken >> 1)
            if not free:
                return None
            seeds[net] = self.roomiest(free)
        return _State(seats, seeds)

    def parted(self, part: BoardPart, seat: Seating, held: dict[str, int]) -> bool:
        """Tell whether a hole for the cut is left beside each pin of a part on a strip."""
        if not self.strips:
            return True
        own = dict(zip(part.nets, seat.pins, strict=True))
        return not any(
            (bit << 1 | bit >> 1) & other
            for net, bit in own.items()
            for name, other in (*held.items(), *own.items())
            if name != net
        )

    def roomiest(self, free: int) -> int:
        """Give the last free hole; on stripboard, one of the row with the most free holes."""
        row = (1 << self.ground.columns) - 1
        rows = [free & row << (number * self.ground.stride) for number in range(self.ground.rows)]
        best = max(rows, key=int.bit_count) if self.strips else free
        return 1 << (best.bit_length() - 1)

    def ranked(self, choice: _Choice, index: int, start: int) -> list[Seating]:
        """Give the seatings of a part in the order of one of the ways to begin."""
        key = (index, start)
        if key not in choice.ranked:
            choice.ranked[key] = sorted(
                choice.seats, key=lambda seat: self.rank(seat, index, start)
            )
        return choice.ranked[key]

    def rank(self, seat: Seating, index: int, start: int) -> tuple[int, ...]:
        """Order the seatings of a part for one of the ways to begin."""
        by_row, far = start % 2 == 0, start >= _STARTS // 2
        row, column = divmod(seat.pins[index].bit_length(), self.ground.stride)
        level = seat.pose.steps[0][1] == seat.pose.steps[1][1]
        edge = (column, row) if by_row else (row, column)
        return (level != by_row, -edge[0] if far else edge[0], edge[1], min(seat.pins))

    def free(self, seats: Sequence[Seating], seeds: dict[str, int]) -> int:
        free = self.ground.all & ~sum(seeds.values())
        for seat in seats:
            free &= ~(seat.taken | seat.covered)
        return free

    def judge(self, state: _State) -> Arrangement:
        self.tried += 1
        pins: dict[str, list[int]] = {net: [] for net in self.nets}
        covered = 0
        for part, seat in zip(self.demand.parts, state.seats, strict=True):
            covered |= seat.covered
            for net, bit in zip(part.nets, seat.pins, strict=True):
                pins[net].append(bit)
        wishes = [
            Wish(
                name=net,
                pins=tuple(pins[net]),
                wires=self.count[net],
                seed=state.seeds.get(net, 0),
            )
            for net in self.nets
        ]
        growth = grow(
            wishes,
            ground=self.ground,
            covered=covered,
            strips=self.strips,
            links=self.ways.links,
        )
        return Arrangement(
            ground=self.ground,
            ways=self.ways,
            seats=tuple(state.seats),
            growth=growth,
            tried=self.tried,
        )

    def cool(self, state: _State, *, tries: int) -> Arrangement | None:
        """Anneal until the layout is whole or the tries are used up."""
        here = self.judge(state)
        for turn in range(tries):
            if not here.growth.lacking:
                return here
            heat = _HOT * (_COLD / _HOT) ** (turn / tries)
            moved = self.move(state)
            if moved is None:
                continue
            then = self.judge(moved)
            worse = then.cost - here.cost
            if worse <= 0 or next(self.chance) < exp(-worse / heat):
                state, here = moved, then
        return here if not here.growth.lacking else None

    def polish(self, found: Arrangement, *, tries: int) -> Arrangement:
        """Shorten the copper of a whole layout."""
        state = _State(list(found.seats), self.seeds_of(found))
        here = best = found
        for turn in range(tries):
            if best.cost == 0:
                break
            moved = self.move(state)
            if moved is None:
                continue
            then = self.judge(moved)
            if then.growth.lacking:  # shorter copper never pays for a wire left out
                continue
            heat = _SPREAD * (1.0 - turn / tries) + 1e-9
            worse = then.cost - here.cost
            if worse <= 0 or next(self.chance) < exp(-worse / heat):
                state, here = moved, then
                best = min(best, here, key=lambda one: one.cost)
        return best

    def seeds_of(self, found: Arrangement) -> dict[str, int]:
        grown = dict(zip(self.nets, found.growth.nets, strict=True))
        return {net: grown[net].wires[0] for net in self.loose}

    def move(self, state: _State) -> _State | None:
        """Give a neighbouring state, or None when the move leads nowhere."""
        many = len(state.seats)
        what = self.pick(many + len(self.loose))
        if what >= many:
            return self.reseed(state, self.loose[what - many])
        seats = list(state.seats)
        kind = next(self.chance)
        if kind < 0.25 and many > 1:
            other = self.pick(many)
            if other == what or self.choices[what] is not self.choices[other]:
                return None
            seats[what], seats[other] = seats[other], seats[what]
        else:
            seat, choice = seats[what], self.choices[what]
            if kind < 0.6:
                right, down = ((1, 0), (-1, 0), (0, 1), (0, -1))[self.pick(4)]
                step = choice.at.get((seat.pose, seat.row + down, seat.column + right))
            elif kind < 0.7:
                turned = choice.turned[seat.taken]
                step = turned[self.pick(len(turned))]
            else:
                step = choice.seats[self.pick(len(choice.seats))]
            if step is None or step is seat or not self.fits(what, step, seats):
                return None
            seats[what] = step
        taken = 0
        for seat in seats:
            taken |= seat.taken | seat.covered
        if any(seed & taken for seed in state.seeds.values()):
            seeds: dict[str, int] = {}
            for net, seed in state.seeds.items():
                free = self.free(seats, seeds)
                if not free:
                    return None
                seeds[net] = seed if seed & free else self.one_of(free)
            return _State(seats, seeds)
        return _State(seats, state.seeds)

    def reseed(self, state: _State, net: str) -> _State | None:
        free = self.free(state.seats, state.seeds)
        return _State(state.seats, state.seeds | {net: self.one_of(free)}) if free else None

    def one_of(self, bits: int) -> int:
        each = members(bits)
        return each[self.pick(len(each))]


def _chance(seed: int) -> Iterator[float]:
    """Give numbers from 0 to 1 without end."""
    made = np.random.default_rng(seed)
    while True:
        yield from made.random(4096).tolist()
