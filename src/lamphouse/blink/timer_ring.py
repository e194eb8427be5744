r"""Timer chips of the 555 kind in a ring: each lights its lamp once, and its end starts the next.

Every chip is a monostable: triggered below a third of the supply, its output is high until R has
charged C to two thirds of it, for ``R C ln 3`` [TIMER-CHIP].

What keeps one running
----------------------
The end of a chip's time reaches the trigger of the next through a capacitor and a resistor. The
trigger rests at half the supply, and moves by less than that: nothing ever leaves the supply's
ends. The first chip is not triggered by the last, but whenever all outputs are low: diodes from
every output keep its trigger up. So it starts by itself, no light can begin while another is lit,
and whatever a disturbance lit besides is gone after one round.

The start
---------
With all capacitors empty every trigger is low. A resistor and a capacitor hold the resets of all
chips but the first down until the triggers have risen; the first begins alone.
"""

from math import log, sqrt

from lamphouse.blink.astable import (
    CAPACITOR_TOLERANCE,
    CAPACITORS_F,
    NINE_OF_TEN,
    values_near,
)
from lamphouse.catalogue.timer_chips import TimerChip
from lamphouse.circuit.branch import Band
from lamphouse.record import Record
from lamphouse.units import Quantity, show

LEAST_OHM = 10_000.0
"""Of R, which the discharge pin shorts while the chip waits."""
REST_OHM, COUPLING_OHM, COUPLING_F = 22_000.0, 15_000.0, 68e-9
"""From plus and from minus to a trigger; and in series from the output before it."""
HOLD_OHM, HOLD_F = 22_000.0, 47e-9
"""From the first trigger to minus: they bridge the instant between two lamps."""
RESET_OHM, RESET_F = 10_000.0, 22e-6
"""From plus to the resets, and from there to minus."""
HOLD_A = 1e-3
"""What holding takes of an output at most: 15 V over ``HOLD_OHM``, and the coupling's."""
DIODE_V, LEAST_DIODE_V = 0.7, 0.4
"""Across a small-signal diode that carries less than 1 mA [PRACTICE]."""
SHORTEST_S = 0.05
"""Time of a lamp, so that a trigger is at rest long before it is wanted again."""
_LEAST_HELD_S = 1e-4
"""Between two lamps, many times what a chip takes to follow its trigger."""
_FINE = 0.02
"""Miss from which E24 is tried as well."""


class TimerRing(Record):
    """As many timer chips as lamps, all with the same parts."""

    chip: TimerChip
    supply_V: Band
    stages: int
    ohm: float
    """R of each."""
    capacitor_F: float
    """C of each."""
    wanted_s: float
    """For which each is to be high."""
    high_s: Band
    """For which each is, in the worst case."""
    dark_s: Band
    """From the end of the last to the beginning of the first."""
    period_s: Band
    likely_s: Band
    """Where nine builds of ten lie, parts of one bag being off alike."""


def lit_s(ohm: float, farad: float, *, switch_ohm: float) -> float:
    """Give how long a monostable is high: from the discharge pin's voltage to two thirds. [s].

    Parameters
    ----------
    ohm, farad
        R and C.
    switch_ohm
        Of the discharge pin, which C starts from.
    """
    return ohm * farad * log(3.0 * ohm / (ohm + switch_ohm))


