import numpy as np
import pytest
from scipy.optimize import brentq

from lamphouse.circuit.branch import Band
from lamphouse.circuit.corners import Branch, worst_cases
from lamphouse.circuit.curve import fit
from lamphouse.circuit.strings import lead_resistance_ohm
from tolerances import EXACT, TABLE

ROUNDING = 1e-9


def plain_solution(branches, *, source_V, lead_ohm):
    """The same circuit by two nested root finders; each branch is (ohm, [(curve, shift)])."""

    def branch_A(node_V, ohm, leds):
        def excess(log_current):
            current = np.exp(log_current)
            drops = sum(float(curve.voltage(current)) + shift for curve, shift in leds)
            return drops + ohm * current - node_V

        return np.exp(brentq(excess, -120.0, np.log(max(node_V, 1e-3) / ohm) + 1.0, xtol=1e-13))

    def excess(node_V):
        return node_V + lead_ohm * sum(branch_A(node_V, *branch) for branch in branches) - source_V

    node_V = brentq(excess, 6.0, source_V + 1e-9, xtol=1e-12) if lead_ohm else source_V
    return node_V, [branch_A(node_V, *branch) for branch in branches]


@pytest.mark.parametrize("length_mm", [160.0, 60_000.0], ids=["short lead", "60 m lead"])
def test_no_sampled_deviation_leaves_the_band(make, length_mm):
    """Monte Carlo over independent deviations, half of them at the ends, by another solver."""
    rng = np.random.default_rng(11)
    supply, habits = make.supply(12.0), make.habits(resistor_tolerance=0.05)
    lead_ohm = lead_resistance_ohm(make.pigtail(length_mm=length_mm))
    branches = [
        Branch(types=((make.WHITE, 3),), ohm=680.0),
        Branch(types=((make.WHITE, 2), (make.RED, 1)), ohm=1500.0),
        Branch(types=((make.RED, 4),), ohm=820.0),
        Branch(types=((make.WHITE, 4),), ohm=330.0),
    ]
    cases, total = worst_cases(branches, supply=supply, habits=habits, lead_ohm=lead_ohm)

    def deviation(size):
        side = rng.uniform(-1.0, 1.0)
        return size * (np.sign(side) if rng.random() < 0.5 else side)

    reached_low = np.full(4, np.inf)
    reached_high = np.zeros(4)
    for _ in range(120):
        degC = rng.choice([15.0, 35.0, rng.uniform(15.0, 35.0)])
        sampled = []
        for branch in branches:
            leds = [
                (fit(kind), deviation(kind.spread_V) + kind.drift_V_per_K * (degC - 25.0))
                for kind, count in branch.types
                for _ in range(count)
            ]
            sampled.append((branch.ohm * (1.0 + deviation(0.05)), leds))
        source_V = 12.0 * (1.0 + deviation(0.05))
        node_V, currents = plain_solution(sampled, source_V=source_V, lead_ohm=lead_ohm)
        for row, (case, current) in enumerate(zip(cases, currents, strict=True)):
            leds_V = node_V - sampled[row][0] * current
            assert case.current_A.low * (1 - ROUNDING) <= current
            assert current <= case.current_A.high * (1 + ROUNDING)
            assert case.leds_V.low - ROUNDING <= leds_V <= case.leds_V.high + ROUNDING
            assert sampled[row][0] * current**2 <= case.resistor_W * (1 + ROUNDING)
            reached_low[row] = min(reached_low[row], current)
            reached_high[row] = max(reached_high[row], current)
        assert total.low * (1 - ROUNDING) <= sum(currents) <= total.high * (1 + ROUNDING)
    # The band is not slack either: samples come well into both of its outer quarters.
    for case, low, high in zip(cases[:3], reached_low[:3], reached_high[:3], strict=True):
        width = case.current_A.high - case.current_A.low
        assert low < case.current_A.low + 0.25 * width
        assert high > case.current_A.high - 0.25 * width


def test_all_deviations_at_their_worst_reach_the_band_of_a_string_alone(make):
    """Without neighbours and lead the corner is a real case: solved by hand it is met exactly."""
    supply, habits = make.supply(12.0), make.habits()
    branch = Branch(types=((make.WHITE, 3),), ohm=680.0)
    (case,), total = worst_cases([branch], supply=supply, habits=habits, lead_ohm=0.0)
    curve = fit(make.WHITE)
    for source_V, ohm, shift, met in (
        (11.4, 680 * 1.05, 0.23, case.current_A.low),
        (12.0, 680.0, 0.0, case.current_A.nominal),
        (12.6, 680 * 0.95, -0.23, case.current_A.high),
    ):
        _, (current,) = plain_solution(
            [(ohm, [(curve, shift)] * 3)], source_V=source_V, lead_ohm=0.0
        )
        assert met == pytest.approx(current, rel=1e-8)
    assert total == Band(
        low=case.current_A.low, nominal=case.current_A.nominal, high=case.current_A.high
    )


def test_the_largest_power_lies_between_the_ends_of_a_wide_tolerance(make):
    """With little headroom the power peaks where the resistor equals the slope of the LEDs."""
    habits = make.habits(resistor_tolerance=0.9, coldest_degC=25.0, warmest_degC=25.0)
    branch = Branch(types=((make.WHITE, 4),), ohm=100.0)
    (case,), _ = worst_cases(
        [branch], supply=make.supply(11.5, tolerance=0.0), habits=habits, lead_ohm=0.0
    )
    leds = [(fit(make.WHITE), -make.WHITE.spread_V)] * 4
    powers = []
    for ohm in np.geomspace(10.0, 190.0, 200):
        _, (current,) = plain_solution([(ohm, leds)], source_V=11.5, lead_ohm=0.0)
        powers.append(ohm * current**2)
    peak = max(powers)
    assert 0 < powers.index(peak) < 199
    assert peak <= case.resistor_W * (1 + ROUNDING)
    assert case.resistor_W == pytest.approx(peak, rel=1e-3)


def test_a_blinking_neighbour_may_be_dark(make):
    supply, habits = make.supply(12.0), make.habits()
    own = Branch(types=((make.WHITE, 3),), ohm=330.0)

    def high(blinks):
        other = Branch(types=((make.WHITE, 3),), ohm=150.0, blinks=blinks)
        cases, _ = worst_cases([own, other], supply=supply, habits=habits, lead_ohm=40.0)
        return cases[0].current_A.high

    alone, _ = worst_cases([own], supply=supply, habits=habits, lead_ohm=40.0)
    assert high(blinks=True) > high(blinks=False)
    assert high(blinks=True) >= alone[0].current_A.high * (1 - ROUNDING)


def test_lead_resistance_gives_the_published_drops(make, values):
    from lamphouse.record import replace

    for case in values["wire_drop"]["cases"]:
        ohm_per_m = 1.7241e-8 / (np.pi / 4 * (0.127e-3 * 92 ** ((36 - case["awg"]) / 39)) ** 2)
        lead = make.pigtail(
            length_mm=1000.0 * case["length_m"],
            wire=replace(make.WIRE, ohm_per_m=ohm_per_m),
            plug=replace(make.PLUG, contact_ohm=0.0),
        )
        drop = lead_resistance_ohm(lead) * case["I_A"]
        assert drop == pytest.approx(case["drop_V_out_and_back"], rel=1e-4)
    assert lead_resistance_ohm(None) == 0.0
    two_contacts = make.pigtail(length_mm=1e-9)
    assert lead_resistance_ohm(two_contacts) == pytest.approx(0.06, abs=TABLE * EXACT)
