"""The demo's pieces on its sheets: proved, counted, the same every time, and not in a check."""

from importlib.resources import files

import pytest

from lamphouse.cutting.sheet_proof import prove
from lamphouse.plan import make
from lamphouse.plan.sheeted import sheeted
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures
from lamphouse.shapes.measure import bounds_mm

TEXT = (files("lamphouse.project") / "scenarios/saltmarsh/mended.yaml").read_text("utf-8")


def planned(text=TEXT):
    pictures = demo_pictures("saltmarsh")
    return make.plan(read_text(text, file="mended.yaml", own_pictures=pictures).design)


@pytest.fixture(scope="module")
def plan():
    return planned()


def test_a_check_lays_nothing(plan):
    assert plan.layout is None


def test_every_piece_lies_on_a_sheet_and_nothing_is_bought(plan):
    laid = sheeted(plan)
    prove(laid.layout, pieces=plan.pieces())
    assert laid.layout.unlaid == ()
    assert laid.layout.to_buy() == {}
    assert laid.findings == plan.findings
    assert sheeted(planned()).layout == laid.layout


def test_the_parts_list_counts_sheets(plan):
    before = {line.part: line for line in plan.parts if line.kind == "sheet"}
    after = {line.part: line for line in sheeted(plan).parts if line.kind == "sheet"}
    assert before.keys() == after.keys()
    assert {line.unit for line in before.values()} == {"cm2"}
    used = [sheet.sheet.name for sheet in sheeted(plan).layout.sheets]
    for name, line in after.items():
        assert (line.unit, line.need, line.have) == ("sheets", used.count(name), used.count(name))


def test_what_is_not_in_stock_is_to_be_bought():
    lacking = TEXT.replace("  - {sheet: styrene 0.5 mm, size: 300 x 200 mm, count: 2}\n", "")
    line = next(one for one in sheeted(planned(lacking)).parts if one.part == "styrene 0.5 mm")
    assert (line.need, line.have) == (2, 0)


@pytest.mark.slow
def test_squeezed_sheets_are_proved_and_none_is_longer(plan):
    pytest.importorskip("spyrrow")
    before, after = (sheeted(plan, squeeze_s=seconds).layout for seconds in (0, 2))
    prove(after, pieces=plan.pieces())
    for one, other in zip(before.sheets, after.sheets, strict=True):
        ends = [
            max(bounds_mm(laid.placed(laid.piece.outline.corners))[2] for laid in sheet.laid)
            for sheet in (one, other)
        ]
        assert ends[1] <= ends[0]
