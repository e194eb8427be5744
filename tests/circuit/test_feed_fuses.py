"""A feed with a fuse of its own: what it guards, what it is judged by, and what is bought."""

from pathlib import Path

import pytest

from lamphouse.plan import make
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
SUPPLY = "supply: {kind: plug-in supply, voltage: 12 V, tolerance: 5 %, max_current: 500 mA}"
STRONG = SUPPLY.replace("500 mA", "2 A")


def planned(supply, loom=""):
    assert SUPPLY in SOUND
    text = SOUND.replace(SUPPLY, supply) + loom
    return make.plan(read_text(text, file="project.yaml").design)


def codes(supply, loom=""):
    found = {finding.code for finding in planned(supply, loom).findings}
    return {code for code in found if code.startswith("CIR")}


def feed(*, fuse="", wire="24 AWG insulated"):
    own = f", fuse: {fuse}" if fuse else ""
    return f"loom:\n  wire: {wire}\n  feeds:\n    day: {{sub_assemblies: [desk]{own}}}\n"


def test_the_fuse_of_a_feed_guards_the_pigtails_behind_it():
    assert codes(STRONG) == {"CIR010"}
    assert codes(STRONG, feed()) == {"CIR010"}
    assert codes(STRONG, feed(fuse="500 mA")) == set()
    assert codes(STRONG, feed(fuse="600 mA")) == {"CIR009"}


def test_the_smaller_of_two_fuses_counts():
    large = STRONG.replace("2 A", "2 A, fuse: 1 A")
    assert codes(large) == {"CIR009"}
    assert codes(large, feed(fuse="400 mA")) == set()


@pytest.mark.parametrize(("fuse", "told"), [("12 mA", True), ("40 mA", False)])
def test_a_feed_s_fuse_carries_its_load(fuse, told):
    text = SOUND.replace("current: 0.5 mA", "current: 8 mA") + feed(fuse=fuse)
    plan = make.plan(read_text(text, file="project.yaml").design)
    assert 0.012 < plan.load.total_A.high < 0.040
    assert ("CIR058" in {finding.code for finding in plan.findings}) == told


def test_a_thin_trunk_is_fused_by_what_it_carries():
    thin = {"wire": "36 AWG enamelled"}
    assert "CIR067" in codes(SUPPLY, feed(**thin))
    assert "CIR059" in codes(SUPPLY, feed(fuse="130 mA", **thin))
    assert codes(SUPPLY, feed(fuse="120 mA", **thin)) == set()
    assert codes(SUPPLY.replace("500 mA", "100 mA"), feed(**thin)) == set()


def test_a_feed_s_fuse_guards_against_a_short_of_cells():
    cells = (
        "supply: {kind: cells, voltage: 9 V, tolerance: 10 %, max_current: 400 mA, "
        "reverse_protection: schottky diode, cells: {type: alkaline AA, count: 6}}"
    )
    assert codes(cells) == {"CIR064"}
    assert codes(cells, feed(fuse="500 mA")) == set()


def test_cells_fuse_and_protection_are_bought():
    supply = (
        "supply: {kind: cells, voltage: 4.5 V, tolerance: 10 %, max_current: 500 mA, "
        "fuse_type: glass 500 mA, reverse_protection: p-channel mosfet, "
        "cells: {type: alkaline AA, count: 3, parallel: 2}}"
    )
    drawer = "drawer:\n  - {part: alkaline AA, count: 4}\n"
    reading = read_text(SOUND.replace(SUPPLY, supply) + drawer, file="project.yaml")
    assert reading.findings == ()
    lines = {line.part: line for line in make.plan(reading.design).parts}
    assert (lines["alkaline AA"].need, lines["alkaline AA"].have) == (6, 4)
    assert (lines["glass 500 mA"].need, lines["glass 500 mA"].spares) == (1, 1)
    assert lines["p-channel mosfet"].spares == 0
