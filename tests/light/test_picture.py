from math import pi

import numpy as np
import pytest

from lamphouse.light.cavity import light_up
from lamphouse.light.glow import solve
from lamphouse.light.live import make_live
from lamphouse.light.picture import cubic_weights, make_canvas, paint
from light.boxes import box_of, scenes
from tolerances import EXACT

BY_NAME = {scene["name"]: scene for scene in scenes("light_scenes.json") + scenes("stress.json")}


def painted(box, *, number=0, pixels=4.0, room=0.0):
    live = make_live(box)
    inside = live.interior
    canvas = make_canvas(inside, aperture=box.apertures[number], pixels_per_mm=pixels, step_mm=2.0)
    field = light_up(inside, balance=live.balance, lamps=box.lamps)
    return paint(
        canvas,
        interior=inside,
        field=field,
        lamps=box.lamps,
        flux_lm=[one.flux_lm for one in box.lamps],
        room_lx=room,
    )


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("s01_shallow_hotspot", 0),
        ("s06_baffle_gap", 1),
        ("f07_round", 0),
        ("f26_open_sheet", 0),
        ("f29_haze_wide", 0),
    ],
)
def test_the_picture_has_the_luminance_of_the_opening(name, number):
    box = box_of(BY_NAME[name])
    picture = painted(box, number=number)
    mean = picture.luminance_cd_m2[picture.shown].mean()
    assert mean == pytest.approx(solve(box).looks[number].mean_cd_m2, rel=0.01)


def test_the_picture_shows_the_spots_where_they_are():
    """Means of 48 pixel blocks against the path tracer's grid, s03: from 246 to 1655 cd/m2."""
    scene = BY_NAME["s03_side_firing"]
    picture = painted(box_of(scene), pixels=4.0)
    grid = np.array(scene["reference"]["apertures"][0]["grid_cd_m2"])
    rows, columns = picture.luminance_cd_m2.shape
    assert (rows, columns) == (76, 136)
    blocks = picture.luminance_cd_m2[:, : columns // 8 * 8].reshape(rows, 8, -1).mean(axis=2)
    strips = np.array([part.mean(axis=0) for part in np.array_split(blocks, 6)])
    assert strips == pytest.approx(grid, rel=0.03)


def test_room_light_adds_what_the_front_throws_back():
    """L = rho E / pi: 100 lx on reflectance 0.35."""
    box = box_of(BY_NAME["s02_two_leds"])
    dark, bright = painted(box), painted(box, room=100.0)
    gain = (bright.luminance_cd_m2 - dark.luminance_cd_m2)[dark.shown]
    assert gain == pytest.approx(35.0 / pi)


def test_pixels_outside_a_round_opening_stay_dark():
    picture = painted(box_of(BY_NAME["f07_round"]))
    assert (picture.luminance_cd_m2[~picture.shown] == 0.0).all()
    assert picture.shown.sum() / 16.0 == pytest.approx(pi * 49.0, rel=0.01)


def test_cubics_are_drawn_exactly():
    values = np.arange(0.5, 7.0)
    places = np.linspace(0.0, 7.0, 29)
    for power in range(4):
        drawn = cubic_weights(7, places=places) @ values**power
        assert drawn == pytest.approx(places**power, abs=EXACT * 1e3)
