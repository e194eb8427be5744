import numpy as np
import pytest

from lamphouse.light.cavity import coarse_balance, light_up
from lamphouse.light.clearance import LEAST_MM
from lamphouse.light.glow import energy_of, solve
from lamphouse.light.interior import make_interior
from lamphouse.light.uprights import distance_mm
from light.boxes import box_of, plain_box, scenes

# What the trade needs, and what was asked of the solver: lit openings 0.5 % in the mean and 0.7 %
# over their spots; dark chambers and leaks 1.0 and 1.5 %; small holes 0.7 %; hazy sheets 0.5 and
# 2 %. To each, two standard errors of the reference are added.
LIT, DARK, HOLE = (0.005, 0.007), (0.010, 0.015), (0.007, 0.0)
HAZY = (0.005, 0.020)
DARK_SHARE = 0.2
SMALL_MM = 3.0
ENERGY = 1e-4

ALL = scenes("light_scenes.json") + scenes("stress.json")
FRESH = [scene for name in ("baffled", "beams", "aimed") for scene in scenes(f"fresh/{name}.json")]


def allowance(scene, opening, seen):
    if "haze" in opening and opening["haze"]["lobe"] > 0.0:
        brightest = max(one["mean_cd_m2"] for one in scene["reference"]["apertures"])
        return HAZY if seen["mean_cd_m2"] > DARK_SHARE * brightest else (0.010, 0.020)
    if opening["shape"] == "circle" and opening["diameter_mm"] < SMALL_MM:
        return HOLE
    brightest = max(one["mean_cd_m2"] for one in scene["reference"]["apertures"])
    return DARK if seen["mean_cd_m2"] < DARK_SHARE * brightest else LIT


def has_no_figure(scene):
    """Tell whether a lamp is so near a baffle that the program refuses a figure: LIT003."""
    box = box_of(scene)
    return any(
        distance_mm((one.x_mm, one.y_mm), foot=(baffle.start_mm, baffle.end_mm)) < LEAST_MM
        for one in box.lamps
        for baffle in box.baffles
    )


@pytest.fixture(scope="module")
def glows():
    return {scene["name"]: solve(box_of(scene)) for scene in ALL + FRESH}


@pytest.mark.parametrize("scene", ALL + FRESH, ids=lambda scene: scene["name"])
def test_luminances_are_those_of_the_references(scene, glows):
    """tests/reference/light_scenes: a path tracer and Monte Carlos, standard errors given."""
    looks = glows[scene["name"]].looks
    for look, opening, seen in zip(
        looks, scene["apertures"], scene["reference"]["apertures"], strict=True
    ):
        mean, spread = allowance(scene, opening, seen)
        if has_no_figure(scene):
            mean = max(mean, look.bar_cd_m2 / look.mean_cd_m2)
        noise = 2.0 * seen["mean_se"] / seen["mean_cd_m2"]
        assert look.mean_cd_m2 == pytest.approx(seen["mean_cd_m2"], rel=mean + noise)
        if "grid_cd_m2" in seen:
            grid = np.ravel(seen["grid_cd_m2"])
            error = np.ravel(seen["grid_se_cd_m2"]) / grid
            off = np.mean((look.luminance_cd_m2 / grid - 1.0) ** 2) - np.mean(error**2)
            # The scatter of the mean square of the reference's own noise, twice.
            off -= 2.0 * np.sqrt(2.0 / len(grid)) * np.mean(error**2)
            assert np.sqrt(max(off, 0.0)) < spread


def test_the_bar_holds_the_truth_in_95_of_100_openings(glows):
    """tests/reference/light_scenes; one standard error of the reference is granted."""
    held = [
        abs(look.mean_cd_m2 - seen["mean_cd_m2"]) <= look.bar_cd_m2 + seen["mean_se"]
        for scene in ALL + FRESH
        for look, seen in zip(
            glows[scene["name"]].looks, scene["reference"]["apertures"], strict=True
        )
    ]
    assert np.mean(held) >= 0.95


@pytest.mark.parametrize("scene", ALL, ids=lambda scene: scene["name"])
def test_no_light_is_lost_or_made(scene, glows):
    energy = glows[scene["name"]].energy
    assert energy.missing < ENERGY
    assert energy.absorbed_lm > 0.0
    assert energy.escaped_lm > 0.0


def test_a_closed_black_box_keeps_only_what_its_paint_keeps():
    box = plain_box(apertures=(), back_reflectance=0.0, panel_reflectance=0.0)
    box_light = make_interior(box)
    field = light_up(box_light, balance=coarse_balance(box_light), lamps=box.lamps)
    energy = energy_of(box_light, field=field, flux_lm=np.array([2.0]))
    assert energy.emitted_lm == 2.0
    assert energy.escaped_lm == 0.0
    assert energy.missing < ENERGY


def test_evenness_and_hot_spot_follow_from_the_spots():
    look = solve(plain_box()).looks[0]
    spots = look.luminance_cd_m2
    assert len(spots) == 48
    assert look.smallest_over_mean == pytest.approx(spots.min() / spots.mean())
    assert look.largest_over_mean == pytest.approx(spots.max() / spots.mean())
    assert look.smallest_over_mean < 1.0 < look.largest_over_mean
