r"""Timer chips of the 555 kind as astables: two resistors and a capacitor chosen for a beat.

The capacitor is charged to two thirds of the supply and discharged to one third, over and over. The
output is high while it is charged, through RA and RB, or through RA and a diode past RB for a light
that is lit for half of the time or less.

The diode
---------
Charged through a diode with ``v = n V_T ln(1 + i / I_s)``, the capacitor's current falls from
``i_1`` at one third to ``i_2`` at two thirds of the supply, and the time is the integral of
``C dv / i`` with the current as its variable, which has a closed form:
``C (R ln(i_1 / i_2) + n V_T / I_s ln(i_1 (i_2 + I_s) / (i_2 (i_1 + I_s))))``. Without a diode it is
the data books' ``0.693 R C`` [TIMER-CHIP].
"""

from collections.abc import Iterator
from itertools import product
from math import exp, log, log1p, sqrt

from lamphouse.catalogue.timer_chips import TimerChip
from lamphouse.circuit.branch import Band
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.record import Record
from lamphouse.units import Quantity, show

CAPACITORS_F = tuple(
    float(f"{number}e{power}") for power in range(-9, -6) for number in (10, 15, 22, 33, 47, 68)
)[:-1]
"""E6 values of film capacitors, 10 nF to 4.7 uF; larger ones leak too much to keep time
[PRACTICE]."""
CAPACITOR_TOLERANCE = 0.10
"""Of a film capacitor [PRACTICE]."""
LEAST_OHM = 1_000.0
"""The discharge pin carries the supply through RA."""
DIODE_SATURATION_A, DIODE_SLOPE_V = 2.5e-9, 1.75 * 0.02585
"""A small-signal silicon diode at 27 degC [MEMORY]."""
DIODE_SPREAD_V = 0.08
"""By which its voltage may be off, from part to part and with the warmth [PRACTICE]."""
NINE_OF_TEN = 1.645
"""Standard deviations within which nine builds of ten lie [GUM]."""
NEAR = 0.06
"""Of the misses of period, three times, and of the high time, as logarithms of their ratios."""


class Beat(Record):
    """What is wanted of an astable."""

    period_s: float
    high_share: float
    """Share of the period for which the output is high."""


class Astable(Record):
    """A timer chip with its parts."""

    chip: TimerChip
    supply_V: Band
    first_ohm: float
    """RA, from plus to the discharge pin."""
    second_ohm: float
    """RB, from there to the capacitor."""
    capacitor_F: float
    has_diode: bool
    """Past RB, from the discharge pin to the capacitor."""
    wanted: Beat
    period_s: Band
    """In the worst case, and as designed."""
    likely_s: Band
    """Where nine builds of ten lie."""
    high_share: Band
    resistor_tolerance: float

    @property
    def high_s(self) -> float:
        """How long the output is high, as designed."""
        return self.period_s.nominal * self.high_share.nominal


class _Build(Record):
    """One build of an astable."""

    volts: float
    first_ohm: float
    second_ohm: float
    farad: float
    saturation_A: float

    def times(self, chip: TimerChip, *, has_diode: bool) -> tuple[float, float]:
        """Give how long the output is high and how long it is low. [s]."""
        if has_diode:
            high = charged_s(
                self.first_ohm, self.farad, volts=self.volts, saturation_A=self.saturation_A
            )
        else:
            high = log(2.0) * (self.first_ohm + self.second_ohm) * self.farad
        low = discharged_s(
            self.second_ohm,
            self.farad,
            first_ohm=self.first_ohm,
            switch_ohm=chip.discharge_ohm,
        )
        return high, low


def charged_s(
    ohm: float, farad: float, *, volts: float, saturation_A: float = DIODE_SATURATION_A
) -> float:
    """Give how long a capacitor takes from a third to two thirds through a diode. [s].

    Parameters
    ----------
    ohm, farad
        Resistor and capacitor.
    volts
        The supply, more than 2 V.
    """
    from scipy.optimize import brentq  # takes long to import, and few models have a timer

    slope = DIODE_SLOPE_V

    def current_A(left_V: float) -> float:
        def missing(amps: float) -> float:
            return amps * ohm + slope * log1p(amps / saturation_A) - left_V

        return float(brentq(missing, 0.0, left_V / ohm, xtol=1e-18, rtol=1e-13))

    first, last = (current_A(volts * share) for share in (2.0 / 3.0, 1.0 / 3.0))
    bent = log(first * (last + saturation_A) / (last * (first + saturation_A))) / saturation_A
    return farad * (ohm * log(first / last) + slope * bent)


def discharged_s(ohm: float, farad: float, *, first_ohm: float, switch_ohm: float) -> float:
    """Give how long it takes from two thirds to a third through RB and the discharge pin. [s]."""
    held = switch_ohm / (first_ohm + switch_ohm)
    inside = first_ohm * held
    return (ohm + inside) * farad * log((2.0 / 3.0 - held) / (1.0 / 3.0 - held))


