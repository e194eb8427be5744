"""The loom's sheet and its CSV say what the loom is, number by number."""

import csv
import io

import pytest

from lamphouse.outputs import lists, loom_lines, loom_sheets
from lamphouse.outputs.contents import document
from lamphouse.plan import make
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_text
from outputs.sample_plan import NASTY, sample


@pytest.fixture(scope="module")
def plan():
    reading = read_text(demo_text("saltmarsh", "mended.yaml"), file="mended.yaml")
    return make.plan(reading.design, found=reading.findings)


def rows_of(plan):
    text = lists.to_bytes(lists.TABLES["loom"](plan)).decode()
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_run_stands_in_the_table_and_on_the_sheet(plan):
    sheet = loom_sheets.loom(plan)
    listed = rows_of(plan)
    assert [row["run"] for row in listed] == [row[0] for row in sheet["runs"]]
    assert [int(row["run"]) for row in listed] == list(range(1, len(plan.loom.runs) + 1))
    for row, run in zip(listed, plan.loom.runs, strict=True):
        assert float(row["length_mm"]) == run.length_mm
        assert row["colour"] == run.colour
        assert row["flag"] == run.flag


def test_currents_of_the_pins_add_up_in_the_plus(plan):
    """Kirchhoff at every plug: what goes out by plus comes back by the returns."""
    for socket in plan.loom_load.sockets:
        plus, *back = socket.pins_A
        assert plus.nominal == pytest.approx(sum(pin.nominal for pin in back), rel=1e-9)
        assert plus.high <= sum(pin.high for pin in back) * (1 + 1e-9)


def test_the_console_has_a_pin_for_each_group_that_blinks(plan):
    console = next(p for p in loom_sheets.loom(plan)["plugs"] if p["name"] == "console")
    said = [(pin, colour, what) for pin, _, colour, what, *_ in console["pins"]]
    assert said == [
        ("1", "RD red", "plus, common to all"),
        ("2", "BK black", "minus of what burns steadily"),
        ("3", "BU blue", "minus of group 'random'"),
        ("4", "OG orange", "minus of group 'chase'"),
    ]
    assert console["words"].endswith("1 pin free")


def test_saltmarsh_is_mended(plan):
    loom_codes = [f.code for f in plan.findings if f.code.startswith("LOM")]
    assert loom_codes == []


def test_the_answer_of_check_sums_it_up(plan):
    short = loom_lines.loom_of(plan)
    assert (short.runs, short.feeds, short.sockets) == (20, 1, 6)
    assert short.wire_m == pytest.approx(sum(float(r["length_mm"]) for r in rows_of(plan)) / 1000)
    assert short.largest_drop_V == max(socket.drop_V for socket in plan.loom_load.sockets)


def test_without_a_loom_there_is_no_sheet():
    bare = read_text(
        "lamphouse: 1\nname: Bare\nscale: 1:24\n"
        "supply: {kind: usb port, voltage: 5 V, max_current: 500 mA}\n",
        file="project.yaml",
    )
    plan = make.plan(bare.design)
    assert loom_sheets.loom(plan) is None
    assert loom_lines.loom_of(plan) is None
    assert rows_of(plan) == []


def test_names_that_try_to_be_markup_are_only_words():
    made = document(sample(NASTY[0], NASTY[1]))
    (data,) = (page["data"] for page in made["pages"] if page["mark"] == "loom")
    assert data["plugs"][0]["name"] == NASTY[0]
