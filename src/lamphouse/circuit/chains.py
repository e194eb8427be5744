"""The strings of a soldered sub-assembly, walked from their resistor to the way back."""

from lamphouse.circuit.netlist import Junction, Resistance, Role
from lamphouse.circuit.wired import WiredKind, WiredSubAssembly
from lamphouse.record import Record


class Chain(Record):
    """A string as it is soldered."""

    resistor: Resistance
    leds: tuple[Junction, ...]
    """In the order in which they follow the resistor."""
    wires: tuple[Resistance, ...]
    """From the resistor to the first LED, between the LEDs, and back to the rail."""
    positive: bool
    """Whether its resistor lies towards plus."""


def chains_of(wired: WiredSubAssembly) -> tuple[Chain, ...]:
    """Walk every string of a sub-assembly, in the order of its resistors."""
    resistors = {part.name for part in wired.parts if part.kind is WiredKind.RESISTOR}
    wires = {one.first: one for one in wired.netlist.resistances if one.role is Role.WIRE}
    leds = {node: led for led in wired.netlist.junctions for node in (led.anode, led.cathode)}
    return tuple(
        _walk(one, wires=wires, leds=leds, positive=wired.common_positive)
        for one in wired.netlist.resistances
        if one.name in resistors
    )


def _walk(
    resistor: Resistance, *, wires: dict[str, Resistance], leds: dict[str, Junction], positive: bool
) -> Chain:
    node = resistor.second
    passed: list[Resistance] = []
    lit: list[Junction] = []
    while True:
        wire = wires[node]
        passed.append(wire)
        led = leds.get(wire.second)
        if led is None:
            return Chain(resistor=resistor, leds=tuple(lit), wires=tuple(passed), positive=positive)
        lit.append(led)
        node = led.cathode if wire.second == led.anode else led.anode
