"""Readings as the maker writes them."""

from math import inf

import pytest

from lamphouse.circuit.meter import Look, ProbeKind
from lamphouse.plan import make
from lamphouse.plan.fault_finding import diagnosed, fault_book, readings_of
from lamphouse.project.read import read_project
from lamphouse.project.starter import start


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    folder = tmp_path_factory.mktemp("model") / "saltmarsh"
    start(folder, demo="saltmarsh")
    reading = read_project(folder / "mended.yaml")
    return make.plan(reading.design)


@pytest.fixture(scope="module")
def book(plan):
    return fault_book(plan, "chart table")


@pytest.fixture(scope="module")
def several(plan):
    return fault_book(plan, "console")


def test_each_way_to_write_a_reading_is_understood(book):
    plug, volts, between, ohms, broken = readings_of(
        book, ["plug=1.84mA", "TP1 = 5.19 V", "TP1-TP2=2.600V", "tp6-tp1=15k", "J1.1-J1.2=open"]
    )
    assert (plug.probe.name, plug.value, plug.resolution) == (
        "plug", pytest.approx(1.84e-3), pytest.approx(1e-5),
    )  # fmt: skip
    assert (volts.value, volts.resolution) == (pytest.approx(5.19), pytest.approx(0.01))
    assert (between.value, between.resolution) == (pytest.approx(2.6), pytest.approx(0.001))
    assert (ohms.probe.kind, ohms.value) == (ProbeKind.RESISTANCE, 15e3)
    assert broken.value == inf


def test_lights_come_one_by_one_in_rows_and_as_the_rest(book):
    readings = readings_of(book, ["W1,W2=dark", "desk lamp=dim", "rest=lit"])
    assert {one.probe.name: one.value for one in readings} == {
        "W1": Look.DARK,
        "W2": Look.DARK,
        "desk lamp": Look.DIM,
        "W3": Look.LIT,
        "W4": Look.LIT,
    }


def test_few_digits_are_taken_as_rounded(book):
    (reading,) = readings_of(book, ["TP6=12V"])
    assert (reading.resolution, reading.rounded) == (None, 0.5)
    (nothing,) = readings_of(book, ["plug=0mA"])
    assert (nothing.value, nothing.resolution, nothing.rounded) == (0.0, None, 0.0)


def test_a_pin_has_a_current_and_a_voltage(several):
    current, same, voltage = readings_of(several, ["J1.3=5.19mA", "plug.3=5.19mA", "J1.3=0.6mV"])
    assert current.probe == same.probe
    assert current.probe.kind is ProbeKind.CURRENT
    assert voltage.probe.kind is ProbeKind.VOLTAGE
    own = several.foretold
    place = own.numbers().index(current.probe)
    assert own.middle[0, place] > 1e-3


@pytest.mark.parametrize(
    ("written", "problem"),
    [
        ("plug", "is no reading; write it like plug=12.3mA"),
        ("=3V", "is no reading"),
        ("TP1=", "is no reading"),
        ("TP1=3", "is no current, voltage or resistance with its unit"),
        ("TP1=nanV", "is no current, voltage or resistance"),
        ("TP1=3 lm", "is no current, voltage or resistance"),
        ("TP1=1e300V", "is no current|is more than a meter shows"),
        ("TP1=5000V", "is more than a meter shows"),
        ("TP1-TP2=-5ohm", "or less than nothing|is no current"),
        ("TP1=4.7kohm", "lies between two points"),
        ("TP1=open", "a resistance lies between two points"),
        ("TP99=3V", "no test point 'TP99'; there is: TP1"),
        ("TP1-TP1=3V", "are one place"),
        ("TP1=3mA", "a current is read at: plug"),
        ("W9=dark", "no light 'W9'"),
        ("TP1=lit", "no light 'TP1'"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_with_the_reason(book, written, problem):
    with pytest.raises(ValueError, match=problem):
        readings_of(book, [written])


def test_an_unknown_sub_assembly_and_an_impossible_meter_are_refused(plan):
    with pytest.raises(LookupError, match="no sub-assembly 'wall' with a circuit"):
        diagnosed(plan, "wall")
    with pytest.raises(ValueError, match="share below 1"):
        diagnosed(plan, "chart table", error=1.5)
    with pytest.raises(ValueError, match="share below 1"):
        diagnosed(plan, "chart table", digits=float("nan"))


def test_one_pass_from_words_to_suspects(plan):
    book, found = diagnosed(plan, "chart table", written=["W1,W2=dark", "rest=lit", "TP2=0V"])
    assert len(book.faults) > 200
    assert {"W1 open", "W1 reversed", "R1 / W1 broken"} <= {
        fault.name for fault in found.suspects[0].faults
    }
    assert found.suspects[0].share > 0.9


def test_returns_not_joined_on_the_bench_are_thought_of_before_two_wrong_leds(plan):
    # Only the return that burns steadily is joined: the plug gives what that one return carries.
    (console,) = (one for one in plan.circuits if one.sub_assembly == "console")
    steady = [s for s in console.strings if s.leds[0].group not in ("random", "chase")]
    alone_mA = 1e3 * sum(string.current_A.nominal for string in steady)
    _, found = diagnosed(plan, "console", written=[f"plug={alone_mA:.1f}mA"])
    assert {fault.name for fault in found.suspects[0].faults} == {"all switches open"}
