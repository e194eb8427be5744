"""What can be wrong within strings and between them."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.chains import Chain
from lamphouse.circuit.curve import fit
from lamphouse.circuit.fault_kinds import BRIDGE_OHM, Fault, FaultKind, fault_of
from lamphouse.circuit.netlist import OPEN_OHM, Bridge, JunctionState, Resistance, Variation
from lamphouse.circuit.phrases import ohms
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.circuit.wired import WiredKind, WiredSubAssembly

POOR_OHM = (100.0, 1e3, 1e4)
"""Joints in a string, where less is not felt beside its resistor."""


def chain_faults(chain: Chain, *, series: str) -> Iterator[Fault]:
    """Spoil every wire, LED and resistor of one string."""
    resistor = chain.resistor
    for wire in chain.wires:
        yield from _of_wire(wire, string=resistor.name)
    for led in chain.leds:
        yield from _of_led(led.name, anode=led.anode, cathode=led.cathode, string=resistor.name)
    yield from _of_resistor(resistor, series=series)


def _of_wire(wire: Resistance, *, string: str) -> Iterator[Fault]:
    first, second = (end.strip() for end in wire.name.split(" / ", 1))
    along = f"{first} to {second.replace(' / ', ' ')}"
    yield fault_of(
        FaultKind.WIRE_OPEN,
        f"broken wire or joint, {along}",
        "solder both its joints anew, else replace it",
        Variation(name=f"{wire.name} broken", ohm={wire.name: OPEN_OHM}),
        string=string,
    )
    for ohm in POOR_OHM:
        yield fault_of(
            FaultKind.JOINT_POOR,
            f"poor joint, {along}, about {ohms(ohm)}",
            "solder both its joints anew",
            Variation(name=f"{wire.name} poor {ohms(ohm)}", ohm={wire.name: ohm}),
            string=string,
            figure=f"{wire.name} poor",
        )


def _of_led(name: str, *, anode: str, cathode: str, string: str) -> Iterator[Fault]:
    for kind, state, words, mend in (
        (FaultKind.LED_OPEN, JunctionState.OPEN, "dead (open)", "replace it"),
        (
            FaultKind.LED_REVERSED,
            JunctionState.REVERSED,
            "the wrong way round",
            "turn it, cathode mark towards minus",
        ),
        (FaultKind.LED_SHORT, JunctionState.SHORT, "failed short", "replace it"),
    ):
        yield fault_of(
            kind,
            f"{name} {words}",
            mend.format(name),
            Variation(name=f"{name} {state}", junction={name: state}),
            string=string,
        )
    yield fault_of(
        FaultKind.LED_BRIDGED,
        f"{name} bridged by solder or bare wire",
        "clear its pads",
        Variation(
            name=f"{name} bridged", bridges=(Bridge(first=anode, second=cathode, ohm=BRIDGE_OHM),)
        ),
        string=string,
    )


def _of_resistor(resistor: Resistance, *, series: str) -> Iterator[Fault]:
    name, right = resistor.name, resistor.ohm
    yield fault_of(
        FaultKind.RESISTOR_OPEN,
        f"{name} open, or a joint of it",
        "solder it anew, else replace it",
        Variation(name=f"{name} open", ohm={name: OPEN_OHM}),
        string=name,
    )
    yield fault_of(
        FaultKind.RESISTOR_BRIDGED,
        f"{name} bridged by solder",
        "clear its pads; replace its LEDs if they stay dim",
        Variation(
            name=f"{name} bridged",
            bridges=(Bridge(first=resistor.first, second=resistor.second, ohm=BRIDGE_OHM),),
        ),
        string=name,
    )
    if right <= 0.0:
        return
    values = preferred_ohm(series).tolist()
    beside = (
        max((value for value in values if value < right * 0.999), default=None),
        min((value for value in values if value > right * 1.001), default=None),
    )
    wrong = [(FaultKind.DECADE, right * factor) for factor in (0.1, 10.0)]
    wrong += [(FaultKind.NEIGHBOUR, value) for value in beside if value is not None]
    for kind, ohm in wrong:
        yield fault_of(
            kind,
            f"{name} of {ohms(ohm)} instead of {ohms(right)}",
            f"measure it, replace it by {ohms(right)}",
            Variation(name=f"{name} {ohms(ohm)}", ohm={name: ohm}),
            string=name,
            figure=f"{name} wrong",
        )


def knob_faults(wired: WiredSubAssembly, *, circuit: SubAssemblyCircuit) -> Iterator[Fault]:
    """Turn each trim knob to its ends; at one of them it also rests when its wiper lifts."""
    knobs = {string.name: string.knob for string in circuit.strings}
    for part in wired.parts:
        knob = knobs.get(part.string)
        if part.kind is not WiredKind.TRIM or knob is None:
            continue
        for end_ohm, words in ((0.0, "turned to nothing"), (knob.track_ohm, "turned up, or loose")):
            yield fault_of(
                FaultKind.KNOB,
                f"{part.name} {words}",
                f"set it anew to about {ohms(knob.set_ohm)}",
                Variation(name=f"{part.name} {words}", ohm={part.name: max(end_ohm, BRIDGE_OHM)}),
                figure=f"{part.name} off",
            )


def type_faults(
    chains: Sequence[Chain], *, circuit: SubAssemblyCircuit, led_types: Sequence[LedType]
) -> Iterator[Fault]:
    """Put another LED of the same package in each one's place, at its string's current."""
    strings = {led.name: (led, string) for string in circuit.strings for led in string.leds}
    for chain in chains:
        for junction in chain.leds:
            led, string = strings[junction.name]
            right, current_A = led.led_type, max(string.current_A.nominal, 1e-6)
            for other in dict.fromkeys(led_types):
                if other.package != right.package or other.name == right.name:
                    continue
                shift_V = float(fit(other).voltage(current_A) - fit(right).voltage(current_A))
                yield fault_of(
                    FaultKind.LED_TYPE,
                    f"{led.name} a {other.name}, not a {right.name}",
                    f"replace it by a {right.name}",
                    Variation(name=f"{led.name} {other.name}", shift_V={led.name: shift_V}),
                    string=chain.resistor.name,
                    figure=f"{led.name} wrong",
                )


def faults_between(chains: Sequence[Chain]) -> Iterator[Fault]:
    """Swap and short the strings that lie side by side on the board."""
    for one, other in pairwise(chains):
        names = f"{one.resistor.name} and {other.resistor.name}"
        if one.resistor.ohm != other.resistor.ohm:
            yield fault_of(
                FaultKind.SWAPPED_RESISTORS,
                f"{names} swapped",
                "swap them back",
                Variation(
                    name=f"{names} swapped",
                    ohm={
                        one.resistor.name: other.resistor.ohm,
                        other.resistor.name: one.resistor.ohm,
                    },
                ),
            )
        first, second = one.wires[0], other.wires[0]
        alike = [_lit(chain) for chain in (one, other)]
        if alike[0] != alike[1]:
            yield fault_of(
                FaultKind.SWAPPED_LEADS,
                f"leads of {names} swapped",
                "swap them back",
                Variation(
                    name=f"leads of {names} swapped",
                    moved={(first.name, 0): second.first, (second.name, 0): first.first},
                ),
            )
        for near, far in zip(one.leds, other.leds, strict=False):
            left, right = (near.anode, far.anode) if one.positive else (near.cathode, far.cathode)
            pair = f"{near.name} and {far.name}"
            yield fault_of(
                FaultKind.LEADS_SHORT,
                f"leads to {pair} touch",
                "part and sleeve them",
                Variation(
                    name=f"leads of {pair} short",
                    bridges=(Bridge(first=left, second=right, ohm=BRIDGE_OHM),),
                ),
            )


def _lit(chain: Chain) -> tuple[tuple[float, ...], ...]:
    """Give all that tells one string from another."""
    leds = ((led.slope_V, led.log_saturation, led.series_ohm) for led in chain.leds)
    return ((chain.resistor.ohm,), *leds)
