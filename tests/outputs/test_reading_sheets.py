"""The sheet of readings: every reading on it, as a meter's display shows it."""

import json
import re

import jsonschema
import pytest

from lamphouse.circuit.branch import Band
from lamphouse.circuit.expected import Gate, expect
from lamphouse.circuit.meter import Meter, ProbeKind
from lamphouse.design.supply import Common
from lamphouse.outputs import bench_sheets, planfile, reading_sheets
from lamphouse.outputs.contents import document
from lamphouse.outputs.gate_cards import gate_card
from lamphouse.plan import make
from lamphouse.plan.bench_readings import with_readings
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text
from lamphouse.record import replace
from tolerances import EXACT


@pytest.fixture(scope="module")
def plan():
    reading = read_text(demo_text("saltmarsh", "mended.yaml"), file="mended.yaml")
    return with_readings(make.plan(reading.design, found=reading.findings))


def shown(kind, *band):
    low, nominal, high = band
    one = expect(
        Gate.OPEN,
        "x",
        kind,
        red="",
        band=Band(low=low, nominal=nominal, high=high),
        meter=Meter(),
    )
    return reading_sheets.shown(one)


def test_a_reading_has_the_digits_of_its_range():
    # A display of 1999: common practice.
    assert shown(ProbeKind.CURRENT, 0.0121, 0.0149, 0.0176) == (
        "20 mA",
        "14.90 mA",
        "12.10 to 17.60",
    )
    assert shown(ProbeKind.CURRENT, 0.17, 0.2, 0.24) == ("2 A", "0.200 A", "0.170 to 0.240")
    assert shown(ProbeKind.VOLTAGE, 11.4, 12.0, 12.6) == ("20 V", "12.00 V", "11.40 to 12.60")
    assert shown(ProbeKind.RESISTANCE, 2565.0, 2700.0, 2835.0) == (
        "20 kΩ",
        "2.70 kΩ",
        "2.56 to 2.83",
    )
    assert shown(ProbeKind.VOLTAGE, 1e-4, 2e-4, 3e-4) == ("200 mV", "next to 0", "under 1.0 mV")


def test_every_test_point_resistor_and_kind_of_led_stands_on_the_sheet(plan):
    assert len(plan.readings.sub_assemblies) == len(plan.circuits)
    for sub, circuit in zip(plan.design.sub_assemblies, plan.circuits, strict=True):
        gates = reading_sheets.readings(plan, sub)["gates"]
        loose, board, open_, closed, model = ([row[0] for row in g["rows"]] for g in gates)
        assert loose == list(
            dict.fromkeys(led.led_type.name for s in circuit.strings for led in s.leds)
        )
        resistors = [name for name in board if re.fullmatch(r"R\d+", name)]
        assert len(resistors) == len(circuit.strings)
        assert len([name for name in open_ if name.startswith("TP")]) >= len(sub.leds()) + 2
        assert closed == ["plug"]
        assert model[0] == open_[0] == "plug"


def test_the_bench_is_told_to_join_the_returns_its_switches_would_close(plan):
    # The switches are under the floor: with one return alone the meter reads far below the band.
    joined = {}
    for sub, circuit in zip(plan.design.sub_assemblies, plan.circuits, strict=True):
        bench = next(b for b in plan.readings.sub_assemblies if b.sub_assembly == sub.name)
        plug, *backs = [one for one in bench.at(Gate.OPEN) if one.kind is ProbeKind.CURRENT]
        pins = [one.name.removeprefix("J1.") for one in backs]
        words = reading_sheets.returns_of(plan, sub)
        told = (
            reading_sheets.readings(plan, sub)["gates"][2]["how"],
            bench_sheets.bench(plan, sub, circuit=circuit)["gate"]["how"],
            dict(gate_card(plan, sub, circuit=circuit)["gates"])["Joined, still open"],
        )
        joined[sub.name] = words
        assert re.findall(r"\d+", words) == pins
        assert all(words in text for text in told)
        assert all(one.band.high < plug.band.low for one in backs)
    assert joined["console"] == "pins 2, 3 and 4 together on minus"
    assert joined["chart table"] == ""


def test_with_minus_common_the_returns_are_joined_on_plus(plan):
    design = replace(plan.design, habits=replace(plan.design.habits, common=Common.NEGATIVE))
    console = next(sub for sub in design.sub_assemblies if sub.name == "console")
    words = reading_sheets.returns_of(replace(plan, design=design), console)
    assert words == "pins 2, 3 and 4 together on plus"


def test_the_whole_model_is_the_sum_of_its_plugs(plan):
    # Kirchhoff; beside what the loom takes from each.
    supply = plan.readings.whole[0].band
    plugs = [
        one.band
        for bench in plan.readings.sub_assemblies
        for one in bench.at(Gate.IN_MODEL)
        if one.name == "plug"
    ]
    own_A = plan.load.own_A  # of the controller beside the supply
    assert own_A > 0.0
    plugs_A = sum(band.nominal for band in plugs)
    assert supply.nominal == pytest.approx(plugs_A + own_A, rel=1e-3)
    assert supply.nominal == pytest.approx(plan.load.total_A.nominal, rel=1e-3)
    assert [one.name for one in plan.readings.whole] == [
        "supply",
        *(f.name for f in plan.loom.feeds),
    ]
    feeds = [one.band.nominal for one in plan.readings.whole[1:]]
    assert sum(feeds) + own_A == pytest.approx(supply.nominal, rel=EXACT)


def test_a_reversed_plug_is_told_with_what_stands_across_an_led(plan):
    sheet = reading_sheets.readings(plan, plan.design.sub_assemblies[0])
    assert sheet["reversed"].startswith("Reversed plug: 0 mA, nothing lit. Pull it at once")
    assert "12.6 V" in sheet["reversed"]
    assert "5 V" in sheet["reversed"]


def test_the_pack_has_the_sheet_and_the_plan_file_the_readings(plan):
    pages = document(plan)
    assert sum(page["kind"] == "readings" for page in pages["pages"]) == len(plan.circuits)
    written = json.loads(planfile.to_bytes(plan))
    jsonschema.validate(written, planfile.schema())
    told = written["plan"]["readings"]
    assert told["whole"][0]["name"] == "supply"
    assert len(told["sub_assemblies"]) == len(plan.circuits)


def test_a_check_foretells_nothing_and_has_no_sheet(plan):
    reading = read_text(demo_text("saltmarsh", "mended.yaml"), file="mended.yaml")
    bare = make.plan(reading.design, found=reading.findings)
    assert bare.readings is None
    assert reading_sheets.readings(bare, bare.design.sub_assemblies[0]) is None
    assert reading_sheets.whole(bare) == []
