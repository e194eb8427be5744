"""What can be wrong with a sub-assembly as it is soldered: each fault with words, mend and weight.

Weights say how much more often one fault is met than another. They are common practice, no source:
from memory of what goes wrong when small LEDs are soldered to thin wire by hand.

Limits of the model
-------------------
One fault at a time; :mod:`lamphouse.circuit.double_faults` has those that come in twos. A resistive
joint is tried at three decades. Two returns swapped in the plug light all the same with every
switch closed and are not listed.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise

from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.branch import SubAssemblyCircuit
from lamphouse.circuit.chains import Chain, chains_of
from lamphouse.circuit.curve import fit
from lamphouse.circuit.netlist import (
    GROUND,
    OPEN_OHM,
    Bridge,
    JunctionState,
    Resistance,
    Role,
    Variation,
)
from lamphouse.circuit.phrases import ohms, volts
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.circuit.wired import WiredKind, WiredSubAssembly
from lamphouse.circuit.wiring_up import SOURCE, SUPPLY
from lamphouse.design.supply import Supply


class FaultKind(StrEnum):
    """Faults that are weighed and counted alike."""

    NOTHING = "nothing wrong"
    LED_OPEN = "LED open"
    LED_REVERSED = "LED reversed"
    LED_SHORT = "LED short"
    LED_BRIDGED = "bridge across an LED"
    LED_TYPE = "wrong LED"
    WIRE_OPEN = "wire or joint broken"
    JOINT_POOR = "resistive joint"
    RESISTOR_OPEN = "resistor open"
    RESISTOR_BRIDGED = "resistor bridged"
    DECADE = "resistor wrong by a decade"
    NEIGHBOUR = "neighbouring resistor value"
    KNOB = "trim knob off its setting"
    SWAPPED_RESISTORS = "resistors swapped"
    SWAPPED_LEADS = "string leads swapped"
    POLARITY = "plus and minus swapped"
    FEED_OPEN = "feed open"
    FEED_POOR = "resistive feed"
    FEED_SHORT = "short in the feed"
    LEADS_SHORT = "short between leads"
    SUPPLY_DEAD = "no supply"
    SUPPLY_WRONG = "wrong supply"
    SUPPLY_LOW = "low supply"
    DOUBLE = "two faults"


WEIGHTS = {
    FaultKind.NOTHING: 2.0,
    FaultKind.LED_OPEN: 2.0,
    FaultKind.LED_REVERSED: 3.0,
    FaultKind.LED_SHORT: 0.4,
    FaultKind.LED_BRIDGED: 0.6,
    FaultKind.LED_TYPE: 0.5,
    FaultKind.WIRE_OPEN: 3.0,
    FaultKind.JOINT_POOR: 0.5,
    FaultKind.RESISTOR_OPEN: 0.3,
    FaultKind.RESISTOR_BRIDGED: 0.3,
    FaultKind.DECADE: 1.0,
    FaultKind.NEIGHBOUR: 0.5,
    FaultKind.KNOB: 1.5,
    FaultKind.SWAPPED_RESISTORS: 0.8,
    FaultKind.SWAPPED_LEADS: 0.6,
    FaultKind.POLARITY: 4.0,
    FaultKind.FEED_OPEN: 3.0,
    FaultKind.FEED_POOR: 0.5,
    FaultKind.FEED_SHORT: 1.0,
    FaultKind.LEADS_SHORT: 0.4,
    FaultKind.SUPPLY_DEAD: 3.0,
    FaultKind.SUPPLY_WRONG: 2.0,
    FaultKind.SUPPLY_LOW: 2.0,
}
"""Of one fault of each kind, whatever its figure: those that differ in a figure alone share it.
Common practice, no source."""
BRIDGE_OHM = 0.1
"""A blob of solder, or two bare wires that touch; from memory."""
POOR_OHM = (100.0, 1e3, 1e4)
"""Joints in a string, where less is not felt beside its resistor."""
POOR_FEED_OHM = (10.0, 100.0, 1e3)
SUPPLIES_V = (3.0, 5.0, 6.0, 9.0, 12.0, 15.0, 24.0)
"""What stands about on a bench and fits the same plug."""
_OTHER_SUPPLY = 0.1
"""Within this share of the right voltage it is the right supply."""
_SAGGED = (0.8, 0.6)
"""Shares of the voltage that flat cells, or a supply with too much on it, still give."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that can be wrong."""

    name: str
    kind: FaultKind
    words: str
    """What is wrong and where, as said at the bench."""
    mend: str
    weight: float
    """How often it is met, beside the others."""
    variation: Variation
    string: str = ""
    """The resistor of the string it lies in; empty in the feed, and between strings."""
    figure: str = ""
    """What faults share that differ in a figure alone, such as the value of a wrong resistor: to
    the maker they are one."""
    loose: float = 0.0
    """Share by which readings may lie off the foretold besides all spread: a supply at its limit
    gives no current that can be relied on."""


