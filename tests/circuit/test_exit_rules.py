"""The wires of a box's LEDs pass its wire exit, against circles packed in a circle."""

import re
from math import ceil, sqrt
from pathlib import Path

import pytest

from lamphouse.plan import make
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
WIRE_MM = 0.56
"""Over the insulation of 30 AWG, as in the catalogue [WIRE-AWG]."""
LEDS = "W: {type: white 0603, at: [20 mm, 25 mm], count: 2, step: [16 mm, 0 mm], current: 0.5 mA}"
AROUND = {2: 2.0, 4: 1.0 + sqrt(2.0), 6: 3.0}
"""Closed forms of the circle around equal ones, in their diameters [CIRCLE-PACKING]."""


def told(*, strings=1, lid="lid over back", seat="back", exit_mm=0.8, between=""):
    """What is told of a box with two LEDs in each string, and others between them."""
    assert LEDS in SOUND
    rows = [
        f"W{n}x: {{type: white 0603, at: [20 mm, {19 + 6 * n} mm], count: 2, "
        f"step: [16 mm, 0 mm], current: 0.5 mA, seat: {seat}}}"
        for n in range(strings)
    ]
    text = SOUND.replace(LEDS, ("\n" + " " * 14).join(rows))
    text = text.replace("depth: 14 mm", f"depth: 14 mm\n            lid: {lid}")
    text = text.replace("depth: 14 mm", f"depth: 14 mm\n            wire_exit: {exit_mm:.6g} mm")
    names = [f"      S{n}: {{leds: [W{n}x1, {between}W{n}x2]}}\n" for n in range(strings)]
    if between:
        text += "    lamps: {L: {type: white 0603, at: [10 mm, 10 mm], current: 0.5 mA}}\n"
    reading = read_text(text + "    strings:\n" + "".join(names), file="project.yaml")
    assert reading.design, [str(finding) for finding in reading.findings]
    found = make.plan(reading.design, found=reading.findings).findings
    return [finding for finding in found if finding.code == "CIR014"]


@pytest.mark.parametrize(("strings", "wires"), [(1, 2), (2, 4), (3, 6)])
def test_the_exit_told_passes_two_wires_of_each_string(strings, wires):
    (finding,) = told(strings=strings)
    named_mm = float(re.search(r"wire_exit: ([\d.]+) mm", finding.remedy)[1])
    assert f"{wires} wires" in finding.message
    assert named_mm == pytest.approx(ceil(10.0 * 1.05 * AROUND[wires] * WIRE_MM) / 10.0)
    assert told(strings=strings, exit_mm=named_mm) == []
    assert told(strings=strings, exit_mm=named_mm - 0.05) != []


def test_wires_with_holes_of_their_own_need_no_exit():
    assert told(lid="back only") == []
    assert told(lid="back only", seat="panel") != []


def test_a_string_that_leaves_the_box_and_comes_back_has_four_wires():
    (finding,) = told(between="L, ")
    assert "4 wires" in finding.message
