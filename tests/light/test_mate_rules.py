"""Openings that should match: limits the maker sets, mends that mend, batches, types of LED."""

import re
from pathlib import Path

import pytest

from lamphouse.colour.observer import uniform_chromaticity
from lamphouse.colour.temperature import planck_xyz
from lamphouse.colour.wanted_colour import white_span_K
from lamphouse.plan import make
from lamphouse.plan.balanced_plan import balanced
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")
SECOND = """          second:
            shape: rectangle 20 x 20 mm
            at: [98 mm, 25 mm]
            layers: LAYERS
            match: screens
        boxes:
          second box:
            inside: rectangle 28 x 28 mm
            at: [98 mm, 25 mm]
            depth: 14 mm
            sheet: styrene 1.0 mm
            finish: matt white paint
            leds:
              V: {type: LED, at: [98 mm, 25 mm], current: CURRENT}
"""


def text_of(
    *,
    led="white 0603",
    layers="[opal film 60]",
    current="0.5 mA",
    screen="white 0603",
    screen_layers="[opal film 60]",
    screen_current="",
    matches="",
):
    text = SOUND.replace("look: lit panel}", "look: lit panel, match: screens}")
    text = text.replace("[opal film 60]", screen_layers)
    text = text.replace("type: white 0603", f"type: {screen}")
    if screen_current:
        text = re.sub(r"(W: \{.*?current: )[^,}]+", rf"\g<1>{screen_current}", text)
    text = text.replace("rectangle 80 x 50 mm", "rectangle 120 x 50 mm")
    second = SECOND.replace("LED", led).replace("LAYERS", layers).replace("CURRENT", current)
    text = text.replace("        boxes:\n", second, 1)
    return text + (f"matches:\n  screens: {matches}\n" if matches else "")


def planned(**words):
    reading = read_text(text_of(**words), file="project.yaml")
    assert reading.design is not None, [str(found) for found in reading.findings]
    return make.plan(reading.design, found=reading.findings)


def told(plan, code):
    return [finding for finding in plan.findings if finding.code == code]


def test_two_whites_are_told_apart_in_steps_mired_and_difference():
    (finding,) = told(planned(led="warm white 0603"), "COL003")
    # 1e6 / 2900 - 1e6 / 6500 of the two rows
    assert "191 mired" in finding.message
    assert "within 5 steps" in finding.message
    assert re.search(r"CIEDE2000 \d+\.\d, ", finding.message)


def test_the_led_and_current_of_the_mend_bring_colour_and_luminance_together():
    (finding,) = told(planned(led="warm white 0603"), "COL003")
    led, current = re.search(
        r"light 'second' with '([^']+)' and set ([\d.]+ mA) through V", finding.remedy
    ).groups()
    mended = planned(led=led, current=current)
    assert told(mended, "COL003") == told(mended, "LIT015") == []
    shown = {one.opening: one for box in mended.glows for one in box.openings}
    promised = float(re.search(r": ([\d.]+) cd/m2, 0\.0 steps", finding.remedy)[1])
    # resistors are sold in steps of a fifth
    assert shown["second"].mean_cd_m2 == pytest.approx(promised, rel=0.2)


def test_the_gel_of_the_mend_brings_colour_and_luminance_together():
    was = {"layers": "[opal film 60, amber gel]", "led": "warm white 0603"}
    (finding,) = told(planned(**was, screen="warm white 0603"), "COL003")
    film, times, currents = re.search(
        r"lay '([^']+)'(?: (\d) times)? before 'screen' and set ([\d.]+ mA) through W1",
        finding.remedy,
    ).groups()
    mended = planned(
        **was,
        screen="warm white 0603",
        screen_layers=f"[opal film 60, {{film: {film}, films: {times or 1}}}]",
        screen_current=currents,
    )
    assert told(mended, "COL003") == told(mended, "LIT015") == []


def test_a_mend_never_takes_an_opening_out_of_its_look():
    (finding,) = told(planned(led="amber 0603"), "COL003")
    # the amber one shows 8 cd/m2, and the screen's look wants 20 or more
    assert "light 'screen'" not in finding.remedy
    assert "light 'second' with 'white 0603'" in finding.remedy


@pytest.mark.parametrize(
    ("led", "matches", "codes"),
    [
        ("warm white 0603", "{steps: 90}", {"LIT015"}),
        ("warm white 0603", "{steps: 90, luminance: 80 %}", set()),
        ("warm white 0603", "{luminance: 80 %}", {"COL003"}),
        ("warm white 0603", "{steps: 90, difference: 10, luminance: 80 %}", {"COL003"}),
        ("white 0603", "{luminance: 5 %}", {"LIT015"}),
        ("white 0603", "", set()),
    ],
)
def test_the_limits_are_the_makers(led, matches, codes):
    plan = planned(led=led, matches=matches)
    assert {one.code for one in plan.findings} & {"COL003", "LIT015"} == codes


