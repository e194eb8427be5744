"""What can be wrong, solved, and the same by ngspice."""

import numpy as np
import pytest

from circuit.sample_faults import opened, small, written_out
from lamphouse.circuit import nodal
from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.double_faults import MOST_PAIRS, SHARE
from lamphouse.circuit.fault_finder import diagnose
from lamphouse.circuit.fault_kinds import WEIGHTS, FaultKind
from lamphouse.circuit.foretold import foretell, light_currents, solvable
from lamphouse.circuit.meter import ProbeKind, Reading
from lamphouse.circuit.netlist import GROUND, Bridge, JunctionState, Role, Variation
from lamphouse.circuit.probes import voltage_at
from lamphouse.circuit.spice import deck, element_names
from lamphouse.circuit.wiring_up import SOURCE
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Common
from lamphouse.findings import Where
from lamphouse.record import replace

WITNESS = 1e-4
"""Relative, with 1 uV of what ngspice leaves undecided."""
WITNESSED = (
    FaultKind.NOTHING, FaultKind.LED_OPEN, FaultKind.LED_REVERSED, FaultKind.LED_SHORT,
    FaultKind.LED_BRIDGED, FaultKind.LED_TYPE, FaultKind.WIRE_OPEN, FaultKind.JOINT_POOR,
    FaultKind.RESISTOR_OPEN, FaultKind.DECADE, FaultKind.SWAPPED_RESISTORS,
    FaultKind.SWAPPED_LEADS, FaultKind.FEED_POOR, FaultKind.FEED_SHORT, FaultKind.LEADS_SHORT,
    FaultKind.SUPPLY_WRONG, FaultKind.POLARITY, FaultKind.DOUBLE,
)  # fmt: skip
SPREAD = 0.12
"""Relative, of a deviation by 600 draws: their own is 3 percent, the rest is what bends."""


@pytest.fixture(scope="module")
def kept():
    """Books by name, opened once."""
    return {}


@pytest.fixture
def book(make, kept):
    if "book" not in kept:
        kept["book"] = opened(make, small(make), led_types=(make.WHITE, make.RED))
    return kept["book"]


def test_every_kind_of_fault_is_listed_once_and_in_words(make):
    blinking = SourceGroup(
        name="beacon",
        where=Where(item="beacon"),
        pattern=Pattern(kind=PatternKind.BEACON),
        sub_assembly="wall",
        source=None,
    )
    sub = make.sub(
        make.leds("W", 5),
        make.leds("B", 1, led_type=make.RED, group="beacon"),
        lead=make.pigtail(plug=replace(make.PLUG, pins=3)),
    )
    book = opened(make, sub, groups=(blinking,), led_types=(make.WHITE, make.RED))
    names = [fault.name for fault in book.faults]
    assert len(names) == len(set(names))
    assert {fault.kind for fault in book.faults} == set(FaultKind) - {FaultKind.KNOB}
    assert all(fault.words and fault.mend and fault.weight > 0.0 for fault in book.faults)
    assert not any("{" in fault.words + fault.mend for fault in book.faults)
    opens = {
        name for fault in book.faults for name, ohm in fault.variation.ohm.items() if ohm > 1e9
    }
    assert opens == {one.name for one in book.wired.netlist.resistances}
    for state in JunctionState:
        assert {
            name
            for fault in book.faults
            for name, own in fault.variation.junction.items()
            if own is state
        } == {led.name for led in book.wired.netlist.junctions}


def test_faults_that_differ_in_a_figure_share_one_weight(book):
    for figure in {fault.figure for fault in book.faults if fault.figure}:
        own = [fault for fault in book.faults if fault.figure == figure]
        kinds = {fault.kind for fault in own}
        total = sum(WEIGHTS[kind] for kind in kinds)
        assert sum(fault.weight for fault in own) == pytest.approx(total)


def test_doubles_are_bounded_and_rare(book):
    doubles = [fault for fault in book.faults if fault.kind is FaultKind.DOUBLE]
    singles = [fault for fault in book.faults if fault.kind is not FaultKind.DOUBLE]
    assert 0 < len(doubles) <= MOST_PAIRS
    rare = sum(fault.weight for fault in doubles) / sum(fault.weight for fault in singles)
    assert rare == pytest.approx(SHARE)


def test_chains_walk_from_the_resistor_to_the_rail(book):
    chains = chains_of(book.wired)
    assert sorted(led.name for chain in chains for led in chain.leds) == sorted(
        led.name for led in book.wired.netlist.junctions
    )
    wires = [one for one in book.wired.netlist.resistances if one.role is Role.WIRE]
    assert sum(len(chain.wires) for chain in chains) == len(wires) - 2  # the pigtail's own
    assert all(chain.wires[-1].second == "minus" for chain in chains)


