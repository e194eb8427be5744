"""The second opinion against closed forms, tables, another program's scenes, and itself."""

import json
import os
from importlib.util import find_spec
from math import exp, pi, radians

import numpy as np
import pytest

from lamphouse.light.account import Account, account
from lamphouse.light.scene import (
    Aperture,
    Baffle,
    Box,
    Diffuser,
    Disc,
    Haze,
    IntensityTable,
    Lamp,
    Patch,
    Sheet,
)
from lamphouse.light.verify import Effort, Opinion, agreement, verify
from lamphouse.light.walkable import Refusal
from lamphouse.record import replace
from light.boxes import OPAL, box_of, lamp, plain_box, rectangle, scenes
from tolerances import EXACT, PHYSICS

if find_spec("numba") is None:
    if os.environ.get("CI") == "true":
        pytest.fail("the second opinion cannot be tested without its compiler 'numba'")
    pytest.skip("the compiler 'numba' is not installed", allow_module_level=True)

QUICK = Effort(relative_error=0.0, most_walks=50_000)
"""24 batches of an opening."""

FEW = Effort(relative_error=0.0, most_walks=5_000)
"""For boxes with hundreds of lamps."""

CHI2_48 = 1.75
"""Reduced chi-square of 48 spots that chance passes once in a thousand (tables of chi-square)."""

SIGMAS = 4.0
"""Standard errors that chance passes once in fifteen thousand."""

WIDE_AS_EVEN = Diffuser(transmittance=0.5, reflectance=0.0)


def seen_of(box, *, seed=1, effort=QUICK):
    opinion = verify(box, seed=seed, effort=effort)
    assert isinstance(opinion, Opinion)
    return opinion.openings


def black_box(*, width=1.0, length=1.0, depth=1.0, lamps, apertures=(), paint=0.0):
    return Box(
        outline=((0.0, 0.0), (width, 0.0), (width, length), (0.0, length)),
        depth_mm=depth,
        back_reflectance=paint,
        panel_reflectance=paint,
        wall_reflectances=(paint,),
        lamps=lamps,
        apertures=apertures,
    )


def glowing_floor(*, width=1.0, length=1.0, pitch=1 / 16):
    """Small even lamps all over the floor: together it sends out 1 lm/mm2."""
    across, along = round(width / pitch), round(length / pitch)
    return tuple(
        lamp((i + 0.5) * pitch, (j + 0.5) * pitch, 0.0, flux=pitch**2, name=f"{i},{j}")
        for i in range(across)
        for j in range(along)
    )


def lux_per_million(seen, *, transmittance):
    """Illuminance behind an even diffuser. [lm/mm2]."""
    return seen.mean_cd_m2 * pi / transmittance / 1e6


def opening(shape, *, fill=WIDE_AS_EVEN):
    return Aperture(name="A", shape=shape, fill=fill)


def test_even_lamp_lights_a_panel_by_the_fourth_power_of_the_cosine(reference):
    # Source: E = I cos(theta) / d^2 (CIE terms): Lambertian lamp, h = x = 1: 0.25 I0.
    far = opening(Disc(x_mm=2.0, y_mm=1.0, diameter_mm=0.01))
    box = black_box(width=3.0, length=2.0, lamps=(lamp(1.0, 1.0, 0.0, flux=pi),), apertures=(far,))
    (seen,) = seen_of(box)
    assert lux_per_million(seen, transmittance=0.5) == pytest.approx(0.25, rel=PHYSICS)


def test_lamp_of_a_level_table_lights_by_the_third_power():
    # Source: the same law; an isotropic lamp of 1 cd, h = x = 1: 0.353553.
    even = Lamp(
        name="W1",
        x_mm=1.0,
        y_mm=1.0,
        z_mm=0.5,
        direction=(0.3, -0.2, 0.6),
        beam=IntensityTable(angles_deg=(0.0, 180.0), relative=(1.0, 1.0)),
        flux_lm=4.0 * pi,
    )
    far = opening(Disc(x_mm=2.0, y_mm=1.0, diameter_mm=0.01))
    box = black_box(width=3.0, length=2.0, depth=1.5, lamps=(even,), apertures=(far,))
    (seen,) = seen_of(box)
    assert lux_per_million(seen, transmittance=0.5) == pytest.approx(0.353553, rel=PHYSICS)


