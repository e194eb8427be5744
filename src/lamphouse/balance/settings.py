"""What each resistor value makes of alike strings: the values whose light and worst case both hold.

A neighbour that draws more lowers the voltage behind the pigtail. So each value is looked at twice:
with no drop in the pigtail at all, and with the drop of every string at the strongest value that it
may take. What holds at both ends holds for any choice of the others' values.
"""

from collections.abc import Mapping, Sequence

from lamphouse.balance.alike import Alike
from lamphouse.circuit.corners import Branch, Case, types_of, worst_cases
from lamphouse.circuit.curve import fit
from lamphouse.circuit.resistors import dissipation_limit_W
from lamphouse.design.lightbox import Led
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.record import Record, replace

ROUNDING = 1e-9
"""Share by which a bound may be missed by the arithmetic alone."""


class Setting(Record):
    """One resistor value for alike strings, with the current that it gives."""

    ohm: float
    least_A: float
    """Nominal, with the strongest neighbours."""
    most_A: float
    """Nominal, without any."""


class Feeding(Record):
    """What all strings of a sub-assembly hang on, and the values there are."""

    supply: Supply
    habits: CircuitHabits
    lead_ohm: float
    values_ohm: tuple[float, ...]
    """Rising."""


def curve_span_A(leds: Sequence[Led]) -> tuple[float, float]:
    """Bound the current at which every LED is known and not beyond its rating. [A]."""
    curves = [fit(led.led_type) for led in leds]
    rated = min(led.led_type.max_current_A for led in leds)
    return max(curve.least_A for curve in curves), min(rated, *(c.most_A for c in curves))


def wanted_span_A(alike: Alike) -> tuple[float, float]:
    """Bound the current that suits every look. [A]."""
    low, high = alike.factors()
    return low * alike.current_A, high * alike.current_A


def settings_of(alike: Sequence[Alike], *, feeding: Feeding) -> Mapping[Alike, tuple[Setting, ...]]:
    """List the values that suit each of the strings of one sub-assembly, rising.

    Parameters
    ----------
    alike
        All strings of the sub-assembly; those that are kept count with their present current.
    feeding
        What they hang on.

    Returns
    -------
    dict
        For those that may change; empty where no value does.
    """
    free = [one for one in alike if not one.kept]
    strong = {one: _cases(one, feeding=feeding, supply=feeding.supply) for one in free}
    bright = {one: _not_too_bright(one, cases=strong[one], feeding=feeding) for one in free}
    drawn_A = sum(len(one.strings) * one.strings[0].current_A.high for one in alike if one.kept)
    for one in free:
        most = max((strong[one][ohm].current_A.high for ohm in bright[one]), default=0.0)
        drawn_A += len(one.strings) * most
    supply = feeding.supply
    lowered = supply.voltage_V - feeding.lead_ohm * drawn_A / (1.0 - supply.tolerance)
    if lowered <= 0.0:
        return dict.fromkeys(free, ())
    weak_supply = replace(supply, voltage_V=lowered)
    return {
        one: _not_too_dark(
            one,
            strong={ohm: strong[one][ohm] for ohm in bright[one]},
            weak=_cases(one, feeding=feeding, supply=weak_supply),
            least_share=feeding.habits.least_share,
        )
        for one in free
    }


def _cases(alike: Alike, *, feeding: Feeding, supply: Supply) -> dict[float, Case]:
    types = types_of(alike.leds)
    branches = [Branch(types=types, ohm=ohm) for ohm in feeding.values_ohm]
    cases, _ = worst_cases(branches, supply=supply, habits=feeding.habits, lead_ohm=0.0)
    return dict(zip(feeding.values_ohm, cases, strict=True))


def _not_too_bright(
    alike: Alike, *, cases: Mapping[float, Case], feeding: Feeding
) -> tuple[float, ...]:
    """List the values at which no LED, resistor or opening gets more than it may.

    All of these fall with a rising value.
    """
    limit_W = dissipation_limit_W(alike.package, ambient_degC=feeding.habits.warmest_degC)
    rated = min(led.led_type.max_current_A for led in alike.leds)
    most = min(wanted_span_A(alike)[1], curve_span_A(alike.leds)[1]) * (1.0 + ROUNDING)
    return tuple(
        ohm
        for ohm, case in cases.items()
        if case.current_A.high <= rated
        and case.current_A.nominal <= most
        and case.resistor_W <= limit_W
    )


def _not_too_dark(
    alike: Alike, *, strong: Mapping[float, Case], weak: Mapping[float, Case], least_share: float
) -> tuple[Setting, ...]:
    least = max(wanted_span_A(alike)[0], curve_span_A(alike.leds)[0]) * (1.0 - ROUNDING)
    return tuple(
        Setting(ohm=ohm, least_A=weak[ohm].current_A.nominal, most_A=case.current_A.nominal)
        for ohm, case in strong.items()
        if weak[ohm].current_A.nominal >= least
        and weak[ohm].current_A.low >= least_share * case.current_A.nominal
    )
