"""A netlist and its variations as arrays, one row for each variation."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf, isfinite
from typing import TypeVar

import numpy as np

from lamphouse.circuit.elimination import Array, Flags, Indices
from lamphouse.circuit.netlist import GROUND, JunctionState, Netlist, Variation

T = TypeVar("T")

SHORT_OHM = 1e-3
"""What is left of a junction that has failed short; its series resistance goes with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Varied:
    """All variations of a netlist.

    Elements stand in the order resistances, bridges, junctions, sources. Bridges take as many
    places as the variation with most of them has; elsewhere they are open.
    """

    nodes: tuple[str, ...]
    """``GROUND`` first."""
    names: tuple[str, ...]
    """Of resistances, junctions and sources."""
    ends: Indices
    """Shape ``(variations, elements, 2)``; a reversed junction has its ends swapped."""
    ohm: Array
    """Of resistances and bridges, of junctions in series, and of sources inside; ``inf`` where
    nothing flows; shape ``(variations, elements)``."""
    slope_V: Array
    """Shape ``(junctions,)``."""
    log_saturation: Array
    """Shape ``(variations, junctions)``."""
    lit: Flags
    """Whether a junction is one still, neither open nor short; same shape."""
    turned: Flags
    """Whether a junction is reversed."""
    voltage_V: Array
    """Shape ``(variations, sources)``."""
    counts: tuple[int, int, int, int]
    """Resistances, bridges, junctions and sources."""

    def junctions(self) -> slice:
        """Give the places of the junctions among the elements."""
        resistances, bridges, junctions, _ = self.counts
        return slice(resistances + bridges, resistances + bridges + junctions)

    def sources(self) -> slice:
        """Give the places of the sources among the elements."""
        return slice(self.junctions().stop, None)

    def named(self) -> Indices:
        """Give the place of each named element."""
        resistances, bridges, junctions, sources = self.counts
        after = np.arange(junctions + sources) + resistances + bridges
        return np.concatenate([np.arange(resistances), after])


def lay_out(netlist: Netlist, variations: Sequence[Variation]) -> Varied:
    """Write a netlist and its variations as arrays.

    Raises
    ------
    ValueError
        If two elements share a name, a variation names an element that is not there, a resistance
        is negative or no number, a voltage is not finite, or a junction's slope is not positive.
    """
    names = netlist.names()
    _refuse((name for name, count in Counter(names).items() if count > 1), "two elements are named")
    element = {name: place for place, name in enumerate(names)}
    resistance = {one.name: place for place, one in enumerate(netlist.resistances)}
    junction = {one.name: place for place, one in enumerate(netlist.junctions)}
    source = {one.name: place for place, one in enumerate(netlist.sources)}
    nodes = {GROUND: 0}
    for pair in _joined(netlist):
        for node in pair:
            nodes.setdefault(node, len(nodes))
    for variation in variations:
        extra = [node for bridge in variation.bridges for node in (bridge.first, bridge.second)]
        for node in (*extra, *variation.moved.values()):
            nodes.setdefault(node, len(nodes))
    rows = len(variations)
    bridges = max((len(variation.bridges) for variation in variations), default=0)
    after = len(resistance) + bridges
    joined = [[nodes[first], nodes[second]] for first, second in _joined(netlist)]
    ends = np.zeros((rows, len(names) + bridges, 2), dtype=np.intp)
    if names:
        ends[:, : len(resistance)] = joined[: len(resistance)]
        ends[:, after:] = joined[len(resistance) :]
    ohm = np.full((rows, len(names) + bridges), inf)
    ohm[:, : len(resistance)] = [one.ohm for one in netlist.resistances]
    ohm[:, after : after + len(junction)] = [one.series_ohm for one in netlist.junctions]
    ohm[:, after + len(junction) :] = [one.ohm for one in netlist.sources]
    voltage = np.tile([float(one.voltage_V) for one in netlist.sources], (rows, 1))
    slope = np.array([float(one.slope_V) for one in netlist.junctions])
    log_sat = np.tile([float(one.log_saturation) for one in netlist.junctions], (rows, 1))
    lit = np.ones(log_sat.shape, dtype=bool)
    turned = np.zeros(log_sat.shape, dtype=bool)
    for row, variation in enumerate(variations):
        for place, value in _places(variation.ohm, resistance, variation):
            ohm[row, place] = value
        for place, value in _places(variation.voltage_V, source, variation):
            voltage[row, place] = value
        for place, value in _places(variation.source_ohm, source, variation):
            ohm[row, after + len(junction) + place] = value
        for place, value in _places(variation.shift_V, junction, variation):
            log_sat[row, place] -= value / slope[place]
        for turn, bridge in enumerate(variation.bridges):
            ends[row, len(resistance) + turn] = nodes[bridge.first], nodes[bridge.second]
            ohm[row, len(resistance) + turn] = bridge.ohm
        for (name, end), node in variation.moved.items():
            ((place, _),) = _places({name: end}, element, variation)
            place += bridges if place >= len(resistance) else 0
            ends[row, place, end] = nodes[node]
        for place, state in _places(variation.junction, junction, variation):
            if state is JunctionState.REVERSED:
                turned[row, place] = True
                ends[row, after + place] = ends[row, after + place, ::-1].copy()
            else:
                lit[row, place] = False
                ohm[row, after + place] = inf if state is JunctionState.OPEN else SHORT_OHM
    for sound, problem in (
        (ohm >= 0, "a resistance is negative or no number"),
        (np.isfinite(voltage), "a voltage is not finite"),
        (np.isfinite(log_sat), "a junction's saturation or shift is not finite"),
    ):
        ill = np.flatnonzero(~sound.all(axis=1)).tolist()
        _refuse((variations[row].name for row in ill), f"{problem} in variation")
    bad = [one.name for one in netlist.junctions if not (isfinite(one.slope_V) and one.slope_V > 0)]
    _refuse(bad, "the slope is not positive of junction")
    return Varied(
        nodes=tuple(nodes),
        names=names,
        ends=ends,
        ohm=ohm,
        slope_V=slope,
        log_saturation=log_sat,
        lit=lit,
        turned=turned,
        voltage_V=voltage,
        counts=(len(resistance), bridges, len(junction), len(source)),
    )


def _joined(netlist: Netlist) -> Iterator[tuple[str, str]]:
    """Give the two nodes of every element, in the order of their names."""
    for resistance in netlist.resistances:
        yield resistance.first, resistance.second
    for junction in netlist.junctions:
        yield junction.anode, junction.cathode
    for source in netlist.sources:
        yield source.plus, source.minus


def _places(
    given: Mapping[str, T], places: Mapping[str, int], variation: Variation
) -> Iterator[tuple[int, T]]:
    for name, value in given.items():
        if name not in places:
            unknown = f"variation '{variation.name}' changes '{name}', which the netlist has not"
            raise ValueError(unknown)
        yield places[name], value


def _refuse(named: Iterable[str], problem: str) -> None:
    """Raise a ValueError that names all that have the problem."""
    listed = ", ".join(f"'{name}'" for name in named)
    if listed:
        told = f"{problem} {listed}"
        raise ValueError(told)
