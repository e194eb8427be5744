"""Run time against closed forms, Peukert's published cases, an ODE solver and ngspice."""

import json
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from lamphouse.catalogue.shelf import built_in
from lamphouse.circuit.curve import fit
from lamphouse.circuit.discharge import DARK, lead_current_A, run_time, short_circuit_A
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.terminals import at_terminals
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import CellPack, SupplyKind
from lamphouse.findings import Where
from lamphouse.record import replace
from tolerances import EXACT, PHYSICS

CELLS = built_in().cell_types
FUSES, PROTECTORS = built_in().fuses, built_in().protectors
WITNESS = 1e-5
"""Relative, against ngspice."""
DRAWN = 0.01
"""Relative: a charge from the sixty moments told."""
CLOSED = 1e-4
"""Relative: the trapezoids between 240 depths against the integral."""


@pytest.fixture
def published(reference):
    return json.loads((reference / "cells" / "values.json").read_text())


def celled(make, cell, *, series=1, parallel=1, cut_off_V=None, voltage_V=None, **kept):
    pack = CellPack(
        cell=cell,
        series=series,
        parallel=parallel,
        cut_off_V=cell.cut_off_V if cut_off_V is None else cut_off_V,
    )
    given = {"kind": SupplyKind.CELLS, "cells": pack, "fuse_A": None} | kept
    return make.supply(voltage_V or series * cell.nominal_V, **given)


def ran(make, sub, power, *, groups=(), own_A=0.0, **habits):
    settings_ = make.habits(**habits)
    circuit = design_circuit(
        sub, supply=at_terminals(power, subs=(sub,)), habits=settings_, package=make.PACKAGE
    )
    return circuit, run_time([circuit], supply=power, habits=settings_, groups=groups, own_A=own_A)


def stiff_led(make, volts=1.0):
    """An LED whose voltage moves by some millivolt with its current, for closed forms."""
    curve = ((0.0001, volts), (0.010, volts + 1e-7), (0.020, volts + 1.1e-7))
    return replace(make.WHITE, curve=curve, spread_V=0.0, drift_V_per_K=0.0)


def straight(**changed):
    """A cell whose open voltage falls in a straight line to its cut-off."""
    cell = replace(
        CELLS["alkaline AA"],
        nominal_V=1.5,
        open_V=((0.0, 1.6), (1.0, 1.0)),
        fresh_ohm=2.0,
        empty_ohm=2.0,
        least_Ah=1.0,
        most_Ah=1.0,
        rated_A=0.010,
        cut_off_V=0.5,
    )
    return replace(cell, **changed)


def test_peukert_s_published_cases_in_both_forms(published):
    for case in published["peukert"]["form1"]:
        current = lead_current_A(case["I"], rated_A=1.0, exponent=case["k"])
        assert case["C"] / current == pytest.approx(case["t_h"], rel=PHYSICS)
    for case in published["peukert"]["form2"]:
        rated = case["C"] / case["H"]
        current = lead_current_A(case["I"], rated_A=rated, exponent=case["k"])
        assert case["C"] / current == pytest.approx(case["t_h"], rel=PHYSICS)


def test_a_lead_battery_at_a_steady_current_lasts_as_peukert_says(make):
    """At 3.3 times its rated current; the closed form needs no step along the discharge."""
    lead = straight(
        open_V=((0.0, 12.0001), (1.0, 12.0)), fresh_ohm=0.0, empty_ohm=0.0, nominal_V=12.0,
        least_Ah=1.2, most_Ah=1.2, rated_A=0.006, peukert=1.2,
    )  # fmt: skip
    sub = make.sub(make.leds("W", 1, led_type=stiff_led(make), current_A=0.02), lead=False)
    sub = replace(sub, pigtail=None)
    circuit, run = ran(make, sub, celled(make, lead, tolerance=0.0))
    current = circuit.total_A.nominal
    assert current > 2 * lead.rated_A
    hours = 1.2 / 0.006
    assert run.dark_ends == "the cells are empty"
    assert run.dark_h.nominal == pytest.approx(hours * (1.2 / (current * hours)) ** 1.2, rel=CLOSED)
    # Below its rated current it gains nothing: the charge is the capacity.
    slow = replace(lead, rated_A=0.1)
    _, run = ran(make, sub, celled(make, slow, tolerance=0.0))
    assert run.dark_h.nominal == pytest.approx(1.2 / current, rel=CLOSED)
    # Peukert's law is on all that is drawn, what a controller takes for itself too.
    _, run = ran(make, sub, celled(make, lead, tolerance=0.0), own_A=0.015)
    whole = (current + 0.015) * hours
    assert run.dark_h.nominal == pytest.approx(hours * (1.2 / whole) ** 1.2, rel=CLOSED)


