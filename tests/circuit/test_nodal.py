import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lamphouse.circuit.netlist import (
    GROUND,
    OPEN_OHM,
    Bridge,
    Junction,
    JunctionState,
    Netlist,
    Resistance,
    Source,
    Variation,
)
from lamphouse.circuit.nodal import LEAK_S, solve
from lamphouse.circuit.solve import common_lead
from lamphouse.circuit.spice import THERMAL_V
from lamphouse.circuit.varied import SHORT_OHM
from lamphouse.record import replace
from random_netlists import random_netlist
from tolerances import EXACT, TABLE

SETTLED = 1e-6
"""Relative, between two ways to write one circuit: both stop near the root, each on its side."""
FLOOR_A = 1e-11
"""Below this both are leaks."""


def netlist(*elements):
    """Sort elements by kind."""
    return Netlist(
        resistances=tuple(one for one in elements if isinstance(one, Resistance)),
        junctions=tuple(one for one in elements if isinstance(one, Junction)),
        sources=tuple(one for one in elements if isinstance(one, Source)),
    )


def ohm(name, first, second, value):
    return Resistance(name=name, first=first, second=second, ohm=value)


def volt(name, plus, minus, value, inside=0.0):
    return Source(name=name, plus=plus, minus=minus, voltage_V=value, ohm=inside)


def led(name, anode, cathode, *, slope_V=0.075, log_saturation=-41.4, series_ohm=5.0):
    return Junction(
        name=name,
        anode=anode,
        cathode=cathode,
        slope_V=slope_V,
        log_saturation=log_saturation,
        series_ohm=series_ohm,
    )


def test_linear_circuits_solved_elsewhere(values):
    case = values["linear_nodes"]["divider_12V_100_then_200par300"]
    divider = solve(
        netlist(
            volt("V", "a", GROUND, 12.0),
            ohm("R1", "a", "b", 100.0),
            ohm("R2", "b", GROUND, 200.0),
            ohm("R3", "b", GROUND, 300.0),
        )
    )
    assert divider.voltage("b")[0] == pytest.approx(case["v"], rel=EXACT)
    assert divider.current("V")[0] == pytest.approx(case["i"], rel=EXACT)
    case = values["linear_nodes"]["ladder_5V_1k_1k_500_500"]
    ladder = solve(
        netlist(
            volt("V", "c", GROUND, 5.0),
            ohm("R1", "c", "d", 1e3),
            ohm("R2", "d", GROUND, 1e3),
            ohm("R3", "d", "e", 500.0),
            ohm("R4", "e", GROUND, 500.0),
        )
    )
    assert ladder.voltage("d")[0] == pytest.approx(case["v_d"], rel=EXACT)
    assert ladder.voltage("e")[0] == pytest.approx(case["v_e"], rel=EXACT)
    assert ladder.current("V")[0] == pytest.approx(case["i"], rel=EXACT)


def test_operating_points_solved_elsewhere(values):
    given = values["diode_op"]
    thermal, model, cases = given["constants"]["VT_V"], given["model_A"], given["cases"]
    kind = {
        "slope_V": model["N"] * thermal,
        "log_saturation": math.log(model["IS"]),
        "series_ohm": model["RS"],
    }
    one = solve(
        netlist(
            volt("V", "p", GROUND, 5.0), ohm("R", "p", "a", 100.0), led("A", "a", GROUND, **kind)
        )
    )
    assert one.current("A")[0] == pytest.approx(cases[0]["I_A"], rel=1e-6)
    assert one.voltage("a")[0] == pytest.approx(cases[0]["V_led"], abs=TABLE * 1e-7)
    three = solve(
        netlist(
            volt("V", "p", GROUND, 12.0),
            ohm("R", "p", "a", 150.0),
            *(
                led(f"A{end}", *ends, **kind)
                for end, ends in enumerate((("a", "b"), ("b", "c"), ("c", GROUND)))
            ),
        )
    )
    assert three.current("R")[0] == pytest.approx(cases[1]["I_A"], rel=1e-6)
    assert three.voltage("a")[0] == pytest.approx(cases[1]["V_string"], abs=TABLE * 1e-7)
    parallel = solve(
        netlist(
            volt("V", "p", GROUND, 5.0),
            ohm("R", "p", "a", 47.0),
            *(led(f"A{end}", "a", GROUND, **kind) for end in range(3)),
        )
    )
    assert parallel.current("V")[0] == pytest.approx(cases[2]["I_A"], rel=1e-6)
    ideal = solve(
        netlist(
            volt("V", "p", GROUND, 5.0),
            ohm("R", "p", "a", 1e3),
            led("D", "a", GROUND, slope_V=thermal, log_saturation=math.log(1e-14), series_ohm=0.0),
        )
    )
    assert ideal.current("D")[0] == pytest.approx(cases[3]["I_A"], rel=EXACT * 10)
    assert ideal.voltage("a")[0] == pytest.approx(cases[3]["V"], abs=TABLE * 1e-8)


