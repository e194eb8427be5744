"""A netlist and its variations as arrays, one row for each variation."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import inf
from typing import TypeVar

import numpy as np

from lamphouse.circuit.elimination import Array, Flags, Indices
from lamphouse.circuit.netlist import GROUND, JunctionState, Netlist, Variation
from lamphouse.record import Record

T = TypeVar("T")

MOST_V = 1e6
LEAST_SLOPE_V = 1e-6
"""What still is a voltage, and a junction."""
SHORT_OHM = 1e-3
"""What is left of a junction that has failed short; its series resistance goes with it."""


class Varied(Record):
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
        If two elements share a name, a variation names an element that is not there, or a value is
        no number or beyond what the solver can hold; it is told which.
    """
    names = netlist.names()
    _refuse((name for name, count in Counter(names).items() if count > 1), "two elements are named")
    resistances, junctions, sources = (
        len(kind) for kind in (netlist.resistances, netlist.junctions, netlist.sources)
    )
    bridges = max((len(variation.bridges) for variation in variations), default=0)
    rows, after = len(variations), resistances + bridges
    nodes = _numbered(netlist, variations)
    joined = np.array(
        [(nodes[first], nodes[second]) for first, second in _joined(netlist)], dtype=np.intp
    ).reshape(-1, 2)
    ends = np.zeros((rows, len(names) + bridges, 2), dtype=np.intp)
    ohm = np.full((rows, len(names) + bridges), inf)
    ends[:, :resistances] = joined[:resistances]
    ends[:, after:] = joined[resistances:]
    ohm[:, :resistances] = [one.ohm for one in netlist.resistances]
    ohm[:, after : after + junctions] = [one.series_ohm for one in netlist.junctions]
    ohm[:, after + junctions :] = [one.ohm for one in netlist.sources]
    varied = Varied(
        nodes=tuple(nodes),
        names=names,
        ends=ends,
        ohm=ohm,
        slope_V=np.array([float(one.slope_V) for one in netlist.junctions]),
        log_saturation=np.tile([float(one.log_saturation) for one in netlist.junctions], (rows, 1)),
        lit=np.ones((rows, junctions), dtype=bool),
        voltage_V=np.tile([float(one.voltage_V) for one in netlist.sources], (rows, 1)),
        counts=(resistances, bridges, junctions, sources),
    )
    steep = (one.name for one in netlist.junctions if not LEAST_SLOPE_V <= one.slope_V < inf)
    _refuse(steep, f"the slope is no number or below {LEAST_SLOPE_V:g} V of junction")
    places = [
        {one.name: place for place, one in enumerate(netlist.resistances)},
        {one.name: place for place, one in enumerate(netlist.junctions)},
        {one.name: place for place, one in enumerate(netlist.sources)},
        dict(zip(names, varied.named().tolist(), strict=True)),
    ]
    for row, variation in enumerate(variations):
        _vary(varied, variation, row=row, places=places, nodes=nodes)
    _refuse_ill(varied, variations)
    varied.lit[...] &= np.isfinite(ohm[:, after : after + junctions])
    return varied


def _numbered(netlist: Netlist, variations: Sequence[Variation]) -> dict[str, int]:
    """Give each node its number: ground first, those that only a variation has last."""
    named = [GROUND, *(node for pair in _joined(netlist) for node in pair)]
    for variation in variations:
        named += [node for bridge in variation.bridges for node in (bridge.first, bridge.second)]
        named += variation.moved.values()
    return {node: number for number, node in enumerate(dict.fromkeys(named))}


def _vary(
    varied: Varied,
    variation: Variation,
    *,
    row: int,
    places: Sequence[Mapping[str, int]],
    nodes: Mapping[str, int],
) -> None:
    """Write one variation into its row: values, bridges, moved ends, then what became of LEDs.

    ``places`` are those of the resistances, junctions and sources among their kind, and of all
    among the elements.
    """
    resistance, junction, source, element = places
    ends, ohm = varied.ends[row], varied.ohm[row]
    first_junction, first_source = varied.junctions().start, varied.sources().start
    for place, value in _places(variation.ohm, resistance, variation):
        ohm[place] = value
    for place, value in _places(variation.voltage_V, source, variation):
        varied.voltage_V[row, place] = value
    for place, value in _places(variation.source_ohm, source, variation):
        ohm[first_source + place] = value
    for place, value in _places(variation.shift_V, junction, variation):
        varied.log_saturation[row, place] -= value / varied.slope_V[place]
    for place, bridge in enumerate(variation.bridges, start=len(resistance)):
        ends[place] = nodes[bridge.first], nodes[bridge.second]
        ohm[place] = bridge.ohm
    for (name, end), node in variation.moved.items():
        for place, _ in _places({name: node}, element, variation):
            ends[place, end] = nodes[node]
    for place, state in _places(variation.junction, junction, variation):
        if state is JunctionState.REVERSED:
            ends[first_junction + place] = ends[first_junction + place, ::-1].copy()
        else:
            varied.lit[row, place] = False
            ohm[first_junction + place] = inf if state is JunctionState.OPEN else SHORT_OHM


def _refuse_ill(varied: Varied, variations: Sequence[Variation]) -> None:
    """Raise a ValueError that names the variations with a value that cannot be."""
    for sound, problem in (
        (varied.ohm >= 0.0, "a resistance is negative or no number"),
        (np.abs(varied.voltage_V) <= MOST_V, f"a voltage is no number or beyond {MOST_V:g} V"),
        (varied.log_saturation <= 0.0, "a saturation current is no number or beyond 1 A"),
        (np.isfinite(varied.log_saturation), "a saturation current is nothing"),
    ):
        ill = np.flatnonzero(~sound.all(axis=1)).tolist()
        _refuse((variations[row].name for row in ill), f"{problem} in variation")


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