def test_what_a_controller_draws_sags_the_cells_by_ohm_s_law(make):
    """Cells behind 6 ohm and a fuse of 3 ohm: 20 mA more lowers the LED's feed by 0.18 V."""
    sub = replace(
        make.sub(make.leds("W", 1, led_type=stiff_led(make), current_A=0.010)), pigtail=None
    )
    power = celled(make, straight(), series=3, fuse_type=FUSES["resettable 250 mA"], tolerance=0.05)
    circuit, run = ran(make, sub, power, least_share=0.1, own_A=0.020)
    (string,) = circuit.strings
    lit_A = (4.8 - 1.0 - 9.0 * 0.020) / (string.resistor_ohm + 9.0)
    assert run.moments[0].total_A == pytest.approx(lit_A + 0.020, rel=PHYSICS)
    assert run.moments[0].pack_V == pytest.approx(4.8 - 6.0 * (lit_A + 0.020), rel=PHYSICS)


def test_a_straight_discharge_through_a_resistance_has_a_closed_form(make):
    r"""Ohm's law on a falling line: t = Q R / (V0 - V1) ln((V0 - Vf) / (V(d) - Vf))."""
    cell = straight()
    sub = replace(
        make.sub(make.leds("W", 1, led_type=stiff_led(make), current_A=0.010)), pigtail=None
    )
    power = celled(
        make, cell, series=3, cut_off_V=1.2, fuse_type=FUSES["resettable 250 mA"], tolerance=0.05
    )
    circuit, run = ran(make, sub, power, least_share=0.1)
    (string,) = circuit.strings
    cells_ohm = 3 * 2.0
    ohm = string.resistor_ohm + cells_ohm + 3.0
    # At its rated current the cell never falls to 0.5 V, so that all of its charge is capacity.
    led_V, first_V, last_V = 1.0, 4.8, 3.0
    # Cut-off: (V - Vf) / R flows, and V less the cells' own loss is 3 x 1.2 V.
    cut_V = (3 * 1.2 - led_V * cells_ohm / ohm) / (1.0 - cells_ohm / ohm)
    hours = 1.0 * ohm / (first_V - last_V) * math.log((first_V - led_V) / (cut_V - led_V))
    assert run.dark_ends == "the cells are at their cut-off"
    assert run.dark_h.nominal == pytest.approx(hours, rel=PHYSICS)
    assert run.moments[0].total_A == pytest.approx((first_V - led_V) / ohm, rel=PHYSICS)
    assert run.moments[-1].pack_V == pytest.approx(3.6, rel=CLOSED)


def test_the_capacity_is_what_flows_to_the_cut_off_at_the_rated_current(make):
    """Rated at the current that flows when the cut-off is met, a cell gives what is printed."""
    cell = straight(cut_off_V=1.2, least_Ah=0.8, most_Ah=1.2)
    alone = [make.wish(f"S{number}", f"W{number}") for number in range(1, 6)]
    sub = replace(make.sub(make.leds("W", 5, current_A=0.010), strings=alone), pigtail=None)
    _, first = ran(make, sub, celled(make, cell, series=8), least_share=0.0)
    rated = replace(cell, rated_A=first.moments[-1].total_A)
    _, run = ran(make, sub, celled(make, rated, series=8), least_share=0.0)
    hours = np.array([moment.hours for moment in run.moments])
    current = np.array([moment.total_A for moment in run.moments])
    assert run.dark_ends == "the cells are at their cut-off"
    assert float(np.trapezoid(current, hours)) == pytest.approx(1.0, rel=PHYSICS)
    assert run.dark_h.low == pytest.approx(0.8 * run.dark_h.nominal, rel=EXACT)
    assert run.dark_h.high == pytest.approx(1.2 * run.dark_h.nominal, rel=EXACT)


