"""The record of a fault, its kinds, and how often each kind is met.

Weights say how much more often one fault is met than another. They are common practice, no source:
from memory of what goes wrong when small LEDs are soldered to thin wire by hand.
"""

from enum import StrEnum

from lamphouse.circuit.netlist import Variation
from lamphouse.record import Record


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


class Fault(Record):
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
    alike: int = 0
    """In how many more strings, alike and not listed, it may be instead; its weight is of all."""
    loose: float = 0.0
    """Share by which readings may lie off the foretold besides all spread: a supply at its limit
    gives no current that can be relied on."""


def fault_of(
    kind: FaultKind,
    words: str,
    mend: str,
    variation: Variation,
    *,
    string: str = "",
    figure: str = "",
    loose: float = 0.0,
) -> Fault:
    """Make a fault of a kind, with the weight and the name it has."""
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
