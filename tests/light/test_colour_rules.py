"""What is told about colours, and that the mends it names do mend."""

import re
from pathlib import Path

import pytest

from lamphouse.plan import make
from lamphouse.project.read import read_text

SOUND = (Path(__file__).parents[1] / "rules" / "sound.yaml").read_text(encoding="utf-8")


def planned(*, colour="", layers="[opal film 60]", led="white 0603", more=""):
    text = SOUND.replace("[opal film 60]", layers).replace("type: white 0603", f"type: {led}")
    if colour:
        text = text.replace("evenness: 70 %", f"evenness: 70 %, colour: {colour}")
    if more:
        text = text.replace("        boxes:\n", more, 1)
    reading = read_text(text, file="project.yaml")
    assert reading.design is not None, [str(found) for found in reading.findings]
    return make.plan(reading.design, found=reading.findings)


def told(plan, code):
    return [finding for finding in plan.findings if finding.code == code]


@pytest.mark.parametrize(
    ("colour", "layers", "led"),
    [
        ("cool white", "[opal film 60]", "white 0603"),
        ("white", "[opal film 60]", "warm white 0603"),
        ("2900 K", "[opal film 60]", "warm white 0603"),
        ("red", "[opal film 60, red gel]", "white 0603"),
        ("amber", "[opal film 60]", "amber 0603"),
        ("blue", "[opal film 60]", "blue 0603"),
    ],
)
def test_a_colour_as_wanted_is_not_told(colour, layers, led):
    assert told(planned(colour=colour, layers=layers, led=led), "COL001") == []


@pytest.mark.parametrize("colour", ["amber", "2900 K", "red", "blue", "warm white", "green"])
def test_the_led_of_the_remedy_gives_the_wanted_colour(colour):
    (finding,) = told(planned(colour=colour), "COL001")
    assert "glows cool white, 6500 K" in finding.message
    led = re.search(r"light it with '([^']+)'", finding.remedy)[1]
    assert told(planned(colour=colour, led=led), "COL001") == []


@pytest.mark.parametrize("colour", ["amber", "red", "green"])
def test_the_gel_of_the_remedy_gives_the_wanted_colour(colour):
    (finding,) = told(planned(colour=colour), "COL001")
    film, times = re.search(r"lay '([^']+)'(?: (\d) times)? before it", finding.remedy).groups()
    kind = "films" if film.endswith("gel") else "coats"
    layers = f"[opal film 60, {{film: {film}, {kind}: {times or 1}}}]"
    assert told(planned(colour=colour, layers=layers), "COL001") == []


def test_the_light_a_remedy_costs_is_what_it_costs():
    plan = planned(colour="red")
    (finding,) = told(plan, "COL001")
    led, share = re.search(
        r"light it with '([^']+)' \(about (\d+) % of the light", finding.remedy
    ).groups()
    before = plan.glows[0].openings[0].mean_cd_m2
    after = planned(colour="red", led=led).glows[0].openings[0].mean_cd_m2
    # the currents differ a little: another resistor
    assert after / before == pytest.approx(int(share) / 100, rel=0.25)


def test_a_colour_nothing_gives_names_the_nearest():
    (finding,) = told(planned(colour="Lab 30 -120 -120"), "COL001")
    assert "nothing of the catalogue gives it; nearest: " in finding.remedy


def test_a_coloured_led_behind_its_own_gel_has_a_figure_now():
    plan = planned(layers="[opal film 60, red gel]", led="red 0603")
    assert plan.glows[0].openings[0].colour.name == "red"
    assert told(plan, "LIT007") == []
    wrong = planned(layers="[opal film 60, green gel]", led="red 0603")
    ratio = wrong.glows[0].openings[0].mean_cd_m2 / plan.glows[0].openings[0].mean_cd_m2
    assert ratio < 0.05


def test_a_colour_that_is_none_is_told_with_the_nearest():
    (finding,) = told(planned(colour="ambr"), "COL005")
    assert "write 'amber'" in finding.remedy
    assert told(planned(colour="ambr"), "COL001") == []


def test_the_rooms_light_has_a_colour():
    text = SOUND.replace("room_light: 50 lx", "room_light: 50 lx, light_colour: tungsten")
    text = text.replace("[opal film 60]", "[opal film 60, amber gel]")
    reading = read_text(text, file="project.yaml")
    warm = make.plan(reading.design, found=()).glows[0].openings[0]
    day = planned(layers="[opal film 60, amber gel]").glows[0].openings[0]
    # an amber face throws back more of tungsten light, lux for lux
    assert warm.room_cd_m2 > 1.02 * day.room_cd_m2
    assert warm.mean_cd_m2 == day.mean_cd_m2
