"""Expected readings: against ngspice, against every corner of the spread, against the parts."""

import re
import subprocess
from itertools import product

import numpy as np
import pytest

from lamphouse.circuit.branch import Band
from lamphouse.circuit.expected import Gate, range_top
from lamphouse.circuit.meter import Meter, ProbeKind
from lamphouse.circuit.netlist import JunctionState, Role, Variation
from lamphouse.circuit.nodal import solve
from lamphouse.circuit.readings import readings_of
from lamphouse.circuit.spice import deck, node_names
from lamphouse.circuit.strings import design_circuit
from lamphouse.circuit.wired import WiredKind
from lamphouse.circuit.wiring_up import SOURCE, wire_up
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Common
from lamphouse.findings import Where
from lamphouse.record import replace
from tolerances import EXACT

WITNESS = 1e-5
"""Relative, beside ngspice."""
OUTER_V = 0.02
"""By how much a band may be wider than the corners it holds: what wires and plug drop."""
BEACON = SourceGroup(
    name="beacon",
    where=Where(item="beacon"),
    pattern=Pattern(kind=PatternKind.BEACON),
    sub_assembly="wall",
    source=None,
)


def bench(make, sub, *, groups=(), run_ohm=0.0, supply=None, **given):
    supply, habits = supply or make.supply(), make.habits(**given)
    circuit = design_circuit(
        sub, supply=supply, habits=habits, package=make.PACKAGE, run_ohm=run_ohm
    )
    wired = wire_up(circuit, sub=sub, supply=supply, habits=habits, groups=groups)
    read = readings_of(wired, circuit=circuit, sub=sub, supply=supply, habits=habits)
    return circuit, wired, read


def mixed(make, *, pins=3):
    return make.sub(
        make.leds("W", 5),
        make.leds("A", 2, led_type=make.RED),
        make.leds("B", 1, group="beacon"),
        lead=make.pigtail(plug=replace(make.PLUG, pins=pins)),
    )


def named(read, gate):
    return {one.name: one for one in read.at(gate)}


@pytest.mark.parametrize("common", list(Common))
def test_ngspice_reads_the_same_at_the_plug_and_at_every_test_point(make, tool, tmp_path, common):
    _, wired, read = bench(make, mixed(make), groups=(BEACON,), common=common)
    netlist = wired.netlist
    path = tmp_path / "deck.cir"
    control = (
        ".options gmin=1e-14 abstol=1e-14 reltol=1e-7 vntol=1e-9\n"
        ".control\nset numdgt=12\nop\nprint all\n.endc\n.end"
    )
    path.write_text(deck(netlist, title="bench").replace(".end", control))
    answer = subprocess.run(
        [tool("ngspice"), "-b", str(path)], capture_output=True, text=True, check=False, timeout=60
    ).stdout
    found = {name.lower(): float(v) for name, v in re.findall(r"^(\S+) = (\S+)\s*$", answer, re.M)}
    names = node_names(netlist)
    open_ = named(read, Gate.OPEN)
    at_plug = {pin.node for pin in wired.plug_pins}
    points = [point for point in wired.test_points if point.node not in at_plug]
    assert len(points) == 8 + 3
    for point in points:
        theirs = found[names[point.node].lower()]
        assert open_[point.name].band.nominal == pytest.approx(theirs, rel=WITNESS, abs=1e-7)
    (source,) = [v for k, v in found.items() if k.startswith("v_supply") and k.endswith("#branch")]
    assert open_["plug"].band.nominal == pytest.approx(-source, rel=WITNESS)


@pytest.mark.parametrize("common", list(Common))
def test_bands_hold_every_corner_and_little_more(make, common):
    sub = make.sub(make.leds("W", 3), make.leds("A", 1, led_type=make.RED))
    supply, given = make.supply(), {"coldest_degC": 15.0, "warmest_degC": 35.0}
    _, wired, read = bench(make, sub, common=common, **given)
    # By hand: supply 5 %, resistors 5 %, whites 0.2 V and 30 mV, the red 0.15 V and 20 mV.
    resistors = [one for one in wired.netlist.resistances if one.role is Role.RESISTOR]
    off = {"W1": 0.23, "W2": 0.23, "W3": 0.23, "A1": 0.17}
    corners = [
        Variation(
            name=str(signs),
            voltage_V={SOURCE: supply.voltage_V * (1.0 + 0.05 * signs[0])},
            ohm={
                one.name: one.ohm * (1.0 + 0.05 * sign)
                for one, sign in zip(resistors, signs[1:3], strict=True)
            },
            shift_V={n: v * s for (n, v), s in zip(off.items(), signs[3:], strict=True)},
        )
        for signs in product((-1, 1), repeat=3 + len(off))
    ]
    solved = solve(wired.netlist, corners)
    open_ = named(read, Gate.OPEN)
    total = np.abs(solved.current(SOURCE))
    assert open_["plug"].band.low == pytest.approx(total.min(), rel=EXACT)
    assert open_["plug"].band.high == pytest.approx(total.max(), rel=EXACT)
    for point in wired.test_points:
        if point.name in open_:
            volts, band = solved.voltage(point.node), open_[point.name].band
            assert volts.min() - OUTER_V <= band.low <= volts.min() + 1e-9
            assert volts.max() - 1e-9 <= band.high <= volts.max() + OUTER_V


