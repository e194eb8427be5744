"""The fault sheets of the demo: one page each, every row foretold."""

from itertools import cycle

import pytest

from lamphouse.outputs import fault_sheets
from lamphouse.outputs.pdf import page_numbers
from lamphouse.plan import make
from lamphouse.project.read import read_project
from lamphouse.project.starter import start
from lamphouse.record import replace


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    folder = tmp_path_factory.mktemp("model") / "saltmarsh"
    start(folder, demo="saltmarsh")
    return make.plan(read_project(folder / "mended.yaml").design)


@pytest.fixture(scope="module")
def sheets(plan):
    return {sub.name: fault_sheets.faults(plan, sub) for sub in plan.design.sub_assemblies}


@pytest.fixture(scope="module")
def large(plan):
    """The console with ninety LEDs of all kinds at three currents."""
    console = next(sub for sub in plan.design.sub_assemblies if sub.name == "console")
    types = dict.fromkeys(led.led_type for sub in plan.design.sub_assemblies for led in sub.leds())
    led = console.leds()[0]
    lamps = tuple(
        replace(led, name=f"L{number}", led_type=own, current_A=0.001 * (1 + number % 3), group="")
        for number, own in zip(range(90), cycle(types), strict=False)
    )
    sub = replace(console, lamps=lamps, boxes=(), strands=(), strings=(), panels=(), board=None)
    return make.plan(replace(plan.design, sub_assemblies=(sub,), groups=()))


def pages(plan, width, height):
    """Set the fault sheets of a plan and count them."""
    paper = "A4" if height > 290.0 else "Letter"
    printed = replace(plan, design=replace(plan.design, paper=paper))
    told = [fault_sheets.faults(printed, sub) for sub in plan.design.sub_assemblies]
    document = {
        "title": "Faults",
        "project": "demo",
        "scale": "1:24",
        "revision": "A",
        "day": "",
        "paper": {"width": width, "height": height},
        "pages": [
            {"kind": "faults", "mark": f"{place}", "heading": "faults", "data": data}
            for place, data in enumerate(told)
        ],
    }
    numbers, total = page_numbers(document)
    assert len(numbers) == len(told)
    return total


@pytest.mark.parametrize(("width", "height"), [(210.0, 297.0), (215.9, 279.4)])
def test_one_of_many_strings_fits_on_one_page_and_has_what_all_share(large, width, height):
    assert pages(large, width, height) == 1
    sheet = fault_sheets.faults(large, large.design.sub_assemblies[0])
    seen = [symptom["seen"] for symptom in sheet["symptoms"]]
    assert "all dark" in seen
    assert len(seen) > 2
    assert sheet["rest"].endswith("Of strings alike one stands for all.")


def test_each_fits_on_one_page(plan, sheets):
    for width, height in ((210.0, 297.0), (215.9, 279.4)):
        assert pages(plan, width, height) == len(sheets)


def test_a_sheet_tells_what_is_sound_and_what_each_symptom_means(sheets):
    sheet = sheets["chart table"]
    assert sheet["sound"][0] == ["plug", "1.84 mA", "1.67 to 2.02 mA"]
    seen = [symptom["seen"] for symptom in sheet["symptoms"]]
    assert {"all dark", "W1, W2 dark", "W3, W4 dark", "desk lamp dark"} <= set(seen)
    assert len(seen) == len(set(seen))
    rows = [row for symptom in sheet["symptoms"] for row in symptom["rows"]]
    causes = [cause["words"] for row in rows for cause in row["causes"]]
    assert {"W1 dead (open)", "W2 the wrong way round", "plus and minus swapped"} <= set(causes)
    assert len(causes) == len(set(causes))


def test_a_dead_string_takes_its_current_off_the_plug(sheets):
    """Three strings draw 1.84 mA; 0.45 mA less is one of two white LEDs, from the bench sheet."""
    sheet = sheets["chart table"]
    (row, *_) = next(one for one in sheet["symptoms"] if one["seen"] == "W1, W2 dark")["rows"]
    assert row["plug"] == "1.26 to 1.52 mA"
    assert row["points"][0].startswith("TP2 ")


def test_a_sub_assembly_without_a_circuit_has_none(plan):
    bare = replace(plan, circuits=())
    assert fault_sheets.faults(bare, plan.design.sub_assemblies[0]) is None
