"""Faults ranked by readings: what must hold whatever the fault, and how well it does on many."""

from itertools import permutations
from math import inf, nan

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from circuit.sample_faults import opened, small
from lamphouse.circuit import nodal
from lamphouse.circuit.diagnosis import believe
from lamphouse.circuit.fault_finder import diagnose, weighed
from lamphouse.circuit.fault_kinds import FaultKind
from lamphouse.circuit.foretold import light_currents, solvable
from lamphouse.circuit.meter import (
    LOOKS,
    Look,
    Meter,
    Probe,
    ProbeKind,
    Reading,
    look_shares,
    normal_share,
)
from lamphouse.circuit.next_reading import ALL_LIGHTS
from lamphouse.circuit.probes import probes_of, voltage_at
from lamphouse.record import replace
from tolerances import EXACT

POLYNOMIAL = 1e-7
"""Of the normal distribution [ABRAMOWITZ]."""


@pytest.fixture(scope="module")
def kept():
    """Books by name, opened once."""
    return {}


@pytest.fixture
def book(make, kept):
    if "book" not in kept:
        kept["book"] = opened(make, small(make), led_types=(make.WHITE, make.RED))
    return kept["book"]


def shares(found):
    return {fault.name: suspect.share for suspect in found.suspects for fault in suspect.faults}


def numbered(book, name, value):
    probe = next(
        one for one in probes_of(book.wired) if one.name == name and one.kind is not ProbeKind.LIGHT
    )
    return Reading(probe=probe, value=value)


def look(book, name, seen):
    probe = next(one for one in book.foretold.lights() if one.name == name)
    return Reading(probe=probe, value=Look(seen))


def right_readings(book, fault, probes):
    """What a perfect meter and eye read at a fault as designed."""
    place = book.faults.index(fault)
    readings = []
    for probe in probes:
        if probe.kind is ProbeKind.LIGHT:
            seen = book.foretold.looks[place, book.foretold.lights().index(probe)]
            readings.append(Reading(probe=probe, value=LOOKS[int(seen.argmax())]))
        else:
            value = float(book.foretold.middle[place, book.foretold.numbers().index(probe)])
            value = float(np.exp(value)) if probe.kind is ProbeKind.RESISTANCE else value
            readings.append(Reading(probe=probe, value=value))
    return readings


def test_the_normal_distribution_agrees_with_another_implementation():
    x = np.linspace(-9.0, 9.0, 4001)
    assert np.abs(normal_share(x) - norm.cdf(x)).max() < POLYNOMIAL


def test_before_any_reading_faults_stand_by_their_weight(book):
    weight = np.array([fault.weight for fault in book.faults])
    assert weighed(book).share == pytest.approx(weight / weight.sum(), rel=EXACT)


def test_a_dead_led_shows_in_its_string_and_the_point_behind_it(book):
    reversed_led = next(fault for fault in book.faults if fault.name == "W2 reversed")
    probes = [*book.foretold.lights(), *(voltage_at(book.wired, at) for at in ("TP2", "TP3"))]
    found = diagnose(book, right_readings(book, reversed_led, probes))
    assert found.fits()
    names = {fault.name for fault in found.suspects[0].faults}
    assert {"W2 reversed", "W2 open", "W1 / W2 broken"} <= names
    assert found.suspects[0].share > 0.5


def test_probabilities_sum_to_one_in_any_order_of_readings(book):
    readings = [
        numbered(book, "plug", 0.0061),
        numbered(book, "TP1", 11.7),
        look(book, "W1", "dark"),
        look(book, "A1", "lit"),
    ]
    first = shares(diagnose(book, readings))
    sums = sum(suspect.share for suspect in diagnose(book, readings).suspects)
    assert sums == pytest.approx(1.0, abs=EXACT)
    for other in list(permutations(readings))[1::5]:
        assert shares(diagnose(book, other)) == pytest.approx(first, rel=1e-6)


def test_a_reading_told_twice_changes_nothing(book):
    reading = numbered(book, "plug", 0.0061)
    once, twice = diagnose(book, [reading]), diagnose(book, [reading, reading])
    assert shares(once) == shares(twice)


def test_a_reading_already_implied_changes_next_to_nothing(book):
    """The pin of the plug behind a sound contact, once the board's rail is read, tells nothing."""
    readings = [numbered(book, "plug", 0.0081), numbered(book, "TP6", 12.0)]
    before = diagnose(book, readings)
    after = diagnose(book, [*readings, numbered(book, "J1.1", 12.0)])
    assert [one.faults[0].name for one in before.suspects[:1]] == [
        one.faults[0].name for one in after.suspects[:1]
    ]
    held, then = shares(before), shares(after)
    assert max(abs(held[name] - then[name]) for name in held) < 0.05


