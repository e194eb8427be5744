"""The second opinion on boxes that share openings: against the plain walks, and the solver."""

import os
from importlib.util import find_spec

import pytest

from lamphouse.light.box_scene import draw_box
from lamphouse.light.scene import Aperture, Passage, Sheet, Suite
from lamphouse.light.suite_glow import solve_suite
from lamphouse.light.verify import Effort, verify
from lamphouse.light.walkable import Refusal
from lamphouse.record import replace
from light.boxes import OPAL, lamp, plain_box, rectangle
from light.test_box_suite import PANEL, bay, lit_box, passage

if find_spec("numba") is None:
    if os.environ.get("CI") == "true":
        pytest.fail("the second opinion cannot be tested without its compiler 'numba'")
    pytest.skip("the compiler 'numba' is not installed", allow_module_level=True)

from lamphouse.light.verify_suite import verify_suite

QUICK = Effort(relative_error=0.0, most_walks=50_000)
"""24 batches of an opening."""

SIGMAS = 4.0
"""Standard errors that chance passes once in fifteen thousand."""

LAMP = lamp(10.0, 9.0, 0.6)
NEAR = plain_box(
    outline=((0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)),
    lamps=(LAMP,),
    apertures=(Aperture(name="near", shape=rectangle(3.0, 3.0, 17.0, 17.0), fill=OPAL),),
)
FAR = plain_box(
    outline=((20.0, 0.0), (36.0, 0.0), (36.0, 20.0), (20.0, 20.0)),
    lamps=(),
    apertures=(Aperture(name="far", shape=rectangle(22.0, 3.0, 34.0, 17.0), fill=OPAL),),
)
WHOLE_WALL = Passage(
    name="wall",
    boxes=(0, 1),
    start_mm=(20.0, 0.0),
    end_mm=(20.0, 20.0),
    low_mm=0.0,
    high_mm=8.0,
    fill=None,
)


def means_of(suite, *, seed=1):
    opinions = verify_suite(suite, seed=seed, effort=QUICK)
    assert not isinstance(opinions, Refusal)
    return [(one.mean_cd_m2, one.mean_error_cd_m2) for each in opinions for one in each.openings]


@pytest.mark.parametrize(
    "sheet", [None, Sheet(height_mm=3.5, transmittance=0.6, reflectance=0.3)], ids=["bare", "sheet"]
)
def test_boxes_with_no_wall_between_them_are_one_box(sheet):
    """The plain walks, proved on another program's scenes, in the same space."""
    whole = replace(
        NEAR,
        outline=((0.0, 0.0), (36.0, 0.0), (36.0, 20.0), (0.0, 20.0)),
        apertures=(*NEAR.apertures, *FAR.apertures),
        sheet=sheet,
    )
    one = verify(whole, seed=7, effort=QUICK)
    suite = Suite(
        boxes=(replace(NEAR, sheet=sheet), replace(FAR, sheet=sheet)), passages=(WHOLE_WALL,)
    )
    for seen, (mean, error) in zip(one.openings, means_of(suite), strict=True):
        bar = SIGMAS * (error**2 + seen.mean_error_cd_m2**2) ** 0.5
        assert mean == pytest.approx(seen.mean_cd_m2, abs=bar)


@pytest.mark.parametrize("closed", [None, "opal"])
def test_a_hole_through_a_thick_wall_as_the_solver_has_it(closed):
    """Walls of 2 mm: solver and walks share nothing but the records of the boxes."""
    slot = passage(closed=None if closed is None else PANEL.openings[0].layers[0].film)
    drawn = draw_box(PANEL, box=bay(), currents={}, beside=(lit_box(slot),))
    assert drawn.suite is not None
    solved = [look for glow in solve_suite(drawn.suite) for look in glow.looks]
    for look, (mean, error) in zip(solved, means_of(drawn.suite), strict=True):
        assert look.mean_cd_m2 == pytest.approx(mean, abs=look.bar_cd_m2 + 2.0 * error)


def test_the_same_seed_gives_the_same_figures_on_any_number_of_threads():
    suite = Suite(boxes=(NEAR, FAR), passages=(WHOLE_WALL,))
    two = verify_suite(suite, seed=1, effort=replace(QUICK, threads=2))
    assert [one.openings[0].mean_cd_m2 for one in two] == [mean for mean, _ in means_of(suite)]


def test_one_box_may_be_asked_about_alone():
    suite = Suite(boxes=(NEAR, FAR), passages=(WHOLE_WALL,))
    (only,) = verify_suite(suite, seed=1, effort=QUICK, only=1)
    assert only.openings[0].mean_cd_m2 == means_of(suite)[1][0]


def test_no_lamp_anywhere_is_refused():
    dark = Suite(boxes=(replace(NEAR, lamps=()), FAR), passages=(WHOLE_WALL,))
    assert isinstance(verify_suite(dark, seed=1, effort=QUICK), Refusal)
