"""What most builds come to: against closed forms, another solver, and the corners."""

import re
import subprocess

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.special import wrightomega

from lamphouse.circuit.branch import Band
from lamphouse.circuit.corners import types_of
from lamphouse.circuit.curve import fit
from lamphouse.circuit.solve import common_lead
from lamphouse.circuit.spread import FLUX_SPREAD, currents_of, spread_of, wright_omega
from lamphouse.circuit.strings import design_circuit
from lamphouse.record import replace
from tolerances import BENCH, EXACT, PHYSICS

DRAWN = 0.02
"""What the ends of nine builds of ten move from seed to seed, of the band's width twice over."""


def designed(make, sub, *, supply=None, **habits):
    return design_circuit(
        sub, supply=supply or make.supply(), habits=make.habits(**habits), package=make.PACKAGE
    )


def spread(make, circuit, sub, *, supply=None, seed=7, mates=None, **habits):
    return spread_of(
        circuit,
        sub=sub,
        supply=supply or make.supply(),
        habits=make.habits(**habits),
        seed=seed,
        mates=mates,
    )


def test_omega_against_another_implementation():
    z = np.concatenate([np.linspace(-650.0, 3000.0, 20001), np.linspace(-20.0, 20.0, 20001)])
    assert np.abs(wright_omega(z) / wrightomega(z) - 1.0).max() < EXACT


@pytest.fixture
def flat(make):
    return replace(
        make.WHITE,
        curve=((0.0001, 3.0), (0.001, 3.0 + 1e-9), (0.02, 3.0 + 2e-9)),
        spread_V=0.0,
        drift_V_per_K=0.0,
    )


def test_a_resistor_alone_in_closed_form(make, flat):
    # I = V / R with R even between its bounds: its quantiles are V over those of R.
    sub = replace(make.sub(make.leds("W", 1, led_type=flat, current_A=0.002)), pigtail=None)
    supply = make.supply(tolerance=0.0)
    circuit = designed(make, sub, supply=supply)
    band = spread(make, circuit, sub, supply=supply).strings[0].current_A
    nominal = circuit.strings[0].current_A.nominal
    for found, quantile in ((band.low, 0.95), (band.middle, 0.5), (band.high, 0.05)):
        ohm = 1.0 - 0.05 + 0.1 * quantile
        assert found == pytest.approx(nominal / ohm, rel=DRAWN * 0.1)


def test_supply_and_resistor_together_in_closed_form(make, flat):
    # To first order dI / I = dV / (V - V_f) - dR / R: a trapezium of two even spreads a and b.
    # Its lower twentieth: P(x < -(a + b) + t) = t**2 / (8 a b) = 0.05 as long as t < 2 b.
    sub = replace(make.sub(make.leds("W", 1, led_type=flat, current_A=0.002)), pigtail=None)
    supply = make.supply(tolerance=0.01)
    given = {"resistor_tolerance": 0.01}
    circuit = designed(make, sub, supply=supply, **given)
    band = spread(make, circuit, sub, supply=supply, **given).strings[0].current_A
    nominal = circuit.strings[0].current_A.nominal
    a, b = 0.01 * 12.0 / 9.0, 0.01
    end = a + b - np.sqrt(0.05 * 8.0 * a * b)
    assert band.low / nominal == pytest.approx(1.0 - end, abs=DRAWN * 2 * (a + b))
    assert band.high / nominal == pytest.approx(1.0 + end, abs=DRAWN * 2 * (a + b))


def test_every_build_is_what_the_exact_solver_gives(make):
    # With nothing left to chance every build is the nominal one.
    sure = replace(make.WHITE, spread_V=0.0)
    sub = make.sub(
        make.leds("W", 5, led_type=sure),
        make.leds("A", 2, led_type=replace(make.RED, spread_V=0.0)),
        lead=make.pigtail(length_mm=5000.0),
    )
    given = {"resistor_tolerance": 0.0, "coldest_degC": 25.0, "warmest_degC": 25.0}
    supply = make.supply(tolerance=0.0)
    circuit = designed(make, sub, supply=supply, **given)
    found = currents_of(circuit, supply=supply, habits=make.habits(**given), seed=1)
    nominal = [string.current_A.nominal for string in circuit.strings]
    assert np.abs(found / nominal - 1.0).max() < PHYSICS * 1e-3


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    volts=st.sampled_from([3.0, 5.0, 9.0, 12.0, 24.0]),
    count=st.integers(1, 7),
    current_A=st.floats(3e-4, 0.015),
    tolerance=st.floats(0.0, 0.3),
    seed=st.integers(0, 2**31 - 1),
)
def test_no_build_passes_the_corners(make, volts, count, current_A, tolerance, seed):  # noqa: PLR0917 - drawn
    sub = make.sub(
        make.leds("W", count, current_A=current_A),
        make.leds("B", 1, led_type=make.RED, current_A=current_A, group="beacon"),
        lead=make.pigtail(length_mm=3000.0),
    )
    supply = make.supply(volts, tolerance=tolerance, sag_V=0.1)
    circuit = designed(make, sub, supply=supply)
    found = currents_of(circuit, supply=supply, habits=make.habits(), seed=seed)
    for string, own in zip(circuit.strings, found.T, strict=True):
        assert own.min() >= string.current_A.low * (1.0 - PHYSICS * 1e-3)
        assert own.max() <= string.current_A.high * (1.0 + PHYSICS * 1e-3)
    for string, one in zip(
        circuit.strings, spread(make, circuit, sub, supply=supply, seed=seed).strings, strict=True
    ):
        assert one.least_light <= one.light.low <= one.light.middle <= one.light.high
        assert one.light.high <= one.most_light
        assert string.current_A.low <= one.current_A.low * (1.0 + EXACT)


