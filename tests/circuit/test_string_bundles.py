"""Strings alike solved as one: the same readings as with each for itself, and by ngspice."""

from collections import Counter

import pytest

from circuit.sample_faults import opened, written_out
from lamphouse.circuit.chains import chains_of
from lamphouse.circuit.fault_finder import diagnose
from lamphouse.circuit.fault_kinds import WEIGHTS, FaultKind
from lamphouse.circuit.foretold import foretell, solvable, spread_of
from lamphouse.circuit.meter import Look, ProbeKind, Reading
from lamphouse.circuit.next_reading import ALL_LIGHTS
from lamphouse.circuit.probes import probes_of, voltage_at
from lamphouse.circuit.spice import deck, element_names
from lamphouse.circuit.string_bundles import MOST_LEDS
from lamphouse.circuit.strings import design_circuit
from tolerances import EXACT

WITNESS = 1e-4
"""Relative, of a current by ngspice."""
SAME = 1e-7
"""Relative, between two ways to the same number."""
LEAK_V, LEAK_A = 1e-8, 1e-9
"""Where nothing but leaks flow: beside each junction of a bundle lies the leak of one."""


def large(make, whites=60, reds=40):
    """Strings of four white LEDs and of more red ones at 12 V, the last of each kind shorter."""
    return make.sub(
        make.leds("W", whites, current_A=0.002),
        make.leds("A", reds, led_type=make.RED, current_A=0.004),
    )


@pytest.fixture(scope="module")
def kept():
    """Books by name, opened once."""
    return {}


@pytest.fixture
def book(make, kept):
    if "book" not in kept:
        kept["book"] = opened(make, large(make), led_types=(make.WHITE, make.RED))
    return kept["book"]


def looks(book, dark):
    """All lights told: some dark, the rest lit."""
    return [
        Reading(probe=one, value=Look.DARK if one.name in dark else Look.LIT)
        for one in probes_of(book.wired)
        if one.kind is ProbeKind.LIGHT
    ]


def string_with(book, led):
    chains = chains_of(book.wired)
    return next(one for one in chains if led in {junction.name for junction in one.leds})


def test_strings_solved_as_one_read_like_strings_solved_each_for_itself(make, book):
    """Every fault kept, in the whole netlist with the whole spread."""
    sub, power, habits = large(make), make.supply(), make.habits()
    circuit = design_circuit(sub, supply=power, habits=habits, package=make.PACKAGE)
    spread = spread_of(book.wired, circuit=circuit, supply=power, habits=habits)
    numbers = book.foretold.numbers()
    assert len(book.bundled.kept) < book.bundled.strings == len(chains_of(book.wired))
    whole = foretell(
        book.wired.netlist,
        book.faults,
        probes=numbers,
        spread=spread,
        meter=book.meter,
        together=True,
    )
    own = book.foretold.only(numbers)
    assert own.own == pytest.approx(whole.own, rel=1e-6, abs=1e-12)
    assert own.middle == pytest.approx(whole.middle, rel=SAME, abs=LEAK_A)
    assert own.deviation() == pytest.approx(whole.deviation(), rel=SAME, abs=LEAK_V)
    assert spread.count() > 2 * book.spread.count()


def test_the_whole_current_of_bundles_agrees_with_ngspice(book, spice):
    """A light dead in one string of the whole netlist, solved by ngspice [SPICE3]."""
    plug = book.foretold.numbers()[0]
    for kind in (FaultKind.NOTHING, FaultKind.LED_OPEN, FaultKind.FEED_POOR):
        place, fault = next(
            (place, one) for place, one in enumerate(book.faults) if one.kind is kind
        )
        plain = written_out(solvable(book.wired.netlist), fault.variation)
        shown = f"@{element_names(plain)[plug.first].lower()}[i]"
        text = "\n".join(deck(plain, title="fault").splitlines()[1:-3])
        own = float(book.foretold.middle[place, 0])
        assert abs(own) == pytest.approx(abs(spice(text, [shown])[shown]), rel=WITNESS), kind


@pytest.mark.parametrize("dark", [(), ("W30",)])
def test_faults_within_strings_weigh_as_much_as_if_each_were_listed(make, book, dark):
    """Each LED of the sub-assembly is dead as often, whether listed or stood for."""
    told = opened(make, large(make), led_types=(make.WHITE, make.RED), readings=looks(book, dark))
    total = Counter()
    for fault in told.faults:
        total[fault.kind] += fault.weight
    leds = len(book.wired.netlist.junctions)
    for kind in (FaultKind.LED_OPEN, FaultKind.LED_SHORT, FaultKind.LED_REVERSED):
        assert total[kind] == pytest.approx(WEIGHTS[kind] * leds, rel=EXACT)
    assert total[FaultKind.RESISTOR_OPEN] == pytest.approx(
        WEIGHTS[FaultKind.RESISTOR_OPEN] * book.bundled.strings, rel=EXACT
    )