@pytest.mark.parametrize(("depth", "share"), [(1.0, 1.570796), (2.0, 0.628319), (5.0, 0.12083)])
def test_disc_and_point_on_its_axis(depth, share):
    # Source: disc source on axis E = pi L r^2 / (r^2 + d^2), tabulated for r = 1; by reversal the
    # share of an even lamp's light that a disc on its axis catches is E / (pi L).
    whole = opening(Disc(x_mm=2.0, y_mm=2.0, diameter_mm=2.0))
    box = black_box(
        width=4.0, length=4.0, depth=depth, lamps=(lamp(2.0, 2.0, 0.0),), apertures=(whole,)
    )
    (seen,) = seen_of(box)
    assert lux_per_million(seen, transmittance=0.5) * pi == pytest.approx(share / pi, rel=PHYSICS)


@pytest.mark.parametrize(("width", "length"), [(0.5, 0.5), (1.0, 1.0), (1.0, 2.0), (2.0, 2.0)])
def test_parallel_rectangles(width, length, reference):
    # Source: Howell C-11.
    table = json.loads((reference / "form_factors" / "values.json").read_text())
    (factor,) = (row["F"] for row in table["parallel"] if (row["X"], row["Y"]) == (width, length))
    lamps = glowing_floor(width=width, length=length, pitch=min(width, 1.0) / 16)
    box = black_box(width=width, length=length, lamps=lamps)
    whole = opening(rectangle(0.0, 0.0, width, length))
    (seen,) = seen_of(replace(box, apertures=(whole,)), effort=FEW)
    assert lux_per_million(seen, transmittance=0.5) == pytest.approx(factor, rel=PHYSICS)


def test_rectangles_with_a_common_edge(reference):
    # Source: Howell C-14: a floor of 1 x 0.5 with walls 0.5 high.
    table = json.loads((reference / "form_factors" / "values.json").read_text())
    factor = {(row["H"], row["W"]): row["F12"] for row in table["perpendicular_H_W"]}
    lamps = glowing_floor(length=0.5, pitch=1 / 32)
    box = black_box(length=0.5, depth=0.5, lamps=lamps)
    found = account(box, seed=1, walks=32 * 128)
    walls = 2.0 * factor[0.5, 0.5] + 2.0 * factor[1, 2]
    assert found.kept_lm["wall"] / 0.5 == pytest.approx(walls, rel=PHYSICS)
    assert found.kept_lm["panel"] / 0.5 == pytest.approx(0.285875, rel=PHYSICS)


@pytest.mark.parametrize("paint", ["0.5", "0.8", "0.9"])
def test_cube_with_a_glowing_floor(paint, reference):
    # Source: unit cube, backward path tracing of 1.5 million paths, confirmed by a renderer.
    table = json.loads((reference / "form_factors" / "cube.json").read_text())
    expected = table["mc_opposite_face"][paint]
    rho = float(paint)
    fill = Diffuser(transmittance=0.05, reflectance=rho)
    spots = {
        "mean": rectangle(0.0, 0.0, 1.0, 1.0),
        "centre": Disc(x_mm=0.5, y_mm=0.5, diameter_mm=0.02),
        "at_0.1_0.1": Disc(x_mm=0.1, y_mm=0.1, diameter_mm=0.02),
    }
    for name, shape in spots.items():
        box = black_box(lamps=glowing_floor(), apertures=(opening(shape, fill=fill),), paint=rho)
        (seen,) = seen_of(box, effort=FEW)
        value, error = expected[name]
        sigma = np.hypot(error, seen.relative_error * value)
        assert lux_per_million(seen, transmittance=0.05) == pytest.approx(
            value, abs=SIGMAS * sigma + PHYSICS * value
        )


