"""Good parts at the ends of their spread, and the bounds they set on currents and nodes.

Every element conducts more at more voltage. So a current through the whole circuit is bounded by
all parts conducting most at the highest supply, and least at the lowest; and a node by the parts
on one side conducting most while those on the other conduct least. Wires and contacts have no
spread.
"""

from collections.abc import Collection, Mapping, Sequence

from lamphouse.circuit.branch import Band
from lamphouse.circuit.chains import Chain
from lamphouse.circuit.curve import shift_band
from lamphouse.circuit.elimination import Array
from lamphouse.circuit.netlist import GROUND, Netlist, Resistance, Role, Source, Variation
from lamphouse.circuit.nodal import Solutions, solve
from lamphouse.circuit.terminals import Terminals
from lamphouse.design.lightbox import Led
from lamphouse.design.supply import CircuitHabits
from lamphouse.record import Record, replace


class Corners(Record):
    """A circuit solved wherever a current or a rail may have its least or its most."""

    solved: Solutions
    """As designed first."""

    def current(self, element: str) -> Band:
        """Bound the current of the supply, or of a group's wire. [A]."""
        return _band(abs(self.solved.current(element)))

    def voltage(self, node: str, below: str = GROUND) -> Band:
        """Bound a rail, or what lies between two. [V]."""
        return _band(self.solved.voltage(node) - self.solved.voltage(below))


def _band(values: Array) -> Band:
    return Band(low=float(values.min()), nominal=float(values[0]), high=float(values.max()))


class GoodParts(Record):
    """What good parts may be off."""

    leds: Mapping[str, Led]
    """By the name of their junction."""
    ends: Terminals
    """Of the supply; the resistance of cells, fuse and protection is in the netlist's source."""
    habits: CircuitHabits
    """For the resistors' tolerance and the ambient."""

    def corners(self, netlist: Netlist, *, groups: Sequence[Collection[str]] = ()) -> Corners:
        """Solve a circuit with all parts conducting least and most, at either end of the supply.

        Parameters
        ----------
        netlist
            The circuit.
        groups
            Parts that share a wire of their own, such as a return: each is also solved against
            the others, because it has its least where they have their most.
        """
        every = {one.name for one in netlist.resistances} | set(self.leds)
        mixes: list[set[str]] = [set(), every]
        for group in groups if len(groups) > 1 else ():
            mixes += [set(group), every - set(group)]
        ends = self.ends
        cases = [self._at(Variation(), netlist, ends.open_V)]
        for most in mixes:
            off = self.off(netlist, most=most)
            # The voltage written is that of cells under load: they must not sag a second time.
            written = self._at(off, netlist, ends.low_V)
            if ends.cells_ohm:
                written = replace(written, source_ohm=dict.fromkeys(written.voltage_V, ends.ohm))
                cases.append(self._at(off, netlist, ends.open_V))
            cases += [written, self._at(off, netlist, ends.high_V)]
        return Corners(solved=solve(netlist, cases))

    def _at(self, variation: Variation, netlist: Netlist, volts: float) -> Variation:
        return replace(variation, voltage_V={source.name: volts for source in netlist.sources})

    def off(self, netlist: Netlist, *, most: Collection[str]) -> Variation:
        """Let the parts named conduct their most, and all others their least."""
        own = set(most)
        tolerance = self.habits.resistor_tolerance
        shifts = {}
        for junction in netlist.junctions:
            low, middle, high = shift_band(
                self.leds[junction.name].led_type,
                coldest_degC=self.habits.coldest_degC,
                warmest_degC=self.habits.warmest_degC,
            )
            shifts[junction.name] = (low if junction.name in own else high) - middle
        return Variation(
            ohm={
                one.name: one.ohm * (1.0 - tolerance if one.name in own else 1.0 + tolerance)
                for one in netlist.resistances
                if one.role is Role.RESISTOR
            },
            shift_V=shifts,
        )

    def inside(
        self, chain: Chain, *, head: Sequence[Resistance], common: Band, back: Band
    ) -> tuple[Band, ...]:
        """Bound the nodes between the parts of a string, each rail at its own worst.

        Parameters
        ----------
        chain
            The string.
        head
            Its resistors, from the common on.
        common, back
            Of its rails. [V]

        Returns
        -------
        tuple
            From the common on, as :func:`inner_nodes` names them. No mix reaches both rails' worst
            at once, so that the bands are some millivolt wide.
        """
        rails = {"common": (head[0].first, common), "back": (chain.wires[-1].second, back)}
        netlist = Netlist(
            resistances=(*head, *chain.wires),
            junctions=chain.leds,
            sources=tuple(
                Source(name=name, plus=node, minus=GROUND, voltage_V=band.nominal)
                for name, (node, band) in rails.items()
            ),
        )
        parts = [*(one.name for one in head), *(led.name for led in chain.leds)]
        lowest = {name: band.low for name, (_, band) in rails.items()}
        highest = {name: band.high for name, (_, band) in rails.items()}
        nodes = inner_nodes(chain, head=head)
        cases = [Variation()]
        for place in range(1, len(nodes) + 1):
            near, far = parts[:place], parts[place:]
            up, down = (near, far) if chain.positive else (far, near)
            cases.append(replace(self.off(netlist, most=down), voltage_V=lowest))
            cases.append(replace(self.off(netlist, most=up), voltage_V=highest))
        volts = [solve(netlist, cases).voltage(node) for node in nodes]
        return tuple(
            Band(low=float(v[2 * n + 1]), nominal=float(v[0]), high=float(v[2 * n + 2]))
            for n, v in enumerate(volts)
        )


def inner_nodes(chain: Chain, *, head: Sequence[Resistance]) -> list[str]:
    """Name what lies between the parts of a string, from the common on."""
    return [*(one.second for one in head), *(wire.first for wire in chain.wires[1:-1])]