def test_of_strings_alike_the_lights_are_asked_about_first(book):
    found = diagnose(book)
    assert found.then is not None
    assert found.then.probe is ALL_LIGHTS
    assert "Say which lights are dark" in book.bundled.left_out()
    assert any(fault.alike for fault in found.suspects[0].faults)


def test_a_dead_string_is_found_among_many(make, book):
    """The lights of one string dark, then its first point at the voltage behind a broken joint."""
    chain = string_with(book, "W30")
    dark = [led.name for led in chain.leds]
    readings = looks(book, dark)
    told = opened(make, large(make), led_types=(make.WHITE, make.RED), readings=readings)
    assert chain.resistor.name in told.bundled.kept
    found = diagnose(told, readings)
    names = {fault.name for fault in found.suspects[0].faults}
    assert names <= {fault.name for fault in told.faults if fault.string == chain.resistor.name}
    then = found.then
    assert then is not None
    assert {then.probe.first, then.probe.second} & told.bundled.parts - told.bundled.shared
    truth = next(one for one in told.faults if one.name == "W30 reversed")
    place = told.foretold.numbers().index(then.probe)
    value = float(told.foretold.middle[told.faults.index(truth), place])
    again = diagnose(told, [*readings, Reading(probe=then.probe, value=value)])
    assert truth in again.suspects[0].faults or truth in again.suspects[1].faults


def test_neighbours_of_a_string_told_are_solved_with_it(make, book):
    chains = chains_of(book.wired)
    place = chains.index(string_with(book, "W30"))
    told = opened(make, large(make), readings=looks(book, ["W30"]))
    assert {one.resistor.name for one in chains[place - 1 : place + 2]} <= told.bundled.kept
    assert any(fault.kind is FaultKind.LEADS_SHORT for fault in told.faults)


def test_when_too_many_are_dark_it_says_so_and_still_answers(make, book):
    every = [led.name for led in book.wired.netlist.junctions]
    readings = looks(book, every)
    told = opened(make, large(make), readings=readings)
    kept = [one for one in chains_of(book.wired) if one.resistor.name in told.bundled.kept]
    assert sum(len(one.leds) for one in kept) <= MOST_LEDS
    assert "look at what they share" in told.bundled.left_out()
    found = diagnose(told, readings)
    assert found.fits()
    assert {fault.kind for fault in found.suspects[0].faults} & {
        FaultKind.SUPPLY_DEAD, FaultKind.FEED_OPEN, FaultKind.FEED_SHORT, FaultKind.POLARITY,
    }  # fmt: skip


def test_a_point_in_a_string_not_solved_is_refused_unless_told_beforehand(make, book):
    node = next(point for point in book.wired.test_points if not book.bundled.knows(point.node))
    reading = Reading(probe=voltage_at(book.wired, node.name), value=9.0)
    with pytest.raises(ValueError, match="is one point too many"):
        diagnose(book, [reading])
    told = opened(make, large(make), readings=[reading])
    assert diagnose(told, [reading]).readings == (reading,)


def test_up_to_so_many_leds_nothing_is_joined(make):
    few = opened(make, large(make, whites=12, reds=MOST_LEDS - 12))
    assert few.bundled.whole()
    assert few.bundled.netlist == few.wired.netlist
    assert few.bundled.left_out() == ""
    more = opened(make, large(make, whites=13, reds=MOST_LEDS - 12))
    assert not more.bundled.whole()


def test_kinds_that_are_too_many_are_told(make):
    """Each string of its own kind: those beyond ``MOST_LEDS`` are solved, but not looked into."""
    rows = [make.leds(f"W{row}x", 1, current_A=0.001 * 1.25**row) for row in range(12)]
    rows += [
        make.leds(f"A{row}x", 5, led_type=make.RED, current_A=0.001 * 1.25**row)
        for row in range(12)
    ]
    book = opened(make, make.sub(*rows))
    leds = sum(len(one.leds) for one in chains_of(book.wired))
    assert leds > MOST_LEDS
    assert not book.bundled.alike
    assert f"{book.bundled.strings - len(book.bundled.kept)} not at all" in book.bundled.left_out()
    assert diagnose(book).then is not None
