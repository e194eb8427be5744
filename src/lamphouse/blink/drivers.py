"""What stands between a controller's pin and the strings of a source group: pin, NPN or MOSFET.

Terminology
-----------
low-side, high-side
    Switched between string and minus, where the strings share plus; between plus and string, where
    they share minus.
straight
    The pin itself is the switch: it takes the strings' current while low, or gives it while high.
"""

from collections.abc import Iterator, Sequence
from enum import StrEnum

from lamphouse.catalogue.switches import SwitchType
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.record import Record

PULL_OHM = 100_000.0
"""From gate to source of a low-side MOSFET: dark while the pin floats [PRACTICE]."""
HIGH_PULL_OHM = 10_000.0
"""The same of a high-side one, which must let go quickly [PRACTICE]."""
LEAST_BASE_V = 0.6
"""Between base and emitter at the least, for the most that a pin gives [PRACTICE]."""
MOST_DIMMING = 0.05
"""Share of a string's current that its switch may take away [PRACTICE]."""
GATE_MARGIN = 0.8
"""Share of what a gate stands that is used [PRACTICE]."""


class DriverKind(StrEnum):
    """How a group is switched."""

    STRAIGHT = "straight to the pin"
    STRAIGHT_HIGH = "straight from the pin"
    NPN = "npn transistor"
    LOW_MOSFET = "n-channel mosfet"
    HIGH_MOSFET = "p-channel mosfet, npn transistor ahead"


STRAIGHTS = (DriverKind.STRAIGHT, DriverKind.STRAIGHT_HIGH)


class PinSide(Record):
    """A pin as its driver sees it."""

    low_V: float
    """The least it has while high and carrying nothing."""
    high_V: float
    pin_A: float
    """What it may carry."""
    pin_ohm: float
    straight: bool
    """Whether the strings live on the same voltage as the pin."""


class StringSide(Record):
    """The strings of a group as their driver sees them."""

    current_A: float
    """All of them at their highest."""
    resistor_V: float
    """The least that stands across the resistor of any of them at its nominal current."""
    low_V: float
    """The least their supply has."""
    high_V: float
    """The most."""
    common_positive: bool


class Driver(Record):
    """A switch with its resistors."""

    kind: DriverKind
    switch: SwitchType | None
    """None where the pin itself switches."""
    ahead: SwitchType | None = None
    """The NPN transistor that pulls a high-side gate down."""
    pin_ohm: float | None = None
    """From the pin to base or gate."""
    gate_ohm: float | None = None
    """From the transistor ahead to a high-side gate."""
    pull_ohm: float | None = None
    """From gate to source."""
    pin_A: float
    """What the pin carries at most, for as long as the group is lit."""
    lost_V: float
    """What the switch takes of the strings' voltage at most."""
    reason: str

    @property
    def lit_high(self) -> bool:
        """Whether the group is lit while the pin is high."""
        return self.kind is not DriverKind.STRAIGHT

    @property
    def resistors_ohm(self) -> tuple[float, ...]:
        """Every resistor of it."""
        return tuple(ohm for ohm in (self.pin_ohm, self.gate_ohm, self.pull_ohm) if ohm is not None)


def drivers_for(
    strings: StringSide,
    *,
    pin: PinSide,
    switches: Sequence[SwitchType],
    series: str,
    tolerance: float,
) -> Iterator[Driver]:
    """Give every driver that holds in the worst case, the simplest first.

    Parameters
    ----------
    strings, pin
        What is switched, and by what.
    switches
        Transistors there are.
    series, tolerance
        Of the resistors.

    Notes
    -----
    A bipolar transistor is driven to the forced gain of its row at the strings' highest current,
    with base and pin at their worst. A gate is charged through a resistor that keeps the pin within
    its current; what is shown is still light, as gates of this size follow within a microsecond.
    """
    yield from _straight(strings, pin=pin)
    if strings.common_positive:
        for switch in switches:
            if _carries(switch, strings):
                yield from _low_side(switch, strings, pin=pin, series=series, tolerance=tolerance)
    else:
        for switch in switches:
            if switch.construction == "p-channel mosfet" and _carries(switch, strings):
                yield from _high_side(
                    switch, strings, pin=pin, switches=switches, series=series, tolerance=tolerance
                )


def dimming(strings: StringSide, *, lost_V: float) -> float:
    """Estimate the share of a string's current that a switch takes away.

    What the switch takes is missing across the resistor; that the LEDs then want a little less is
    left out, so that it is the most.
    """
    return lost_V / strings.resistor_V if strings.resistor_V > 0.0 else 1.0


def base_ohm(
    collector_A: float, *, switch: SwitchType, pin: PinSide, series: str, tolerance: float
) -> float | None:
    """Choose the resistor from a pin to a base; None where the pin cannot drive it. [ohm].

    The largest value of the series that saturates the transistor in the worst case.
    """
    if switch.gain is None:
        return None
    needed_A = collector_A / switch.gain
    room_V = pin.low_V - switch.drive_V - needed_A * pin.pin_ohm
    if room_V <= 0.0 or needed_A <= 0.0:
        return None
    most = room_V / needed_A / (1.0 + tolerance)
    fitting = [float(ohm) for ohm in preferred_ohm(series) if ohm <= most]
    if not fitting:
        return None
    ohm = min(fitting[-1], 100_000.0)
    return ohm if _base_A(ohm, pin=pin, tolerance=tolerance) <= pin.pin_A else None


