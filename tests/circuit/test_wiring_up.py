import numpy as np
import pytest

from lamphouse.circuit.corners import MIDDLE, level_arrays, types_of
from lamphouse.circuit.netlist import GROUND, OPEN_OHM, Role, Variation
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.solve import common_lead
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.wired import WiredKind
from lamphouse.circuit.wiring_up import SOURCE, whole_netlist, wire_up
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Common
from lamphouse.findings import Where
from lamphouse.record import replace
from tolerances import EXACT

IN_WIRES = 1e-3
"""What the wires to the LEDs, which no string is designed with, may take of a current."""


def group(name, kind):
    return SourceGroup(
        name=name,
        where=Where(item=name),
        pattern=Pattern(kind=kind),
        sub_assembly="wall",
        source=None,
    )


BEACON = group("beacon", PatternKind.BEACON)
STEADY = group("amber", PatternKind.STEADY)


def wired(make, sub, *, groups=(), run_ohm=0.0, **given):
    habits = make.habits(**given)
    circuit = design_circuit(
        sub, supply=make.supply(), habits=habits, package=make.PACKAGE, run_ohm=run_ohm
    )
    return circuit, wire_up(circuit, sub=sub, supply=make.supply(), habits=habits, groups=groups)


def mixed(make, *, plug_pins=3):
    """Five white LEDs in two strings, two red ones, and one that blinks."""
    return make.sub(
        make.leds("W", 5),
        make.leds("A", 2, led_type=make.RED, group="amber"),
        make.leds("B", 1, group="beacon"),
        lead=make.pigtail(plug=replace(make.PLUG, pins=plug_pins)),
    )


def test_currents_agree_with_the_solver_that_designed_the_strings(make):
    sub = mixed(make, plug_pins=2)
    circuit, own = wired(make, sub, run_ohm=0.8, coldest_degC=0.0, warmest_degC=20.0)
    solved = solve(own.netlist)
    wire = next(one.ohm for one in own.netlist.resistances if one.name.startswith("R1 / "))
    levels = level_arrays(
        [types_of(string.leds) for string in circuit.strings],
        habits=make.habits(coldest_degC=0.0, warmest_degC=20.0),
    )
    wires = np.array([wire * (len(string.leds) + 1) for string in circuit.strings])
    point = common_lead(
        12.0,
        lead_ohm=circuit.lead_ohm,
        ohm=np.array([string.resistor_ohm for string in circuit.strings]) + levels.leds_ohm + wires,
        slope_V=levels.slope_V,
        log_saturation=levels.log_saturation[MIDDLE],
    )
    resistors = [part for part in own.parts if part.kind is WiredKind.RESISTOR]
    assert len(resistors) == len(circuit.strings)
    for string, part, current in zip(circuit.strings, resistors, point.current_A, strict=True):
        assert solved.current(part.name)[0] == pytest.approx(current, rel=EXACT)
        assert current == pytest.approx(string.current_A.nominal, rel=IN_WIRES)
        for led in string.leds:
            assert solved.current(led.name)[0] == pytest.approx(current, rel=EXACT)
    assert solved.current(SOURCE)[0] == pytest.approx(circuit.total_A.nominal, rel=IN_WIRES)


def test_each_group_that_blinks_has_its_pin_and_its_switch(make):
    _, own = wired(make, mixed(make), groups=(STEADY, BEACON))
    assert [(pin.means, pin.positive) for pin in own.plug_pins] == [
        ("common", True),
        ("return", False),
        ("beacon", False),
    ]
    (switch,) = [one for one in own.netlist.resistances if one.role is Role.SWITCH]
    solved = solve(own.netlist, [Variation(), Variation(name="off", ohm={switch.name: OPEN_OHM})])
    assert solved.current("B1")[0] > 1e-3
    assert abs(solved.current("B1")[1]) < 1e-12
    assert solved.current("W1")[1] == pytest.approx(solved.current("W1")[0], rel=IN_WIRES)


def test_minus_may_be_the_common(make):
    sub = mixed(make)
    circuit, own = wired(make, sub, groups=(BEACON,), run_ohm=0.8)
    turned = wire_up(
        circuit,
        sub=sub,
        supply=make.supply(),
        habits=make.habits(common=Common.NEGATIVE),
        groups=(BEACON,),
    )
    assert [(pin.means, pin.positive) for pin in turned.plug_pins] == [
        ("common", False),
        ("return", True),
        ("beacon", True),
    ]
    assert {net.name for net in turned.nets} >= {"minus", "plus", "plus / beacon"}
    one, other = solve(own.netlist), solve(turned.netlist)
    for led in sub.leds():
        assert other.current(led.name)[0] == pytest.approx(one.current(led.name)[0], rel=EXACT)
    # The resistors now lie at minus, and carry towards it.
    assert -other.current("R1")[0] == pytest.approx(one.current("R1")[0], rel=EXACT)
    assert other.voltage("R1.2")[0] == pytest.approx(
        one.voltage("plus")[0] - one.voltage("R1.2")[0], abs=0.1
    )


