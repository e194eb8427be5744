"""Strings of a large sub-assembly that are alike, solved as one.

Limits of the model
-------------------
A fault between two strings, and two faults at once, are listed only where both strings are solved
each for itself. Of kinds for which there is no room nothing is listed: it is told, and the strings
come in as soon as a reading points at them.
"""

from collections import defaultdict
from collections.abc import Collection, Sequence
from math import log, sqrt

from lamphouse.circuit.chains import Chain, chains_of
from lamphouse.circuit.fault_kinds import Fault
from lamphouse.circuit.foretold import Spread
from lamphouse.circuit.meter import Look, Reading
from lamphouse.circuit.netlist import Netlist
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.record import Record, replace

MOST_LEDS = 24
"""Of strings that are solved each for itself; memory grows with their cube."""


class Bundled(Record):
    """A sub-assembly of which some strings are solved each for itself, the others as one of a kind.

    Strings of one kind lie between the same rails with the same resistor, LEDs and wires. As long
    as nothing is wrong in them their nodes have the same voltages and may be joined, which is
    exact but for leaks and for wires below a milliohm: one string with a conductance as many times
    as large.
    """

    netlist: Netlist
    kept: frozenset[str]
    """Resistors of the strings solved each for itself."""
    parts: frozenset[str]
    """Elements and nodes of which a fault or a reading may be told; of strings, those kept."""
    strings: int
    """How many there are in all."""
    shared: frozenset[str]
    """Those of strings kept for their kind: a reading there tells of one string of many."""
    counts: dict[str, int]
    """How many strings each element of a bundle stands for."""
    lost: int
    """Strings that readings point at, beyond those kept."""
    seen: bool
    """Whether the look of any light was told."""
    alike: dict[str, int]
    """Of a string kept for its kind, by its resistor: how many more are like it."""

    def whole(self) -> bool:
        """Tell whether every string is solved for itself."""
        return len(self.kept) == self.strings

    def spread(self, spread: Spread) -> Spread:
        """Give the spread of what is left: the mean of ``n`` parts spreads by ``1 / sqrt(n)``."""
        own = set(self.netlist.names())

        def left(shares: dict[str, float]) -> dict[str, float]:
            return {
                name: share / sqrt(self.counts.get(name, 1))
                for name, share in shares.items()
                if name in own
            }

        return replace(
            spread,
            ohm=left(spread.ohm),
            wires={name: share for name, share in spread.wires.items() if name in own},
            led_V=left(spread.led_V),
            drift_V={name: drift for name, drift in spread.drift_V.items() if name in own},
        )

    def knows(self, *names: str) -> bool:
        """Tell whether elements and nodes are those of the feed or of strings kept."""
        return self.parts.issuperset(names)

    def solvable(self, faults: Sequence[Fault]) -> tuple[Fault, ...]:
        """Keep the faults of the feed and of strings kept."""
        return tuple(fault for fault in faults if self.knows(*_touched(fault)))

    def for_all(self, faults: Sequence[Fault]) -> tuple[Fault, ...]:
        """Let the faults of a string kept for its kind stand for those of all that it does."""
        return tuple(self._for_all(fault) for fault in faults)

    def left_out(self) -> str:
        """Say what was not solved for itself; nothing where all was."""
        if self.whole():
            return ""
        if self.lost:
            return (
                f"Of {self.strings} strings the readings point at {self.lost} more than are solved "
                "at once: where so many are wrong, look at what they share. Give the readings of "
                "fewer to have those looked into."
            )
        alone = len(self.kept) - len(self.alike)
        none = self.strings - len(self.kept) - sum(self.alike.values())
        told = f"Of {self.strings} strings {alone} are solved each for itself, {len(self.alike)} "
        told += f"for all of their kind{f', {none} not at all' if none else ''}."
        if self.seen:
            return told
        return f"{told} Say which lights are dark, dim or bright: theirs are solved first."

    def _for_all(self, fault: Fault) -> Fault:
        more = self.alike.get(fault.string, 0)
        return replace(fault, alike=more, weight=fault.weight * (more + 1))


