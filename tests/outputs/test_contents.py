"""What stands on which page: order, numbers, and the sheets' own words."""

import re
from decimal import Decimal

import pytest

from lamphouse.circuit.branch import Band
from lamphouse.design.supply import Common
from lamphouse.outputs import bench_sheets, front_sheets
from lamphouse.outputs.contents import document
from lamphouse.outputs.pdf import page_numbers
from lamphouse.plan import make
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text
from lamphouse.record import replace
from lamphouse.units import Quantity, show
from outputs.sample_plan import sample
from tolerances import TABLE


@pytest.fixture(scope="module")
def made():
    return document(sample())


def kinds(made):
    return [page["kind"] for page in made["pages"]]


def sheet(made, mark):
    return next(page["data"] for page in made["pages"] if page["mark"] == mark)


def test_pages_come_in_the_order_of_the_work(made):
    whole = ["cover", "findings", "cautions", "supply", "loom", "drawn", "drawn", "drawn"]
    assert kinds(made)[: len(whole) + 2] == [*whole, "gates", "bench"]
    later = ["parts", "label", "care", "plugs", "spares"]
    assert kinds(made)[-len(later) :] == later
    marks = [page["mark"] for page in made["pages"] if page["mark"].startswith("1 ")]
    assert marks == [
        "1 gates",
        "1 bench",
        "1 schematic",
        "1 templates",
        "1 drilling",
        "1 light boxes",
        "1 glow",
        "1 faults",
    ]


def test_every_part_of_the_contents_has_its_page(made):
    contents = sheet(made, "cover")["contents"]
    wanted = [mark for _, mark in contents["whole"]]
    wanted += [mark for line in contents["lines"] for mark in line["marks"] if mark]
    numbers, _ = page_numbers(made)
    assert set(wanted) <= set(numbers)
    numbers = [numbers[mark] for mark in wanted if mark[0].isdigit()]
    assert numbers == sorted(numbers)


def test_a_sub_assembly_without_boxes_has_no_page_for_them(made):
    contents = sheet(made, "cover")["contents"]
    second = contents["lines"][1]
    assert second["name"] == "console"
    marks = dict(zip(contents["columns"], second["marks"], strict=True))
    assert [what for what in ("light boxes", "glow", "dark room") if marks[what]] == []
    assert marks["faults"] == "2 faults"


def test_stops_come_first_and_what_was_accepted_last_with_its_reason(made):
    found = sheet(made, "findings")["findings"]
    assert [finding["severity"] for finding in found] == ["stop", "warn", "note"]
    assert found[-1]["accepted"] == "tried on scrap, it holds"
    assert found[0]["place"] == "project.yaml, line 76"


def test_the_cover_warns_while_a_stop_stands_and_is_calm_after():
    plan = sample()
    alarm = front_sheets.cover(plan, contents={}, notices=())["alarm"]
    assert alarm.startswith("1 stop to mend")
    mended = replace(plan, findings=())
    calm = front_sheets.cover(mended, contents={}, notices=())
    assert calm["alarm"] == ""
    assert calm["calm"] == "No stops and no warnings."


def test_a_stop_is_told_on_the_bench_sheet_it_belongs_to(made):
    assert sheet(made, "1 bench")["alarm"].startswith("1 stop here")
    assert sheet(made, "2 bench")["alarm"] == ""


def test_the_gate_is_what_the_circuit_says(made):
    gate = sheet(made, "1 bench")["gate"]
    assert gate["nominal"] == "4.10 mA"
    assert gate["range"] == "3.40 to 4.92 mA at the extremes"


@pytest.mark.parametrize("current_A", [0.001785, 0.00083, 0.0205, 0.44444, 1.2345e-6])
def test_currents_are_rounded_to_the_nearest_third_digit(current_A):
    shown, _ = front_sheets.milliamps(Band(low=0.0, nominal=current_A, high=0.0))
    digits, unit = shown.split()
    step = 10.0 ** Decimal(digits).as_tuple().exponent
    assert unit == "mA"
    assert len(digits.replace(".", "").lstrip("0")) == 3
    assert abs(float(digits) - current_A * 1e3) <= TABLE * step * (1 + 1e-9)


def test_the_drill_chart_gives_both_systems(made):
    row = sheet(made, "2 drilling")["charts"][0]["rows"][0]
    # ASME B94.11M: No. 75 is 0.0210 in; times 25.4 exactly.
    assert row == ("1", "G1", "4.00", "12.00", "#75", "0.533", "0.0210", "", "")


def test_strands_are_told_by_their_group(made):
    assert sheet(made, "2 bench")["strands"] == [
        ("G1 to G12", "left fascia", "12", "fibre 0.5 mm", "green steady")
    ]


def test_parts_say_what_to_get(made):
    groups = {group["name"]: group["rows"] for group in sheet(made, "parts")["groups"]}
    assert groups["LEDs"][0]["get"] == "4"
    assert groups["Sheet"][0]["need"] == "51 cm²"


def test_the_gate_is_read_in_the_lead_that_carries_all():
    plan = sample()
    sub = plan.design.sub_assemblies[0]
    for common, lead in ((Common.POSITIVE, "plus lead"), (Common.NEGATIVE, "minus lead")):
        design = replace(plan.design, habits=replace(plan.design.habits, common=common))
        data = bench_sheets.bench(replace(plan, design=design), sub, circuit=plan.circuits[0])
        assert lead in data["gate"]["how"]


def test_what_is_likely_and_what_a_knob_wants_stand_on_the_sheet():
    text = demo_text("saltmarsh", "mended.yaml")
    text = text.replace("  chart table:", "  chart table:\n    trim: yes")
    plan = make.plan(read_text(text, file="project.yaml").design)
    sub = plan.design.sub_assemblies[0]
    data = bench_sheets.bench(plan, sub, circuit=plan.circuits[0])
    assert "each with a resistor of its own" in data["topology"]
    assert "measure across the knob" in data["topology"]
    for row, string in zip(data["strings"], plan.circuits[0].strings, strict=True):
        assert f"knob {show(string.knob.track_ohm, Quantity.RESISTANCE)}" in row["marking"]
        low, high = (float(end) / 100 for end in re.findall(r"\d+", row["light"]))
        assert low < 1.0 < high


def test_without_a_circuit_there_is_no_gate():
    plan = replace(sample(), circuits=(), load=None)
    sub = plan.design.sub_assemblies[0]
    data = bench_sheets.bench(plan, sub, circuit=None)
    assert data["gate"] is None
    assert page_numbers(document(plan))[0]["1 bench"] == 8


@pytest.mark.parametrize("count", [1, 2, 3, 4, 7])
def test_pictures_share_the_room_there_is(count):
    plan = sample()
    sub = plan.design.sub_assemblies[0]
    panels = tuple(replace(sub.panels[0], name=f"top {n}") for n in range(count))
    data = bench_sheets.bench(plan, replace(sub, panels=panels), circuit=None)
    assert len(data["pictures"]) == count
    assert all(picture["width"] <= 88.0 for picture in data["pictures"])
    assert all(picture["height"] <= 66.0 for picture in data["pictures"])