def single_faults(
    wired: WiredSubAssembly,
    *,
    circuit: SubAssemblyCircuit,
    supply: Supply,
    series: str,
    led_types: Sequence[LedType] = (),
) -> tuple[Fault, ...]:
    """List everything that can be wrong alone, and first that nothing is.

    Parameters
    ----------
    wired, circuit
        The sub-assembly, soldered as designed.
    supply
        As the maker decided; its largest current bounds a short.
    series
        Preferred numbers, of which the neighbours of each value are taken for it by mistake.
    led_types
        Those on the bench: one of the same package may have got into another's place.
    """
    chains = chains_of(wired)
    found = (
        *_of_feed(wired, supply=supply),
        *(fault for chain in chains for fault in _of_chain(chain, series=series)),
        *_of_knobs(wired, circuit=circuit),
        *_wrong_types(chains, circuit=circuit, led_types=led_types),
        *_between(chains),
    )
    sharing = Counter((fault.figure or fault.name, fault.kind) for fault in found)
    right = Fault(
        name="nothing",
        kind=FaultKind.NOTHING,
        words="nothing wrong here",
        mend="look at the loom and the other sub-assemblies",
        weight=WEIGHTS[FaultKind.NOTHING],
        variation=Variation(name="nothing"),
    )
    return (
        right,
        *(
            replace(one, weight=one.weight / sharing[one.figure or one.name, one.kind])
            for one in found
        ),
    )


def _fault(
    kind: FaultKind,
    words: str,
    mend: str,
    variation: Variation,
    *,
    string: str = "",
    figure: str = "",
    loose: float = 0.0,
) -> Fault:
    return Fault(
        name=variation.name,
        kind=kind,
        words=words,
        mend=mend,
        weight=WEIGHTS[kind],
        variation=variation,
        string=string,
        figure=figure,
        loose=loose,
    )


def _of_chain(chain: Chain, *, series: str) -> Iterator[Fault]:
    resistor = chain.resistor
    for wire in chain.wires:
        yield from _of_wire(wire, string=resistor.name)
    for led in chain.leds:
        yield from _of_led(led.name, anode=led.anode, cathode=led.cathode, string=resistor.name)
    yield from _of_resistor(resistor, series=series)