def best_ring(
    step_s: float,
    *,
    stages: int,
    chip: TimerChip,
    supply_V: Band,
    series: str,
    resistor_tolerance: float,
) -> TimerRing | None:
    """Choose the parts that come nearest to a time for each lamp; None where none reach it.

    Of equally near ones those with the smaller capacitor are taken.
    """
    found: list[tuple[float, float, float]] = []
    for values in dict.fromkeys((series, "E24")):
        if found and min(found)[0] < _FINE:
            break
        found += [
            (round(abs(log(lit_s(ohm, farad, switch_ohm=chip.discharge_ohm) / step_s)), 4), *parts)
            for farad in CAPACITORS_F
            for ohm in values_near(step_s / (log(3.0) * farad), series=values)
            if LEAST_OHM <= ohm <= chip.most_ohm
            for parts in ((farad, ohm),)
        ]
    if not found:
        return None
    _, farad, ohm = min(found)
    high_s = lit_s(ohm, farad, switch_ohm=chip.discharge_ohm)
    parts = (CAPACITOR_TOLERANCE, chip.timing_error, resistor_tolerance)
    less, more = 1.0, 1.0
    for part in parts:
        less, more = less * (1.0 - part), more * (1.0 + part)
    each = Band(low=less * high_s, nominal=high_s, high=more * high_s)
    dark = _dark_s(chip, supply_V=supply_V, tolerance=resistor_tolerance)
    period = stages * high_s + dark.nominal
    away = NINE_OF_TEN * stages * high_s * sqrt(sum(part**2 / 3.0 for part in parts))
    return TimerRing(
        chip=chip,
        supply_V=supply_V,
        stages=stages,
        ohm=ohm,
        capacitor_F=farad,
        wanted_s=step_s,
        high_s=each,
        dark_s=dark,
        period_s=Band(
            low=stages * each.low + dark.low,
            nominal=period,
            high=stages * each.high + dark.high,
        ),
        likely_s=Band(low=period - away, nominal=period, high=period + away),
    )


def _dark_s(chip: TimerChip, *, supply_V: Band, tolerance: float) -> Band:
    """Give how long the first trigger takes to fall to a third once nothing holds it. [s]."""
    third = supply_V.low / 3.0
    least_V = supply_V.low - chip.high_drop_V - DIODE_V
    most_V = supply_V.high - LEAST_DIODE_V
    spread = (1.0 + CAPACITOR_TOLERANCE) * (1.0 + tolerance)
    shrunk = (1.0 - CAPACITOR_TOLERANCE) * (1.0 - tolerance)
    lasts = HOLD_OHM * HOLD_F
    return Band(
        low=shrunk * lasts * log(least_V / third / (1.0 + chip.timing_error))
        if least_V > third
        else 0.0,
        nominal=lasts * log(3.0 * (supply_V.nominal - DIODE_V) / supply_V.nominal),
        high=spread * lasts * log(3.0 * most_V / supply_V.high / (1.0 - chip.timing_error)),
    )


def triggers(chip: TimerChip, *, supply_V: float, tolerance: float) -> bool:
    """Say whether a chip's end triggers the next in the worst case, and the first waits till then.

    Parameters
    ----------
    supply_V
        What they are fed with.
    tolerance
        Of the resistors.

    Notes
    -----
    Outputs swing by their rows' worst figures, which hold at full load. The trigger rests as high
    as its two resistors allow, moves as little as they allow, and must come below the lowest third;
    at rest it must stay above the highest.
    """
    swing_V = supply_V - chip.high_drop_V - chip.low_V
    more, less = 1.0 + tolerance, 1.0 - tolerance
    highest, lowest = more / 2.0, less / 2.0
    moved = REST_OHM / 2.0 * less / (REST_OHM / 2.0 * less + COUPLING_OHM * more)
    low_third, high_third = ((1.0 + part) / 3.0 for part in (-chip.timing_error, chip.timing_error))
    falls = highest * supply_V - moved * swing_V < low_third * supply_V
    held = _dark_s(
        chip, supply_V=Band(low=supply_V, nominal=supply_V, high=supply_V), tolerance=tolerance
    )
    return falls and lowest > high_third and held.low > _LEAST_HELD_S


def least_supply_V(chip: TimerChip, *, tolerance: float) -> float:
    """Give the least supply at which a ring runs, in steps of a tenth of a volt. [V]."""
    tenths = range(round(10.0 * chip.least_V), round(10.0 * chip.most_V) + 1)
    return next(
        (
            tenth / 10.0
            for tenth in tenths
            if triggers(chip, supply_V=tenth / 10.0, tolerance=tolerance)
        ),
        chip.most_V,
    )


def longest_step_s(chip: TimerChip) -> float:
    """Give the longest time of a lamp that a film capacitor allows, values left room. [s]."""
    return 0.95 * log(3.0) * chip.most_ohm * CAPACITORS_F[-1]


def ring_words(ring: TimerRing) -> str:
    """Name the parts that set the time on one line."""
    ohm, farad = show(ring.ohm, Quantity.RESISTANCE), show(ring.capacitor_F, Quantity.CAPACITANCE)
    return f"{ring.stages} chips, each with R {ohm} and C {farad}"