def test_a_fitted_curve_in_circuits_solved_elsewhere(make, values):
    from lamphouse.circuit.curve import fit

    two = values["diode_fit"]["two_point"]
    curve = fit(replace(make.WHITE, curve=tuple(map(tuple, two["points"]))))
    kind = {
        "slope_V": curve.slope_V,
        "log_saturation": curve.log_saturation,
        "series_ohm": curve.series_ohm,
    }
    seen = values["diode_fit"]["check_in_ngspice"]
    one = solve(
        netlist(
            volt("V", "p", GROUND, 5.0), ohm("R", "p", "a", 180.0), led("A", "a", GROUND, **kind)
        )
    )
    assert one.current("A")[0] == pytest.approx(seen["5 V through 180 ohm"]["I_A"], rel=1e-6)
    assert one.voltage("a")[0] == pytest.approx(seen["5 V through 180 ohm"]["V"], abs=1e-6)


def test_a_simulators_string_of_three(values):
    case = values["led_string_naive_vs_curve"]
    seen = case["simulated"]
    # The page gives one point of its LED: 2.66 V at 26.74 mA; any diode through it must answer so.
    slope = 0.05
    log_saturation = math.log(seen["I_A"]) - seen["V_led"] / slope
    kind = {"slope_V": slope, "log_saturation": log_saturation, "series_ohm": 0.0}
    solved = solve(
        netlist(
            volt("V", "p", GROUND, 12.0),
            ohm("R", "p", "a", case["naive"]["R_ohm"]),
            led("A", "a", "b", **kind),
            led("B", "b", "c", **kind),
            led("C", "c", GROUND, **kind),
        )
    )
    assert solved.current("R")[0] == pytest.approx(seen["I_A"], rel=0.005)
    assert 12.0 - solved.voltage("a")[0] == pytest.approx(seen["V_R"], rel=0.005)


def test_drop_of_wires_out_and_back(reference):
    import json

    from lamphouse.catalogue.electric_parts import copper_ohm_per_m
    from lamphouse.units.gauges import awg_mm

    for case in json.loads((reference / "wires" / "values.json").read_text())["drop"]:
        wire = copper_ohm_per_m(awg_mm(case["awg"])) * case["length_m"]
        load = 5.0 / case["I_A"] - 2.0 * wire
        solved = solve(
            netlist(
                volt("V", "p", GROUND, 5.0),
                ohm("out", "p", "a", wire),
                ohm("load", "a", "b", load),
                ohm("back", "b", GROUND, wire),
            )
        )
        drop = 5.0 - float(solved.voltage("a")[0] - solved.voltage("b")[0])
        assert drop == pytest.approx(case["drop_V_out_and_back"], rel=1e-4)


