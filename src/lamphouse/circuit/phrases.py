"""Circuits in a builder's words: quantities, and the reason for a string."""

from collections.abc import Sequence

from lamphouse.circuit.branch import Band, StringDesign, TrimKnob
from lamphouse.units import Quantity, show


def amps(current_A: float) -> str:
    """Give a current to three digits: ``1.53 mA``."""
    return show(current_A, Quantity.CURRENT, digits=3)


def volts(voltage_V: float) -> str:
    """Give a voltage to the hundredth of a volt: ``10.74 V``."""
    return f"{voltage_V:.2f}".rstrip("0").rstrip(".") + " V"


def ohms(resistance_ohm: float) -> str:
    """Give a resistance as resistors are named: ``4k7``."""
    return show(resistance_ohm, Quantity.RESISTANCE)


def watts(power_W: float) -> str:
    """Give a power to three digits: ``62.5 mW``."""
    return show(power_W, Quantity.POWER, digits=3)


def hours(time_h: float) -> str:
    """Give a time to two digits, as well as anyone knows it: ``3.5 h``, ``220 h``."""
    return f"{float(f'{time_h:.2g}'):g} h"


def percent(share: float) -> str:
    """Give a share in whole percent."""
    return f"{100.0 * share:.0f} %"


def share_band(current_A: Band, *, wanted_A: float) -> str:
    """Give a band of current as a share of the wanted one: ``83 to 117 %``."""
    low, high = (100.0 * end / wanted_A for end in (current_A.low, current_A.high))
    return f"{low:.0f} to {high:.0f} %"


def counted(number: int, noun: str) -> str:
    """Give a number with its noun: ``1 LED``, ``3 LEDs``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def listed(parts: Sequence[str]) -> str:
    """Join parts as a sentence does: ``a, b and c``."""
    *first, last = parts
    return f"{', '.join(first)} and {last}" if first else last


def some(names: Sequence[str], *, most: int = 4) -> str:
    """Name things in quotes, the first few of many: ``'a', 'b' and 7 more``."""
    shown = [f"'{name}'" for name in names[:most]]
    return listed([*shown, *([f"{len(names) - most} more"] if len(names) > most else [])])


def reason_for(
    *,
    leds: int,
    wanted_V: float,
    supply_V: float,
    wanted_A: float,
    current_A: Band,
    ohm: float,
    origin: str,
    knob: TrimKnob | None,
    count: str,
) -> str:
    """Tell why a string has this many LEDs and this resistor.

    Parameters
    ----------
    leds
        Number in series.
    wanted_V
        Their forward voltage at the wanted current. [V]
    supply_V, wanted_A, current_A, ohm
        As designed.
    origin
        Where the value comes from: ``given``, ``of E12``, ``from your drawer``.
    knob
        In series with the resistor, if any.
    count
        Why there are this many LEDs; may be empty.
    """
    left_V = supply_V - wanted_V
    take = "takes" if leds == 1 else "take"
    room = f"{counted(leds, 'LED')} {take} {volts(wanted_V)} of {volts(supply_V)}"
    room += f" at {amps(wanted_A)}"
    if left_V > 0.0:
        exact = show(left_V / wanted_A, Quantity.RESISTANCE, digits=3)
        room += f"; the {volts(left_V)} left ask for {exact}"
    else:
        room += "; nothing is left for a resistor"
    value = f"the {ohms(ohm)} given" if origin == "given" else f"{ohms(ohm)} {origin}"
    if knob:
        reading = show(knob.set_ohm, Quantity.RESISTANCE, digits=2)
        value += f" and a knob of {ohms(knob.track_ohm)} at some {reading}"
    result = (
        f"{value} {'give' if knob else 'gives'} {amps(current_A.nominal)}, in the worst case "
        f"{share_band(current_A, wanted_A=wanted_A)} of the wanted"
    )
    return "; ".join(part for part in (room, result, count) if part)


def strings_in_words(strings: Sequence[StringDesign]) -> str:
    """Sum up strings by length and resistor: ``2 strings of 2 (4k7: 76 to 115 % ...)``."""
    alike: dict[tuple[int, float], StringDesign] = {}
    counts: dict[tuple[int, float], int] = {}
    for string in strings:
        key = (len(string.leds), string.resistor_ohm)
        alike.setdefault(key, string)
        counts[key] = counts.get(key, 0) + 1
    return listed(
        [
            f"{_strings_of(key[0], counts[key])} ({ohms(key[1])}: "
            f"{share_band(string.current_A, wanted_A=string.wanted_A)} of the wanted)"
            for key, string in alike.items()
        ]
    )


def _strings_of(leds: int, count: int) -> str:
    return counted(count, "single LED") if leds == 1 else f"{counted(count, 'string')} of {leds}"
