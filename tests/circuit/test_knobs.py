"""Trim knobs: the fixed resistor under them, how far they reach, and how they are wired."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lamphouse.circuit.corners import Branch, types_of, worst_cases
from lamphouse.circuit.knobs import KNOBS_OHM, TRACK_TOLERANCE, track_limit_W
from lamphouse.circuit.netlist import Variation
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.wired import Pin, WiredKind
from lamphouse.circuit.wiring_up import wire_up
from lamphouse.design.supply import Common
from lamphouse.record import replace
from tolerances import EXACT, PHYSICS


def designed(make, sub, *, supply=None, **habits):
    return design_circuit(
        sub, supply=supply or make.supply(), habits=make.habits(**habits), package=make.PACKAGE
    )


def trimmed(sub):
    return replace(sub, trim=True)


@pytest.fixture
def flat(make):
    """An LED of 3 V at any current, so that Ohm's law alone tells everything."""
    return replace(
        make.WHITE,
        curve=((0.0001, 3.0), (0.001, 3.0 + 1e-9), (0.02, 3.0 + 2e-9)),
        spread_V=0.0,
        drift_V_per_K=0.0,
    )


def test_by_hand(make, flat):
    sub = trimmed(make.sub(make.leds("W", 1, led_type=flat, current_A=0.002)))
    supply = make.supply(tolerance=0.0)
    (string,) = design_circuit(
        replace(sub, pigtail=None),
        supply=supply,
        habits=make.habits(resistor_tolerance=1e-9),
        package=make.PACKAGE,
    ).strings
    # 9 V are left: 4500 ohm for 2 mA, 3000 ohm for half as much again, so 3k3 of E12 [IEC60063].
    # 22.5 kohm for a fifth: 19.2 kohm from a track that may be 20 % short, so 50k of 1, 2, 5.
    assert string.resistor_ohm == 3300.0
    assert string.knob.track_ohm == 50e3
    assert string.knob.set_ohm == pytest.approx(1200.0, abs=7.0)
    assert string.ohm == pytest.approx(4500.0, abs=7.0)
    assert string.knob.open_A == pytest.approx(9.0 / 3300.0, rel=PHYSICS)
    assert string.knob.least_A == pytest.approx(9.0 / 43300.0, rel=PHYSICS)
    assert string.knob.track_W == pytest.approx((9.0 / 3300.0) ** 2 * 50e3, rel=2 * PHYSICS)
    # The resistor is as hot as with the knob at zero.
    assert string.resistor_W == pytest.approx(81.0 / 3300.0, rel=PHYSICS)


@settings(
    max_examples=80, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    current_A=st.floats(3e-4, 0.02),
    count=st.integers(1, 3),
    volts=st.sampled_from([5.0, 9.0, 12.0, 24.0]),
    wanted=st.fixed_dictionaries(
        {
            "trim_to": st.floats(0.01, 0.9),
            "series": st.sampled_from(["E6", "E12", "E24", "E96"]),
        }
    ),
)
def test_no_led_passes_its_rating_wherever_the_knob_stands(make, current_A, count, volts, wanted):
    sub = trimmed(make.sub(make.leds("W", count, current_A=current_A)))
    supply = make.supply(volts)
    habits = make.habits(**wanted)
    circuit = design_circuit(sub, supply=supply, habits=habits, package=make.PACKAGE)
    for share in (0.0, 0.3, 1.0):
        branches = [
            Branch(
                types=types_of(string.leds),
                ohm=string.resistor_ohm + share * string.knob.track_ohm,
            )
            for string in circuit.strings
        ]
        cases, _ = worst_cases(branches, supply=supply, habits=habits, lead_ohm=circuit.lead_ohm)
        for case, string in zip(cases, circuit.strings, strict=True):
            assert case.current_A.high <= make.WHITE.max_current_A * (1 + EXACT)
            assert case.resistor_W <= string.resistor_W * (1 + EXACT)
    for string in circuit.strings:
        reached = string.knob.least_A <= habits.trim_to * current_A * (1 + 2 * PHYSICS)
        assert reached or string.knob.track_ohm == KNOBS_OHM[-1]
        assert 0.0 <= string.knob.set_ohm <= string.knob.track_ohm


@pytest.mark.parametrize("common", list(Common))
def test_wired_before_its_resistor_and_solved_from_end_to_end(make, common):
    sub = trimmed(make.sub(make.leds("W", 4, current_A=0.001), make.leds("RV", 1)))
    habits = make.habits(common=common)
    circuit = design_circuit(sub, supply=make.supply(), habits=habits, package=make.PACKAGE)
    own = wire_up(circuit, sub=sub, supply=make.supply(), habits=habits)
    knobs = [part for part in own.parts if part.kind is WiredKind.TRIM]
    assert [part.string for part in knobs] == [string.name for string in circuit.strings]
    assert len({part.name for part in own.parts}) == len(own.parts)
    # Wiper and far end are one net with the resistor; the near end lies on the common.
    common_net = "plus" if common is Common.POSITIVE else "minus"
    nets = {pin: net.name for net in own.nets for pin in net.pins}
    for number, part in enumerate(knobs, start=1):
        inner = {nets[Pin(part=part.name, pin=2)], nets[Pin(part=part.name, pin=3)]}
        assert inner == {nets[Pin(part=f"R{number}", pin=1)]}
        assert nets[Pin(part=part.name, pin=1)] == common_net
    names = [part.name for part in knobs]
    for name, string in zip(names, circuit.strings, strict=True):
        zero, full, expected = (
            Variation(name=str(at), ohm={name: at * string.knob.track_ohm})
            for at in (0.0, 1 - TRACK_TOLERANCE, string.knob.set_ohm / string.knob.track_ohm)
        )
        solved = np.abs(solve(own.netlist, [zero, full, expected]).current(name))
        # The other strings' knobs stand still here and move along there: the lead's drop differs.
        assert solved[0] == pytest.approx(string.knob.open_A, rel=2 * PHYSICS)
        assert solved[1] == pytest.approx(string.knob.least_A, rel=2 * PHYSICS)
        assert solved[2] == pytest.approx(string.current_A.nominal, rel=PHYSICS)


def test_a_resistor_given_settles_the_string(make):
    leds = make.leds("W", 2, current_A=0.001)
    wishes = [make.wish("S1", "W1", ohm=8200.0), replace(make.wish("S2", "W2"), trim=True)]
    settled, open_one = designed(make, trimmed(make.sub(leds, strings=wishes))).strings
    assert settled.knob is None
    assert settled.resistor_ohm == 8200.0
    assert open_one.knob is not None
    reading = round(open_one.knob.set_ohm)
    typed = [make.wish("S2", "W2", ohm=open_one.resistor_ohm + reading)]
    (after, *_) = designed(make, make.sub(leds, strings=typed)).strings
    assert after.current_A.nominal == pytest.approx(open_one.wanted_A, rel=2 * PHYSICS)


def test_a_track_bears_less_in_the_warmth():
    # Straight from full at 70 degC to nothing at 125 degC, from memory of the class.
    assert track_limit_W(ambient_degC=35.0) == pytest.approx(0.5, rel=EXACT)
    assert track_limit_W(ambient_degC=97.5) == pytest.approx(0.25, rel=EXACT)
    assert track_limit_W(ambient_degC=130.0) == 0.0
