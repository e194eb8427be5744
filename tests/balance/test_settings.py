"""Settings of strings: what they promise holds whatever the neighbours are given."""

import numpy as np
import pytest

from balance.models import reading_of
from lamphouse.balance.alike import alike_strings
from lamphouse.balance.settings import Feeding, curve_span_A, settings_of, wanted_span_A
from lamphouse.circuit.corners import Branch, types_of, worst_cases
from lamphouse.circuit.resistors import preferred_ohm
from lamphouse.plan import make
from lamphouse.record import replace
from tolerances import PHYSICS


@pytest.fixture(scope="module")
def desk():
    """The strings of a sub-assembly on a long, thin pigtail, so that neighbours are felt."""
    plan = make.plan(reading_of().design)
    alike = alike_strings(plan.design, circuits=plan.circuits, glows=plan.glows)
    feeding = Feeding(
        supply=plan.design.supply,
        habits=plan.design.habits,
        lead_ohm=40.0,
        values_ohm=tuple(preferred_ohm("E12").tolist()),
    )
    return alike, feeding


def test_promises_hold_for_any_values_of_the_neighbours(desk):
    """The true circuit, its pigtail shared, at 200 drawn combinations and both extremes."""
    alike, feeding = desk
    settings = settings_of(alike, feeding=feeding)
    free = [one for one in alike if not one.kept]
    kept = [
        Branch(types=types_of(s.leds), ohm=s.resistor_ohm)
        for one in alike
        if one.kept
        for s in one.strings
    ]
    rng = np.random.default_rng(5)
    draws = [[rng.integers(len(settings[one])) for one in free] for _ in range(200)]
    draws += [[0] * len(free), [-1] * len(free)]
    for draw in draws:
        chosen = [settings[one][number] for one, number in zip(free, draw, strict=True)]
        branches = [
            Branch(types=types_of(one.leds), ohm=setting.ohm)
            for one, setting in zip(free, chosen, strict=True)
        ]
        cases, _ = worst_cases(
            [*branches, *kept],
            supply=feeding.supply,
            habits=feeding.habits,
            lead_ohm=feeding.lead_ohm,
        )
        for one, setting, case in zip(free, chosen, cases, strict=False):
            low, high = wanted_span_A(one)
            assert setting.least_A <= case.current_A.nominal <= setting.most_A
            assert low <= case.current_A.nominal <= high
            assert case.current_A.low >= feeding.habits.least_share * case.current_A.nominal
            assert case.current_A.high <= min(led.led_type.max_current_A for led in one.leds)


def test_no_value_is_left_out_that_does_by_itself(desk):
    """Without a pigtail nothing is given away: the values left out fail in the true circuit."""
    alike, feeding = desk
    feeding = replace(feeding, lead_ohm=0.0)
    settings = settings_of(alike, feeding=feeding)
    for one in settings:
        taken = {setting.ohm for setting in settings[one]}
        assert taken
        least, most = curve_span_A(one.leds)
        low, high = wanted_span_A(one)
        for ohm in feeding.values_ohm:
            (case,), _ = worst_cases(
                [Branch(types=types_of(one.leds), ohm=ohm)],
                supply=feeding.supply,
                habits=feeding.habits,
                lead_ohm=0.0,
            )
            current = case.current_A
            does = (
                max(low, least) <= current.nominal <= min(high, most)
                and current.low >= feeding.habits.least_share * current.nominal
                and current.high <= min(led.led_type.max_current_A for led in one.leds)
            )
            assert does == (ohm in taken)


def test_a_setting_gives_the_current_that_the_points_of_the_led_ask_for(desk):
    """Ohm's and Kirchhoff's laws by bisection on the catalogue's own points, without a diode model.

    The points are joined by straight lines in the logarithm of the current, and moved by the
    catalogue's drift from 25 degC to the middle of the ambient, so the voltage is that of the row.
    """
    alike, feeding = desk
    settings = settings_of(alike, feeding=replace(feeding, lead_ohm=0.0))
    one = next(one for one in settings if len(one.leds) == 1)
    kind, habits = one.leds[0].led_type, feeding.habits
    currents, volts = np.array(kind.curve).T
    shift = kind.drift_V_per_K * ((habits.coldest_degC + habits.warmest_degC) / 2.0 - 25.0)
    inside = [s for s in settings[one] if currents[0] <= s.least_A <= currents[-1]]
    assert inside
    for setting in inside:
        low, high = 1e-6, 0.02
        for _ in range(60):
            middle = (low + high) / 2.0
            led_V = np.interp(np.log(middle), np.log(currents), volts) + shift
            low, high = (
                (middle, high)
                if setting.ohm * middle + led_V < feeding.supply.voltage_V
                else (low, middle)
            )
        assert setting.most_A == pytest.approx(low, rel=2.0 * PHYSICS)


def test_a_pigtail_that_eats_the_supply_leaves_no_setting(desk):
    alike, feeding = desk
    settings = settings_of(alike, feeding=replace(feeding, lead_ohm=1e6))
    assert set(settings.values()) == {()}