def best_astable(
    wanted: Beat,
    *,
    chip: TimerChip,
    supply_V: Band,
    series: str,
    resistor_tolerance: float,
) -> Astable | None:
    """Choose resistors and capacitor that come nearest to a beat.

    Returns
    -------
    Astable or None
        None where no parts reach it.

    Notes
    -----
    Of all capacitors the one is taken whose period and high time are nearest in ratio, the period
    weighing three times as much; of equals the smaller capacitor. Where the series comes no nearer
    than ``NEAR``, E24 is tried as well.
    """
    has_diode = wanted.high_share <= 0.5
    found: list[tuple[float, float, float, float]] = []
    for values in dict.fromkeys((series, "E24")):
        if found and min(found)[0] < NEAR:
            break
        found += [
            (round(miss, 4), farad, first, second)
            for farad in CAPACITORS_F
            for miss, first, second in _near(
                wanted,
                farad=farad,
                chip=chip,
                volts=supply_V.nominal,
                series=values,
                has_diode=has_diode,
            )
        ]
    if not found:
        return None
    _, farad, first, second = min(found)
    nominal = _Build(
        volts=supply_V.nominal,
        first_ohm=first,
        second_ohm=second,
        farad=farad,
        saturation_A=DIODE_SATURATION_A,
    )
    period, share = _extremes(
        nominal,
        chip=chip,
        supply_V=supply_V,
        has_diode=has_diode,
        tolerance=resistor_tolerance,
    )
    return Astable(
        chip=chip,
        supply_V=supply_V,
        first_ohm=first,
        second_ohm=second,
        capacitor_F=farad,
        has_diode=has_diode,
        wanted=wanted,
        period_s=period,
        likely_s=_likely(nominal, chip=chip, has_diode=has_diode, tolerance=resistor_tolerance),
        high_share=share,
        resistor_tolerance=resistor_tolerance,
    )


def _near(
    wanted: Beat,
    *,
    farad: float,
    chip: TimerChip,
    volts: float,
    series: str,
    has_diode: bool,
) -> Iterator[tuple[float, float, float]]:
    """Give pairs of resistors near to what a capacitor wants, each with how far it misses."""
    high_s = wanted.period_s * wanted.high_share
    low_s = wanted.period_s - high_s
    second = low_s / (log(2.0) * farad) - chip.discharge_ohm
    first = high_s / (log(2.0) * farad)
    if has_diode:
        for _ in range(8):
            if not LEAST_OHM / 4.0 < first < 4.0 * chip.most_ohm:
                return
            first *= high_s / charged_s(first, farad, volts=volts)
    else:
        first -= second
    pairs = product(values_near(first, series=series), values_near(second, series=series))
    for one, other in pairs:
        if one < LEAST_OHM or other < LEAST_OHM or one + other > chip.most_ohm:
            continue
        build = _Build(
            volts=volts,
            first_ohm=one,
            second_ohm=other,
            farad=farad,
            saturation_A=DIODE_SATURATION_A,
        )
        high, low = build.times(chip, has_diode=has_diode)
        miss = 3.0 * abs(log((high + low) / wanted.period_s)) + abs(log(high / high_s))
        yield miss, one, other


def values_near(ohm: float, *, series: str) -> list[float]:
    """List the values of a series next to one, two on either side."""
    values = [float(value) for value in preferred_ohm(series)]
    if not values[0] <= ohm <= values[-1]:
        return []
    above = next(at for at, value in enumerate(values) if value >= ohm)
    return values[max(above - 2, 0) : above + 2]


def _extremes(
    build: _Build, *, chip: TimerChip, supply_V: Band, has_diode: bool, tolerance: float
) -> tuple[Band, Band]:
    """Give period and share in the worst case: every part at either end."""
    periods, shares = [], []
    for first, second, diode, volts in product((-1, 1), (-1, 1), (-1, 1), (-1, 1)):
        corner = _Build(
            volts=supply_V.low if volts < 0 else supply_V.high,
            first_ohm=build.first_ohm * (1.0 + first * tolerance),
            second_ohm=build.second_ohm * (1.0 + second * tolerance),
            farad=build.farad,
            saturation_A=build.saturation_A * exp(diode * DIODE_SPREAD_V / DIODE_SLOPE_V),
        )
        high, low = corner.times(chip, has_diode=has_diode)
        periods.append(high + low)
        shares.append(high / (high + low))
    high, low = build.times(chip, has_diode=has_diode)
    shrunk = (1.0 - CAPACITOR_TOLERANCE) * (1.0 - chip.timing_error)
    grown = (1.0 + CAPACITOR_TOLERANCE) * (1.0 + chip.timing_error)
    return (
        Band(low=min(periods) * shrunk, nominal=high + low, high=max(periods) * grown),
        Band(low=min(shares), nominal=high / (high + low), high=max(shares)),
    )


def _likely(build: _Build, *, chip: TimerChip, has_diode: bool, tolerance: float) -> Band:
    """Give where the period of nine builds of ten lies, each part anywhere within its tolerance."""
    high, low = build.times(chip, has_diode=has_diode)
    period = high + low
    first = high if has_diode else log(2.0) * build.first_ohm * build.farad
    parts = (
        CAPACITOR_TOLERANCE * period,
        chip.timing_error * period,
        tolerance * first,
        tolerance * (period - first),
    )
    away = NINE_OF_TEN * sqrt(sum(part**2 / 3.0 for part in parts))
    return Band(low=period - away, nominal=period, high=period + away)


def longest_s(chip: TimerChip) -> float:
    """Give the longest period that a film capacitor allows, values of resistors left room. [s]."""
    return 0.95 * log(2.0) * chip.most_ohm * CAPACITORS_F[-1]


def in_words(astable: Astable) -> str:
    """Name the parts on one line."""
    first, second = (
        show(ohm, Quantity.RESISTANCE) for ohm in (astable.first_ohm, astable.second_ohm)
    )
    diode = ", a diode past RB" if astable.has_diode else ""
    return f"RA {first}, RB {second}, C {show(astable.capacitor_F, Quantity.CAPACITANCE)}{diode}"
