"""What fuse and protection leave of the supply: bounds that no mix of neighbours passes."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.curve import fit
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.terminals import at_terminals, terminals_of
from lamphouse.design.supply import CellPack, SupplyKind
from lamphouse.record import replace
from tolerances import BENCH, EXACT

FUSE = built_in().fuses["resettable 130 mA"]
DIODE = built_in().protectors["schottky diode"]
CELLS = built_in().cell_types


def test_a_plain_supply_is_given_back_as_it_is(make):
    power = make.supply()
    assert at_terminals(power, subs=(make.sub(make.leds("W", 3)),)) is power


def test_each_part_of_the_feed_takes_its_share(make):
    subs = (make.sub(make.leds("W", 10, current_A=0.002)),)
    power = make.supply(12.0, tolerance=0.05, ripple=0.02, fuse_A=0.13)
    bare = terminals_of(power, subs=subs)
    assert (bare.low_V, bare.nominal_V, bare.high_V) == pytest.approx((11.16, 12.0, 12.84))
    both = terminals_of(replace(power, fuse_type=FUSE, protector=DIODE), subs=subs)
    # Twice the 20 mA wanted, through 7 ohm; 0.45 V at most, 0.2 V at least.
    assert both.low_V == pytest.approx(11.16 - 0.45 - 7.0 * 0.040)
    assert both.nominal_V == pytest.approx(12.0 - 0.325)
    assert both.high_V == pytest.approx(12.84 - 0.2)
    # Never more than the fuse lets through.
    many = (make.sub(make.leds("W", 100, current_A=0.010)),)
    crowded = terminals_of(replace(power, fuse_type=FUSE), subs=many)
    assert crowded.low_V == pytest.approx(11.16 - 7.0 * 0.13)


def test_fresh_cells_set_the_high_end(make):
    pack = CellPack(cell=CELLS["alkaline AA"], series=3, cut_off_V=0.9)
    power = make.supply(4.5, tolerance=0.02, kind=SupplyKind.CELLS, cells=pack)
    ends = terminals_of(power, subs=())
    assert ends.high_V == pytest.approx(4.8)
    fed = at_terminals(power, subs=())
    assert fed.voltage_V * (1 + fed.tolerance) == pytest.approx(4.8)
    assert at_terminals(fed, subs=()) is fed


def test_tolerance_and_sag_hold_both_ends(make):
    subs = (make.sub(make.leds("W", 10, current_A=0.002)),)
    power = make.supply(12.0, fuse_A=0.13, fuse_type=FUSE, protector=DIODE)
    ends, fed = terminals_of(power, subs=subs), at_terminals(power, subs=subs)
    # Ten whites are three strings of at most four: 6 mA through 7 ohm.
    assert fed.voltage_V == pytest.approx(ends.nominal_V - 7.0 * 0.006)
    assert fed.voltage_V * (1 - fed.tolerance) - fed.sag_V == pytest.approx(ends.low_V, rel=EXACT)
    assert fed.voltage_V * (1 + fed.tolerance) == pytest.approx(ends.high_V, rel=EXACT)


def test_a_drop_that_leaves_nothing_is_no_voltage_to_fail_on(make):
    thirsty = replace(DIODE, most_drop_V=1.0, least_drop_V=1.0)
    fed = at_terminals(make.supply(1.0, protector=thirsty), subs=())
    assert 0.0 < 1.0 - fed.tolerance < 1.0


@settings(
    max_examples=200, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    volts=st.floats(1.0, 24.0),
    tolerance=st.floats(0.0, 0.5),
    ripple=st.floats(0.0, 0.5),
    limit_A=st.floats(0.001, 100.0),
    count=st.integers(0, 50),
    fuse=st.sampled_from([None, *built_in().fuses.values()]),
    part=st.sampled_from([None, *built_in().protectors.values()]),
    cell=st.sampled_from([None, *CELLS.values()]),
)
def test_any_feed_gives_ordered_ends_and_a_supply_that_can_be_designed_on(
    make, *, volts, tolerance, ripple, limit_A, count, fuse, part, cell
):
    pack = cell and CellPack(cell=cell, series=2, cut_off_V=cell.cut_off_V)
    power = make.supply(
        volts, tolerance=tolerance, ripple=ripple, max_current_A=limit_A, cells=pack,
        fuse_type=fuse, fuse_A=fuse and fuse.hold_A, protector=part,
    )  # fmt: skip
    subs = (make.sub(make.leds("W", count)),)
    ends = terminals_of(power, subs=subs)
    assert 0.0 <= ends.low_V <= ends.nominal_V <= ends.high_V < 200.0
    fed = at_terminals(power, subs=subs)
    assert fed.voltage_V > 0.0
    assert 0.0 <= fed.tolerance < 1.0
    assert fed.sag_V >= 0.0
    assert at_terminals(fed, subs=subs) is fed


def test_no_string_of_two_walls_behind_one_fuse_leaves_its_band(make):
    """Monte Carlo over every deviation, both walls solved together by nested root finders."""
    rng = np.random.default_rng(5)
    walls = (
        replace(make.sub(make.leds("W", 9, current_A=0.004)), name="wall"),
        replace(make.sub(make.leds("R", 8, led_type=make.RED, current_A=0.005)), name="desk"),
    )
    power = make.supply(12.0, tolerance=0.05, fuse_A=0.13, fuse_type=FUSE, protector=DIODE)
    fed = at_terminals(power, subs=walls)
    circuits = [
        design_circuit(sub, supply=fed, habits=make.habits(), package=make.PACKAGE) for sub in walls
    ]

    def string_A(node_V, string, shift_V, ohm):
        curve = fit(string.leds[0].led_type)
        count = len(string.leds)

        def excess(log_A):
            amps = np.exp(log_A)
            return count * (float(curve.voltage(amps)) + shift_V) + ohm * amps - node_V

        return float(np.exp(brentq(excess, -90.0, 0.0, xtol=1e-12)))

    for number in range(25):
        off = float(number > 0)  # the first is the model as designed
        source_V = 12.0 * (1 + off * rng.choice([-0.05, 0.05, 0.0]))
        source_V -= rng.uniform(0.2, 0.45) if off else 0.325
        parts = [
            [
                (
                    string,
                    off * string.leds[0].led_type.spread_V * rng.choice([-1.0, 1.0]),
                    string.resistor_ohm * (1 + off * 0.05 * rng.choice([-1.0, 1.0])),
                )
                for string in circuit.strings
            ]
            for circuit in circuits
        ]

        def wall_A(end_V, circuit, its):
            def excess(node_V):
                return node_V + circuit.lead_ohm * sum(string_A(node_V, *p) for p in its) - end_V

            node_V = brentq(excess, 2.0, end_V, xtol=1e-9)
            return [string_A(node_V, *part) for part in its]

        def behind_fuse(end_V, source_V=source_V, parts=parts):
            drawn = sum(
                sum(wall_A(end_V, circuit, its))
                for circuit, its in zip(circuits, parts, strict=True)
            )
            return end_V + 7.0 * drawn - source_V

        end_V = brentq(behind_fuse, 4.0, source_V, xtol=1e-8)
        for circuit, its in zip(circuits, parts, strict=True):
            for (string, *_), amps in zip(its, wall_A(end_V, circuit, its), strict=True):
                assert string.current_A.low <= amps <= string.current_A.high
                if not off:
                    assert string.current_A.nominal == pytest.approx(amps, rel=BENCH)
