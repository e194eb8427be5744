from math import pi

import pytest

from lamphouse.light.box_scene import draw_box
from lamphouse.light.glow import solve
from lamphouse.light.room_light import added_cd_m2, face_reflectances, mouth_reflectance
from lamphouse.light.scene import Aperture, Box
from light.boxes import lamp, rectangle
from light.designs import film, light_box, opening, panel, upright
from tolerances import EXACT, TABLE

UNEVEN = 0.12
"""The cavity equation takes all walls as lit alike; the floor of a box is lit most."""


@pytest.mark.parametrize(
    ("paint", "share", "multiplier"),
    [(0.8, 0.02, 3.704), (0.8, 0.1, 2.857), (0.9, 0.05, 6.207), (0.95, 0.01, 15.966)],
)
def test_a_sphere_throws_back_what_its_multiplier_says(paint, share, multiplier):
    """Sphere multiplier M = rho / (1 - rho (1 - f)), from a table: the port gets back f M."""
    back = mouth_reflectance(paint, mouth_mm2=share, walls_mm2=1.0)
    assert back / share == pytest.approx(multiplier, abs=TABLE * 1e-3)


@pytest.mark.parametrize("depth", [6.0, 12.0, 24.0])
@pytest.mark.parametrize("paint", [0.5, 0.8])
def test_a_box_open_to_the_room_throws_back_what_the_solver_lets_out(paint, depth):
    """A sky of small lamps in the mouth shines in; the solver counts what comes out again."""
    side, across = 24.0, 12
    step = side / across
    sky = tuple(
        lamp(
            (i + 0.5) * step,
            (j + 0.5) * step,
            depth - 0.06,
            direction=(0.0, 0.0, -1.0),
            name=f"{i} {j}",
        )
        for i in range(across)
        for j in range(across)
    )
    box = Box(
        outline=((0.0, 0.0), (side, 0.0), (side, side), (0.0, side)),
        depth_mm=depth,
        back_reflectance=paint,
        panel_reflectance=paint,
        wall_reflectances=(paint,),
        lamps=sky,
        apertures=(Aperture(name="mouth", shape=rectangle(0.0, 0.0, side, side), fill=None),),
    )
    energy = solve(box).energy
    walls = side**2 + 4.0 * side * depth
    mouth = mouth_reflectance(paint, mouth_mm2=side**2, walls_mm2=walls)
    assert mouth == pytest.approx(energy.escaped_lm / energy.emitted_lm, rel=UNEVEN)


def test_a_black_box_adds_nothing_to_its_diffuser():
    box = light_box(upright(0, 0, 30, 20), paint=0.0)
    top = panel(opening("A", upright(3, 3, 27, 17), film(0.6, 0.36)))
    (face,) = face_reflectances(draw_box(top, box=box, currents={}))
    assert face == pytest.approx(0.36, rel=EXACT)


def test_nothing_throws_back_more_than_it_gets():
    box = light_box(upright(0, 0, 30, 20), paint=0.98)
    top = panel(
        opening("A", upright(3, 3, 12, 17), film(0.6, 0.4)),
        opening("B", upright(14, 3, 27, 17)),
    )
    for face in face_reflectances(draw_box(top, box=box, currents={})):
        assert 0.0 < face < 1.0


def test_white_paper_in_300_lx():
    """Reflectance 0.5 in 300 lx shows 48 cd/m2 (a worked example of the trade)."""
    assert added_cd_m2(0.5, room_lx=300.0) == pytest.approx(48.0, abs=TABLE)
    assert added_cd_m2(1.0, room_lx=pi) == pytest.approx(1.0, rel=EXACT)
