import math

import numpy as np
import pytest

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.curve import fit, shift_band
from lamphouse.record import replace
from tolerances import BENCH, EXACT

FIT_V = 1e-5
"""What a curve may miss its two or three points by."""


def test_two_points_are_met_with_half_of_the_line_between_them(make, values):
    two = values["diode_fit"]["two_point"]
    curve = fit(replace(make.WHITE, curve=tuple(map(tuple, two["points"]))))
    # The outside table chose the same resistance by hand.
    assert curve.series_ohm == pytest.approx(two["Rs"], rel=EXACT)
    thermal = values["diode_op"]["constants"]["VT_V"]
    assert curve.slope_V / thermal == pytest.approx(two["n"], rel=1e-6)
    assert math.exp(curve.log_saturation) == pytest.approx(two["Is"], rel=1e-6)
    for current, voltage in two["points"]:
        assert curve.voltage(current) == pytest.approx(voltage, abs=FIT_V)
    seen = values["diode_fit"]["check_in_ngspice"]
    assert curve.voltage(0.005) == pytest.approx(seen["I=5 mA"], abs=FIT_V)
    assert curve.voltage(0.020) == pytest.approx(seen["I=20 mA"], abs=FIT_V)


def test_two_point_curve_in_circuits_solved_by_ngspice(make, values):
    from lamphouse.circuit.solve import branch_current

    two = values["diode_fit"]["two_point"]
    curve = fit(replace(make.WHITE, curve=tuple(map(tuple, two["points"]))))
    one = values["diode_fit"]["check_in_ngspice"]["5 V through 180 ohm"]
    current = branch_current(
        5.0,
        ohm=180.0 + curve.series_ohm,
        slope_V=[curve.slope_V],
        log_saturation=[curve.log_saturation],
    )
    assert current == pytest.approx(one["I_A"], rel=1e-6)
    assert curve.voltage(current) == pytest.approx(one["V"], abs=1e-6)
    three = branch_current(
        12.0,
        ohm=150.0 + 3 * curve.series_ohm,
        slope_V=[3 * curve.slope_V],
        log_saturation=[curve.log_saturation],
    )
    assert three == pytest.approx(
        values["diode_fit"]["check_in_ngspice"]["12 V, 150 ohm, three in series"]["I_A"], rel=1e-6
    )


def test_three_points_give_back_the_parameters_they_were_made_from(make, values):
    case = values["diode_fit"]["three_point_round_trip"]
    curve = fit(replace(make.WHITE, curve=tuple(map(tuple, case["points"]))))
    thermal = values["diode_op"]["constants"]["VT_V"]
    assert curve.slope_V / thermal == pytest.approx(case["truth"]["n"], rel=1e-6)
    assert curve.series_ohm == pytest.approx(case["truth"]["Rs"], rel=1e-6)
    assert curve.log_saturation == pytest.approx(math.log(case["truth"]["Is"]), rel=1e-6)
    assert curve.misfit_V < FIT_V


def test_a_resistor_sized_for_three_volts_misses_by_a_third(make, values):
    """12 V, 150 ohm, three LEDs of "3 V": a simulator shows 26.74 mA instead of 20 mA.

    A curve through the published point (26.74 mA, 2.66 V) has to give that current back; the
    fixed 3.0 V gives the 20 mA.
    """
    from lamphouse.circuit.solve import branch_current

    case = values["led_string_naive_vs_curve"]
    seen = case["simulated"]
    curve = fit(
        replace(make.WHITE, curve=((0.001, 2.40), (seen["I_A"], seen["V_led"])), spread_V=0.0)
    )
    current = branch_current(
        12.0,
        ohm=case["naive"]["R_ohm"] + 3 * curve.series_ohm,
        slope_V=[3 * curve.slope_V],
        log_saturation=[curve.log_saturation],
    )
    assert current == pytest.approx(seen["I_A"], rel=0.005)
    assert current * case["naive"]["R_ohm"] == pytest.approx(seen["V_R"], rel=0.005)
    assert current > 1.3 * case["naive"]["I_A"]