def test_light_is_current_times_bin(make, flat):
    # With the current sure, the light is even between the bin's ends.
    sub = replace(make.sub(make.leds("W", 1, led_type=flat, current_A=0.002)), pigtail=None)
    supply = make.supply(tolerance=0.0)
    circuit = designed(make, sub, supply=supply, resistor_tolerance=1e-6)
    (one,) = spread(make, circuit, sub, supply=supply, resistor_tolerance=1e-6).strings
    share = circuit.strings[0].current_A.nominal / 0.002
    assert one.light.low == pytest.approx(share * (1 - 0.9 * FLUX_SPREAD), abs=DRAWN * 0.3)
    assert one.light.high == pytest.approx(share * (1 + 0.9 * FLUX_SPREAD), abs=DRAWN * 0.3)


def test_the_same_seed_gives_the_same_and_another_nearly_the_same(make):
    sub = make.sub(make.leds("W", 6), make.leds("A", 2, led_type=make.RED))
    circuit = designed(make, sub)
    one, again, other = (spread(make, circuit, sub, seed=seed) for seed in (7, 7, 8))
    assert one == again
    assert one != other
    for a, b in zip(one.strings, other.strings, strict=True):
        assert a.current_A.low == pytest.approx(b.current_A.low, rel=BENCH)
        assert a.current_A.high == pytest.approx(b.current_A.high, rel=BENCH)


def test_alike_strings_are_told_alike(make):
    sub = make.sub(make.leds("W", 6))
    circuit = designed(make, sub)
    found = spread(make, circuit, sub).strings
    kinds = {
        (types_of(string.leds), string.ohm): (one.current_A, one.light)
        for string, one in zip(circuit.strings, found, strict=True)
    }
    for string, one in zip(circuit.strings, found, strict=True):
        assert kinds[types_of(string.leds), string.ohm] == (one.current_A, one.light)


def test_nothing_lit_is_nothing_spread(make):
    sub = make.sub(make.leds("W", 1))
    circuit = replace(designed(make, sub), strings=(), total_A=Band(low=0.0, nominal=0.0, high=0.0))
    assert spread(make, circuit, sub).strings == ()


def test_thousands_of_leds_are_drawn_fewer_times(make):
    sub = make.sub(make.leds("W", 5000))
    circuit = designed(make, sub)
    assert spread(make, circuit, sub).builds == 200


def test_against_builds_drawn_and_solved_by_another_program(make, tool, tmp_path):
    """Quantiles of 400 builds that ngspice solves, its LEDs being its own diodes."""
    program = tool("ngspice")
    sub = make.sub(make.leds("W", 2, current_A=0.002), lead=make.pigtail(length_mm=2000.0))
    supply = make.supply(9.0)
    circuit = designed(make, sub, supply=supply)
    (string,) = circuit.strings
    lot = np.random.default_rng(4)
    builds = 400
    curve = fit(make.WHITE)
    volts = lot.uniform(0.95 * 9.0, 1.05 * 9.0, builds)
    degC = lot.uniform(15.0, 35.0, builds)
    ohms = string.resistor_ohm * lot.uniform(0.95, 1.05, builds)
    shifts = lot.uniform(-0.2, 0.2, (builds, 2)) - 0.003 * (degC - 25.0)[:, None]
    thermal = 1.380649e-23 * 300.15 / 1.602176634e-19
    model = (
        f".model led d(is={np.exp(curve.log_saturation):.12g} n={curve.slope_V / thermal:.12g} "
        f"rs={curve.series_ohm:.12g})"
    )
    lines = ["builds", model]
    for n in range(builds):
        lines += [
            f"v{n} s{n} 0 {volts[n]:.12g}",
            f"rl{n} s{n} n{n} {circuit.lead_ohm:.12g}",
            f"r{n} n{n} a{n} {ohms[n]:.12g}",
            f"va{n} a{n} b{n} {shifts[n, 0]:.12g}",
            f"da{n} b{n} c{n} led",
            f"vb{n} c{n} d{n} {shifts[n, 1]:.12g}",
            f"db{n} d{n} 0 led",
        ]
    path = tmp_path / "builds.cir"
    prints = "\n".join(f"print i(va{n})" for n in range(builds))
    path.write_text(
        "\n".join(lines)
        + "\n.options temp=27 tnom=27 reltol=1e-6 abstol=1e-14 gmin=1e-14\n.control\nset "
        + f"numdgt=12\nop\n{prints}\n.endc\n.end\n"
    )
    answer = subprocess.run(
        [program, "-b", str(path)], capture_output=True, text=True, check=False, timeout=120
    ).stdout
    solved = np.array(
        [float(value) for value in re.findall(r"^i\(va\d+\) = (\S+)", answer, re.MULTILINE)]
    )
    assert len(solved) == builds
    own = common_lead(
        volts,
        lead_ohm=circuit.lead_ohm,
        ohm=(ohms + 2 * curve.series_ohm)[:, None],
        slope_V=[[2 * curve.slope_V]],
        log_saturation=(curve.log_saturation - shifts.mean(axis=1) / curve.slope_V)[:, None, None],
    ).current_A[:, 0]
    assert np.abs(solved / own - 1.0).max() < PHYSICS
    band = spread(make, circuit, sub, supply=supply).strings[0].current_A
    low, middle, high = np.percentile(solved, [5.0, 50.0, 95.0])
    width = high - low
    # Of 400 builds the twentieth lies within 1.1 % of its rank [binomial], 2 deviations of it.
    assert band.low == pytest.approx(low, abs=0.08 * width)
    assert band.middle == pytest.approx(middle, abs=0.08 * width)
    assert band.high == pytest.approx(high, abs=0.08 * width)
