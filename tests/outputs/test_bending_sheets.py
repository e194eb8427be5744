"""The bending page of bent walls, the former's pages and the trace card, from whole projects."""

import json

import pytest

from lamphouse.outputs.bending_sheets import bending
from lamphouse.outputs.cautions import for_design
from lamphouse.outputs.contents import document
from lamphouse.outputs.pdf import page_numbers
from lamphouse.plan import make
from lamphouse.project.read import read_text

HEAD = """\
lamphouse: 1
name: sample
revision: A
scale: 1:24
supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}
sub_assemblies:
  bay:
    panels:
      glazing:
        curve:
"""
BAY = ("inner_radius: 140 mm", "angle: 120 deg", "layers: [styrene 0.5 mm, styrene 0.5 mm]")


def plan_of(*curve, height="95 mm", more=""):
    text = HEAD + "".join(f"          {line}\n" for line in curve)
    text += f"        height: {height}\n{more}"
    reading = read_text(text, file="project.yaml")
    assert reading.design is not None, [str(f) for f in reading.findings]
    return make.plan(reading.design, found=reading.findings)


def wall_of(plan):
    (wall,) = bending(plan, plan.design.sub_assemblies[0])["walls"]
    return wall


def words_of(wall):
    return " ".join(f"{heading}. {words}" for heading, words in wall["steps"])


def test_layers_are_told_with_the_published_lengths(reference):
    published = json.loads((reference / "unroll" / "values.json").read_text())["bay"]
    rows = wall_of(plan_of(*BAY))["layers"]
    assert [f"{float(row[3].removesuffix(' mm')):.1f}" for row in rows] == [
        f"{length:.1f}" for length in published["developed_mm"]
    ]
    # 0.5 mm of radius over 120 degrees: 0.5 x 2 pi / 3 = 1.047 mm.
    assert [row[4] for row in rows] == ["", "1.05 mm longer"]
    assert [row[5] for row in rows] == ["0.2 %", "0.2 %"]


def test_the_order_of_work_runs_from_flat_to_glued():
    headings = [heading for heading, _ in wall_of(plan_of(*BAY))["steps"]]
    assert headings == [
        "Cut and drill flat",
        "Find a former",
        "Layer 1",
        "The other layers",
        "Glue",
        "Bind and wait",
        "Take it off",
    ]


def test_cold_bends_carry_no_warning_of_hot_water_and_tight_ones_do():
    calm = wall_of(plan_of(*BAY))
    assert not any("scald" in line for line in calm["care"])
    tight = wall_of(
        plan_of("inner_radius: 20 mm", "angle: 120 deg", "layers: [styrene 1.0 mm]", height="40 mm")
    )
    assert any("scald" in line for line in tight["care"])
    assert "Form the thick layers warm" in words_of(tight)


def test_card_is_glued_with_other_glue_than_plastic():
    card = wall_of(plan_of(*BAY[:2], "layers: [card 0.3 mm, card 0.3 mm]"))
    assert "White glue" in words_of(card)
    assert card["care"] == []
    assert "Hot water and warm sheet" not in [
        c.title for c in for_design(plan_of(*BAY[:2], "layers: [card 0.3 mm]").design)
    ]
    assert "Hot water and warm sheet" in [c.title for c in for_design(plan_of(*BAY).design)]


def test_joints_of_a_closed_wall_stand_in_the_order():
    closed = wall_of(
        plan_of("inner_radius: 25 mm", "angle: 360 deg", "layers: [card 0.3 mm, card 0.3 mm]")
    )
    assert "layer 1 at 0 deg, layer 2 at 180 deg" in words_of(closed)


def test_a_former_has_its_pages_and_lies_on_a_stock_sheet():
    plan = plan_of(*BAY, "former: foam board 3.0 mm")
    made = document(plan)
    assert {"1 bending", "1 former"} <= set(page_numbers(made)[0])
    assert (
        page_numbers(made)[0]["1 templates"]
        < page_numbers(made)[0]["1 bending"]
        < (page_numbers(made)[0]["1 former"])
    )
    names = [piece.name for piece in plan.pieces()]
    assert any("former / rib" in name for name in names)
    assert any("former / upright" in name for name in names)
    assert "foam board 3.0 mm" in [line.part for line in plan.parts]
    assert "5 ribs" in words_of(wall_of(plan))


def test_without_a_former_there_are_no_pages_of_it():
    assert "1 former" not in page_numbers(document(plan_of(*BAY)))[0]


@pytest.mark.parametrize("traced", [True, False])
def test_the_trace_card_stands_in_the_pack_of_traced_parts(traced):
    key = "        traced: {picture: bezel.png, within: 0.05 mm}\n" if traced else ""
    more = f"      bezel:\n{key}        outline: rectangle 40 x 30 mm\n        sheet: card 0.5 mm\n"
    made = document(plan_of(*BAY, more=more))
    assert ("card" in page_numbers(made)[0]) is traced
    contents = next(p["data"] for p in made["pages"] if p["mark"] == "cover")["contents"]
    assert (("Trace card", "card") in contents["whole"]) is traced
