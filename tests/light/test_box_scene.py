from math import acos, degrees, pi

import numpy as np
import pytest

from lamphouse.catalogue.light_spread import FilmHaze
from lamphouse.design.lightbox import InnerDiffuser, Seat
from lamphouse.light.box_glow import LedCurrent
from lamphouse.light.box_scene import (
    RIM_ERROR_MM,
    beam_of,
    draw_box,
    flux_lm,
    shape_of,
    windows_of,
)
from lamphouse.light.figure_rules import weak_diffuser
from lamphouse.light.glow import solve
from lamphouse.light.scene import Disc, Patch, Rectangle
from lamphouse.light.sightline_rules import led_in_sight
from lamphouse.light.verify import Effort, verify
from lamphouse.record import replace
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
from tolerances import EXACT, PHYSICS, TABLE

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


def hazy(**shares):
    return replace(film(0.7, 0.2), haze=FilmHaze(**shares))


def by_points(step_deg, *, power):
    """The cosine's own power, at points: what a goniometer would read of such an LED."""
    angles = np.arange(0.0, 90.0 + step_deg / 2.0, step_deg)
    shares = np.cos(np.radians(np.minimum(angles, 90.0))) ** power
    return tuple(zip(angles.tolist(), np.maximum(shares, 0.0).tolist(), strict=True))


def sighted(*films, kind=None, inner=None):
    top = panel(opening("A", upright(8, 5, 22, 15), *films))
    lit = led("W", 11.0, 9.0, kind=kind)
    box = light_box(upright(0, 0, 30, 20), lit, depth_mm=9.0, inner=inner)
    return draw_box(top, box=box, currents={})


@pytest.mark.parametrize("power", [1.0, 6.0])
def test_a_beam_by_its_points_lights_as_the_formula_they_were_read_off(power):
    points = replace(
        led_type(beam_deg=2.0 * degrees(acos(0.5 ** (1.0 / power)))),
        beam_points=by_points(1.0, power=power),
    )
    plain = replace(points, beam_points=None)
    (one,), (other,) = (
        solve(sighted(film(0.6, 0.36), kind=kind).scene).looks for kind in (points, plain)
    )
    assert one.luminance_cd_m2 == pytest.approx(other.luminance_cd_m2, rel=PHYSICS)


def test_the_lobe_of_a_film_is_half_as_strong_at_half_its_width():
    drawn = sighted(hazy(even=0.5, lobe=0.4, straight=0.1, width_deg=24.0))
    haze = drawn.scene.apertures[0].fill.haze
    assert np.exp(-0.5 * (12.0 / haze.lobe_deg) ** 2) == pytest.approx(0.5, rel=EXACT)
    assert (haze.diffuse, haze.lobe, haze.straight) == (0.5, 0.4, 0.1)


def test_a_hazy_film_shows_its_led_and_the_walks_say_as_much():
    pytest.importorskip("numba")
    drawn = sighted(
        hazy(even=0.5, lobe=0.5, straight=0.0, width_deg=40.0), film(0.9, 0.07, use="print")
    )
    even = sighted(film(0.7, 0.2), film(0.9, 0.07, use="print"))
    (look,), (flat,) = solve(drawn.scene).looks, solve(even.scene).looks
    assert look.luminance_cd_m2.max() / look.mean_cd_m2 > 1.1 * (
        flat.luminance_cd_m2.max() / flat.mean_cd_m2
    )
    walked = verify(
        drawn.scene, seed=3, effort=Effort(relative_error=0.003, most_walks=800_000)
    ).openings[0]
    allowed = 0.005 * walked.mean_cd_m2 + 3.0 * walked.mean_error_cd_m2
    assert look.mean_cd_m2 == pytest.approx(walked.mean_cd_m2, abs=allowed)


def test_two_films_that_scatter_scatter_evenly():
    haze = hazy(even=0.5, lobe=0.4, straight=0.1, width_deg=24.0)
    assert sighted(haze, film(0.6, 0.36)).scene.apertures[0].fill.haze is None


def judged(drawn):
    found = (*weak_diffuser(drawn), *led_in_sight(drawn))
    return {finding.code: finding for finding in found}


def test_the_led_behind_a_film_that_passes_light_straight_is_told_and_a_lobe_is_a_figure():
    hidden = sighted(hazy(even=0.5, lobe=0.5, straight=0.0, width_deg=24.0))
    assert judged(hidden) == {}
    seen = judged(sighted(hazy(even=0.5, lobe=0.4, straight=0.1, width_deg=24.0)))
    assert set(seen) == {"LIT016"}
    assert "through the haze of 'A'" in seen["LIT016"].message
    assert "as the first layer of 'A'" in seen["LIT016"].remedy
    assert set(judged(sighted(film(0.85, 0.1)))) == {"LIT008"}


def test_an_inner_diffuser_that_hardly_scatters_is_told():
    weak = InnerDiffuser(film=film(0.85, 0.1), height_mm=5.0)
    dense = InnerDiffuser(film=film(0.6, 0.36), height_mm=5.0)
    told = judged(sighted(film(0.6, 0.36), inner=weak))
    assert "the inner diffuser of box 'box', 'film'" in told["LIT008"].message
    assert judged(sighted(film(0.6, 0.36), inner=dense)) == {}
