import numpy as np
import pytest

from lamphouse.light.glow import solve
from lamphouse.light.live import looks, make_live, response
from lamphouse.record import replace
from light.boxes import box_of, lamp, plain_box, scenes

SAME = 1e-5
BY_NAME = {scene["name"]: scene for scene in scenes("light_scenes.json") + scenes("stress.json")}


@pytest.mark.parametrize(
    "name", ["s02_two_leds", "s06_baffle_gap", "f26_open_sheet", "f30_haze_narrow"]
)
def test_kept_solved_and_solved_anew_agree(name):
    box = box_of(BY_NAME[name])
    live = make_live(box)
    seen = looks(
        live,
        responses=[response(live, lamp=one) for one in box.lamps],
        flux_lm=[one.flux_lm for one in box.lamps],
    )
    for look, anew in zip(seen, solve(box).looks, strict=True):
        assert look.luminance_cd_m2 == pytest.approx(anew.luminance_cd_m2, rel=SAME)
        assert look.bar_cd_m2 == pytest.approx(anew.bar_cd_m2, rel=1e-2)


def test_a_moved_lamp_gives_what_a_new_box_would():
    box = plain_box()
    live = make_live(box)
    moved = lamp(21.0, 4.0, 2.0, direction=(-0.5, 0.3, 1.0), m=2.0, flux=0.7)
    seen = looks(live, responses=[response(live, lamp=moved)], flux_lm=[0.7])[0]
    anew = solve(replace(box, lamps=(moved,))).looks[0]
    assert seen.luminance_cd_m2 == pytest.approx(anew.luminance_cd_m2, rel=SAME)


def test_a_current_only_scales_its_lamp():
    live = make_live(plain_box())
    answers = [response(live, lamp=lamp(x, 9.0, 0.6)) for x in (8.0, 22.0)]
    one, two, both = (
        looks(live, responses=answers, flux_lm=flux)[0].luminance_cd_m2
        for flux in ((1.0, 0.0), (0.0, 1.0), (0.3, 2.0))
    )
    assert both == pytest.approx(0.3 * one + 2.0 * two)
    assert not np.allclose(one, two, rtol=0.1)
