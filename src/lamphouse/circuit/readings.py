"""What a meter should read at each gate of the build, solved in the circuit as it is soldered.

Limits of the model
-------------------
On the ohm range no LED conducts. In reverse nothing flows but a leak far below what a meter shows.
The burden of the meter's current range is left out.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence

from lamphouse.circuit.branch import Band, SubAssemblyCircuit
from lamphouse.circuit.chains import Chain, chains_of
from lamphouse.circuit.curve import fit, shift_band
from lamphouse.circuit.expected import BenchReadings, Expected, Gate, Reversed, expect
from lamphouse.circuit.feed_rules import LED_REVERSE_V
from lamphouse.circuit.good_parts import Corners, GoodParts, inner_nodes
from lamphouse.circuit.meter import Meter, ProbeKind
from lamphouse.circuit.netlist import GROUND, Netlist, Resistance, Role, Source, Variation
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.plug_pins import COMMON
from lamphouse.circuit.terminals import terminals_of
from lamphouse.circuit.wired import WiredKind, WiredSubAssembly
from lamphouse.circuit.wiring_up import SOURCE, SUPPLY
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.record import Record, replace

TEST_A = 0.001
"""What a tester drives through a loose LED: the diode range of most meters; from memory."""
_NOTHING_A = 1e-9
"""Of a volt between two pads: an open line."""


def readings_of(
    wired: WiredSubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    sub: SubAssembly,
    supply: Supply,
    habits: CircuitHabits,
    beside: Sequence[SubAssembly] = (),
    meter: Meter | None = None,
) -> BenchReadings:
    """Foretell every reading of a sub-assembly.

    Parameters
    ----------
    wired
        The circuit as it is soldered, with one string at least.
    circuit
        The same as designed, for its LEDs.
    sub
        What it belongs to; at the bench its own current alone loads fuse and protection.
    supply, habits
        For the spread of supply, resistors, LEDs and ambient.
    beside
        All other sub-assemblies, which load them in the model.
    meter
        A hand-held one when left out.

    References
    ----------
    [SHOCKLEY]; what LEDs bear in reverse [TYPICAL].
    """
    good = GoodParts(
        leds={led.name: led for string in circuit.strings for led in string.leds},
        ends=terminals_of(supply, subs=(sub,)),
        habits=habits,
    )
    knobs = {string.name: string.knob for string in circuit.strings if string.knob}
    tracks = {
        part.name: knobs[part.string].track_ohm
        for part in wired.parts
        if part.kind is WiredKind.TRIM
    }
    bench = _Bench(
        wired=wired,
        good=good,
        meter=meter or Meter(),
        tracks=tracks,
        strings=_strings(wired),
        rails=tuple(net.name for net in wired.nets if _is_rail(net.name)),
    )
    # At the bench the plug itself is fed: what lies under the floor takes nothing.
    fed = _without_runs(wired.netlist)
    crowded = replace(good, ends=terminals_of(supply, subs=(sub, *beside)))
    groups = bench.groups()
    at_plug = good.corners(fed, groups=groups)
    in_model = crowded.corners(wired.netlist, groups=groups)
    return BenchReadings(
        sub_assembly=wired.sub_assembly,
        expected=(
            *bench.loose(),
            *bench.board(),
            *bench.whole(at_plug, gate=Gate.OPEN),
            *bench.returns(at_plug),
            *bench.points(at_plug),
            *bench.whole(at_plug, gate=Gate.CLOSED),
            *bench.whole(in_model, gate=Gate.IN_MODEL),
            *bench.plug_voltages(in_model),
        ),
        reversed=bench.turned_round(circuit),
        lost_V=bench.lost(in_model),
    )


def _strings(wired: WiredSubAssembly) -> tuple[tuple[tuple[Resistance, ...], Chain], ...]:
    """Walk the strings, each from the common on."""
    towards = {one.second: one for one in wired.netlist.resistances if one.role is Role.RESISTOR}
    chains = chains_of(wired)
    before = [towards.get(chain.resistor.first) for chain in chains]
    return tuple(
        ((knob, chain.resistor) if knob else (chain.resistor,), chain)
        for knob, chain in zip(before, chains, strict=True)
    )


def _is_rail(name: str) -> bool:
    return name.partition(" / ")[0] in ("plus", "minus")


def _without_runs(netlist: Netlist) -> Netlist:
    return replace(
        netlist,
        resistances=tuple(
            replace(one, ohm=0.0) if one.name.startswith("run / ") else one
            for one in netlist.resistances
        ),
    )


class _Bench(Record):
    """A sub-assembly with what its readings depend on."""

    wired: WiredSubAssembly
    good: GoodParts
    meter: Meter
    tracks: Mapping[str, float]
    """Of trim knobs, from end to end. [ohm]"""
    strings: tuple[tuple[tuple[Resistance, ...], Chain], ...]
    """Each with what lies between the common and its first wire: a knob, its resistor."""
    rails: tuple[str, ...]
    """Of the board, the common first."""

    def loose(self) -> Iterator[Expected]:
        """Give the voltage of each type of LED on a tester."""
        habits = self.good.habits
        for led_type in dict.fromkeys(led.led_type for led in self.good.leds.values()):
            curve = fit(led_type)
            test_A = min(max(TEST_A, curve.least_A), curve.most_A)
            shifts = shift_band(
                led_type, coldest_degC=habits.coldest_degC, warmest_degC=habits.warmest_degC
            )
            low, middle, high = (float(curve.shifted(shift).voltage(test_A)) for shift in shifts)
            yield expect(
                Gate.LOOSE,
                led_type.name,
                ProbeKind.VOLTAGE,
                red="anode",
                black="cathode",
                band=Band(low=low, nominal=middle, high=high),
                meter=self.meter,
                at_A=test_A,
            )

    def board(self) -> Iterator[Expected]:
        """Give the resistance between the pads of the board, with no LED on it yet."""
        heads = [one for head, _ in self.strings for one in head]
        common, *backs = self.rails
        points = {point.node: point.name for point in self.wired.test_points}
        known: dict[object, Band | None] = {}
        for one in heads:
            alike = (one.ohm, one.first == common)
            if alike not in known:
                known[alike] = self._ohms(heads, one.first, one.second)
            yield self.on_board(
                one.name,
                points[one.first],
                points[one.second],
                self._turned(one.name, known[alike]),
            )
        for back in backs:
            open_ = self._ohms(heads, common, back)
            yield self.on_board("rails", points[common], points[back], open_)

    def on_board(self, name: str, red: str, black: str, band: Band | None) -> Expected:
        return expect(
            Gate.BOARD,
            name,
            ProbeKind.RESISTANCE,
            red=red,
            black=black,
            band=band,
            meter=self.meter,
        )

    def _turned(self, name: str, band: Band | None) -> Band | None:
        """Let a knob stand anywhere."""
        if band is None or name not in self.tracks:
            return band
        return Band(low=0.0, nominal=band.nominal, high=self.tracks[name])

    def _ohms(self, heads: list[Resistance], first: str, second: str) -> Band | None:
        """Put a volt between two pads of the board alone, and see what flows."""
        grounded = [
            replace(
                one,
                first=GROUND if one.first == second else one.first,
                second=GROUND if one.second == second else one.second,
            )
            for one in heads
        ]
        tester = Source(name="tester", plus=first, minus=GROUND, voltage_V=1.0)
        board = Netlist(resistances=tuple(grounded), junctions=(), sources=(tester,))
        tolerance = self.good.habits.resistor_tolerance
        spread = [
            Variation(ohm={one.name: one.ohm * (1.0 + off) for one in heads})
            for off in (-tolerance, 0.0, tolerance)
        ]
        flows = solve(board, spread).current("tester")
        if not (flows > _NOTHING_A).all():
            return None
        low, nominal, high = (1.0 / flows).tolist()
        return Band(low=low, nominal=nominal, high=high)

    def ways(self) -> list[tuple[str, str, str]]:
        """List the plug's pins with the wire behind each and the rail it leads to."""
        outside = {pin.node for pin in self.wired.plug_pins} or {SUPPLY, GROUND}
        wires = {
            one.second: one
            for one in self.wired.netlist.resistances
            if one.role is Role.WIRE and one.first in outside
        }
        return [
            (wires[rail].first if self.wired.plug_pins else rail, wires[rail].name, rail)
            for rail in self.rails
        ]

    def whole(self, corners: Corners, *, gate: Gate) -> Iterator[Expected]:
        """Give the current in the common wire."""
        pin, wire, _ = self.ways()[0]
        yield self.current(gate, "plug", pin, corners.current(wire))

    def returns(self, corners: Corners) -> Iterator[Expected]:
        """Give the current in each return, where there are several."""
        backs = self.ways()[1:]
        for pin, wire, _ in backs if len(backs) > 1 else ():
            yield self.current(Gate.OPEN, pin, pin, corners.current(wire))

    def groups(self) -> list[set[str]]:
        """Name the parts of each return."""
        parts: dict[str, set[str]] = {rail: set() for rail in self.rails[1:]}
        for head, chain in self.strings:
            parts[chain.wires[-1].second] |= {one.name for one in head}
            parts[chain.wires[-1].second] |= {led.name for led in chain.leds}
        return list(parts.values())

    def current(self, gate: Gate, name: str, pin: str, band: Band) -> Expected:
        return expect(
            gate,
            name,
            ProbeKind.CURRENT,
            red=f"in the wire of {pin}",
            band=band,
            meter=self.meter,
        )

    def points(self, corners: Corners) -> Iterator[Expected]:
        """Give the voltage of every test point on the board or between LEDs."""
        bands = {rail: corners.voltage(rail) for rail in self.rails}
        known: dict[object, tuple[Band, ...]] = {}
        for head, chain in self.strings:
            back = chain.wires[-1].second
            types = [self.good.leds[junction.name].led_type for junction in chain.leds]
            alike = (back, *(one.ohm for one in head), *types)
            if alike not in known:
                known[alike] = self.good.inside(
                    chain, head=head, common=bands[self.rails[0]], back=bands[back]
                )
            bands |= dict(zip(inner_nodes(chain, head=head), known[alike], strict=True))
        at_plug = {pin.node for pin in self.wired.plug_pins}
        for point in self.wired.test_points:
            if point.node not in at_plug:
                yield expect(
                    Gate.OPEN,
                    point.name,
                    ProbeKind.VOLTAGE,
                    red=point.words,
                    black="minus of the supply",
                    band=bands[point.node],
                    meter=self.meter,
                )

    def plug_voltages(self, corners: Corners) -> Iterator[Expected]:
        """Give the voltage between the common's pin and each return's, everything lit."""
        for plus, minus in self.pairs():
            yield expect(
                Gate.IN_MODEL,
                f"{plus} to {minus}",
                ProbeKind.VOLTAGE,
                red=plus,
                black=minus,
                band=corners.voltage(plus, minus),
                meter=self.meter,
            )

    def pairs(self) -> list[tuple[str, str]]:
        """Pair the plug's pin of the common with each other, plus first."""
        pins = self.wired.plug_pins
        return [
            (one.node, other.node) if one.positive else (other.node, one.node)
            for one in pins
            for other in pins
            if one.means == COMMON and other != one
        ]

    def lost(self, corners: Corners) -> float:
        """Give the most that is lost from the supply's terminals to the plug and back."""
        solved = corners.solved
        drops = (
            solved.voltage(SUPPLY) - solved.voltage(plus) + solved.voltage(minus)
            for plus, minus in self.pairs()
        )
        return max((float(drop.max()) for drop in drops), default=0.0)

    def turned_round(self, circuit: SubAssemblyCircuit) -> Reversed:
        """Solve the circuit with its supply the wrong way round."""
        highest_V = self.good.ends.high_V
        turned = Variation(name="reversed", voltage_V={SOURCE: -highest_V})
        solved = solve(self.wired.netlist, (turned,))
        return Reversed(
            current_A=float(abs(solved.current(SOURCE)[0])),
            reverse_V=highest_V,
            fewest_leds=min(len(string.leds) for string in circuit.strings),
            harmless=highest_V <= LED_REVERSE_V,
        )


def whole_readings(
    netlist: Netlist,
    *,
    good: GoodParts,
    feeds: Mapping[str, str],
    groups: Sequence[Collection[str]] = (),
    own_A: float = 0.0,
    meter: Meter | None = None,
) -> tuple[Expected, ...]:
    """Foretell what the supply and each feed give with everything lit.

    Parameters
    ----------
    netlist
        The whole model at one supply.
    good
        Its parts, LEDs by the names their junctions bear in it.
    feeds
        Name of each feed, with the element that carries it.
    groups
        Names of the parts behind each feed.
    own_A
        What controllers beside the supply draw themselves; no feed carries it.
    """
    corners = good.corners(netlist, groups=groups)
    ways = {"supply": SOURCE, **feeds}
    return tuple(
        expect(
            Gate.WHOLE,
            name,
            ProbeKind.CURRENT,
            red="in the plus lead of the supply" if element == SOURCE else f"in {element}",
            band=_raised(corners.current(element), by_A=own_A if element == SOURCE else 0.0),
            meter=meter or Meter(),
        )
        for name, element in ways.items()
    )


def _raised(band: Band, *, by_A: float) -> Band:
    return Band(low=band.low + by_A, nominal=band.nominal + by_A, high=band.high + by_A)