def test_three_cells_by_an_ode_solver_and_nested_root_finders(make):
    """White LEDs on three AA cells, two kinds of string behind one pigtail."""
    sub = make.sub(
        make.leds("W", 4, current_A=0.010), make.leds("R", 2, led_type=make.RED, current_A=0.005)
    )
    power = celled(
        make, CELLS["alkaline AA"], series=3, tolerance=0.1, protector=PROTECTORS["schottky diode"]
    )
    circuit, run = ran(make, sub, power)
    cell = CELLS["alkaline AA"]
    depths, volts = zip(*cell.open_V, strict=True)

    def string_A(node_V, string):
        kinds = [fit(led.led_type) for led in string.leds]

        def excess(log_A):
            amps = math.exp(log_A)
            drops = sum(float(curve.voltage(amps)) - 0.0 for curve in kinds)
            return drops + string.resistor_ohm * amps - node_V

        return math.exp(brentq(excess, -60.0, 0.0, xtol=1e-13))

    def drawn(depth):
        own_ohm = 3 * (cell.fresh_ohm + (cell.empty_ohm - cell.fresh_ohm) * depth)
        source = 3 * float(np.interp(depth, depths, volts)) - 0.325

        def excess(node_V):
            amps = sum(string_A(node_V, string) for string in circuit.strings)
            return node_V + (own_ohm + circuit.lead_ohm) * amps - source

        node_V = brentq(excess, 0.5, source, xtol=1e-12)
        return node_V, sum(string_A(node_V, string) for string in circuit.strings)

    rated = [
        float(np.interp(d, depths, volts)) - cell.rated_A * (0.15 + 0.35 * d)
        for d in np.linspace(0.0, 1.0, 20001)
    ]
    used = np.interp(-cell.cut_off_V, -np.array(rated), np.linspace(0.0, 1.0, 20001))
    charge_Ah = 2.4 / used

    def weak(_, depth):
        node_V, _ = drawn(depth[0])
        return min(string_A(node_V, s) / s.wanted_A for s in circuit.strings) - 0.6

    weak.terminal = True
    found = solve_ivp(
        lambda _, depth: [drawn(depth[0])[1] / charge_Ah],
        (0.0, 500.0), [0.0], events=weak, rtol=1e-6, max_step=1.0,
    )  # fmt: skip
    (end,) = found.t_events[0]
    assert run.bright_ends.startswith("a string gets less than 60 %")
    assert run.bright_h.nominal == pytest.approx(end, rel=PHYSICS)


def test_fresh_cells_under_load_against_ngspice(make, spice):
    """Two pigtails on three cells behind a resettable fuse and a transistor."""
    walls = [
        replace(make.sub(make.leds("W", 5, current_A=0.015)), name="wall"),
        replace(make.sub(make.leds("R", 3, led_type=make.RED, current_A=0.010)), name="desk"),
    ]
    power = celled(
        make, CELLS["alkaline AAA"], series=3, tolerance=0.1,
        fuse_type=FUSES["resettable 130 mA"], protector=PROTECTORS["p-channel mosfet"],
    )  # fmt: skip
    habits = make.habits()
    circuits = [
        design_circuit(
            sub, supply=at_terminals(power, subs=walls), habits=habits, package=make.PACKAGE
        )
        for sub in walls
    ]
    run = run_time(circuits, supply=power, habits=habits)
    thermal_V = 1.38064852e-23 * 300.15 / 1.6021766208e-19
    lines = ["V1 src 0 4.8", "R1 src cells 0.75", "Vm cells m 0", "R2 m feed 7.1"]
    for number, circuit in enumerate(circuits):
        lines.append(f"Rl{number} feed n{number} {circuit.lead_ohm!r}")
        for index, string in enumerate(circuit.strings):
            at = f"{number}_{index}"
            curve = fit(string.leds[0].led_type)
            assert len(string.leds) == 1
            ohm = string.resistor_ohm + curve.series_ohm
            lines.append(f"Rs{at} n{number} a{at} {ohm!r}")
            lines.append(f"D{at} a{at} 0 m{at}")
            saturation = math.exp(curve.log_saturation)
            lines.append(f".model m{at} D(IS={saturation!r} N={curve.slope_V / thermal_V!r})")
    found = spice("\n".join(lines), ["i(vm)", "v(cells)"])
    assert run.moments[0].total_A == pytest.approx(found["i(vm)"], rel=WITNESS)
    assert run.moments[0].pack_V == pytest.approx(found["v(cells)"], rel=WITNESS)


