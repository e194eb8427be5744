"""How LEDs fade, by the closed form of the standard; the light colours take in, by its energy."""

import math
from pathlib import Path

import pytest

from lamphouse.build.ageing import behind_lx, exposures, fadings, hours_to, share_left
from lamphouse.design.care import Care
from lamphouse.plan import make
from lamphouse.project.read import read_project, read_text
from tolerances import BENCH, EXACT, PHYSICS

MENDED = Path(make.__file__).parents[1] / "project" / "scenarios" / "saltmarsh" / "mended.yaml"


def test_the_closed_form_of_the_standard():
    # TM-21: L70 = ln(B / 0.7) / alpha; with B = 1 and alpha = 1e-5 per hour it is 35 667 h.
    life = math.log(1 / 0.7) / 1e-5
    assert life == pytest.approx(35_667.49, abs=0.01)
    assert share_left(10_000.0, life_h=life, life_share=0.7) == pytest.approx(
        math.exp(-0.1), rel=EXACT
    )
    assert hours_to(0.5, life_h=life, life_share=0.7) == pytest.approx(
        math.log(2.0) / 1e-5, rel=EXACT
    )


def test_nothing_is_told_beyond_six_times_the_hours_tested():
    # TM-21: 6 000 h of testing reach 36 000 h; at 3 000 h a year that is twelve years.
    care = Care(hours_a_day=10.0, days_a_year=300, led_life_h=50_000.0, tested_h=6_000.0)
    (rated,) = fadings(care, years=(12, 13))
    assert rated.share_after[0] == pytest.approx(0.7 ** (36 / 50), rel=EXACT)
    assert rated.share_after[1] is None
    assert rated.renew_years is None
    assert not rated.is_guess


def test_without_a_data_sheet_there_are_two_guesses_and_they_say_so():
    good, poor = fadings(Care(hours_a_day=10.0, days_a_year=300), years=(1,))
    assert good.is_guess
    assert poor.is_guess
    assert good.share_after[0] > poor.share_after[0]


def test_without_hours_nothing_is_told():
    assert fadings(Care(led_life_h=35_000.0), years=(1,)) == ()


def test_the_light_behind_layers_carries_the_energy_that_leaves_the_box(sound):
    # What comes through an opening is illuminance x transmittance x area, whatever the directions;
    # over all openings of a box it is the flux the solver lets out.
    (glow,) = make.plan(read_text(sound, file="p").design).glows
    (opening,), (aperture,) = glow.openings, glow.scene.apertures
    through_lm = behind_lx(glow, opening) * aperture.fill.transmittance * 30.0 * 20.0 * 1e-6
    assert through_lm == pytest.approx(glow.escaped_lm, rel=BENCH)


def test_exposure_is_light_times_hours():
    plan = make.plan(read_project(MENDED).design)
    care = Care(hours_a_day=10.0, days_a_year=300)
    found = exposures(plan.glows, subs=plan.design.sub_assemblies, care=care, room_lx=50.0)
    assert {one.opening for one in found} == {"screen", "plotting display", "tide board"}
    for one in found:
        assert one.year_Mlx_h == pytest.approx((one.lamp_lx + 50.0) * 3000.0 / 1e6, rel=EXACT)
        classes = dict(one.years)
        assert classes[2] < classes[4] < classes[6]
        assert classes[4] * one.year_Mlx_h == pytest.approx(10.0, rel=PHYSICS)
    none = exposures(plan.glows, subs=plan.design.sub_assemblies, care=Care(), room_lx=50.0)
    assert none == ()