def _base_A(ohm: float, *, pin: PinSide, tolerance: float) -> float:
    return (pin.high_V - LEAST_BASE_V) / (ohm * (1.0 - tolerance))


def _carries(switch: SwitchType, strings: StringSide) -> bool:
    within = switch.max_A >= strings.current_A and switch.max_V >= strings.high_V
    return within and dimming(strings, lost_V=switch.lost_V(strings.current_A)) <= MOST_DIMMING


def _straight(strings: StringSide, *, pin: PinSide) -> Iterator[Driver]:
    lost_V = strings.current_A * pin.pin_ohm
    fits = pin.straight and strings.current_A <= pin.pin_A
    if fits and dimming(strings, lost_V=lost_V) <= MOST_DIMMING:
        yield Driver(
            kind=DriverKind.STRAIGHT if strings.common_positive else DriverKind.STRAIGHT_HIGH,
            switch=None,
            pin_A=strings.current_A,
            lost_V=lost_V,
            reason="the pin carries the current, and lives on the strings' voltage",
        )


def _low_side(
    switch: SwitchType, strings: StringSide, *, pin: PinSide, series: str, tolerance: float
) -> Iterator[Driver]:
    lost_V = switch.lost_V(strings.current_A)
    if switch.construction == "npn":
        ohm = base_ohm(
            strings.current_A, switch=switch, pin=pin, series=series, tolerance=tolerance
        )
        if ohm is not None:
            yield Driver(
                kind=DriverKind.NPN,
                switch=switch,
                pin_ohm=ohm,
                pin_A=_base_A(ohm, pin=pin, tolerance=tolerance),
                lost_V=lost_V,
                reason=f"more than the pin can switch; saturated at a gain of {switch.gain}",
            )
    elif switch.construction == "n-channel mosfet":
        ohm = gate_ohm(pin, series=series, tolerance=tolerance)
        driven = pin.low_V * PULL_OHM / (PULL_OHM + ohm)
        if driven >= switch.drive_V and pin.high_V <= (switch.gate_most_V or 0.0):
            yield Driver(
                kind=DriverKind.LOW_MOSFET,
                switch=switch,
                pin_ohm=ohm,
                pull_ohm=PULL_OHM,
                pin_A=pin.high_V / (PULL_OHM * (1.0 - tolerance)),
                lost_V=lost_V,
                reason="more current, or less voltage to lose, than an npn transistor is good for",
            )


def gate_ohm(pin: PinSide, *, series: str, tolerance: float) -> float:
    """Choose the resistor from a pin to a gate: at the first instant a gate is a short. [ohm]."""
    least = pin.high_V / pin.pin_A / (1.0 - tolerance)
    return next((float(ohm) for ohm in preferred_ohm(series) if ohm >= least), 10_000.0)


def _high_side(
    switch: SwitchType,
    strings: StringSide,
    *,
    pin: PinSide,
    switches: Sequence[SwitchType],
    series: str,
    tolerance: float,
) -> Iterator[Driver]:
    gate = divider_ohm(switch, strings=strings, series=series, tolerance=tolerance)
    if gate is None:
        return
    pulled_A = strings.high_V / ((HIGH_PULL_OHM + gate) * (1.0 - tolerance))
    for ahead in switches:
        if ahead.construction != "npn" or ahead.max_A < pulled_A or ahead.max_V < strings.high_V:
            continue
        ohm = base_ohm(pulled_A, switch=ahead, pin=pin, series=series, tolerance=tolerance)
        if ohm is not None:
            yield Driver(
                kind=DriverKind.HIGH_MOSFET,
                switch=switch,
                ahead=ahead,
                pin_ohm=ohm,
                gate_ohm=gate,
                pull_ohm=HIGH_PULL_OHM,
                pin_A=_base_A(ohm, pin=pin, tolerance=tolerance),
                lost_V=switch.lost_V(strings.current_A),
                reason="the strings share minus, so that plus is switched",
            )


def divider_ohm(
    switch: SwitchType, *, strings: StringSide, series: str, tolerance: float
) -> float | None:
    """Choose the resistor below a high-side gate: driven enough, and never beyond it. [ohm]."""
    most_V = GATE_MARGIN * (switch.gate_most_V or 0.0)
    for ohm in preferred_ohm(series):
        highest = _gate_V(strings.high_V, float(ohm), ratio=(1 + tolerance) / (1 - tolerance))
        lowest = _gate_V(strings.low_V, float(ohm), ratio=(1 - tolerance) / (1 + tolerance))
        if highest <= most_V:
            return float(ohm) if lowest >= switch.drive_V else None
    return None


def _gate_V(supply_V: float, ohm: float, *, ratio: float) -> float:
    """Give the gate's voltage below plus, the pull-up times a ratio against the other resistor."""
    pull = HIGH_PULL_OHM * ratio
    return supply_V * pull / (pull + ohm)