def bundle(wired: WiredSubAssembly, *, spread: Spread, readings: Sequence[Reading]) -> Bundled:
    """Choose the strings to solve each for itself, and join the others of each kind.

    Up to ``MOST_LEDS`` in all, every string is solved for itself. Beyond, so many LEDs are: first
    those of strings in which a point was read, then of those with a light that is not lit, then of
    the neighbours of both, then of one string of each kind, which stands for all of it that nothing
    was told of.

    Parameters
    ----------
    wired
        As soldered.
    spread
        Strings whose parts spread differently are not alike.
    readings
        What was read and seen.
    """
    chains = chains_of(wired)
    kinds = [_kind(chain, spread=spread) for chain in chains]
    told = _told(chains, readings)
    first: dict[object, int] = {}
    for place, kind in enumerate(kinds):
        if place not in told:
            first.setdefault(kind, place)
    beside = [other for place in told for other in (place - 1, place + 1)]
    wanted = [*told, *beside, *first.values()]
    if sum(len(chain.leds) for chain in chains) <= MOST_LEDS:
        wanted = list(range(len(chains)))
    kept = _within([place for place in wanted if 0 <= place < len(chains)], chains)
    bundles: dict[object, list[int]] = defaultdict(list)
    for place, kind in enumerate(kinds):
        if place not in kept:
            bundles[kind].append(place)
    merged = {own[0]: len(own) for own in bundles.values()}
    gone = {place for own in bundles.values() for place in own[1:]}
    counts = {name: count for place, count in merged.items() for name in _names(chains[place])}
    netlist = _joined(
        wired.netlist, counts=counts, gone={name for one in gone for name in _names(chains[one])}
    )
    untold = {name for place in (*merged, *gone) for name in _inner(chains[place])}
    every = {*wired.netlist.names(), *_nodes(wired.netlist)}
    alike = {
        place: len(bundles[kind])
        for kind, place in first.items()
        if place in kept and bundles.get(kind)
    }
    return Bundled(
        netlist=netlist,
        kept=frozenset(chains[place].resistor.name for place in kept),
        parts=frozenset(every - untold),
        strings=len(chains),
        shared=frozenset(name for place in alike for name in _inner(chains[place])),
        counts=counts,
        lost=len(set(told) - kept),
        seen=any(isinstance(one.value, Look) for one in readings),
        alike={chains[place].resistor.name: more for place, more in alike.items()},
    )


def _kind(chain: Chain, *, spread: Spread) -> tuple[object, ...]:
    """Give all that tells one string from another."""
    return (
        chain.resistor.first,
        chain.wires[-1].second,
        chain.resistor.ohm,
        *(wire.ohm for wire in chain.wires),
        *((led.slope_V, led.log_saturation, led.series_ohm) for led in chain.leds),
        *((spread.led_V[led.name], spread.drift_V[led.name]) for led in chain.leds),
    )


def _told(chains: Sequence[Chain], readings: Sequence[Reading]) -> list[int]:
    """Give the places of strings in which a point was read, then of those with a light not lit."""
    string = {name: place for place, chain in enumerate(chains) for name in _inner(chain)}
    points = [end for one in readings for end in (one.probe.first, one.probe.second)]
    looks = [one.probe.first for one in readings if one.value in set(Look) - {Look.LIT}]
    seen = {one.probe.first for one in readings if isinstance(one.value, Look)}
    named = [*(end for end in points if end not in seen), *looks]
    return list(dict.fromkeys(string[name] for name in named if name in string))


def _within(wanted: Sequence[int], chains: Sequence[Chain]) -> set[int]:
    """Keep strings in their turn, at least one, while their LEDs are not too many."""
    kept: set[int] = set()
    leds = 0
    for place in dict.fromkeys(wanted):
        leds += len(chains[place].leds)
        if kept and leds > MOST_LEDS:
            break
        kept.add(place)
    return kept


def _names(chain: Chain) -> list[str]:
    wires, leds = [one.name for one in chain.wires], [one.name for one in chain.leds]
    return [chain.resistor.name, *wires, *leds]


def _inner(chain: Chain) -> set[str]:
    """Give a string's elements, and its nodes without the rails."""
    nodes = {chain.resistor.second, *(wire.first for wire in chain.wires)}
    ends = {end for led in chain.leds for end in (led.anode, led.cathode)}
    return nodes | ends | {*_names(chain)}


def _nodes(netlist: Netlist) -> set[str]:
    return (
        {end for one in netlist.resistances for end in (one.first, one.second)}
        | {end for one in netlist.junctions for end in (one.anode, one.cathode)}
        | {end for one in netlist.sources for end in (one.plus, one.minus)}
    )


def _joined(netlist: Netlist, *, counts: dict[str, int], gone: Collection[str]) -> Netlist:
    """Leave out the strings that are gone, and make those that stand for them as much stronger."""
    return replace(
        netlist,
        resistances=tuple(
            replace(one, ohm=one.ohm / counts.get(one.name, 1))
            for one in netlist.resistances
            if one.name not in gone
        ),
        junctions=tuple(
            replace(
                one,
                log_saturation=one.log_saturation + log(counts.get(one.name, 1)),
                series_ohm=one.series_ohm / counts.get(one.name, 1),
            )
            for one in netlist.junctions
            if one.name not in gone
        ),
    )


def _touched(fault: Fault) -> set[str]:
    """Give the elements and nodes that a fault changes."""
    own = fault.variation
    return {
        *own.ohm,
        *own.voltage_V,
        *own.source_ohm,
        *own.junction,
        *own.shift_V,
        *(end for one in own.bridges for end in (one.first, one.second)),
        *(name for name, _ in own.moved),
        *own.moved.values(),
    }
