"""Boxes kept solved with those they share openings with, against solving all of them anew."""

import numpy as np
import pytest

from lamphouse.light.front import LX_PER_LM_MM2
from lamphouse.light.scene import Aperture, Diffuser, Passage, Sheet, Suite
from lamphouse.light.step_size import STEP_WEIGHT
from lamphouse.light.suite_glow import solve_suite
from lamphouse.light.suite_live import make_suite_live, others, response
from lamphouse.record import replace
from light.boxes import OPAL, lamp, plain_box, rectangle
from tolerances import PHYSICS

# Both ways settle to 1e-5 and carry single precision.
SETTLED = 3e-5


def block(left, right):
    return ((left, 0.0), (right, 0.0), (right, 20.0), (left, 20.0))


def opening(name, left, right):
    return Aperture(name=name, shape=rectangle(left, 3.0, right, 17.0), fill=OPAL)


BOXES = (
    plain_box(
        outline=block(0.0, 20.0),
        lamps=(lamp(10.0, 9.0, 0.6), lamp(16.0, 12.0, 0.6, flux=0.5, name="W2")),
        apertures=(opening("near", 3.0, 17.0),),
    ),
    plain_box(
        outline=block(20.0, 38.0),
        depth_mm=6.0,
        lamps=(lamp(33.0, 6.0, 0.6, flux=0.3),),
        apertures=(opening("far low", 22.0, 28.0), opening("far high", 30.0, 36.0)),
        sheet=Sheet(height_mm=3.5, transmittance=0.6, reflectance=0.3),
    ),
    plain_box(outline=block(38.0, 50.0), lamps=(), apertures=(opening("dark", 40.0, 48.0),)),
)

PASSAGES = (
    Passage(
        name="hole", boxes=(0, 1), start_mm=(20.0, 6.0), end_mm=(20.0, 14.0),
        low_mm=2.5, high_mm=5.0, fill=None,
    ),
    Passage(
        name="film", boxes=(1, 2), start_mm=(38.0, 4.0), end_mm=(38.0, 12.0),
        low_mm=1.0, high_mm=3.0, fill=Diffuser(transmittance=0.5, reflectance=0.4),
    ),
)  # fmt: skip

SUITE = Suite(boxes=BOXES, passages=PASSAGES)


@pytest.fixture(scope="module")
def anew():
    return solve_suite(SUITE)


@pytest.mark.parametrize("number", range(3))
def test_the_lamps_of_all_boxes_add_up_to_what_a_new_solve_gives(anew, number):
    solved = make_suite_live(SUITE, number=number)
    answers = [response(solved, lamp=one) for one in BOXES[number].lamps]
    flux = [one.flux_lm for one in BOXES[number].lamps]
    ground = others(solved, suite=SUITE)
    for place, look in enumerate(anew[number].looks):
        fine, coarse = (
            ground[place][mesh]
            + sum(lm * answer[place][mesh] for lm, answer in zip(flux, answers, strict=True))
            for mesh in (0, 1)
        )
        spots = LX_PER_LM_MM2 * (fine + STEP_WEIGHT * (fine - coarse))
        assert spots == pytest.approx(look.luminance_cd_m2, rel=SETTLED)


def test_a_rough_way_through_is_near_enough_for_searches():
    exact, rough = (make_suite_live(SUITE, number=0, lamp_rays=rays) for rays in (128, 0))
    for place in ((5.0, 5.0), (10.0, 9.0), (17.0, 10.0)):
        one = lamp(*place, 0.6)
        for (fine, _), (near, _) in zip(
            response(exact, lamp=one), response(rough, lamp=one), strict=True
        ):
            assert near == pytest.approx(fine, rel=5.0 * PHYSICS)


def test_other_lamps_play_no_part_in_a_response():
    dark = replace(SUITE, boxes=tuple(replace(box, lamps=()) for box in BOXES))
    one, other = (make_suite_live(suite, number=1) for suite in (SUITE, dark))
    moved = lamp(30.0, 15.0, 0.6)
    for (fine, _), (same, _) in zip(
        response(one, lamp=moved), response(other, lamp=moved), strict=True
    ):
        assert np.array_equal(fine, same)
    assert not any(fine.any() for fine, _ in others(other, suite=dark))