def test_strings_behind_one_lead_agree_with_the_branch_solver():
    rng = np.random.default_rng(4)
    strings = [
        (float(10 ** rng.uniform(1.5, 4)), [float(x) for x in rng.uniform(0.04, 0.1, 3)])
        for _ in range(6)
    ]
    elements = [volt("V", "p", GROUND, 12.0), ohm("lead", "p", "n", 3.3)]
    for number, (value, slopes) in enumerate(strings):
        elements.append(ohm(f"R{number}", "n", f"{number} 0", value))
        for place, slope in enumerate(slopes):
            end = GROUND if place == 2 else f"{number} {place + 1}"
            kind = {"slope_V": slope, "log_saturation": -38.0, "series_ohm": 7.0}
            elements.append(led(f"D{number} {place}", f"{number} {place}", end, **kind))
    solved = solve(netlist(*elements))
    point = common_lead(
        12.0,
        lead_ohm=3.3,
        ohm=np.array([value + 21.0 for value, _ in strings]),
        slope_V=np.array([slopes for _, slopes in strings]),
        log_saturation=np.full((6, 3), -38.0),
    )
    assert solved.voltage("n")[0] == pytest.approx(float(point.node_V), rel=EXACT)
    for number in range(6):
        assert solved.current(f"R{number}")[0] == pytest.approx(point.current_A[number], rel=EXACT)


def ends_of(element):
    if isinstance(element, Resistance):
        return element.first, element.second
    if isinstance(element, Junction):
        return element.anode, element.cathode
    return element.minus, element.plus


def elements_of(circuit):
    return (*circuit.resistances, *circuit.junctions, *circuit.sources)


seeds = st.integers(10_000, 10_000_000)


