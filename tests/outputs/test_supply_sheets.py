"""The supply's sheet and the answer of check, from a project's own text."""

from pathlib import Path

import pytest

from lamphouse.cli import screen
from lamphouse.outputs import answer, supply_sheets
from lamphouse.outputs.contents import document
from lamphouse.plan import make
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
PLUG_IN = "supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}"
CELLS = """supply:
  kind: cells
  voltage: 9 V
  tolerance: 10 %
  max_current: 100 mA
  hours_a_day: 3 h
  fuse_type: resettable 130 mA
  reverse_protection: schottky diode
  cells: {type: alkaline 9 V, parallel: 2, cut_off: 6 V}"""


def planned(power):
    assert PLUG_IN in SOUND
    reading = read_text(SOUND.replace(PLUG_IN, power), file="project.yaml")
    assert reading.findings == ()
    return reading.design, make.plan(reading.design)


def refused(power):
    reading = read_text(SOUND.replace(PLUG_IN, power), file="project.yaml")
    assert reading.design is None
    return [finding.code for finding in reading.findings]


@pytest.fixture(scope="module")
def celled():
    return planned(CELLS)


def test_the_keys_of_a_supply_of_cells_become_its_record(celled):
    power = celled[0].supply
    assert (power.cells.cell.name, power.cells.series, power.cells.parallel) == (
        "alkaline 9 V", 1, 2,
    )  # fmt: skip
    assert power.cells.cut_off_V == 6.0
    assert power.hours_a_day == 3.0
    assert power.fuse_A == power.fuse_type.hold_A == 0.13
    assert power.protector.name == "schottky diode"


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("alkaline 9 V", "alkalin 9 V", "PRJ040"),
        ("resettable 130 mA", "resettable 131 mA", "PRJ040"),
        ("schottky diode", "diode", "PRJ040"),
        ("parallel: 2", "parallel: 0", "PRJ023"),
        ("parallel: 2", "parallel: 1000000000", "PRJ023"),
        ("parallel: 2", "parallel: two", "PRJ022"),
        ("cut_off: 6 V", "cut_off: -6 V", "PRJ023"),
        ("cut_off: 6 V", "cut_off: nan V", "PRJ022"),
        ("cut_off: 6 V", "cut_off: 6", "PRJ022"),
        ("cut_off: 6 V", "holder: glued", "PRJ022"),
        ("3 h", "3 weeks", "PRJ022"),
        ("3 h", "25 h", "PRJ023"),
        ("{type: alkaline 9 V, parallel: 2, cut_off: 6 V}", "{count: 2}", "PRJ021"),
    ],
)
def test_nonsense_is_refused_with_its_place(old, new, code):
    assert old in CELLS
    assert code in refused(CELLS.replace(old, new, 1))


def test_none_is_no_protection():
    design, _ = planned(CELLS.replace("schottky diode", "none"))
    assert design.supply.protector is None


def test_the_sheet_says_what_the_plan_says(celled):
    design, plan = celled
    sheet = supply_sheets.supply(plan)
    facts = dict(sheet["facts"])
    assert facts["cells"] == "alkaline 9 V, 2 rows side by side"
    assert facts["fuse"] == "resettable 130 mA"
    assert facts["against reversal"] == "schottky diode"
    assert facts["voltage"] == "9 V, off by 10 % at most"
    run = {row[0]: row[1:] for row in sheet["run"]}
    days = plan.run.bright_h.low / 3.0
    assert int(run["days of 3 h"][0].split(" ")[0]) == int(days)
    assert "<svg" in sheet["plot"]["svg"]
    assert len(sheet["plugs"]) == len(plan.circuits)
    assert len(sheet["heat"]) == len(plan.heats) == 1
    assert design.supply.cells is not None


def test_the_currents_of_the_sheet_add_up_to_its_total():
    # Kirchhoff; figures of three digits.
    text = demo_text("saltmarsh", "mended.yaml")
    sheet = supply_sheets.supply(make.plan(read_text(text, file="project.yaml").design))
    (own,) = sheet["own"]
    parts = [float(nominal.split()[0]) for _, nominal, _ in (*sheet["plugs"], own)]
    assert sum(parts) == pytest.approx(float(sheet["total"][0].split()[0]), abs=0.1)
    assert supply_sheets.supply(planned(PLUG_IN)[1])["own"] == []


def test_a_plug_in_supply_has_a_sheet_without_a_discharge():
    _, plan = planned(PLUG_IN)
    sheet = supply_sheets.supply(plan)
    assert sheet["plot"] is None
    assert sheet["run"] == []
    assert dict(sheet["facts"])["fuse"] == "none"


def test_the_pack_lists_the_sheet_and_the_cover_the_time(celled):
    made = document(celled[1])
    page = next(page for page in made["pages"] if page["mark"] == "supply")
    assert page["kind"] == "supply"
    cover = next(page for page in made["pages"] if page["mark"] == "cover")
    assert "bright for" in dict(cover["data"]["facts"])
    assert ("Supply", "supply") in [tuple(pair) for pair in cover["data"]["contents"]["whole"]]


def test_check_tells_of_cells_and_says_nothing_without(celled):
    for plan, told in ((celled[1], True), (planned(PLUG_IN)[1], False)):
        given = answer.check(plan, findings=plan.findings)["result"]
        shown = screen.summary(given)
        assert (given["feed"]["bright_h"] is not None) == told
        assert ("cells: alkaline 9 V" in shown) == told
        assert ("bright for" in shown) == ("dark after" in shown) == told