def test_contradicting_and_impossible_readings_are_refused(book):
    with pytest.raises(ValueError, match=r"'plug' is read twice, 0\.001 and 0\.002"):
        diagnose(book, [numbered(book, "plug", 0.001), numbered(book, "plug", 0.002)])
    for value in (nan, inf, -inf):
        with pytest.raises(ValueError, match="is no reading"):
            diagnose(book, [numbered(book, "plug", value)])
    with pytest.raises(ValueError, match="share below 1"):
        Meter(share=nan)
    with pytest.raises(ValueError, match="share below 1"):
        Meter(digits=-1.0)


def test_readings_that_no_fault_explains_are_told(book):
    found = diagnose(book, [numbered(book, "TP6", 31.0), numbered(book, "plug", -0.4)])
    assert not found.fits()
    assert found.misfit > 3.0
    assert sum(suspect.share for suspect in found.suspects) == pytest.approx(1.0)


def test_faults_that_read_alike_are_one_group_and_unlike_ones_are_not(book):
    group = dict(zip((fault.name for fault in book.faults), book.groups, strict=True))
    assert group["W1 open"] == group["R1 / W1 broken"] == group["W1 reversed"]
    assert (
        group["run / J1.1 open" if "run / J1.1 open" in group else "contact / J1.1 open"]
        == (group["no supply"])
    )
    assert group["W1 open"] != group["W2 open"] != group["W3 open"]
    assert group["R1 open"] != group["W1 open"]
    assert group["W1 short"] != group["W1 open"]


def test_closed_tells_less_apart_than_open(make, book):
    closed = opened(make, small(make), led_types=(make.WHITE, make.RED), closed=True)
    assert len(set(closed.groups)) < len(set(book.groups))
    assert all(probe.closed for probe in closed.foretold.probes)


def test_information_is_that_counted_by_simulation(book):
    """Expected bits of the whole current, against 40,000 simulated readings [SHANNON]."""
    probe = next(one for one in book.foretold.numbers() if one.kind is ProbeKind.CURRENT)
    lone = replace(book, foretold=book.foretold.only([probe]))
    then = diagnose(lone).then
    assert then is not None
    assert then.probe == probe
    prior = weighed(book).share
    middle = book.foretold.middle[:, book.foretold.numbers().index(probe)]
    deviation = book.foretold.deviation()[:, book.foretold.numbers().index(probe)]
    deviation = np.hypot(deviation, 3.0**-0.5 * book.meter.limits(middle, kind=probe.kind))
    rng = np.random.default_rng(5)
    truth = rng.choice(len(prior), size=40_000, p=prior)
    read = rng.normal(middle[truth], deviation[truth])
    density = norm.pdf(read[:, None], middle, deviation) * prior
    groups = np.array(book.groups)
    joint = np.zeros((len(read), len(prior)))
    np.add.at(joint.T, groups, density.T)
    posterior = joint[np.arange(len(read)), groups[truth]] / density.sum(axis=1)
    weight = np.bincount(groups, weights=prior, minlength=len(prior))
    bits = float(np.mean(np.log2(posterior / weight[groups[truth]])))
    assert then.bits == pytest.approx(bits, rel=0.08)
    assert then.bits <= bits * 1.02


def test_the_next_reading_is_never_one_already_taken(book):
    found, readings = diagnose(book), []
    truth = next(fault for fault in book.faults if fault.name == "R1 open")
    for _ in range(6):
        if found.then is None:
            break
        probes = book.foretold.lights() if found.then.probe is ALL_LIGHTS else [found.then.probe]
        assert not {one.probe for one in readings} & set(probes)
        readings += right_readings(book, truth, probes)
        found = diagnose(book, readings)
    assert truth in found.suspects[0].faults


def test_outcomes_hold_the_probability_of_what_is_worth_telling(book):
    then = diagnose(book).then
    assert then is not None
    assert 0.8 < sum(outcome.share for outcome in then.outcomes) <= 1.0 + EXACT
    for outcome in then.outcomes:
        assert sum(one.share for one in outcome.suspects) == pytest.approx(1.0)


