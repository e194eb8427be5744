"""The rest of the closed forms: round faces, beams like cones, a cube with a black floor."""

import json
from math import pi, radians, sin

import numpy as np
import pytest

from lamphouse.light.cavity import coarse_balance, settle, thrown_back
from lamphouse.light.edge_integrals import contour, level_sums
from lamphouse.light.emitter import intensity
from lamphouse.light.interior import make_interior
from lamphouse.light.scene import CosinePower, IntensityTable
from lamphouse.light.views import gather
from light.boxes import plain_box
from tolerances import PHYSICS, TABLE

CHORDS = 360
"""A disc is a ring of so many chords around the same area; its rim is then true within 1e-4."""


def disc(radius):
    turn = 2.0 * pi / CHORDS
    angle = turn * np.arange(CHORDS)
    ring = radius * np.sqrt(turn / sin(turn)) * np.column_stack([np.cos(angle), np.sin(angle)])
    return contour(
        ring, end_mm=np.roll(ring, -1, axis=0), face=np.zeros(CHORDS, dtype=int), count=1
    )


def test_coaxial_discs(reference):
    """Howell C-41 [HOWELL]."""
    text = (reference / "form_factors" / "values.json").read_text(encoding="utf-8")
    for case in json.loads(text)["discs"]:
        one, other = disc(case["r1"]), disc(case["r2"])
        exchange = -level_sums(one, other=other, gaps_mm=[case["d"]])[0, 0, 0]
        factor = exchange / (pi * case["r1"] ** 2)
        assert factor == pytest.approx(case["F12"], rel=PHYSICS / 5.0)


@pytest.mark.parametrize(("full_deg", "lm_per_cd"), [(60.0, 0.841787), (120.0, 3.141593)])
def test_an_even_cone(full_deg, lm_per_cd):
    """Flux over intensity of an even cone is 2 pi (1 - cos(half)), as lamp handbooks print it.

    At 120 degrees it happens to be that of cos^1; at 60 degrees cos^m gives 1.0798.
    """
    cone = IntensityTable(angles_deg=(0.0, full_deg / 2.0), relative=(1.0, 1.0))
    peak = float(intensity(cone, cosine=np.ones(1))[0])
    assert 1.0 / peak == pytest.approx(lm_per_cd, abs=TABLE * 1e-6)


def test_cone_and_cosine_agree_at_120_degrees_only():
    """25 lm at 120 degrees are 7.957747 cd, as a lamp handbook prints it."""
    peaks = []
    for half_deg in (60.0, 30.0):
        cone = IntensityTable(angles_deg=(0.0, half_deg), relative=(1.0, 1.0))
        power = np.log(0.5) / np.log(np.cos(radians(half_deg)))
        peaks.append(
            [
                25.0 * float(intensity(beam, cosine=np.ones(1))[0])
                for beam in (cone, CosinePower(m=float(power)))
            ]
        )
    assert peaks[0] == pytest.approx([7.957747, 7.957747], abs=TABLE * 1e-6)
    assert peaks[1][0] > 1.2 * peaks[1][1]


@pytest.mark.parametrize(
    ("case", "floor", "walls"), [("black_floor_walls_0.8", 0.0, 0.8), ("all_black", 0.0, 0.0)]
)
def test_a_cube_with_a_black_floor_that_glows(reference, case, floor, walls):
    """Backward path tracing, 1.5 million paths; rtrace gave 0.5604 and 0.4804 (form_factors)."""
    text = (reference / "form_factors" / "cube.json").read_text(encoding="utf-8")
    known = json.loads(text)["mc_opposite_face"][case]
    box = plain_box(
        outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)),
        depth_mm=1.0,
        back_reflectance=floor,
        panel_reflectance=walls,
        wall_reflectances=(walls,),
        apertures=(),
        lamps=(),
    )
    inside = make_interior(box, step=0.1)
    cells = inside.cavities[0].cell_count
    start = np.concatenate([np.ones(cells), np.zeros(inside.face_count - cells)])
    first = (inside.exchange_mm2[0] @ start / inside.area_mm2)[:, None]
    light = settle(inside, balance=coarse_balance(inside), first=first, guess=first)
    sent = start[:, None] + thrown_back(inside, illuminance=light)
    windows = {"mean": (0.0, 1.0), "centre": (0.49, 0.51), "at_0.1_0.1": (0.09, 0.11)}
    for place, (value, error) in known.items():
        left, right = windows[place]
        spot = np.array([[(left, left), (right, left), (right, right), (left, right)]])
        seen = float((gather(inside, spots=spot, cavity=0, faces_up=False) @ sent)[0, 0])
        assert seen == pytest.approx(value, abs=3.0 * error + 2.0 * PHYSICS * value)