@settings(max_examples=150, deadline=None)
@given(seeds)
def test_kirchhoff_power_and_the_law_of_every_element(seed):
    circuit = random_netlist(seed, thermal_V=THERMAL_V)
    solved = solve(circuit)
    missing, largest = dict.fromkeys(solved.nodes, 0.0), 0.0
    given_W = taken_W = 0.0
    for element in elements_of(circuit):
        first, second = ends_of(element)
        current = float(solved.current(element.name)[0])
        largest = max(largest, abs(current))
        missing[first] -= current
        missing[second] += current
        drop = float(solved.voltage(first)[0] - solved.voltage(second)[0])
        if math.isnan(drop):
            continue
        if isinstance(element, Source):
            assert -drop == pytest.approx(
                element.voltage_V - element.ohm * current, rel=EXACT, abs=1e-9
            )
            given_W += element.voltage_V * current
            taken_W += element.ohm * current**2
        else:
            taken_W += drop * current
            assert drop * current >= -1e-15
        if isinstance(element, Resistance) and element.ohm < OPEN_OHM:
            assert drop == pytest.approx(element.ohm * current, rel=EXACT, abs=1e-9)
        if isinstance(element, Junction):
            own = drop - element.series_ohm * current
            saturation = math.exp(element.log_saturation)
            law = saturation * math.expm1(own / element.slope_V) + LEAK_S * own
            # The own voltage is a difference; its rounding, amplified by the exponential. Where
            # amperes by the hundred flow, the law is met to 2e-9 (worst of 600 circuits).
            slack = (abs(law) + saturation) * 1e-14 * 24.0 / element.slope_V
            assert current == pytest.approx(law, rel=1e-8, abs=slack + 1e-13)
    assert max(map(abs, missing.values())) <= 1e-12 + 1e-9 * largest
    if not np.isnan(solved.node_V).any():
        assert taken_W == pytest.approx(given_W, rel=1e-8, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(seeds)
def test_the_order_of_the_elements_does_not_matter(seed):
    circuit = random_netlist(seed, thermal_V=THERMAL_V)
    turned = Netlist(
        resistances=circuit.resistances[::-1],
        junctions=circuit.junctions[::-1],
        sources=circuit.sources[::-1],
    )
    one, other = solve(circuit), solve(turned)
    for name in circuit.names():
        assert one.current(name)[0] == pytest.approx(
            other.current(name)[0], rel=SETTLED, abs=FLOOR_A
        )


@settings(max_examples=60, deadline=None)
@given(seeds, st.data())
def test_a_variation_is_the_netlist_edited_by_hand(seed, data):
    circuit = random_netlist(seed, thermal_V=THERMAL_V)
    nodes = sorted({node for element in elements_of(circuit) for node in ends_of(element)})
    at = st.sampled_from(nodes)
    resistance = data.draw(st.sampled_from(circuit.resistances))
    junction = data.draw(st.sampled_from(circuit.junctions))
    source = data.draw(st.sampled_from(circuit.sources))
    spot, bridge = data.draw(at), Bridge(first=data.draw(at), second=data.draw(at), ohm=0.5)
    shifted = replace(junction, log_saturation=junction.log_saturation - 0.03 / junction.slope_V)
    shorted = Resistance(
        name=junction.name, first=junction.anode, second=junction.cathode, ohm=SHORT_OHM
    )
    changes = {
        "as it is": (Variation(), ()),
        "open": (
            Variation(ohm={resistance.name: OPEN_OHM}),
            (replace(resistance, ohm=OPEN_OHM),),
        ),
        "reversed": (
            Variation(junction={junction.name: JunctionState.REVERSED}),
            (replace(junction, anode=junction.cathode, cathode=junction.anode),),
        ),
        "shifted": (Variation(shift_V={junction.name: 0.03}), (shifted,)),
        "short": (Variation(junction={junction.name: JunctionState.SHORT}), (shorted,)),
        "bridged": (
            Variation(bridges=(bridge,)),
            (Resistance(name="bridge", first=bridge.first, second=bridge.second, ohm=0.5),),
        ),
        "moved": (
            Variation(moved={(resistance.name, 1): spot}),
            (replace(resistance, second=spot),),
        ),
        "weak": (
            Variation(voltage_V={source.name: 0.7}, source_ohm={source.name: 20.0}),
            (replace(source, voltage_V=0.7, ohm=20.0),),
        ),
    }
    together = solve(circuit, [variation for variation, _ in changes.values()])
    for row, (name, (_, edited)) in enumerate(changes.items()):
        replaced = {one.name for one in edited}
        kept = [one for one in elements_of(circuit) if one.name not in replaced]
        by_hand = solve(netlist(*kept, *edited))
        for element in elements_of(circuit):
            own = float(together.current(element.name)[row])
            assert own == pytest.approx(
                float(by_hand.current(element.name)[0]), rel=SETTLED, abs=FLOOR_A
            ), name


def test_what_floats_has_no_voltage_and_what_hangs_has_one():
    circuit = netlist(
        volt("V", "p", GROUND, 9.0),
        ohm("R1", "p", "a", 1e3),
        ohm("R2", "x", "y", 1e3),
        volt("cell", "x", "y", 1.5, 1.0),
        ohm("broken", "a", "x", OPEN_OHM),
    )
    solved = solve(circuit, [Variation(), Variation(name="mended", ohm={"broken": 5.0})])
    assert solved.voltage("a")[0] == pytest.approx(9.0, rel=EXACT)
    assert np.isnan([solved.voltage("x")[0], solved.voltage("y")[0]]).all()
    assert solved.current("cell")[0] == pytest.approx(1.5 / 1001.0, rel=EXACT)
    assert solved.voltage("x")[1] == pytest.approx(9.0, rel=EXACT)
    assert solved.voltage("y")[1] == pytest.approx(9.0 - 1.5 * 1000.0 / 1001.0, rel=EXACT)


def test_nothing_at_all_is_solved():
    assert solve(netlist()).node_V.shape == (1, 1)
    assert solve(netlist(ohm("R", "a", "a", 5.0)), []).current_A.shape == (0, 1)
    alone = solve(netlist(led("A", "a", "b")))
    assert alone.current("A")[0] == 0.0
    assert np.isnan(alone.voltage("a")[0])


def test_resistances_of_nothing_share_as_equals():
    circuit = netlist(
        volt("V", "p", GROUND, 6.0),
        ohm("S1", "p", "a", 0.0),
        ohm("S2", "a", "p", 0.0),
        ohm("S3", "p", "a", 0.0),
        ohm("R", "a", GROUND, 100.0),
    )
    solved = solve(circuit)
    assert solved.voltage("a")[0] == 6.0
    currents = [float(solved.current(name)[0]) for name in ("S1", "S2", "S3", "V")]
    assert currents == pytest.approx([0.02, -0.02, 0.02, 0.06], rel=EXACT)


@pytest.mark.parametrize(
    ("elements", "told"),
    [
        ([volt("V", "a", GROUND, 5.0), volt("W", "a", GROUND, 6.0)], "against each other by 1 V"),
        ([volt("V", "a", GROUND, 5.0), ohm("S", "a", GROUND, 0.0)], "short or against"),
        ([volt("V", "a", GROUND, math.nan)], "voltage is no number"),
        ([volt("V", "a", GROUND, 1e300)], "beyond"),
        ([ohm("R", "a", GROUND, -1.0)], "negative"),
        ([ohm("R", "a", GROUND, math.nan)], "no number"),
        ([ohm("R", "a", GROUND, 1.0), ohm("R", "b", GROUND, 1.0)], "two elements are named 'R'"),
        ([led("A", "a", GROUND, slope_V=0.0)], "slope"),
        ([led("A", "a", GROUND, slope_V=math.nan)], "slope"),
        ([led("A", "a", GROUND, log_saturation=800.0)], "beyond 1 A"),
        ([led("A", "a", GROUND, log_saturation=-math.inf)], "saturation"),
    ],
)
def test_what_contradicts_itself_is_refused(elements, told):
    with pytest.raises(ValueError, match=told):
        solve(netlist(*elements))


@pytest.mark.parametrize(
    "variation",
    [
        Variation(name="odd", ohm={"X": 1.0}),
        Variation(name="odd", moved={("X", 0): "a"}),
        Variation(name="odd", junction={"R": JunctionState.OPEN}),
        Variation(name="odd", ohm={"R": math.nan}),
        Variation(name="odd", source_ohm={"V": -1.0}),
    ],
)
def test_a_variation_that_cannot_be_is_named(variation):
    circuit = netlist(volt("V", "a", GROUND, 5.0), ohm("R", "a", GROUND, 10.0))
    with pytest.raises(ValueError, match="odd"):
        solve(circuit, [Variation(), variation])


@settings(max_examples=80, deadline=None)
@given(seeds, st.floats(0.0, 1e3), st.floats(-1e3, 1e3))
def test_strange_values_are_solved_or_refused(seed, value, volts):
    assume(value == 0.0 or value > 1e-12)
    circuit = random_netlist(seed, thermal_V=THERMAL_V)
    strange = Variation(
        name="strange",
        ohm={one.name: value for one in circuit.resistances[::2]},
        voltage_V={one.name: volts for one in circuit.sources},
    )
    assert np.isfinite(solve(circuit, [strange]).current_A).all()


@settings(max_examples=80, deadline=None)
@given(seeds, st.data())
def test_parts_at_the_edge_of_what_there_is_are_solved(seed, data):
    circuit = random_netlist(seed, thermal_V=THERMAL_V)
    edges = st.sampled_from(
        [
            {},
            {"slope_V": 1e-3, "log_saturation": -3000.0},
            {"slope_V": 2.0, "log_saturation": -2.0},
            {"series_ohm": 0.0},
            {"series_ohm": math.inf},
        ]
    )
    junctions = [replace(one, **data.draw(edges)) for one in circuit.junctions]
    insides = st.sampled_from([1e-5, 1e-2, 1e4])
    sources = [replace(one, ohm=data.draw(insides)) for one in circuit.sources]
    sources[0] = replace(sources[0], ohm=0.0, voltage_V=data.draw(st.floats(-1e3, 1e3)))
    edge = netlist(*circuit.resistances, *junctions, *sources)
    assert np.isfinite(solve(edge).current_A).all()


def test_a_junction_right_across_a_source_takes_a_current_that_is_a_number():
    ideal = {"slope_V": 1e-3, "log_saturation": -1000.0, "series_ohm": 0.0}
    solved = solve(netlist(volt("V", "a", GROUND, 12.0), led("A", "a", GROUND, **ideal)))
    assert 1e9 < solved.current("A")[0] < math.inf
    assert solved.current("V")[0] == pytest.approx(solved.current("A")[0], rel=EXACT)