@pytest.mark.parametrize("lead", ["two pins", "none"])
def test_too_few_pins_return_together(make, lead):
    sub = mixed(make, plug_pins=2)
    sub = replace(sub, pigtail=None) if lead == "none" else sub
    _, own = wired(make, sub, groups=(STEADY, BEACON))
    assert [pin.means for pin in own.plug_pins] == ([] if lead == "none" else ["common", "return"])
    solved = solve(own.netlist)
    assert solved.voltage("minus")[0] < 0.1
    assert solved.voltage("plus")[0] > 11.9
    assert solved.current("B1")[0] > 1e-3


def test_nets_hold_every_pin_once_and_join_what_wires_join(make):
    _, own = wired(make, mixed(make), groups=(STEADY, BEACON))
    pins = [(pin.part, pin.pin) for net in own.nets for pin in net.pins]
    bought = [(part.name, pin) for part in own.parts for pin in range(1, part.pins + 1)]
    assert sorted(pins) == sorted(bought)
    assert all(len(net.pins) > 1 for net in own.nets)

    # The same nets by walking the netlist's wires from pin to pin.
    ends = {}
    for one in own.netlist.resistances:
        if one.role is Role.RESISTOR:
            ends[one.name, 1], ends[one.name, 2] = one.first, one.second
    for one in own.netlist.junctions:
        ends[one.name, 1], ends[one.name, 2] = one.anode, one.cathode
    for pin in own.plug_pins:
        ends["J1", pin.pin] = pin.node
    group = {node: {node} for node in ends.values()}
    for one in own.netlist.resistances:
        if one.role is Role.WIRE and not one.name.startswith("run"):
            merged = group.setdefault(one.first, {one.first}) | group.setdefault(
                one.second, {one.second}
            )
            for node in merged:
                group[node] = merged
    for net in own.nets:
        (joined,) = {frozenset(group[ends[pin.part, pin.pin]]) for pin in net.pins}
        assert net.name in joined
    assert len({frozenset(nodes) for nodes in group.values()}) == len(own.nets)


def test_test_points_lie_on_nodes_with_a_voltage(make):
    _, own = wired(make, mixed(make), groups=(STEADY, BEACON))
    names = [point.name for point in own.test_points]
    assert len(set(names)) == len(names)
    solved = solve(own.netlist)
    assert all(np.isfinite(solved.voltage(point.node)[0]) for point in own.test_points)
    strings = sum(part.kind is WiredKind.RESISTOR for part in own.parts)
    leds = sum(part.kind is WiredKind.LED for part in own.parts)
    between = [point for point in own.test_points if point.words.startswith("between")]
    assert len(between) == leds
    assert sum(point.on_board for point in between) == strings


def test_parts_keep_apart_from_leds_that_bear_their_names(make):
    sub = make.sub((*make.leds("R", 2), *make.leds("J", 1)))
    _, own = wired(make, sub)
    names = [part.name for part in own.parts]
    assert len(set(names)) == len(names)
    assert {"R1", "R2", "J1"} <= set(names)
    assert solve(own.netlist).current("R1")[0] > 1e-3


def test_a_broken_wire_puts_out_its_own_string_alone(make):
    circuit, own = wired(make, mixed(make))
    wires = [one.name for one in own.netlist.resistances if one.name.startswith(("W1 /", "R1 /"))]
    solved = solve(own.netlist, [Variation(name=wire, ohm={wire: OPEN_OHM}) for wire in wires])
    first = {led.name for led in circuit.strings[0].leds}
    for part in own.parts:
        if part.kind is WiredKind.LED:
            dark = np.abs(solved.current(part.name)) < 1e-12
            assert dark.all() if part.name in first else not dark.any()


def test_the_whole_model_hangs_on_one_supply(make):
    subs = [replace(mixed(make), name=name) for name in ("wall", "desk")]
    parts = [wired(make, sub)[1] for sub in subs]
    whole = whole_netlist(parts)
    assert [source.minus for source in whole.sources] == [GROUND]
    solved = solve(whole)
    alone = [float(solve(part.netlist).current(SOURCE)[0]) for part in parts]
    assert solved.current(SOURCE)[0] == pytest.approx(sum(alone), rel=EXACT)
    assert solved.current("desk / R1")[0] == solved.current("wall / R1")[0]