def test_a_short_of_fresh_cells_is_ohm_s_law(make):
    pack = celled(make, CELLS["alkaline AA"], series=3, parallel=2).cells
    assert short_circuit_A(pack) == pytest.approx(3 * 1.6 / (3 * 0.15 / 2))


def drawn_Ah(run):
    """Charge until it is no longer bright, from the moments told."""
    hours = np.array([moment.hours for moment in run.moments])
    current = np.array([moment.total_A for moment in run.moments])
    times = np.linspace(0.0, run.bright_h.nominal, 400)
    return float(np.trapezoid(np.interp(times, hours, current), times))


def blinking(duty, kind=PatternKind.BEACON):
    pattern = Pattern(kind=kind, period_s=2.0, duty=duty)
    where = Where(item="groups / g")
    return SourceGroup(name="g", where=where, pattern=pattern, sub_assembly="wall", source=None)


def test_a_blinking_group_with_a_duty_counts_for_its_share(make):
    sub = make.sub(make.leds("W", 3, current_A=0.010, group="g"))
    power = celled(make, CELLS["lead 12 V"], tolerance=0.1)
    _, lit = ran(make, sub, power, groups=[blinking(None)])
    _, quarter = ran(make, sub, power, groups=[blinking(0.25)])
    _, steady = ran(make, sub, power, groups=[blinking(0.25, PatternKind.STEADY)])
    assert quarter.dark_h.nominal == pytest.approx(4 * lit.dark_h.nominal, rel=EXACT)
    assert steady == lit
    assert quarter.moments[0].total_A == lit.moments[0].total_A


def test_a_capacity_the_maker_knows_has_no_band(make):
    sub = make.sub(make.leds("W", 3, current_A=0.010))
    cell = CELLS["lead 12 V"]
    _, band = ran(make, sub, celled(make, cell, tolerance=0.1))
    _, known = ran(make, sub, celled(make, cell, tolerance=0.1, capacity_Ah=2.4))
    assert known.dark_h.low == known.dark_h.high == pytest.approx(2 * band.dark_h.nominal)


def test_no_cells_or_no_strings_give_no_answer(make):
    sub = make.sub(make.leds("W", 3))
    assert ran(make, sub, make.supply())[1] is None
    power = celled(make, CELLS["lead 12 V"])
    assert run_time([], supply=power, habits=make.habits()) is None


def test_cells_that_cannot_light_anything_last_no_time(make):
    _, run = ran(make, make.sub(make.leds("W", 2, current_A=0.005)), celled(make, CELLS["NiMH AA"]))
    assert run.bright_h.nominal == run.dark_h.nominal == 0.0
    assert len(run.moments) == 1
    assert 0.0 <= run.moments[0].light < DARK


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    name=st.sampled_from(sorted(CELLS)),
    series=st.integers(1, 6),
    count=st.integers(1, 12),
    current_A=st.floats(0.0005, 0.019),
)
def test_any_cells_and_any_load_give_an_ordered_answer(make, name, series, count, current_A):
    cell = CELLS[name]
    if series * cell.nominal_V > 24.0:
        series = 1
    sub = make.sub(make.leds("W", count, current_A=current_A))
    power = celled(make, cell, series=series, tolerance=0.1)
    circuit, run = ran(make, sub, power)
    assert 0.0 <= run.bright_h.nominal <= run.dark_h.nominal < math.inf
    assert run.bright_h.low <= run.bright_h.nominal <= run.bright_h.high
    for earlier, later in zip(run.moments, run.moments[1:], strict=False):
        assert later.hours > earlier.hours
        assert later.light <= earlier.light * (1 + EXACT)
        assert later.pack_V <= earlier.pack_V + EXACT
    # Two rows side by side sag less, and so give each at least the charge that one alone gave.
    twice = replace(power, cells=replace(power.cells, parallel=2))
    more = run_time([circuit], supply=twice, habits=make.habits())
    assert drawn_Ah(more) >= 2 * drawn_Ah(run) * (1 - DRAWN)