def test_what_is_held_probable_is_so_often_right(book):
    """Of 240 simulated faults: how sure the finder is of the first suspect, against how right."""
    rng = np.random.default_rng(11)
    weight = weighed(book).share
    netlist = solvable(book.wired.netlist)
    plug = next(one for one in book.foretold.numbers() if one.kind is ProbeKind.CURRENT)
    solved = {}
    held, right, brier = [], [], []
    for _ in range(240):
        truth = int(rng.choice(len(weight), p=weight))
        fault = book.faults[truth]
        deviation = {
            one: own * rng.uniform(-1, 1) * 3**0.5
            for one, own in (book.spread.ohm | book.spread.wires).items()
        }
        ohm = {one.name: one.ohm for one in netlist.resistances} | dict(fault.variation.ohm)
        variation = replace(
            fault.variation,
            ohm={one: ohm[one] * (1.0 + off) for one, off in deviation.items()},
            shift_V={
                one: fault.variation.shift_V.get(one, 0.0) + own * rng.uniform(-1, 1) * 3**0.5
                for one, own in book.spread.led_V.items()
            },
        )
        value = float(nodal.solve(netlist, [variation]).current(plug.first)[0])
        value += float(rng.uniform(-1, 1) * book.meter.limits(np.array(value), kind=plug.kind))
        names = [light.first for light in book.foretold.lights()]
        lit, sound = light_currents(netlist, [variation, replace(variation, **SOUND)], names=names)
        readings = [Reading(probe=plug, value=value)]
        for light, ratio in zip(book.foretold.lights(), lit / sound, strict=True):
            seen = look_shares(np.array(ratio), meter=book.meter)
            readings.append(Reading(probe=light, value=LOOKS[int(rng.choice(4, p=seen))]))
        found = diagnose(book, readings, solved=solved)
        held.append(found.suspects[0].share)
        right.append(fault in found.suspects[0].faults)
        brier.append((held[-1] - right[-1]) ** 2)
    held, right = np.array(held), np.array(right)
    assert held.mean() == pytest.approx(right.mean(), abs=0.08)
    assert np.mean(brier) < 0.2
    sure = held > 0.8
    assert right[sure].mean() > 0.85


SOUND = {
    "junction": {}, "bridges": (), "moved": {}, "voltage_V": {}, "source_ohm": {}, "ohm": {},
}  # fmt: skip


@settings(
    max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    whites=st.integers(1, 5),
    reds=st.integers(0, 3),
    volts=st.sampled_from([3.3, 5.0, 9.0, 12.0, 24.0]),
    chosen=st.integers(0, 10_000),
    seed=st.integers(0, 1000),
)
def test_no_sub_assembly_and_no_fault_breaks_it(make, *, whites, reds, volts, chosen, seed):
    sub = make.sub(
        make.leds("W", whites, current_A=0.002),
        make.leds("A", reds, led_type=make.RED, current_A=0.003),
    )
    book = opened(
        make,
        sub,
        power=make.supply(volts),
        led_types=(make.WHITE, make.RED),
        closed=chosen % 2 == 0,
    )
    assert np.isfinite(book.foretold.middle).all()
    assert np.isfinite(book.foretold.deviation()).all()
    fault = book.faults[chosen % len(book.faults)]
    rng = np.random.default_rng(seed)
    probes = [probe for probe in book.foretold.probes if rng.uniform() < 0.4]
    readings = right_readings(book, fault, probes)
    found = diagnose(book, readings)
    assert sum(suspect.share for suspect in found.suspects) == pytest.approx(1.0)
    assert found.fits()
    belief = believe(book.faults, book.foretold.only(probes), readings=readings, meter=book.meter)
    assert np.isfinite(belief.share).all()


def test_one_light_without_a_pigtail_is_found_too(make):
    sub = replace(make.sub(make.leds("W", 1)), pigtail=None)
    book = opened(make, sub)
    truth = next(fault for fault in book.faults if fault.kind is FaultKind.LED_REVERSED)
    probe = next(one for one in book.foretold.numbers() if one.name == "plug")
    found = diagnose(book, right_readings(book, truth, [probe, *book.foretold.lights()]))
    assert truth in found.suspects[0].faults


def test_an_unknown_kind_of_probe_is_refused_by_name(book):
    with pytest.raises(LookupError, match="no test point 'TP99'; there is: TP1"):
        voltage_at(book.wired, "TP99")
    with pytest.raises(LookupError, match="are one place"):
        voltage_at(book.wired, "TP1", "TP1")
    assert isinstance(voltage_at(book.wired, "tp1", "tp2"), Probe)