@pytest.mark.parametrize("name", ["s06_baffle_gap", "s07_inner_sheet", "s09_open_black_panel"])
def test_scenes_of_another_program(name):
    # Source: light_scenes.json, a path tracer with 57.6 million paths.
    (scene,) = (scene for scene in scenes("light_scenes.json") if scene["name"] == name)
    for seen, record in zip(seen_of(box_of(scene)), scene["reference"]["apertures"], strict=True):
        beside = agreement(
            seen,
            spot_cd_m2=np.ravel(record["grid_cd_m2"]),
            spot_error_cd_m2=np.ravel(record["grid_se_cd_m2"]),
            mean_error_cd_m2=record["mean_se"],
        )
        assert abs(beside.off_in_errors) < SIGMAS
        assert beside.reduced_chi2 < CHI2_48
        assert seen.relative_error < 0.02


def busy_box(paint=0.85):
    """Everything a box can have, with walls of different paint."""
    outline = ((0.0, 0.0), (34.0, 0.0), (34.0, 12.0), (20.0, 12.0), (20.0, 26.0), (0.0, 24.0))
    table = IntensityTable(angles_deg=(0.0, 40.0, 90.0, 110.0), relative=(0.6, 1.0, 0.4, 0.0))
    aside = Lamp(
        name="W2",
        x_mm=5.0,
        y_mm=20.0,
        z_mm=2.5,
        direction=(0.6, -0.8, 0.1),
        beam=table,
        flux_lm=0.7,
    )
    hazy = Diffuser(
        transmittance=0.6,
        reflectance=0.3,
        haze=Haze(diffuse=0.6, lobe=0.3, straight=0.1, lobe_deg=9.0),
    )
    return Box(
        outline=outline,
        holes=(((8.0, 4.0), (11.0, 4.0), (11.0, 9.0), (8.0, 8.0)),),
        depth_mm=9.0,
        back_reflectance=paint,
        panel_reflectance=0.5,
        wall_reflectances=(paint, 0.1, paint, 0.6, paint, paint, 0.9, 0.9, 0.3, 0.9),
        lamps=(lamp(14.0, 6.0, 0.5), aside),
        apertures=(
            Aperture(
                name="hexagon", shape=Patch(ring=((3, 12), (9, 11), (10, 18), (4, 17))), fill=hazy
            ),
            Aperture(name="slot", shape=rectangle(13.0, 1.0, 30.0, 2.5), fill=None),
            Aperture(name="disc", shape=Disc(x_mm=26.0, y_mm=7.0, diameter_mm=6.0), fill=OPAL),
        ),
        baffles=(Baffle(start_mm=(16, 0), end_mm=(19, 9), low_mm=2, high_mm=7, reflectance=0.7),),
        sheet=Sheet(height_mm=5.0, transmittance=0.5, reflectance=0.4),
    )


def test_all_light_is_kept_or_leaves():
    found = account(busy_box(), seed=5, walks=32 * 256)
    assert set(found.kept_lm) == {"back", "panel", "sheet", "opening", "wall", "baffle"}
    assert found.error_lm / found.emitted_lm < 0.006
    assert abs(found.balance) < SIGMAS * found.error_lm / found.emitted_lm


def test_no_light_is_lost_after_many_reflections():
    # A box of 0.98 keeps 2 % at a time; walks cut off after 100 steps would miss a tenth.
    box = black_box(width=9.0, length=6.0, depth=4.0, lamps=(lamp(3.0, 2.0, 0.1),), paint=0.98)
    found = account(box, seed=2, walks=32 * 128)
    assert isinstance(found, Account)
    assert found.error_lm / found.emitted_lm < 0.02
    assert abs(found.balance) < SIGMAS * found.error_lm / found.emitted_lm


def test_what_leaves_is_what_the_openings_show():
    box = plain_box()
    found = account(box, seed=3, walks=32 * 256)
    (seen,) = seen_of(box)
    shown = pi * seen.mean_cd_m2 * seen.area_mm2.sum() / 1e6
    assert found.left_lm == pytest.approx(shown, rel=5.0 * PHYSICS)


