import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from lamphouse.circuit.solve import branch_current, common_lead
from tolerances import EXACT, TABLE

WITNESS = 1e-5
"""Relative, against ngspice."""
WITNESS_THERMAL_V = 1.38064852e-23 * 300.15 / 1.6021766208e-19
"""ngspice's own thermal voltage, of the constants of 2014. The exact constants of 2019 lie 3e-7
off, which cut-off amplifies by V / (n VT) to more than the test allows."""
CONVERGED = 1e-12
"""The promise of the solver, relative."""


def model(values):
    """Slope for n = 1 and the parameters of model A."""
    given = values["diode_op"]
    return given["constants"]["VT_V"], given["model_A"], given["cases"]


def test_operating_points_solved_elsewhere(values):
    thermal, led, cases = model(values)
    log_sat, slope, series = math.log(led["IS"]), led["N"] * thermal, led["RS"]
    one = branch_current(5.0, ohm=100.0 + series, slope_V=[slope], log_saturation=[log_sat])
    assert one == pytest.approx(cases[0]["I_A"], rel=1e-6)
    assert 5.0 - 100.0 * one == pytest.approx(cases[0]["V_led"], abs=TABLE * 1e-7)
    three = branch_current(
        12.0, ohm=150.0 + 3 * series, slope_V=[slope] * 3, log_saturation=[log_sat] * 3
    )
    assert three == pytest.approx(cases[1]["I_A"], rel=1e-6)
    assert 12.0 - 150.0 * three == pytest.approx(cases[1]["V_string"], abs=TABLE * 1e-7)
    parallel = common_lead(
        5.0, lead_ohm=47.0, ohm=[series], slope_V=[[slope]], log_saturation=[[log_sat]], count=3
    )
    assert 3 * parallel.current_A[0] == pytest.approx(cases[2]["I_A"], rel=1e-6)
    assert parallel.node_V == pytest.approx(cases[2]["V_led"], abs=TABLE * 1e-7)
    ideal = branch_current(5.0, ohm=1e3, slope_V=[thermal], log_saturation=[math.log(1e-14)])
    assert ideal == pytest.approx(cases[3]["I_A"], rel=EXACT * 10)
    assert 5.0 - 1e3 * ideal == pytest.approx(cases[3]["V"], abs=TABLE * 1e-8)


def test_equal_leds_are_one_junction_of_their_summed_slope():
    apart = branch_current(9.0, ohm=470.0, slope_V=[0.07] * 3, log_saturation=[-39.0] * 3)
    joined = branch_current(9.0, ohm=470.0, slope_V=[0.21], log_saturation=[-39.0])
    assert apart == pytest.approx(joined, rel=CONVERGED)


def fifty_branches():
    """Branches of 1 to 4 unequal LEDs, three at a time behind one lead, some in reverse."""
    rng = np.random.default_rng(20261125)
    for number in range(50):
        branches = [
            {
                "ohm": float(10 ** rng.uniform(1, 4)),
                "leds": [
                    (float(10 ** rng.uniform(-22, -12)), rng.uniform(1.2, 3.5), rng.uniform(0, 30))
                    for _ in range(rng.integers(1, 5))
                ],
            }
            for _ in range(3)
        ]
        volts = float(rng.uniform(1.0, 24.0)) * (-1 if number % 10 == 9 else 1)
        yield number, volts, float(rng.choice([0.01, 0.2, 5.0, 80.0])), branches


def netlist(volts, lead, branches):
    lines = [f"V1 supply 0 {volts!r}", f"Rlead supply node {lead!r}"]
    for row, branch in enumerate(branches):
        lines += [f"Vm{row} node m{row} 0", f"R{row} m{row} n{row}_0 {branch['ohm']!r}"]
        last = len(branch["leds"])
        for column, (saturation, n, series) in enumerate(branch["leds"]):
            end = "0" if column == last - 1 else f"n{row}_{column + 1}"
            lines += [
                f"D{row}_{column} n{row}_{column} {end} L{row}_{column}",
                f".model L{row}_{column} D(IS={saturation!r} N={n!r} RS={series!r})",
            ]
    return "\n".join(lines)