@pytest.mark.parametrize("common", list(Common))
def test_no_draw_of_good_parts_reads_outside_its_band(make, common):
    supply, rng = make.supply(), np.random.default_rng(4)
    spread = {"coldest_degC": 15.0, "warmest_degC": 35.0}
    _, wired, read = bench(
        make, mixed(make), groups=(BEACON,), run_ohm=5.0, common=common, **spread
    )
    resistors = [one for one in wired.netlist.resistances if one.role is Role.RESISTOR]
    off = {one.name: 0.17 if one.name[0] == "A" else 0.23 for one in wired.netlist.junctions}

    def draw(number):
        # Half of the draws at an end of every part's spread, where the extremes are.
        signs = rng.uniform(-1.0, 1.0, 1 + len(resistors) + len(off))
        signs = np.sign(signs) if number % 2 else signs
        ohms = zip(resistors, signs[1:], strict=False)
        shifts = zip(off.items(), signs[1 + len(resistors) :], strict=True)
        return Variation(
            name=str(number),
            voltage_V={SOURCE: supply.voltage_V * (1.0 + 0.05 * signs[0])},
            ohm={one.name: one.ohm * (1.0 + 0.05 * sign) for one, sign in ohms},
            shift_V={name: volts * sign for (name, volts), sign in shifts},
        )

    draws = [draw(number) for number in range(400)]
    fed = replace(
        wired.netlist,
        resistances=tuple(
            replace(one, ohm=0.0) if one.name.startswith("run /") else one
            for one in wired.netlist.resistances
        ),
    )
    at_bench, in_model = solve(fed, draws), solve(wired.netlist, draws)
    wires = {one.first: one.name for one in fed.resistances if one.first.startswith("J1.")}
    points = {point.name: point.node for point in wired.test_points}
    checked = 0
    for gate, solved in ((Gate.OPEN, at_bench), (Gate.IN_MODEL, in_model)):
        for one in read.at(gate):
            if one.kind is ProbeKind.CURRENT:
                wire = wires["J1.1" if one.name == "plug" else one.name]
                values = np.abs(solved.current(wire))
            elif gate is Gate.OPEN:
                values = solved.voltage(points[one.name])
            else:
                values = solved.voltage(one.red) - solved.voltage(one.black)
            assert one.band.low - 1e-12 <= values.min(), one
            assert values.max() <= one.band.high + 1e-12, one
            checked += 1
    assert checked == 1 + 2 + len(points) - 3 + 1 + 2


def test_a_loose_led_reads_what_its_data_sheet_says(make):
    # 2.65 V at 1 mA and 25 degC is a point of the type's own table; its spread is 0.2 V.
    sub = make.sub(make.leds("W", 3))
    _, _, read = bench(make, sub, coldest_degC=25.0, warmest_degC=25.0)
    (loose,) = read.at(Gate.LOOSE)
    assert loose.name == "white 0603"
    assert (loose.red, loose.at_A) == ("anode", 0.001)
    assert loose.band.nominal == pytest.approx(2.65, abs=0.005)
    assert loose.band.high - loose.band.low == pytest.approx(0.40, abs=EXACT)


def test_the_bare_board_reads_its_resistors_and_nothing_between_its_rails(make):
    circuit, wired, read = bench(make, mixed(make), groups=(BEACON,))
    board = read.at(Gate.BOARD)
    resistors = [part.name for part in wired.parts if part.kind is WiredKind.RESISTOR]
    assert [one.name for one in board] == [*resistors, "rails", "rails"]
    for one, string in zip(board, circuit.strings, strict=False):
        assert one.band.nominal == pytest.approx(string.resistor_ohm, rel=EXACT)
        assert one.band.low == pytest.approx(0.95 * string.resistor_ohm, rel=EXACT)
        assert one.band.high == pytest.approx(1.05 * string.resistor_ohm, rel=EXACT)
    assert [one.band for one in board[-2:]] == [None, None]