def test_standard_errors_are_honest():
    # Independent seeds scatter about their mean as far as their errors say, mean and spots alike.
    effort = replace(QUICK, most_walks=10_000)
    box = plain_box(lamps=(lamp(12.0, 9.0, 0.6), lamp(0.5, 5.0, 4.0, direction=(1.0, 0.0, 0.0))))
    found = [seen_of(box, seed=seed, effort=effort)[0] for seed in range(12)]
    mean = np.array([seen.mean_cd_m2 for seen in found])
    error = np.array([seen.mean_error_cd_m2 for seen in found])
    chi2 = float((((mean - mean.mean()) / error) ** 2).sum()) / (len(found) - 1)
    assert 0.2 < chi2 < 3.0
    spots = np.array([seen.spot_cd_m2 for seen in found])
    errors = np.array([seen.spot_error_cd_m2 for seen in found])
    chi2 = float((((spots - spots.mean(axis=0)) / errors) ** 2).sum()) / (48 * (len(found) - 1))
    assert 0.75 < chi2 < 1.6


def test_lamp_beside_a_wall_is_no_spike():
    # The direct way alone scatters by 1.6 and 5 hundredths with so many walks, for a spot of wall
    # close to the lamp outshines all else.
    effort = replace(QUICK, most_walks=100_000)
    for gap in (0.3, 0.1):
        (seen,) = seen_of(plain_box(lamps=(lamp(gap, 10.0, 0.6),)), effort=effort)
        assert seen.relative_error < 8.0 * PHYSICS


def test_lobe_shows_the_lamp_below():
    # By definition tau l I0 / d^2 times the Gaussian, whose integral over directions is 1; for a
    # narrow one its middle is 1 / (2 pi sigma^2).
    haze = Haze(diffuse=0.0, lobe=1.0, straight=0.0, lobe_deg=2.0)
    hazy = Diffuser(transmittance=0.5, reflectance=0.0, haze=haze)
    offset = 0.3
    disc = Disc(x_mm=2.0 + offset, y_mm=2.0, diameter_mm=0.002)
    box = black_box(
        width=4.0,
        length=4.0,
        depth=6.0,
        lamps=(lamp(2.0, 2.0, 0.0, flux=pi),),
        apertures=(opening(disc, fill=hazy),),
    )
    (seen,) = seen_of(box)
    sigma, square = radians(2.0), 36.0 + offset**2
    angle = np.arctan(offset / 6.0)
    lit = 36.0 / square**2
    cosine = 6.0 / np.sqrt(square)
    shown = 0.5 * lit / cosine * exp(-0.5 * (angle / sigma) ** 2) / (2.0 * pi * sigma**2)
    assert seen.mean_cd_m2 / 1e6 == pytest.approx(shown, rel=PHYSICS)


def test_straight_part_shows_what_an_open_hole_shows():
    haze = Haze(diffuse=0.0, lobe=0.0, straight=1.0, lobe_deg=5.0)
    clear = Diffuser(transmittance=0.5, reflectance=0.0, haze=haze)
    slot = rectangle(20.0, 5.0, 24.0, 15.0)
    (open_slot,) = seen_of(plain_box(apertures=(opening(slot, fill=None),)))
    (closed,) = seen_of(plain_box(apertures=(opening(slot, fill=clear),)))
    sigma = np.hypot(0.5 * open_slot.mean_error_cd_m2, closed.mean_error_cd_m2)
    assert abs(closed.mean_cd_m2 - 0.5 * open_slot.mean_cd_m2) < SIGMAS * sigma + EXACT


def test_lobe_under_an_even_sky_shows_the_sky():
    # Second law: a sheet that keeps nothing cannot change the luminance of an even surround. Inside
    # a white box, with the lamps behind a sheet, the light is even within a few percent.
    haze = Haze(diffuse=0.0, lobe=1.0, straight=0.0, lobe_deg=25.0)
    sheet = Sheet(height_mm=2.0, transmittance=0.1, reflectance=0.89)
    middle = Disc(x_mm=15.0, y_mm=10.0, diameter_mm=1.0)
    shown = []
    for fill in (
        Diffuser(transmittance=0.02, reflectance=0.96, haze=haze),
        Diffuser(transmittance=0.02, reflectance=0.96),
    ):
        box = plain_box(
            apertures=(opening(middle, fill=fill),),
            sheet=sheet,
            back_reflectance=0.98,
            panel_reflectance=0.98,
            wall_reflectances=(0.98,),
            lamps=(lamp(14.0, 9.0, 0.3), lamp(3.0, 3.0, 0.3)),
        )
        shown.append(seen_of(box, effort=FEW)[0].mean_cd_m2)
    assert shown[0] == pytest.approx(shown[1], rel=0.04)