@pytest.mark.parametrize("kind", WITNESSED)
def test_a_fault_of_each_kind_agrees_with_ngspice(book, spice, kind):
    """Currents of every resistance that conducts, meters of 10 Mohm on two points [SPICE3]."""
    fault = next(one for one in book.faults if one.kind is kind)
    meters = tuple(
        Bridge(first=point.node, second=GROUND, ohm=1e7) for point in book.wired.test_points[:2]
    )
    variation = replace(fault.variation, bridges=(*fault.variation.bridges, *meters))
    plain = written_out(solvable(book.wired.netlist), variation)
    names = element_names(plain)
    shown = {
        one.name: f"@{names[one.name].lower()}[i]" for one in plain.resistances if one.ohm < 1e9
    }
    text = "\n".join(deck(plain, title="fault").splitlines()[1:-3])
    found = spice(text, list(shown.values()))
    solved = nodal.solve(solvable(book.wired.netlist), [variation])
    checked = 0
    for name, printed in shown.items():
        if name in solved.elements:
            own = float(solved.current(name)[0])
            assert own == pytest.approx(found[printed], rel=WITNESS, abs=2e-9), name
            checked += 1
    assert checked > 10


def test_with_minus_common_currents_read_positive_and_faults_are_found(make):
    sub = make.sub(make.leds("W", 4), make.leds("A", 2, led_type=make.RED))
    book = opened(make, sub, wished={"common": Common.NEGATIVE})
    assert not book.wired.common_positive
    plug = next(one for one in book.foretold.numbers() if one.kind is ProbeKind.CURRENT)
    value = float(book.foretold.middle[0, book.foretold.numbers().index(plug)])
    assert value == pytest.approx(float(nodal.solve(book.wired.netlist).current(SOURCE)[0]))
    assert diagnose(book).then is not None


def test_a_knob_may_stand_at_either_end(make):
    wish = replace(make.wish("S", "W1", "W2"), trim=True)
    book = opened(make, make.sub(make.leds("W", 2), strings=(wish,)))
    turned = [fault for fault in book.faults if fault.kind is FaultKind.KNOB]
    assert len(turned) == 2
    plug = book.foretold.numbers()[0]
    less, more = sorted(float(book.foretold.middle[book.faults.index(one), 0]) for one in turned)
    assert less < float(book.foretold.middle[0, 0]) < more
    dim = diagnose(book, [Reading(probe=plug, value=less)])
    assert any(fault.kind is FaultKind.KNOB for fault in dim.suspects[0].faults)


def test_a_short_led_draws_current_and_makes_no_light(book):
    short = Variation(name="short", junction={"W1": JunctionState.SHORT})
    lit = light_currents(solvable(book.wired.netlist), [Variation(), short], names=["W1", "W2"])
    assert lit[1, 0] == 0.0
    assert lit[1, 1] > lit[0, 1] > 1e-3


@pytest.mark.parametrize(
    "name", ["nothing", "W2 reversed", "R1 / W1 poor 1k", "supply 9 V", "J1.2 / minus poor 100R"]
)
def test_spread_carried_by_slopes_agrees_with_draws(book, name):
    """Linear deviations against 600 draws of all parts, even within the same bounds [GUM]."""
    fault = next(one for one in book.faults if one.name == name)
    spread = book.spread
    netlist = solvable(book.wired.netlist)
    source = netlist.sources[0]
    bounds = (spread.ohm | spread.wires).items()
    rng = np.random.default_rng(3)

    def even(deviation):
        return float(rng.uniform(-1.0, 1.0)) * 3.0**0.5 * deviation

    draws = []
    for _ in range(600):
        air = even(1.0)
        right = {one.name: one.ohm for one in netlist.resistances} | dict(fault.variation.ohm)
        voltage = fault.variation.voltage_V.get(source.name, source.voltage_V)
        draws.append(
            replace(
                fault.variation,
                ohm={one: right[one] * (1.0 + even(share)) for one, share in bounds},
                voltage_V={source.name: voltage * (1.0 + even(spread.supply))},
                shift_V={
                    one: even(own) + air * spread.drift_V[one] for one, own in spread.led_V.items()
                },
            )
        )
    probes = [
        one
        for one in book.foretold.numbers()
        if one.kind is ProbeKind.CURRENT or one.name in ("TP1", "TP3", "TP7")
    ]
    for probe in probes:
        alone = foretell(netlist, [fault], probes=[probe], spread=spread, meter=book.meter)
        meters = ()
        if probe.kind is ProbeKind.VOLTAGE:
            meters = (Bridge(first=probe.first, second=GROUND, ohm=book.meter.load_ohm),)
        solved = nodal.solve(
            netlist, [replace(one, bridges=(*one.bridges, *meters)) for one in draws]
        )
        drawn = (
            solved.current(probe.first)
            if probe.kind is ProbeKind.CURRENT
            else solved.voltage(probe.first)
        )
        deviation = float(alone.deviation()[0, 0])
        assert deviation == pytest.approx(float(drawn.std()), rel=SPREAD), probe.name
        middle = float(alone.middle[0, 0])
        assert middle == pytest.approx(float(drawn.mean()), abs=0.3 * deviation + 1e-6)


def test_many_meters_at_once_read_as_one_alone(book):
    """All voltages in one go, against each probe solved alone, within twice the meter's error."""
    points = [point.name for point in book.wired.test_points]
    for name in points:
        probe = voltage_at(book.wired, name)
        alone = foretell(
            book.wired.netlist, book.faults, probes=[probe], spread=book.spread, meter=book.meter
        )
        together = book.foretold.only([probe])
        limits = book.meter.limits(alone.middle[:, 0], kind=probe.kind)
        apart = np.abs(alone.middle[:, 0] - together.middle[:, 0])
        assert (apart <= 2.0 * limits + 0.05).mean() > 0.97