def test_every_built_in_led_is_a_diode_and_no_part_of_it_falls():
    for led_type in built_in().led_types.values():
        curve = fit(led_type)
        assert curve.misfit_V <= 0.010, led_type.name
        assert curve.slope_V > 0.0
        assert curve.series_ohm >= 0.0
        currents = np.geomspace(curve.least_A, curve.most_A, 200)
        assert (np.diff(curve.voltage(currents)) > 0).all()


def test_points_of_a_diode_give_the_diode_back(make):
    rng = np.random.default_rng(3)
    for _ in range(200):
        at_1_mA, slope, series = rng.uniform(1.4, 3.2), rng.uniform(0.03, 0.08), rng.uniform(0, 40)
        currents = np.sort(rng.uniform(2e-4, 0.03, rng.integers(3, 7)))
        if np.diff(currents).min() < 1e-4:
            continue
        voltages = at_1_mA + slope * np.log(currents / 1e-3) + series * (currents - 1e-3)
        points = tuple(zip(currents.tolist(), voltages.tolist(), strict=True))
        curve = fit(replace(make.WHITE, curve=points))
        assert curve.slope_V == pytest.approx(slope, rel=1e-6)
        assert curve.series_ohm == pytest.approx(series, abs=1e-4)
        assert curve.current(curve.voltage(currents)) == pytest.approx(currents, rel=EXACT)


@pytest.mark.parametrize(
    "points",
    [
        ((0.001, 2.6), (0.002, 3.4), (0.020, 3.5)),
        ((0.001, 2.6), (0.010, 2.6001), (0.020, 3.5)),
        ((0.001, 2.6), (0.002, 2.6), (0.003, 2.6)),
    ],
    ids=["bends down", "bends up", "flat"],
)
def test_points_no_diode_has_still_give_a_rising_curve_and_say_so(make, points):
    curve = fit(replace(make.WHITE, curve=points))
    assert curve.series_ohm >= 0.0
    assert curve.slope_V > 0.0
    honest = max(abs(float(curve.voltage(amp)) - volt) for amp, volt in points)
    assert curve.misfit_V == pytest.approx(honest, abs=EXACT)


def test_the_curve_answers_a_little_beyond_its_points_and_no_further(make):
    curve = fit(make.WHITE)
    low, high = make.WHITE.curve[0][0], make.WHITE.curve[-1][0]
    half_V = make.WHITE.spread_V / 2
    assert curve.answers(low)
    assert curve.answers(high)
    assert float(curve.voltage(low)) - float(curve.voltage(curve.least_A)) == pytest.approx(half_V)
    assert float(curve.voltage(curve.most_A)) - float(curve.voltage(high)) == pytest.approx(half_V)
    assert not curve.answers(curve.least_A * 0.99)
    assert not curve.answers(curve.most_A * 1.01)
    exact = fit(replace(make.WHITE, spread_V=0.0))
    assert (exact.least_A, exact.most_A) == pytest.approx((low, high), rel=BENCH)


def test_a_shift_moves_the_forward_voltage_and_keeps_the_origin(make):
    curve = fit(make.WHITE)
    shifted = curve.shifted(0.2)
    assert shifted.voltage(0.005) - curve.voltage(0.005) == pytest.approx(0.2, abs=EXACT)
    assert shifted.current(0.0) == 0.0


def test_shifts_hold_the_spread_and_the_drift_to_both_ends_of_the_ambient(make):
    low, middle, high = shift_band(make.WHITE, coldest_degC=15.0, warmest_degC=35.0)
    # 10 K warmer at -3 mV/K and the spread of 0.20 V, and the same upwards.
    assert (low, middle, high) == pytest.approx((-0.23, 0.0, 0.23), abs=EXACT)
    low, middle, high = shift_band(make.WHITE, coldest_degC=-5.0, warmest_degC=15.0)
    assert (low, middle, high) == pytest.approx((-0.17, 0.06, 0.29), abs=EXACT)
