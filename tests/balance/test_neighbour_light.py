"""Boxes that share light: what each gives adds up, and the looks of both are met by new solves."""

import re

import pytest

from balance.models import lit, read_text
from lamphouse.balance.neighbour_light import gifts
from lamphouse.plan import make
from lamphouse.plan.balanced_plan import balanced
from tolerances import PHYSICS

TEXT = """\
lamphouse: 1
name: Two rooms
revision: A
date: 2026-11-25
scale: 1:24
seed: 1
paper: A4
supply: {kind: plug-in supply, voltage: 12 V, tolerance: 2 %, max_current: 500 mA}
circuit: {resistors: E24, resistor_tolerance: 1 %, ambient: 20 to 25 degC}
looks:
  bright: {luminance: 60 to 100 cd/m2, evenness: 10 %}
  faint: {luminance: 11 to 40 cd/m2, evenness: 10 %}
  even: {luminance: 24 to 30 cd/m2, evenness: 10 %}
sub_assemblies:
  desk:
    stands: {at: [40 mm, 60 mm]}
    pigtail: {plug: 2-pin 1.25 mm, wire: 30 AWG insulated, length: 400 mm}
    panels:
      top:
        outline: rectangle 80 x 50 mm
        sheet: styrene 0.75 mm
        openings:
          hall:
            {shape: rectangle 20 x 20 mm, at: [20 mm, 25 mm], layers: [opal film 60],
             look: bright}
          bay:
            {shape: rectangle 12 x 16 mm, at: [46 mm, 25 mm], layers: [opal film 60],
             look: faint}
        boxes:
          hall box:
            inside: rectangle 28 x 28 mm
            at: [20 mm, 25 mm]
            depth: 14 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            leds:
              H: {type: white 0603, at: [20 mm, 25 mm], current: 1 mA}
            passages:
              slot:
                {into: bay box, from: [34 mm, 18 mm], to: [34 mm, 32 mm],
                 low: 2 mm, high: 10 mm}
          bay box:
            inside: rectangle 18 x 28 mm
            at: [45 mm, 25 mm]
            depth: 14 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
"""

LED = (
    "            leds:\n              B: {type: white 0603, at: [45 mm, 25 mm], current: 0.1 mA}\n"
)


def design_of(text):
    return read_text(text, file="project.yaml").design


def with_lamp(text=TEXT):
    return text + LED


def in_class(opening):
    return opening.look.least_cd_m2 <= opening.mean_cd_m2 <= opening.look.most_cd_m2


def test_gifts_add_up_to_the_glow():
    plan = make.plan(design_of(with_lamp()))
    given = gifts(plan.glows)
    for glow in plan.glows:
        (opening,) = glow.openings
        lights = given[glow.box, opening.opening]
        assert len(lights) == 2
        assert sum(gift.mean_cd_m2 for gift in lights) == pytest.approx(
            opening.mean_cd_m2, rel=PHYSICS
        )


def test_a_box_without_an_led_is_brought_to_its_look_by_its_neighbours_string():
    found = balanced(design_of(TEXT))
    before, after = lit(found.before), lit(found.after)
    assert not in_class(before["bay"])
    assert all(in_class(one) for one in after.values())


def test_two_lit_boxes_meet_both_looks():
    text = with_lamp(TEXT.replace("look: faint", "look: even")).replace("60 to 100", "100 to 400")
    found = balanced(design_of(text))
    assert found.findings == ()
    assert all(in_class(one) for one in lit(found.after).values())


def test_looks_missed_in_a_box_without_an_led_name_its_neighbours():
    text = TEXT.replace("11 to 40 cd/m2, evenness: 10 %", "11 to 40 cd/m2, evenness: 97 %")
    found = {one.code: one for one in make.plan(design_of(text)).findings if "bay" in one.message}
    assert "where its neighbour's light comes in" in found["LIT011"].message
    dim = next(one for one in found.values() if one.remedy.startswith("set "))
    assert "through H (now 1 mA)" in dim.remedy
    current = re.search(r"set ([\d.]+ mA) through H", dim.remedy)[1]
    mended = make.plan(design_of(TEXT.replace("current: 1 mA", f"current: {current}")))
    assert in_class(lit(mended)["bay"])
