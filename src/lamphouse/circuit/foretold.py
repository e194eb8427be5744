"""What every fault would read, with how far the spread of good parts moves it.

The spread is carried to first order: readings are taken as normal, their middle that of the parts
as designed, their deviations the sums of what supply, ambient, each resistor and each LED add. One
network of slopes is solved for each probe, whatever the number of parts, because a network of
conductances answers alike in both directions [RECIPROCITY].

Limits of the model
-------------------
Deviations within the spread are normal here, though every bound of a catalogue is hard: of a bound
either way, the deviation is that of an even spread between [GUM]. A light's look is taken without
spread, being told far more coarsely; every resistance with that of one resistor. On the ohm range
no LED conducts.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from lamphouse.circuit import nodal
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.elimination import Array, Elimination, Indices, order
from lamphouse.circuit.fault_kinds import Fault
from lamphouse.circuit.meter import LEAST_OHM, MOST_OHM, Meter, Probe, ProbeKind, look_shares
from lamphouse.circuit.netlist import (
    GROUND,
    OPEN_OHM,
    Bridge,
    JunctionState,
    Netlist,
    Role,
    Variation,
)
from lamphouse.circuit.varied import Varied, lay_out
from lamphouse.circuit.wired import WiredSubAssembly
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.record import Record, replace

EVEN = 3.0**-0.5
"""Deviation of an even spread, as a share of its bound."""
WIRE_SHARE = 0.5
"""Bound either way on wires, contacts and joints, the poor ones with them: nobody knows them
better; from memory."""
_LEAST_OHM = 1e-3
"""Every resistance at least, so that no two nodes are joined and every current has a slope."""
_WANDERS_V = 0.3
"""How far a reading between two places that hang in the air may wander."""
_MOST_ANSWERS = 8_000_000
"""Voltages of nodes, for all probes, of the faults solved in one go: 64 MB of them."""


class Spread(Record):
    """Deviations of good parts."""

    supply: float
    """Share of the voltage."""
    ohm: dict[str, float]
    """Share of the value, of each resistor and each piece of the feed."""
    wires: dict[str, float]
    """Of each wire in a string; only a poor joint is felt, so that all are one cause."""
    led_V: dict[str, float]
    """Of each LED's forward voltage alone."""
    drift_V: dict[str, float]
    """Of each LED's forward voltage with the ambient, all together."""
    resistor: float
    """Share of the value of one resistor, whichever."""

    def count(self) -> int:
        """Give the number of causes: supply, ambient, wires, each resistance, each LED."""
        return 3 + len(self.ohm) + len(self.led_V)


class Foretold(Record):
    """Readings of every fault at every probe."""

    probes: tuple[Probe, ...]
    """Those with a number, then the lights."""
    middle: Array
    """Shape ``(faults, numbers)``; A, V, and the logarithm of ohm."""
    moved: Array
    """What one deviation of each cause moves them by; ``(faults, numbers, causes)``."""
    own: Array
    """Deviation that no other number shares, without the meter's; ``(faults, numbers)``."""
    looks: Array
    """How probable each look of each light is; ``(faults, lights, looks)``."""

    def numbers(self) -> tuple[Probe, ...]:
        """List the probes with a number."""
        return tuple(probe for probe in self.probes if probe.kind is not ProbeKind.LIGHT)

    def lights(self) -> tuple[Probe, ...]:
        """List the lights."""
        return tuple(probe for probe in self.probes if probe.kind is ProbeKind.LIGHT)

    def only(self, probes: Sequence[Probe]) -> "Foretold":
        """Keep some of the probes."""
        numbers = [place for place, one in enumerate(self.numbers()) if one in probes]
        lights = [place for place, one in enumerate(self.lights()) if one in probes]
        return Foretold(
            probes=tuple(one for one in self.probes if one in probes),
            middle=self.middle[:, numbers],
            moved=self.moved[:, numbers],
            own=self.own[:, numbers],
            looks=self.looks[:, lights],
        )

    def beside(self, other: "Foretold") -> "Foretold":
        """Join the readings of the same faults at other probes."""
        return Foretold(
            probes=(*self.numbers(), *other.numbers(), *self.lights(), *other.lights()),
            middle=np.concatenate([self.middle, other.middle], axis=1),
            moved=np.concatenate([self.moved, other.moved], axis=1),
            own=np.concatenate([self.own, other.own], axis=1),
            looks=np.concatenate([self.looks, other.looks], axis=1),
        )

    def deviation(self) -> Array:
        """Give the deviation of each number by the spread, shape ``(faults, numbers)``."""
        total: Array = np.sqrt(np.einsum("fnc,fnc->fn", self.moved, self.moved) + self.own**2)
        return total