@pytest.mark.parametrize("case", list(fifty_branches()), ids=lambda case: f"{case[0]}")
def test_fifty_leads_of_three_branches_against_ngspice(case, spice):
    _, volts, lead, branches = case
    printed = ["v(node)", *(f"i(vm{row})" for row in range(3))]
    found = spice(netlist(volts, lead, branches), printed)
    most = max(len(branch["leds"]) for branch in branches)
    slope, log_sat = np.zeros((3, most)), np.full((3, most), np.inf)
    ohm = np.array([branch["ohm"] for branch in branches])
    for row, branch in enumerate(branches):
        for column, (saturation, n, series) in enumerate(branch["leds"]):
            slope[row, column], log_sat[row, column] = n * WITNESS_THERMAL_V, math.log(saturation)
            ohm[row] += series
    point = common_lead(volts, lead_ohm=lead, ohm=ohm, slope_V=slope, log_saturation=log_sat)
    assert point.node_V == pytest.approx(found["v(node)"], rel=WITNESS)
    # It adds a conductance of 1e-14 to each junction, and stops within 1e-14 A.
    floor_A = 5 * (1 + abs(volts)) * 1e-14
    for row in range(3):
        assert point.current_A[row] == pytest.approx(found[f"i(vm{row})"], rel=WITNESS, abs=floor_A)


volts = st.one_of(st.floats(1e-9, 60.0), st.floats(-60.0, -1e-9), st.floats(0.5, 3.0), st.just(0.0))
junction = st.tuples(st.floats(0.02, 0.3), st.floats(-70.0, -10.0))


@settings(max_examples=300, deadline=None)
@given(volts, st.floats(1e-3, 1e6), st.lists(junction, min_size=1, max_size=4))
def test_the_voltages_of_a_branch_add_up_to_its_source(source, ohm, junctions):
    slope, log_sat = (np.array(column) for column in zip(*junctions, strict=True))
    current = float(branch_current(source, ohm=ohm, slope_V=slope, log_saturation=log_sat))
    assert np.sign(current) == np.sign(source)
    least = -math.exp(log_sat.min())
    assert current >= least * (1.0 + 1e-15)  # two libraries' exp differ by a last bit
    if source > 0:
        drops = slope * np.log1p(current * np.exp(-log_sat)) + 0.0
        rise = float((slope / (1.0 + np.exp(log_sat) / current)).sum() + ohm * current)
        off = (drops.sum() + ohm * current - source) / rise
        assert abs(off) < CONVERGED * 10
    elif current > least * (1 - 1e-6):
        drops = slope * np.log1p(current * np.exp(-log_sat))
        assert drops.sum() + ohm * current == pytest.approx(source, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.2, 24.0), st.floats(1.0, 1e5), junction)
def test_currents_agree_with_a_bracketing_root_finder(source, ohm, junction):
    slope, log_sat = junction

    def excess(log_current):
        above = log_current - log_sat
        return slope * np.logaddexp(0.0, above) + ohm * math.exp(log_current) - source

    root = brentq(excess, -80.0, math.log(source / ohm) + 1e-9, xtol=1e-14, rtol=1e-14)
    current = branch_current(source, ohm=ohm, slope_V=[slope], log_saturation=[log_sat])
    assert math.log(current) == pytest.approx(root, abs=CONVERGED * 10)


def test_cut_off_and_reverse_keep_their_digits():
    # Far below its knee a diode is I_sat (exp(V / slope) - 1), whatever small resistance.
    slope, log_sat = 0.07, -40.0
    for source in (1e-9, 1e-3, 0.3, 1.0):
        current = branch_current(source, ohm=150.0, slope_V=[slope], log_saturation=[log_sat])
        assert current == pytest.approx(math.exp(log_sat) * math.expm1(source / slope), rel=EXACT)
    for source in (-1e-9, -1e-3, -0.3, -12.0):
        current = branch_current(source, ohm=150.0, slope_V=[slope], log_saturation=[log_sat])
        assert current == pytest.approx(math.exp(log_sat) * math.expm1(source / slope), rel=EXACT)


def test_node_balance_and_shapes_behind_a_lead():
    rng = np.random.default_rng(7)
    supply, lead = rng.uniform(-5, 24, 40), rng.uniform(0, 100, 40)
    count = np.array([1, 5, 2])
    point = common_lead(
        supply,
        lead_ohm=lead,
        ohm=[100.0, 470.0, 10.0],
        slope_V=[[0.07, 0.1], [0.2, 0.0], [0.05, 0.05]],
        log_saturation=[[-40.0, -30.0], [-45.0, np.inf], [-38.0, -38.0]],
        count=count,
    )
    drawn = (point.current_A * count).sum(axis=1)
    assert point.node_V.shape == (40,)
    assert point.node_V + lead * drawn == pytest.approx(supply, rel=1e-12, abs=1e-12)
