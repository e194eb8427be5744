"""Pictures of openings hold the light that was judged."""

import pytest

from lamphouse.plan.pictured import pictured
from lamphouse.record import replace
from outputs.sample_plan import glow
from tolerances import EXACT, PHYSICS


def test_the_mean_of_a_picture_is_the_judged_mean():
    """Pixels are summed here, equal cells there: two roads to one figure."""
    judged = glow("chart table")
    (picture,) = pictured(judged).pictures
    assert picture.luminance_cd_m2.shape == (120, 192)
    (opening,) = judged.openings
    assert picture.luminance_cd_m2.mean() == pytest.approx(opening.mean_cd_m2, rel=2 * PHYSICS)
    cells = picture.luminance_cd_m2.reshape(6, 20, 8, 24).mean(axis=(1, 3))
    assert cells.min() / cells.mean() == pytest.approx(opening.evenness, rel=5 * PHYSICS)
    assert cells.max() / cells.mean() == pytest.approx(opening.hot_spot, rel=5 * PHYSICS)


def test_twice_the_light_is_twice_the_picture():
    judged = glow("chart table")
    lamps = tuple(replace(lamp, flux_lm=2.0 * lamp.flux_lm) for lamp in judged.scene.lamps)
    bright = replace(judged, scene=replace(judged.scene, lamps=lamps))
    (one,), (two,) = (pictured(box, pixels_per_mm=1.0).pictures for box in (judged, bright))
    ratio = two.luminance_cd_m2 / one.luminance_cd_m2
    assert ratio == pytest.approx(2.0, rel=EXACT)