def _of_wire(wire: Resistance, *, string: str) -> Iterator[Fault]:
    first, second = (end.strip() for end in wire.name.split(" / ", 1))
    along = f"{first} to {second.replace(' / ', ' ')}"
    yield _fault(
        FaultKind.WIRE_OPEN,
        f"broken wire or joint, {along}",
        "solder both its joints anew, else replace it",
        Variation(name=f"{wire.name} broken", ohm={wire.name: OPEN_OHM}),
        string=string,
    )
    for ohm in POOR_OHM:
        yield _fault(
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
        yield _fault(
            kind,
            f"{name} {words}",
            mend.format(name),
            Variation(name=f"{name} {state}", junction={name: state}),
            string=string,
        )
    yield _fault(
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
    yield _fault(
        FaultKind.RESISTOR_OPEN,
        f"{name} open, or a joint of it",
        "solder it anew, else replace it",
        Variation(name=f"{name} open", ohm={name: OPEN_OHM}),
        string=name,
    )
    yield _fault(
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
        yield _fault(
            kind,
            f"{name} of {ohms(ohm)} instead of {ohms(right)}",
            f"measure it, replace it by {ohms(right)}",
            Variation(name=f"{name} {ohms(ohm)}", ohm={name: ohm}),
            string=name,
            figure=f"{name} wrong",
        )


def _of_knobs(wired: WiredSubAssembly, *, circuit: SubAssemblyCircuit) -> Iterator[Fault]:
    """Turn each trim knob to its ends; at one of them it also rests when its wiper lifts."""
    knobs = {string.name: string.knob for string in circuit.strings}
    for part in wired.parts:
        knob = knobs.get(part.string)
        if part.kind is not WiredKind.TRIM or knob is None:
            continue
        for end_ohm, words in ((0.0, "turned to nothing"), (knob.track_ohm, "turned up, or loose")):
            yield _fault(
                FaultKind.KNOB,
                f"{part.name} {words}",
                f"set it anew to about {ohms(knob.set_ohm)}",
                Variation(name=f"{part.name} {words}", ohm={part.name: max(end_ohm, BRIDGE_OHM)}),
                figure=f"{part.name} off",
            )


def _wrong_types(
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
                yield _fault(
                    FaultKind.LED_TYPE,
                    f"{led.name} a {other.name}, not a {right.name}",
                    f"replace it by a {right.name}",
                    Variation(name=f"{led.name} {other.name}", shift_V={led.name: shift_V}),
                    string=chain.resistor.name,
                    figure=f"{led.name} wrong",
                )


def _between(chains: Sequence[Chain]) -> Iterator[Fault]:
    """Swap and short the strings that lie side by side on the board."""
    for one, other in pairwise(chains):
        names = f"{one.resistor.name} and {other.resistor.name}"
        if one.resistor.ohm != other.resistor.ohm:
            yield _fault(
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
            yield _fault(
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
            yield _fault(
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


def _of_feed(wired: WiredSubAssembly, *, supply: Supply) -> Iterator[Fault]:
    netlist = wired.netlist
    source = netlist.sources[0]
    rails = {net.name for net in wired.nets if "." not in net.name or " / " in net.name}
    inner = {wire.name for chain in chains_of(wired) for wire in chain.wires}
    feed = [one for one in netlist.resistances if one.role is not Role.RESISTOR]
    feed = [one for one in feed if one.name not in inner]
    for one in feed:
        words, mend = _feed_words(one)
        yield _fault(
            FaultKind.FEED_OPEN,
            words.format("open" if one.role in (Role.CONTACT, Role.SWITCH) else "broken"),
            mend,
            Variation(name=f"{one.name} open", ohm={one.name: OPEN_OHM}),
        )
        for ohm in POOR_FEED_OHM if one.role is not Role.SWITCH else ():
            yield _fault(
                FaultKind.FEED_POOR,
                words.format(f"poor, about {ohms(ohm)}"),
                mend,
                Variation(name=f"{one.name} poor {ohms(ohm)}", ohm={one.name: ohm}),
                figure=f"{one.name} poor",
            )
    swap = {SUPPLY: GROUND, GROUND: SUPPLY}
    yield _fault(
        FaultKind.POLARITY,
        "plus and minus swapped",
        "swap the plug's pins, or turn the supply's plug",
        Variation(
            name="plus and minus swapped",
            moved={
                (one.name, end): swap[node]
                for one in feed
                for end, node in enumerate((one.first, one.second))
                if node in swap
            },
        ),
    )
    yield from _shorts(wired, rails=rails, limit_A=supply.max_current_A)
    yield _fault(
        FaultKind.SUPPLY_DEAD,
        "supply off, fuse blown or cells flat",
        "measure the supply alone; find why a fuse blew",
        Variation(name="no supply", source_ohm={SOURCE: OPEN_OHM}),
    )
    for other_V in SUPPLIES_V:
        if abs(other_V / source.voltage_V - 1.0) > _OTHER_SUPPLY:
            yield _fault(
                FaultKind.SUPPLY_WRONG,
                f"supply of {volts(other_V)} instead of {volts(source.voltage_V)}",
                f"use the supply of {volts(source.voltage_V)}",
                Variation(name=f"supply {volts(other_V)}", voltage_V={SOURCE: other_V}),
                figure="supply wrong",
            )
    for share in _SAGGED:
        low_V = share * source.voltage_V
        yield _fault(
            FaultKind.SUPPLY_LOW,
            f"supply sagged to about {volts(low_V)}",
            "measure it alone and loaded; put in fresh cells",
            Variation(name=f"supply sagged to {volts(low_V)}", voltage_V={SOURCE: low_V}),
            figure="supply low",
        )


def _feed_words(one: Resistance) -> tuple[str, str]:
    """Name a piece of the feed with a gap for what is wrong, and say how to mend it."""
    first, second = (end.strip() for end in one.name.split(" / ", 1))
    second = second.replace(" / ", " ")
    if one.role is Role.CONTACT:
        return (
            f"contact of {second} in the plug {{}}",
            "clean and bend it",
        )
    if one.role is Role.SWITCH:
        return f"switch of {second} {{}}", "see whether it is on and its contacts close"
    if first == "run":
        return f"loom's run to {second} {{}}", "mend it under the floor"
    if first == "lead":
        return f"lead to the board's {second} {{}}", "solder it anew"
    return (
        f"pigtail's wire {first} to {second} {{}}",
        "solder it anew at both ends",
    )


def _shorts(wired: WiredSubAssembly, *, rails: set[str], limit_A: float) -> Iterator[Fault]:
    """Short plus to minus at the plug and at the board, the supply at its limit."""
    source = wired.netlist.sources[0]
    limit_ohm = {SOURCE: max(source.ohm, source.voltage_V / limit_A)}
    common = "plus" if wired.common_positive else "minus"
    pins = [(pin.node, pin.positive, f"pin {pin.pin}") for pin in wired.plug_pins]
    places = [
        (one, other, f"{first} and {second} of the plug")
        for one, positive, first in pins
        for other, negative, second in pins
        if positive and not negative
    ]
    places += [
        (common, rail, f"the board's {common} and {rail.replace(' / ', ' ')}")
        for rail in sorted(rails - {common})
    ]
    for one, other, names in places:
        yield _fault(
            FaultKind.FEED_SHORT,
            f"{names} short",
            "switch off; look for a whisker of wire or solder",
            Variation(
                name=f"{one} to {other} short",
                bridges=(Bridge(first=one, second=other, ohm=BRIDGE_OHM),),
                source_ohm=limit_ohm,
            ),
            loose=0.3,
        )