def spread_of(
    wired: WiredSubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    supply: Supply,
    habits: CircuitHabits,
) -> Spread:
    """Give the spread that the design itself allows."""
    leds = [led for string in circuit.strings for led in string.leds]
    inner = [wire.name for chain in chains_of(wired) for wire in chain.wires]
    shares = {
        one.name: EVEN * (habits.resistor_tolerance if one.role is Role.RESISTOR else WIRE_SHARE)
        for one in wired.netlist.resistances
    }
    warmth_K = 0.5 * (habits.warmest_degC - habits.coldest_degC)
    return Spread(
        supply=EVEN * supply.off,
        ohm={name: share for name, share in shares.items() if name not in inner},
        wires={name: shares[name] for name in inner},
        led_V={led.name: EVEN * led.led_type.spread_V for led in leds},
        drift_V={led.name: EVEN * led.led_type.drift_V_per_K * warmth_K for led in leds},
        resistor=EVEN * habits.resistor_tolerance,
    )


def solvable(netlist: Netlist) -> Netlist:
    """Give every resistance and source at least a milliohm."""
    return replace(
        netlist,
        resistances=tuple(
            replace(one, ohm=max(one.ohm, _LEAST_OHM)) for one in netlist.resistances
        ),
        sources=tuple(replace(one, ohm=max(one.ohm, _LEAST_OHM)) for one in netlist.sources),
    )


def foretell(
    netlist: Netlist,
    faults: Sequence[Fault],
    *,
    probes: Sequence[Probe],
    spread: Spread,
    meter: Meter,
    together: bool = False,
) -> Foretold:
    """Solve every fault for every probe.

    Parameters
    ----------
    netlist
        As wired up.
    faults
        The first is that nothing is wrong.
    probes
        Numbers and lights in any order; they are sorted.
    spread, meter
        What good parts and the meter may do.
    together
        Whether all voltages are solved in one go, with as many meters as there are points. What a
        meter more draws, a microampere for each ten volt, is within the error of most; single
        readings are to be solved alone.
    """
    netlist = solvable(netlist)
    numbers = [probe for probe in probes if probe.kind is not ProbeKind.LIGHT]
    lights = [probe for probe in probes if probe.kind is ProbeKind.LIGHT]
    middle = np.zeros((len(faults), len(numbers)))
    moved = np.zeros((len(faults), len(numbers), spread.count()))
    own = np.zeros_like(middle)
    names = [probe.first for probe in lights]
    variations = [fault.variation for fault in faults]
    current: Array | None = None
    for rows in _portions(netlist, faults, sides=len(numbers)):
        portion = faults[rows]
        for wanted in _batches(numbers, together=together):
            batch = [numbers[place] for place in wanted]
            if batch[0].kind is ProbeKind.RESISTANCE:
                middle[rows, wanted] = _ohms(netlist, portion, probes=batch)
                own[rows, wanted] = spread.resistor
                continue
            meters = tuple(
                Bridge(first=probe.first, second=probe.second or GROUND, ohm=meter.load_ohm)
                for probe in batch
                if probe.kind is ProbeKind.VOLTAGE
            )
            state = _State.of(netlist, portion, meters=meters)
            if lights and not meters:
                current = np.zeros((len(faults), len(names))) if current is None else current
                current[rows] = _lit(state.solved, variations[rows], names=names)
            for place, probe, answer in zip(wanted, batch, state.answers(batch), strict=True):
                middle[rows, place], own[rows, place] = state.read(probe)
                moved[rows, place] = state.moved(probe, answer, spread=spread)
    loose = np.array([fault.loose for fault in faults])
    own = np.hypot(own, loose[:, None] * np.abs(middle))
    looks = np.zeros((len(faults), 0, 4))
    if lights:
        if current is None:
            current = np.concatenate(
                [
                    light_currents(netlist, variations[rows], names=names)
                    for rows in _portions(netlist, faults, sides=1)
                ]
            )
        looks = look_shares(current / np.maximum(current[:1], 1e-12), meter=meter)
    return Foretold(probes=(*numbers, *lights), middle=middle, moved=moved, own=own, looks=looks)