def test_a_knob_may_stand_anywhere_and_its_string_is_read_as_set(make):
    sub = replace(make.sub(make.leds("W", 3)), trim=True)
    circuit, wired, read = bench(make, sub)
    knob = circuit.strings[0].knob
    board = named(read, Gate.BOARD)
    assert (board["RV1"].band.low, board["RV1"].band.high) == (0.0, knob.track_ohm)
    assert board["R1"].band.nominal == pytest.approx(circuit.strings[0].resistor_ohm, rel=EXACT)
    open_ = named(read, Gate.OPEN)
    solved = solve(wired.netlist)
    assert open_["TP1"].band.nominal == pytest.approx(solved.voltage("RV1.2")[0], rel=EXACT)
    assert open_["plug"].band.nominal == pytest.approx(0.0015, rel=0.05)


def test_each_return_has_its_current_and_together_they_are_the_whole(make):
    _, _, read = bench(make, mixed(make), groups=(BEACON,))
    open_ = named(read, Gate.OPEN)
    steady, beacon = open_["J1.2"].band, open_["J1.3"].band
    assert steady.nominal + beacon.nominal == pytest.approx(open_["plug"].band.nominal, rel=EXACT)
    assert steady.low + beacon.low <= open_["plug"].band.low
    assert steady.high + beacon.high >= open_["plug"].band.high


def test_closing_changes_nothing_and_the_loom_takes_its_share(make):
    _, _, read = bench(make, mixed(make, pins=2), run_ohm=20.0)
    (closed,) = read.at(Gate.CLOSED)
    assert closed.band == named(read, Gate.OPEN)["plug"].band
    model = named(read, Gate.IN_MODEL)
    assert model["plug"].band.nominal < closed.band.nominal
    at_plug = model["J1.1 to J1.2"].band
    # Ohm's law: the runs take 20 ohm, the two contacts 30 mohm each.
    lost = model["plug"].band.nominal * (20.0 + 2 * 0.03)
    assert 12.0 - at_plug.nominal == pytest.approx(lost, rel=1e-6)
    assert read.lost_V == pytest.approx(model["plug"].band.high * (20.0 + 2 * 0.03), rel=1e-6)


@pytest.mark.parametrize(("volts", "harmless"), [(12.0, False), (5.0, False), (4.5, True)])
def test_a_reversed_plug_reads_nothing_and_what_it_does_to_leds(make, volts, harmless):
    # 5 V in reverse: typical of LEDs' data sheets.
    sub = make.sub(make.leds("A", 2, led_type=make.RED))
    _, _, read = bench(make, sub, supply=make.supply(volts))
    assert read.reversed.current_A < 1e-9
    assert read.reversed.reverse_V == pytest.approx(1.05 * volts, rel=EXACT)
    assert read.reversed.harmless is harmless


def test_a_shorted_and_a_reversed_led_read_outside_the_band(make):
    _, wired, read = bench(make, make.sub(make.leds("W", 3)))
    wrong = [Variation(name=s, junction={"W2": s}) for s in JunctionState]
    currents = solve(wired.netlist, wrong).current(SOURCE)
    band = named(read, Gate.OPEN)["plug"].band
    assert all(not band.low <= current <= band.high for current in currents)


def test_without_a_plug_the_lead_is_read(make):
    sub = replace(make.sub(make.leds("W", 3)), pigtail=None)
    _, wired, read = bench(make, sub)
    assert named(read, Gate.OPEN)["plug"].red == "in the wire of plus"
    assert not wired.plug_pins
    assert read.lost_V == 0.0


def test_the_range_is_the_smallest_that_shows_the_band():
    # 2000 counts show 1.999, 19.99, 199.9; common practice.
    for kind, value, top in (
        (ProbeKind.CURRENT, 0.00149, 0.002),
        (ProbeKind.CURRENT, 0.0049, 0.02),
        (ProbeKind.VOLTAGE, 11.97, 20.0),
        (ProbeKind.VOLTAGE, 0.003, 0.2),
        (ProbeKind.RESISTANCE, 2700.0, 20000.0),
    ):
        band = Band(low=value, nominal=value, high=value)
        assert range_top(band, kind=kind, meter=Meter()) == pytest.approx(top, rel=EXACT)
    assert range_top(None, kind=ProbeKind.RESISTANCE, meter=Meter()) == 2e7
