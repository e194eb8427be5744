"""Nets grow over the pads of a board: from their pins to one another, then to a hole per wire.

Every net claims pads until its pins are joined and each of its wires has a hole of its own. No pad
is claimed twice. Along a strip two nets keep at least one free hole between them, for the cut.

Terminology
-----------
bits
    As in :mod:`lamphouse.board.seatings`.
open
    A hole that no lead takes and no body covers: a wire fits it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from lamphouse.board.seatings import Ground, members
from lamphouse.record import Record


class Wish(Record):
    """A net to be grown."""

    name: str
    pins: tuple[int, ...]
    """Holes of its leads, each as a set of one."""
    wires: int
    """How many wires it needs holes for."""
    seed: int = 0
    """Where its first wire goes when it has no pins."""


@dataclass(slots=True, kw_only=True)
class Grown:
    """A net as it came to lie."""

    claimed: int
    """Every pad of it."""
    wires: list[int] = field(default_factory=list)
    links: list[tuple[int, int]] = field(default_factory=list)
    """Holes joined by a wire link, because copper could not join them."""


class Growth(Record):
    """All nets of a board."""

    nets: tuple[Grown, ...]
    lacking: int
    """Joints and holes that could not be had; 0 when the layout is whole."""
    spread: int
    """Pads claimed beyond those that hold a lead or a wire."""


def grow(
    wishes: Sequence[Wish], *, ground: Ground, covered: int, strips: bool, links: bool
) -> Growth:
    """Grow every net, the one with the most pins first, then wires where room is shortest.

    Parameters
    ----------
    wishes
        The nets, in the order they may choose.
    ground
        The board.
    covered
        Holes under bodies: copper passes there, no wire does.
    strips
        Whether the pads of a row are joined unless cut.
    links
        Whether wire links may join what copper cannot.
    """
    field_ = _Field(wishes, ground=ground, covered=covered, strips=strips)
    lacking = field_.too_near() if strips else 0
    lacking += sum(field_.join(number, links=links) for number in field_.by_pins())
    lacking += field_.give_wires()
    spread = sum(
        (net.claimed & ~sum(wish.pins)).bit_count() - len(net.wires)
        for net, wish in zip(field_.nets, wishes, strict=True)
    )
    return Growth(nets=tuple(field_.nets), lacking=lacking, spread=spread)


class _Field:
    """The pads of a board while nets grow over them."""

    def __init__(
        self, wishes: Sequence[Wish], *, ground: Ground, covered: int, strips: bool
    ) -> None:
        self.wishes = wishes
        self.all, self.stride = ground.all, ground.stride
        self.strips = strips
        self.nets = [Grown(claimed=sum(wish.pins) | wish.seed) for wish in wishes]
        for net, wish in zip(self.nets, wishes, strict=True):
            if wish.seed:
                net.wires.append(wish.seed)
        self.claimed = 0
        for net in self.nets:
            self.claimed |= net.claimed
        self.closed = covered | self.claimed
        self.covered = covered

    def too_near(self) -> int:
        """Count the leads of different nets side by side on one strip."""
        return sum(
            (net.claimed << 1 & self.claimed & ~net.claimed).bit_count() for net in self.nets
        )

    def by_pins(self) -> list[int]:
        """List the nets with several pins, most first."""
        several = [n for n, wish in enumerate(self.wishes) if len(wish.pins) > 1]
        return sorted(several, key=lambda n: -len(self.wishes[n].pins))

    def around(self, bits: int) -> int:
        """Give the neighbours of a set, and the set."""
        s = self.stride
        return bits | bits << 1 | bits >> 1 | bits << s | bits >> s

    def free_for(self, number: int) -> int:
        """Give the pads a net may still claim."""
        free = self.all & ~self.claimed
        if self.strips:
            others = self.claimed & ~self.nets[number].claimed
            free &= ~(others << 1 | others >> 1)
        return free

    def claim(self, number: int, bits: int) -> None:
        """Give pads to a net."""
        self.nets[number].claimed |= bits
        self.claimed |= bits
        self.closed |= bits

    def join(self, number: int, *, links: bool) -> int:
        """Join the pins of a net by the shortest ways; count those that stay apart."""
        net = self.nets[number]
        pins = net.claimed
        island = pins & -pins
        apart = 0
        while rest := net.claimed & ~self.flood(island, net.claimed):
            island = self.flood(island, net.claimed)
            path, end = self.path(island, rest, self.free_for(number) | net.claimed)
            if end:
                self.claim(number, path)
                island |= path | end
                continue
            other = self.flood(rest & -rest, net.claimed)
            if not (links and self.link(number, island, other)):
                apart += 1
            island |= other
        return apart

    def flood(self, island: int, within: int) -> int:
        """Give all of a set that hangs together with an island of it."""
        while (wider := self.around(island) & within) != island:
            island = wider
        return island

    def path(self, island: int, goals: int, allowed: int) -> tuple[int, int]:
        """Give the pads of a shortest way to the nearest goal, and the goal; 0 and 0 without."""
        layers, seen, front = [island], island, island
        while True:
            front = self.around(front) & allowed & ~seen
            if not front:
                return 0, 0
            if hit := front & goals:
                break
            seen |= front
            layers.append(front)
        end = hit & -hit
        way, step = 0, end
        for layer in reversed(layers[1:]):
            near = self.around(step) & layer
            near = near & self.covered or near
            step = near & -near
            way |= step
        return way, end

    def link(self, number: int, one: int, other: int) -> bool:
        """Join two islands of a net by a wire between an open hole of each."""
        ends = []
        for island in (one, other):
            free = self.free_for(number)
            way, end = self.path(island, free & ~self.closed, free)
            if not end:
                return False
            self.claim(number, way | end)
            ends.append(end)
        self.nets[number].links.append((ends[0], ends[1]))
        return True

    def give_wires(self) -> int:
        """Give every wire a hole, where room is shortest first; count those that get none."""
        need = {}
        for number, (net, wish) in enumerate(zip(self.nets, self.wishes, strict=True)):
            held = sum(wish.pins) | sum(net.wires) | sum(a | b for a, b in net.links)
            here = members(net.claimed & ~held & ~self.covered)
            net.wires += here[: wish.wires - len(net.wires)]
            if len(net.wires) < wish.wires:
                need[number] = wish.wires - len(net.wires)
        lacking = 0
        nears = {n: self.near(n) for n in need}
        while need:
            number = min(need, key=lambda n: ((nears[n] & ~self.closed).bit_count() - need[n], n))
            hole = self.best(nears[number] & ~self.closed, number, nears)
            way = 0
            if not hole:
                free = self.free_for(number)
                way, hole = self.path(self.nets[number].claimed, free & ~self.closed, free)
            if not hole:
                lacking += need.pop(number)
                del nears[number]
                continue
            self.claim(number, way | hole)
            self.nets[number].wires.append(hole)
            need[number] -= 1
            if not need[number]:
                del need[number], nears[number]
            halo = self.around(way | hole)
            for n, near in nears.items():
                if n == number or near & halo:
                    nears[n] = self.near(n)
        return lacking

    def near(self, number: int) -> int:
        """Give the pads beside a net that it may still claim."""
        return self.around(self.nets[number].claimed) & self.free_for(number)

    def best(self, holes: int, number: int, nears: dict[int, int]) -> int:
        """Choose the hole that others want least, and that has the fewest free neighbours."""
        wanted = 0
        for other, near in nears.items():
            if other != number:
                wanted |= near
        free = self.all & ~self.claimed
        return min(
            members(holes & ~wanted or holes),
            key=lambda bit: (self.around(bit) & free).bit_count(),
            default=0,
        )