def light_currents(
    netlist: Netlist, variations: Sequence[Variation], *, names: Sequence[str]
) -> Array:
    """Give the current of which LEDs make light, shape ``(variations, names)``, in A.

    What flows through an LED that is short makes none.
    """
    return _lit(nodal.solve(netlist, variations), variations, names=names)


def _lit(
    solved: nodal.Solutions, variations: Sequence[Variation], *, names: Sequence[str]
) -> Array:
    current = solved.current_A[:, [solved.elements[name] for name in names]]
    short = [
        [variation.junction.get(name) is JunctionState.SHORT for name in names]
        for variation in variations
    ]
    lit: Array = np.where(short, 0.0, current)
    return lit


def _portions(netlist: Netlist, faults: Sequence[Fault], *, sides: int) -> list[slice]:
    """Part the faults into those solved in one go, ``sides`` probes at a time."""
    each = len(netlist.names()) * (sides + 1)
    rows = max(_MOST_ANSWERS // each, 16)
    return [slice(start, start + rows) for start in range(0, len(faults), rows)]


def _batches(numbers: Sequence[Probe], *, together: bool) -> list[list[int]]:
    """Put the places of probes together that one solution serves."""
    by_kind: dict[str, list[int]] = {}
    for place, probe in enumerate(numbers):
        alone = probe.kind is ProbeKind.VOLTAGE and not together
        by_kind.setdefault(f"{probe.kind} {place if alone else ''}", []).append(place)
    return list(by_kind.values())


def _ohms(netlist: Netlist, faults: Sequence[Fault], *, probes: Sequence[Probe]) -> Array:
    """Give the logarithm of the resistance between nodes, no LED conducting and no supply.

    Shape ``(faults, probes)``.
    """
    open_ways = tuple(
        Bridge(first=probe.first, second=probe.second, ohm=10.0 * MOST_OHM) for probe in probes
    )
    variations = [
        replace(
            fault.variation,
            bridges=(*open_ways, *fault.variation.bridges),
            source_ohm={one.name: OPEN_OHM for one in netlist.sources},
        )
        for fault in faults
    ]
    varied = lay_out(netlist, variations)
    with np.errstate(divide="ignore"):
        conductance = 1.0 / varied.ohm
    conductance[:, varied.junctions()] *= ~varied.lit
    elimination = order(varied.ends, nodes=len(varied.nodes))
    first, second = (
        [varied.nodes.index(node) for node in ends]
        for ends in zip(*((probe.first, probe.second) for probe in probes), strict=True)
    )
    side = np.arange(len(probes))
    pushed = np.zeros((len(faults), len(varied.nodes), len(probes)))
    pushed[:, first, side] += 1.0
    pushed[:, second, side] -= 1.0
    volts = elimination.potentials(conductance, injected=pushed)
    ohm = volts[:, first, side] - volts[:, second, side]
    logarithm: Array = np.log(np.clip(ohm, LEAST_OHM, MOST_OHM))
    return logarithm


class _State(Record):
    """All faults at their operating points, as networks of slopes."""

    varied: Varied
    solved: nodal.Solutions
    ends: Indices
    elimination: Elimination
    slope_S: Array
    """Of every element, shape ``(faults, elements)``."""
    current_A: Array

    @staticmethod
    def of(netlist: Netlist, faults: Sequence[Fault], *, meters: tuple[Bridge, ...]) -> "_State":
        variations: list[Variation] = [
            replace(fault.variation, bridges=(*meters, *fault.variation.bridges))
            for fault in faults
        ]
        varied = lay_out(netlist, variations)
        solved = nodal.solve(netlist, variations)
        with np.errstate(divide="ignore"):
            slope = 1.0 / varied.ohm
        junctions = varied.junctions()
        current = np.zeros(varied.ohm.shape)
        current[:, varied.named()] = solved.current_A
        passed = np.maximum(current[:, junctions] + np.exp(varied.log_saturation), 0.0)
        own = passed / varied.slope_V + nodal.LEAK_S
        series = np.where(varied.lit, varied.ohm[:, junctions], 0.0)
        slope[:, junctions] = np.where(varied.lit, own / (1.0 + series * own), slope[:, junctions])
        return _State(
            varied=varied,
            solved=solved,
            ends=varied.ends,
            elimination=order(varied.ends, nodes=len(varied.nodes)),
            slope_S=slope,
            current_A=current,
        )

    def read(self, probe: Probe) -> tuple[Array, Array]:
        """Give a probe's middle and its own deviation."""
        own = np.zeros(len(self.ends))
        if probe.kind is ProbeKind.CURRENT:
            middle = self.solved.current(probe.first).copy()
        else:
            middle = self.solved.voltage(probe.first) - self.solved.voltage(probe.second or GROUND)
            own = np.where(np.isnan(middle), _WANDERS_V, own)
            middle = np.nan_to_num(middle)
        return (-middle if probe.turned else middle), own

    def answers(self, probes: Sequence[Probe]) -> Iterator[Array]:
        """Give the network's answer to each probe, shape ``(faults, nodes)``."""
        rows = np.arange(len(self.ends))
        asked = np.zeros((len(rows), len(self.varied.nodes), len(probes)))
        for side, probe in enumerate(probes):
            if probe.kind is ProbeKind.CURRENT:
                place = self._place(probe.first)
                slope = self.slope_S[:, place]
                asked[rows, self.ends[:, place, 0], side] += slope
                asked[rows, self.ends[:, place, 1], side] -= slope
            else:
                asked[:, self.solved.nodes[probe.first], side] += 1.0
                asked[:, self.solved.nodes[probe.second or GROUND], side] -= 1.0
        yield from np.moveaxis(self.elimination.potentials(self.slope_S, injected=asked), -1, 0)

    def _place(self, element: str) -> int:
        return int(self.varied.named()[self.solved.elements[element]])

    def moved(self, probe: Probe, answer: Array, *, spread: Spread) -> Array:
        """Give what each cause of spread moves a probe by, from the network's answer to it."""
        moved = self._moved(answer, spread=spread)
        if probe.kind is ProbeKind.CURRENT:
            current = self.current_A[:, self._place(probe.first)]
            moved[:, 3 + list(spread.ohm).index(probe.first)] -= spread.ohm[probe.first] * current
        return -moved if probe.turned else moved

    def _moved(self, answer: Array, *, spread: Spread) -> Array:
        """Give what each cause of spread moves, from the network's answer to the probe."""
        row = np.arange(len(answer))[:, None]
        between = answer[row, self.ends[..., 0]] - answer[row, self.ends[..., 1]]
        names, named = self.solved.elements, self.varied.named()
        pulled = self.current_A * between

        def of(shares: dict[str, float]) -> Array:
            placed = [int(named[names[name]]) for name in shares]
            each: Array = np.array(list(shares.values())) * pulled[:, placed]
            return each

        junction = self.varied.junctions()
        lit = self.varied.lit
        pushed = np.where(lit, self.slope_S[:, junction] * between[:, junction], 0.0)
        order_of = [name for name in names if name in spread.led_V]
        led_V = np.array([spread.led_V[name] for name in order_of])
        drift_V = np.array([spread.drift_V[name] for name in order_of])
        source = self.varied.sources().start
        supply = (
            spread.supply
            * self.varied.voltage_V[:, 0]
            * self.slope_S[:, source]
            * between[:, source]
        )
        moved = np.zeros((len(answer), spread.count()))
        moved[:, 0] = supply
        moved[:, 1] = pushed @ drift_V
        moved[:, 2] = of(spread.wires).sum(axis=-1)
        moved[:, 3 : 3 + len(spread.ohm)] = of(spread.ohm)
        moved[:, 3 + len(spread.ohm) :] = pushed * led_V
        return moved
