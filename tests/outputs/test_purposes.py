"""Packs for one purpose: no page forgotten, none doubled, and each contents page right."""

import re
from math import pi
from pathlib import Path

import pytest

from lamphouse.outputs import museum_sheet, pack
from lamphouse.outputs.contents import document
from lamphouse.outputs.pdf import page_numbers
from lamphouse.outputs.purposes import PAGES, Purpose, kind_of
from lamphouse.plan import make
from lamphouse.project.read import read_project

SCENARIOS = Path(make.__file__).parents[1] / "project" / "scenarios"
CARE = """
care: {lit_a_day: 10 h, days_a_year: 300, built_by: A. Maker, spares_in: bag under the baseboard}
prices:
  - {part: white 0603, pack: 100, price: 6.00 EUR}
"""


@pytest.fixture(scope="module")
def plans(tmp_path_factory):
    """Both demos, complete, with all that the papers ask for."""
    folder = tmp_path_factory.mktemp("demos")
    made = {}
    for demo in ("saltmarsh", "night_studio"):
        for file in (SCENARIOS / demo).rglob("*"):
            if file.is_file():
                target = folder / demo / file.relative_to(SCENARIOS / demo)
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(file.read_bytes())
        path = folder / demo / "mended.yaml"
        text = re.sub(r"^(care|prices):.*\n(?:(?: .*)?\n)*", "", path.read_text(), flags=re.M)
        path.write_text(text + CARE)
        made[demo] = pack.completed(make.plan(read_project(path).design))
    return made


@pytest.fixture(scope="module")
def papers(plans):
    return {
        (demo, purpose): document(plan, purpose=purpose)
        for demo, plan in plans.items()
        for purpose in Purpose
    }


def marks(document):
    return [page["mark"] for page in document["pages"] if page["mark"]]


@pytest.mark.parametrize("demo", ["saltmarsh", "night_studio"])
def test_every_page_has_a_purpose(papers, demo):
    kinds = {kind_of(mark) for mark in marks(papers[demo, Purpose.ALL])} - {"cover"}
    assert kinds <= set(PAGES)
    single = set().union(*(marks(papers[demo, one]) for one in Purpose if one is not Purpose.ALL))
    assert single == set(marks(papers[demo, Purpose.ALL]))


@pytest.mark.parametrize("purpose", list(Purpose))
def test_the_contents_name_what_is_there_and_nothing_else(papers, purpose):
    made = papers["saltmarsh", purpose]
    there, listed = set(marks(made)), made["pages"][0]["data"]["contents"]
    named = {mark for _, mark in listed["whole"]}
    named |= {mark for line in listed["lines"] for mark in line["marks"] if mark}
    assert named <= there
    numbers, of = page_numbers(made)
    assert {numbers[mark] for mark in named} <= set(range(2, of + 1))
    for line in listed["lines"]:
        assert len(line["marks"]) == len(listed["columns"])


def test_the_papers_for_later_lie_on_top_of_their_pack(papers):
    top = marks(papers["saltmarsh", Purpose.CARE])[:6]
    assert top == ["cover", "label", "care", "plugs", "spares", "museum"]


def test_a_gate_card_is_one_page(papers):
    for demo in ("saltmarsh", "night_studio"):
        made = papers[demo, Purpose.ALL]
        numbers, _ = page_numbers(made)
        order = marks(made)
        for mark in order:
            if kind_of(mark) == "gates":
                after = order[order.index(mark) + 1]
                assert numbers[after] == numbers[mark] + 1, (demo, mark)


def test_the_care_sheet_and_the_label_are_one_page(papers):
    made = papers["saltmarsh", Purpose.CARE]
    numbers, _ = page_numbers(made)
    assert numbers["care"] == numbers["label"] + 1
    assert numbers["plugs"] == numbers["care"] + 1


def test_each_purpose_has_its_files(plans):
    plan = plans["saltmarsh"]
    for purpose, folder in (("cutting", "dxf"), ("care", "program")):
        names = set(pack.build(plan, purpose=Purpose(purpose)))
        assert {"pack.pdf", "pack.json"} <= names
        folders = {name.split("/")[0] for name in names if "/" in name}
        assert folder in folders
        assert ("dxf" in folders) == (purpose == "cutting")
        assert "plan.json" not in names


def page(document, mark):
    return next(one["data"] for one in document["pages"] if one["mark"] == mark)


def test_every_kind_of_part_has_a_heading_and_is_printed(plans, papers):
    for demo, plan in plans.items():
        groups = page(papers[demo, Purpose.ALL], "parts")["groups"]
        printed = [row["part"] for group in groups for row in group["rows"]]
        assert sorted(printed) == sorted(line.part for line in plan.parts)


def test_the_label_says_no_less_than_the_model_takes(plans, papers):
    words = dict(page(papers["saltmarsh", Purpose.CARE], "label")["lines"])
    takes_mA = float(re.search(r"([\d.]+) mA", words["takes"])[1])
    most_mA = plans["saltmarsh"].load.total_A.high * 1e3
    assert most_mA <= takes_mA <= most_mA * 1.1


def test_each_program_is_printed_whole(plans, papers):
    from lamphouse.outputs.program_files import program_files

    printed = page(papers["saltmarsh", Purpose.CARE], "listing")["files"]
    for file, shown in zip(program_files(plans["saltmarsh"]), printed, strict=True):
        assert "\n".join(shown["lines"]) + "\n" == file.text


def test_care_cautions_leave_out_what_only_builders_do(papers):
    titles = {title for title, _ in page(papers["saltmarsh", Purpose.CARE], "care")["cautions"]}
    assert "The mains stays outside" in titles
    assert "Hot iron and its fumes" not in titles


def test_without_hours_there_is_no_museum_sheet(plans):
    from lamphouse.design.care import Care
    from lamphouse.record import replace

    plan = plans["saltmarsh"]
    silent = replace(plan, design=replace(plan.design, care=Care()))
    assert "museum" not in marks(document(silent, purpose=Purpose.CARE))


def test_the_yearly_log_tells_what_a_meter_flat_on_an_opening_reads(plans):
    # Lambert's law: what leaves a surface of luminance L evenly is pi L per area.
    plan = plans["saltmarsh"]
    brightest = max(one.mean_cd_m2 for glow in plan.glows for one in glow.openings)
    _, lux = museum_sheet.museum(plan)["openings"][0]
    figure, unit = lux.split()
    assert unit == "lx"
    assert float(figure) == pytest.approx(pi * brightest, rel=0.05)