def test_balance_keeps_to_the_limits_of_the_word_and_tells_of_colours():
    text = text_of(current="1.5 mA", matches="{luminance: 30 %}")
    after = balanced(read_text(text, file="project.yaml").design).after
    shown = [one.mean_cd_m2 for box in after.glows for one in box.openings if one.match]
    assert max(shown) <= 1.3 * min(shown)
    close = text_of(current="1.5 mA", matches="{luminance: 10 %}")
    found = balanced(read_text(close, file="project.yaml").design).findings
    assert "cannot be held within a factor of 1.1," in found[0].message
    other = read_text(text_of(led="warm white 0603"), file="project.yaml").design
    assert "COL003" in {one.code for one in balanced(other).findings}


def test_whites_that_match_are_bought_together():
    (finding,) = told(planned(), "COL004")
    assert "3 'white 0603'" in finding.message
    # seven steps around 6500 K
    assert "may be 5899 to 7218 K" in finding.message


def test_two_types_of_one_colour_are_two_makings():
    (finding,) = told(planned(led="white 0805"), "COL007")
    assert "1 'white 0805' and 2 'white 0603'" in finding.message
    assert "use 'white 0603' in place of 'white 0805'" in finding.remedy
    assert told(planned(led="white 0603"), "COL007") == []
    assert told(planned(led="amber 0603"), "COL007") == []


def test_a_match_with_limits_that_no_opening_has_is_noted():
    text = text_of() + "matches:\n  screns: {steps: 3}\n"
    found = read_text(text, file="project.yaml").findings
    assert any(one.code == "PRJ047" and "match 'screns'" in one.message for one in found)


@pytest.mark.parametrize(
    "matches",
    ["{steps: 0}", "{luminance: 0 %}", "{luminance: nan %}", "{difference: -3}", "{x: 1}"],
)
def test_limits_that_are_none_are_told(matches):
    found = read_text(text_of(matches=matches), file="project.yaml").findings
    assert any("matches" in str(one) or "screens" in one.where.item for one in found)


@pytest.mark.parametrize(
    ("middle_K", "either_way_K"),
    # whites for sale by the American standard of solid-state lighting, from memory
    [(2725, 145), (3045, 175), (3465, 245), (3985, 275), (4503, 243), (5028, 283), (5665, 355)],
)
def test_whites_that_pass_for_one_span_about_what_they_are_sorted_by(middle_K, either_way_K):
    warm, cool = white_span_K(middle_K)
    assert (cool - warm) / 2.0 == pytest.approx(either_way_K, rel=0.6)
    assert warm < middle_K < cool


@pytest.mark.parametrize("cct_K", [1500.0, 2900.0, 6500.0, 25000.0])
def test_the_span_of_a_white_ends_seven_steps_from_it(cct_K):
    for end in white_span_K(cct_K):
        off = uniform_chromaticity(planck_xyz(end)) - uniform_chromaticity(planck_xyz(cct_K))
        far = float((off**2).sum()) ** 0.5
        assert far == pytest.approx(0.0077, rel=1e-3) or end == pytest.approx(40000.0)


def test_the_mend_takes_an_led_of_the_maker_s_own_table():
    """No built-in LED of the package has 3800 K: the one that has is the maker's."""
    table = (
        "name,package,size,colour,peak,white point,forward curve,spread,drift,max current,flux,"
        "beam,source,kind,date\n"
        "drawer white,0603,1.6 x 0.8 x 0.6 mm,white,,3800 K,"
        "2.57 V at 0.3 mA; 2.65 V at 1 mA; 2.79 V at 5 mA,"
        "0.20 V,-3 mV/K,20 mA,1.2 lm at 5 mA,120 deg,own sample,measured,2026-11-25\n"
    )
    text = text_of(led="drawer white")
    reading = read_text(text, file="project.yaml", own_parts={"parts/led_types.csv": table})
    assert reading.design is not None, [str(found) for found in reading.findings]
    plan = make.plan(reading.design, found=reading.findings)
    (finding,) = told(plan, "COL003")
    assert "light 'screen' with 'drawer white'" in finding.remedy
    (own,) = reading.design.own_parts.leds
    assert own.name == "drawer white"
    assert reading.design.own_parts.films == ()
