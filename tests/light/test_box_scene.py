from math import pi

import numpy as np
import pytest

from lamphouse.design.lightbox import Seat
from lamphouse.light.box_glow import LedCurrent
from lamphouse.light.box_scene import (
    RIM_ERROR_MM,
    beam_of,
    draw_box,
    flux_lm,
    shape_of,
    windows_of,
)
from lamphouse.light.glow import solve
from lamphouse.light.scene import Disc, Patch, Rectangle
from lamphouse.shapes.outline import polygon, rounded_rectangle
from light.boxes import scenes
from light.designs import (
    design_of,
    film,
    led,
    led_type,
    light_box,
    opening,
    outline,
    panel,
    round_outline,
    upright,
)
from tolerances import EXACT, TABLE

LIT, SPOTS = 0.005, 0.007
"""What is asked of lit openings: the mean, and the root mean square over the cells."""

ONE_FINISH = [
    scene for scene in scenes("light_scenes.json") if len(set(scene["reflectance"].values())) == 1
]


@pytest.mark.parametrize("scene", ONE_FINISH, ids=lambda scene: scene["name"])
def test_a_reference_scene_written_as_a_design_glows_as_the_reference(scene):
    """tests/reference/light_scenes: a path tracer, standard errors given."""
    top, box = design_of(scene)
    drawn = draw_box(top, box=box, currents={})
    brightest = max(seen["mean_cd_m2"] for seen in scene["reference"]["apertures"])
    for look, seen in zip(solve(drawn.scene).looks, scene["reference"]["apertures"], strict=True):
        dark = 2.0 if seen["mean_cd_m2"] < 0.2 * brightest else 1.0
        within = dark * LIT * seen["mean_cd_m2"] + 2.0 * seen["mean_se"]
        assert look.mean_cd_m2 == pytest.approx(seen["mean_cd_m2"], abs=within)
        if "grid_cd_m2" in seen:
            cells = look.luminance_cd_m2.reshape(6, 8)
            off = (cells - np.array(seen["grid_cd_m2"])) / seen["mean_cd_m2"]
            noise = np.mean(np.square(seen["grid_se_cd_m2"])) / seen["mean_cd_m2"] ** 2
            assert np.mean(off**2) <= (dark * SPOTS) ** 2 + 2.0 * noise


@pytest.mark.parametrize(
    ("beam_deg", "m", "lm_per_cd"),
    [(60.0, None, 1.0798), (120.0, 1.0, 3.1416), (130.0, 0.8048, 3.4814), (150.0, 0.5128, 4.1533)],
)
def test_beams_have_the_printed_power_and_flux(beam_deg, m, lm_per_cd):
    """m = ln 0.5 / ln cos(half of the full width); flux per peak 2 pi / (m + 1)."""
    beam = beam_of(beam_deg)
    assert 2.0 * pi / (beam.m + 1.0) == pytest.approx(lm_per_cd, abs=TABLE * 1e-4)
    if m is not None:
        assert beam.m == pytest.approx(m, abs=TABLE * 1e-4)


def test_a_half_space_beam_is_even():
    assert beam_of(180.0).m == 0.0


def test_light_goes_with_the_current():
    assert flux_lm(led_type(flux_lm=1.2), current_A=0.0015) == pytest.approx(0.36, rel=EXACT)


def test_lamps_burn_at_the_current_of_the_circuit_else_at_the_wanted():
    box = light_box(upright(0, 0, 30, 20), led("A", 8, 10), led("B", 22, 10, current_A=0.001))
    known = LedCurrent(led="A", low_A=0.001, nominal_A=0.002, high_A=0.003)
    drawn = draw_box(panel(), box=box, currents={"A": known})
    assert [lamp.flux_lm for lamp in drawn.scene.lamps] == pytest.approx([0.4, 0.2], rel=EXACT)


@pytest.mark.parametrize(
    ("x", "y", "place", "axis"),
    [
        (29.0, 10.0, (29.4, 10.0, 3.0), (-1.0, 0.0, 0.0)),
        (12.0, 19.5, (12.0, 19.4, 3.0), (0.0, -1.0, 0.0)),
        (1.0, 5.0, (0.6, 5.0, 3.0), (1.0, 0.0, 0.0)),
    ],
)
@pytest.mark.parametrize("backwards", [False, True])
def test_an_led_on_a_wall_shines_square_to_the_nearest(x, y, place, axis, backwards):
    corners = [(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]
    inside = outline(polygon(corners[::-1] if backwards else corners))
    box = light_box(inside, led("A", x, y, seat=Seat.WALL, height_mm=3.0))
    (lamp,) = draw_box(panel(), box=box, currents={}).scene.lamps
    assert (lamp.x_mm, lamp.y_mm, lamp.z_mm) == pytest.approx(place, abs=EXACT)
    assert lamp.direction == pytest.approx(axis, abs=EXACT)


def test_an_led_under_the_panel_shines_at_the_back():
    box = light_box(upright(0, 0, 30, 20), led("A", 8, 10, seat=Seat.PANEL), depth_mm=9.0)
    (lamp,) = draw_box(panel(), box=box, currents={}).scene.lamps
    assert (lamp.z_mm, lamp.direction[2]) == (pytest.approx(8.4, abs=EXACT), -1.0)


def test_shapes_keep_their_kind():
    assert shape_of(round_outline(32.0, x_mm=4.0, y_mm=5.0)) == Disc(
        x_mm=4.0, y_mm=5.0, diameter_mm=32.0
    )
    assert shape_of(upright(1, 2, 9, 8)) == Rectangle(
        left_mm=1.0, bottom_mm=2.0, right_mm=9.0, top_mm=8.0
    )
    slanted = outline(polygon([(0.0, 0.0), (9.0, 1.0), (8.0, 7.0), (0.0, 6.0)]))
    assert isinstance(shape_of(slanted), Patch)
    rounded = outline(rounded_rectangle(20.0, height_mm=10.0, radius_mm=3.0))
    ring = np.array(shape_of(rounded).ring)
    x, y = ring.T
    area = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2.0
    lost = 200.0 - (4.0 - pi) * 9.0 - area
    assert 0.0 <= lost <= RIM_ERROR_MM * 2.0 * pi * 3.0


def test_openings_over_the_box_are_found_and_others_left_out():
    box = light_box(upright(0, 0, 30, 20))
    opal = film(0.5, 0.4)
    top = panel(
        opening("over", upright(3, 3, 10, 10), opal),
        opening("half", upright(25, 3, 35, 10), opal),
        opening("beside", upright(30, 3, 40, 10), opal),
        opening("far", round_outline(5.0, x_mm=60.0, y_mm=40.0), opal),
    )
    assert [window.opening.name for window in windows_of(top, box=box)] == ["over", "half"]
