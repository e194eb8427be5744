"""The readings to expect on a sub-assembly, gate by gate, as data for the typesetter."""

import math
from collections.abc import Iterator, Sequence
from typing import Any

from lamphouse.circuit.expected import BenchReadings, Expected, Gate, Reversed
from lamphouse.circuit.feed_rules import LED_REVERSE_V
from lamphouse.circuit.meter import ProbeKind
from lamphouse.circuit.phrases import amps, counted, volts
from lamphouse.circuit.plug_pins import pins_of, returns_together
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Common
from lamphouse.plan.result import Plan

_HEADINGS = {
    Gate.LOOSE: "1 Each LED, before it is soldered",
    Gate.BOARD: "2 The board alone, no LEDs yet, no power",
    Gate.OPEN: "3 LEDs and board joined, still open",
    Gate.CLOSED: "4 Closed",
    Gate.IN_MODEL: "5 In the model, everything lit",
}
_HOW = {
    Gate.LOOSE: "On a diode tester, red on the anode. Reversed it shows nothing and stays dark.",
    Gate.BOARD: "On the ohm range. Between the rails it must show open.",
    Gate.OPEN: "Feed the plug. Voltages: black probe on the supply's minus, red on the test point.",
    Gate.CLOSED: "Closing must change nothing.",
    Gate.IN_MODEL: "Plugged into the model. The voltage is read at the plug.",
}
_UNITS = {
    ProbeKind.CURRENT: ((1e-3, "mA"), (1.0, "A")),
    ProbeKind.VOLTAGE: ((1e-3, "mV"), (1.0, "V")),
    ProbeKind.RESISTANCE: ((1.0, "Ω"), (1e3, "kΩ"), (1e6, "MΩ")),
}
_FAINT = 10.0
"""So few last digits tell nothing but that there is next to nothing."""


def readings(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """List the readings of a sub-assembly; None where none were foretold."""
    benches = plan.readings.sub_assemblies if plan.readings else ()
    bench = next((one for one in benches if one.sub_assembly == sub.name), None)
    if bench is None:
        return None
    return {
        "name": sub.name,
        "words": "Ranges are those of a meter that shows 1999. A reading within the band is good; "
        "one at its edge is rare.",
        "gates": [
            {
                "name": heading,
                "how": _how(gate, bench, together=returns_of(plan, sub)),
                "rows": list(_rows(gate, bench.at(gate), sub=sub)),
            }
            for gate, heading in _HEADINGS.items()
        ],
        "reversed": _reversed(bench.reversed),
    }


def returns_of(plan: Plan, sub: SubAssembly) -> str:
    """Say which pins of a plug are joined on the bench, where its switches are not."""
    positive = plan.design.habits.common is Common.POSITIVE
    uses = pins_of(sub, groups=plan.design.groups, common_positive=positive)
    return returns_together(uses, common_positive=positive)


def whole(plan: Plan) -> list[tuple[str, ...]]:
    """List what the supply and each feed give with everything lit."""
    expected = plan.readings.whole if plan.readings else ()
    return [(one.name, one.red, *shown(one)) for one in expected]


def shown(one: Expected) -> tuple[str, str, str]:
    """Give a reading as the meter's display shows it: range, as designed, and band."""
    scale, unit = next(
        (scale, unit) for scale, unit in reversed(_UNITS[one.kind]) if one.range_top >= 2 * scale
    )
    top = f"{round(one.range_top / scale):d} {unit}"
    if one.band is None:
        return top, "open", "no number"
    places = max(0, round(-math.log10(one.resolution / scale)))
    if one.band.high < _FAINT * one.resolution:
        return top, "next to 0", f"under {_FAINT * one.resolution / scale:.{places}f} {unit}"
    low, nominal, high = (
        f"{end / scale:.{places}f}" for end in (one.band.low, one.band.nominal, one.band.high)
    )
    return top, f"{nominal} {unit}", f"{low} to {high}"


def _how(gate: Gate, bench: BenchReadings, *, together: str) -> str:
    if gate is Gate.OPEN and together:
        return _HOW[gate].replace("the plug.", f"the plug, {together}.", 1)
    if gate is Gate.CLOSED:
        (before,) = bench.at(gate)
        error = f"{1e3 * before.error:.1g} mA"
        return f"{_HOW[gate]} It reads what it read open, give or take the meter's {error}."
    if gate is Gate.IN_MODEL and bench.lost_V > 0.0:
        return f"{_HOW[gate]} Up to {1e3 * bench.lost_V:.2g} mV are lost on the way to the plug."
    return _HOW[gate]


def _rows(
    gate: Gate, expected: Sequence[Expected], *, sub: SubAssembly
) -> Iterator[tuple[str, ...]]:
    kinds = [led.led_type.name for led in sub.leds()]
    for one in expected:
        where = one.red
        if one.at_A is not None:
            where = f"{counted(kinds.count(one.name), 'LED')}, at {amps(one.at_A)}"
        elif gate is Gate.BOARD:
            where = f"{one.red} to {one.black}"
        elif gate is Gate.IN_MODEL and one.black:
            where = f"red on {one.red}"
        yield (one.name, where, *shown(one))


def _reversed(turned: Reversed) -> str:
    """Say what a reversed plug does."""
    first = "Reversed plug: 0 mA, nothing lit."
    stands = volts(turned.reverse_V)
    if turned.harmless:
        return (
            f"{first} Nothing is harmed: an LED bears {volts(LED_REVERSE_V)} in reverse, and no "
            f"more than {stands} stand across any string. Turn the plug."
        )
    return (
        f"{first} Pull it at once: up to {stands} stand in reverse across each string, which its "
        f"LEDs need not share evenly, and one bears {volts(LED_REVERSE_V)}. Afterwards read gate 3 "
        "again."
    )
