"""Mends that are values: once made in the file of the rule's own example, the finding is gone."""

from pathlib import Path

import pytest

from lamphouse.findings import RULES, Finding, Where, sets
from lamphouse.plan import make
from lamphouse.project.mending import can_mend, mended, path_of
from lamphouse.project.read import read_text
from lamphouse.project.tree import grow
from lamphouse.project.write import ChangeError
from rules.test_examples import PICTURES, example_of, over_the_sound_project

CODES = [
    *("BLK003", "CIR006", "CIR014", "CIR020", "CIR021", "CIR030", "CIR050", "CIR057", "COL020"),
    *("CUT011", "CUT012", "CUT023", "CUT026", "CUT030", "CUT040", "CUT057", "CUT070", "CUT071"),
    *("CUT074", "CUT075", "CUT078", "CUT082", "FIB001", "LIT010", "LIT041", "LIT042", "LIT050"),
]
"""Rules that give their mend as values."""
MOST_MENDS = 12


def findings_of(text, parts):
    reading = read_text(text, file="project.yaml", own_parts=parts, own_pictures=PICTURES)
    if reading.design is None:
        return reading.findings
    return make.plan(reading.design, found=reading.findings, places=reading.places).findings


BENT = {
    "CUT023": (
        "[30 mm, 34 mm]\n                height: 6 mm",
        "[30 mm, 26 mm]\n                height: 12 mm",
    )
}
"""Where an example shows a case of its rule that is no single value: one that is."""


def with_the_finding(code):
    example = example_of(RULES[code]).replace(*BENT.get(code, ("", "")))
    for text, parts in over_the_sound_project(example):
        if any(one.code == code for one in findings_of(text, parts)):
            return text, parts
    raise LookupError(code)


@pytest.mark.parametrize("code", CODES)
def test_once_mended_the_finding_is_gone(code):
    text, parts = with_the_finding(code)
    stood = [one for one in findings_of(text, parts) if one.code == code]
    assert any(one.mend for one in stood)
    for _ in range(MOST_MENDS):
        tree, _ = grow(text, file="project.yaml")
        found = findings_of(text, parts)
        left = [
            one for one in found if one.code == code and can_mend(tree, finding=one, found=found)
        ]
        if not left:
            break
        text = mended(text, finding=left[0])
    items = {one.where.item for one in stood if one.mend}
    again = {one.where.item for one in findings_of(text, parts) if one.code == code}
    assert not items & again
    reading = read_text(text, file="project.yaml", own_parts=parts, own_pictures=PICTURES)
    assert reading.design


TEXT = Path("src/lamphouse/project/scenarios/saltmarsh/mended.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("item", "path"),
    [
        ("chart table / top / screen", "sub_assemblies.chart table.panels.top.openings.screen"),
        ("chart table / W3", None),
        (
            "chart table / top / screen box / W3",
            "sub_assemblies.chart table.panels.top.boxes.screen box.leds.W",
        ),
        ("supply", "supply"),
        ("chart table / board", "sub_assemblies.chart table.board"),
        ("groups / harbour", "groups.harbour"),
        ("stock / 2", "stock.1"),
    ],
)
def test_items_are_found_by_the_names_findings_give_them(item, path):
    tree, _ = grow(TEXT, file="project.yaml")
    found = path_of(tree, item)
    assert (found and ".".join(map(str, found))) == path


def test_what_is_no_value_is_not_mended():
    finding = next(
        one for one in findings_of(TEXT.replace("room_light: 50 lx", "room_light: 5000 lx"), {})
    )
    with pytest.raises(ChangeError):
        mended(TEXT, finding=finding)


ROW = """
sub_assemblies:
  desk:
    panels:
      top:
        boxes:
          box:
            leds:
              A: {at: [30 mm, 12 mm], count: 3, step: [3 mm, 0 mm], height: 3 mm}
              B: {at: [30 mm, 28 mm], height: 3 mm}
"""


def raised(name, *, height="6.4 mm", accepted=""):
    return Finding(
        code="CUT021",
        severity=RULES["CUT021"].severity,
        where=Where(item=f"desk / top / box / {name}"),
        message="",
        remedy="",
        mend=sets("height", height),
        accepted=accepted,
    )


@pytest.mark.parametrize(
    ("found", "can"),
    [
        ([raised("B"), raised("A1")], True),
        ([raised("A1"), raised("A2"), raised("A3")], True),
        ([raised("A1"), raised("A2")], False),
        ([raised("A1"), raised("A2"), raised("A3", height="7 mm")], False),
        ([raised("A1"), raised("A2"), raised("A3", accepted="it is bent")], False),
        ([raised("C")], False),
    ],
)
def test_a_row_is_mended_only_where_all_of_it_asks_for_the_same(found, can):
    tree, _ = grow(ROW, file="project.yaml")
    assert can_mend(tree, finding=found[0], found=found) == can