def test_threads_and_neighbours_do_not_change_the_answer():
    box, effort = busy_box(), replace(QUICK, most_walks=5_000)
    alone = seen_of(box, seed=7, effort=effort)
    shared = seen_of(box, seed=7, effort=replace(effort, threads=3))
    other = seen_of(box, seed=8, effort=effort)
    for one, same, different in zip(alone, shared, other, strict=True):
        assert np.array_equal(one.spot_cd_m2, same.spot_cd_m2)
        assert one.mean_error_cd_m2 == same.mean_error_cd_m2
        assert not np.array_equal(one.spot_cd_m2, different.spot_cd_m2)


def test_openings_are_left_alone_once_they_are_close():
    black = plain_box(back_reflectance=0.0, panel_reflectance=0.0, wall_reflectances=(0.0,))
    opinion = verify(black, seed=1, effort=Effort(relative_error=0.01, most_walks=10**9))
    assert isinstance(opinion, Opinion)
    assert opinion.reached
    assert opinion.openings[0].batches == 24


def test_work_stops_when_asked():
    told = []

    def twice(seen):
        told.append(seen[0].batches)
        return len(told) < 2

    opinion = verify(
        plain_box(), seed=1, effort=Effort(relative_error=0.0, most_walks=10**9), on_round=twice
    )
    assert isinstance(opinion, Opinion)
    assert not opinion.reached
    assert told == [1, 2]
    assert opinion.openings[0].batches == 2


def test_a_thousand_openings_are_told_apart():
    pitch = 30.0 / 40
    holes = tuple(
        Aperture(
            name=f"{i},{j}",
            shape=Disc(x_mm=(i + 0.5) * pitch, y_mm=0.4 + 0.75 * j, diameter_mm=0.6),
            fill=Diffuser(transmittance=0.5, reflectance=0.1),
        )
        for i in range(40)
        for j in range(25)
    )
    found = account(plain_box(apertures=holes), seed=1, walks=32 * 2)
    assert isinstance(found, Account)
    assert abs(found.balance) < SIGMAS * found.error_lm / found.emitted_lm


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"depth_mm": 0.0}, "deep"),
        ({"back_reflectance": 1.0}, "hardly end"),
        ({"wall_reflectances": (0.5, 0.5)}, "4 walls"),
        ({"sheet": Sheet(height_mm=9.0, transmittance=0.5, reflectance=0.4)}, "inner sheet"),
        ({"sheet": Sheet(height_mm=4.0, transmittance=0.7, reflectance=0.4)}, "more than it gets"),
        ({"lamps": ()}, "no lamp"),
        ({"lamps": (lamp(31.0, 9.0, 0.6),)}, "outside"),
        ({"lamps": (lamp(12.0, 9.0, 8.6),)}, "outside"),
        ({"lamps": (lamp(12.0, 9.0, 0.6, flux=0.0),)}, "0 lm"),
        ({"apertures": (opening(rectangle(20.0, 3.0, 31.0, 9.0)),)}, "over a wall"),
        ({"apertures": (opening(Disc(x_mm=1.0, y_mm=9.0, diameter_mm=2.2)),)}, "over a wall"),
        ({"holes": (((11, 8), (13, 8), (13, 10), (11, 10)),)}, "outside"),
    ],
)
def test_boxes_that_cannot_be_are_refused(changes, word):
    refusal = verify(plain_box(**changes), seed=1, effort=QUICK)
    assert isinstance(refusal, Refusal)
    assert word in refusal.reason
    assert refusal.remedy
    assert refusal == account(plain_box(**changes), seed=1, walks=32)


def test_missing_compiler_is_a_refusal(monkeypatch):
    monkeypatch.setattr("lamphouse.light.walkable.find_spec", lambda _: None)
    refusal = verify(plain_box(), seed=1, effort=QUICK)
    assert isinstance(refusal, Refusal)
    assert "numba" in refusal.reason
    assert "verify" in refusal.remedy
