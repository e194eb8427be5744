import json
from math import asinh, atan, pi, sqrt

import numpy as np
import pytest

from lamphouse.light.interior import make_interior
from lamphouse.light.landing import landing
from lamphouse.light.pieces import Lobe, level_pieces, targets
from lamphouse.light.scene import Baffle
from lamphouse.light.viewers import Screens
from light.boxes import lamp, plain_box
from tolerances import PHYSICS

HORIZON = 1e-4
"""What sums over pieces that a lamp's horizon crosses are held to, relative."""

NOTHING = Screens(
    start_mm=np.zeros((0, 2)), end_mm=np.zeros((0, 2)), low_mm=np.zeros(0), high_mm=np.zeros(0)
)


def plate(left, bottom, right, top, *, height, up=False, lobe=None):
    corner = np.array([[(left, bottom), (right, bottom), (right, top), (left, top)]], dtype=float)
    pieces = level_pieces(corner, height_mm=height, up=up, face=np.array([0]))
    return targets(pieces, count=1, lobe=lobe)


def test_a_lamp_over_a_corner_sends_the_form_factor(reference):
    """Howell B-3: element parallel to a rectangle, over its corner at distance 1."""
    values = json.loads((reference / "form_factors" / "values.json").read_text(encoding="utf-8"))
    for case in values["element_corner"]:
        onto = plate(0.0, 0.0, case["A"], case["B"], height=1.0)
        flux = landing(lamp(0.0, 0.0, 0.0), onto=onto, screens=NOTHING).flux[0]
        assert flux == pytest.approx(case["F"], rel=PHYSICS)
    onto = plate(-0.5, -0.5, 0.5, 0.5, height=1.0)
    flux = landing(lamp(0.0, 0.0, 0.0), onto=onto, screens=NOTHING).flux[0]
    assert flux == pytest.approx(values["element_centre_unit_square_at_1"], rel=PHYSICS)


@pytest.mark.parametrize("height", [0.05, 0.3, 2.0])
def test_a_side_firing_lamp_over_a_plate(height):
    """Howell, element in a plane square to a rectangle (B-4, number and formula from memory).

    F = (atan(b/h) - h/sqrt(a2+h2) atan(b/sqrt(a2+h2))) / 2 pi; it tends to 1/4 for a quarter plane,
    as it must by symmetry. The light falls off within one height, far below any cell's size.
    """
    ahead, beside = 6.0, 4.0
    reach = sqrt(ahead**2 + height**2)
    factor = (atan(beside / height) - height / reach * atan(beside / reach)) / (2.0 * pi)
    onto = plate(-1.0, -beside, ahead, beside, height=0.0, up=True)
    source = lamp(0.0, 0.0, height, direction=(1.0, 0.0, 0.0))
    landed = landing(source, onto=onto, screens=NOTHING)
    assert landed.flux[0] == pytest.approx(2.0 * factor, rel=PHYSICS)
    assert landed.weighed[0] == landed.flux[0]


@pytest.mark.parametrize(
    "source",
    [
        lamp(12.0, 9.0, 0.6),
        lamp(0.4, 10.0, 4.0, direction=(1.0, 0.2, 0.3), m=6.0),
        lamp(29.9, 0.1, 7.9, direction=(-1.0, 1.0, -1.0), m=0.5),
        lamp(15.0, 10.0, 0.1, direction=(1.0, 0.0, 0.0)),
    ],
)
def test_all_light_of_a_lamp_lands_somewhere(source):
    box = plain_box(
        baffles=(
            Baffle(
                start_mm=(20.0, 0.0), end_mm=(22.0, 13.0), low_mm=0.0, high_mm=5.0, reflectance=0.5
            ),
        )
    )
    inside = make_interior(box)
    landed = landing(source, onto=inside.onto[0], screens=inside.screens)
    assert landed.flux.sum() == pytest.approx(1.0, abs=5e-3)
    assert (landed.flux >= 0.0).all()


@pytest.mark.parametrize(
    "direction", [(0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.3, -0.5, 0.7), (-0.2, 0.9, -0.4)]
)
@pytest.mark.parametrize("place", [(0.4, 9.0, 0.6), (11.0, 7.0, 3.0), (29.5, 17.7, 0.3)])
def test_the_horizon_takes_and_gives_no_light(direction, place):
    """Conservation: in an empty box all of 1 lm lands, wherever the horizon runs over its faces."""
    inside = make_interior(plain_box())
    source = lamp(*place, direction=direction)
    landed = landing(source, onto=inside.onto[0], screens=inside.screens)
    assert landed.flux.sum() == pytest.approx(1.0, abs=HORIZON)


def test_where_light_lands_on_a_plate_the_horizon_crosses():
    """A plate square to the horizon, h from the lamp: closed form over its half before it.

    Flux over the strip 0 < x < a of h x / pi (x2 + y2 + h2)2, all y: (1 - h / sqrt(a2 + h2)) / 2;
    its moment along x: (arsinh(a/h) - a / sqrt(a2 + h2)) h / 2.
    """
    h, a = 0.5, 6.0
    onto = plate(-3.0, -100.0, a, 100.0, height=0.0, up=True)
    landed = landing(lamp(0.0, 0.0, h, direction=(1.0, 0.0, 0.0)), onto=onto, screens=NOTHING)
    slant = sqrt(a * a + h * h)
    assert landed.flux[0] == pytest.approx(0.5 * (1.0 - h / slant), rel=HORIZON)
    moment = 0.5 * h * (asinh(a / h) - a / slant)
    assert landed.rows[2, 0] == pytest.approx(moment, rel=HORIZON)


def test_half_a_plate_behind_a_wall_gets_nothing():
    """The edge of the shadow is placed within a 1220th of the width of a piece."""
    screens = Screens(
        start_mm=np.array([[1.0, 0.0]]),
        end_mm=np.array([[1.0, 50.0]]),
        low_mm=np.array([0.0]),
        high_mm=np.array([10.0]),
    )
    source = lamp(0.0, 0.0, 0.0)
    onto = plate(4.0, -3.0, 10.0, 3.0, height=5.0)
    shaded = landing(source, onto=onto, screens=screens).flux[0]
    free = landing(source, onto=onto, screens=NOTHING).flux[0]
    assert shaded / free == pytest.approx(0.5, rel=2e-3)


def test_a_lobe_weighs_light_by_its_angle():
    lobe = Lobe(sigma_rad=0.2, reach_rad=0.9, peak=3.0)
    onto = plate(-0.01, -0.01, 0.01, 0.01, height=5.0, lobe=lobe)
    flux = landing(lamp(0.0, 0.0, 0.0), onto=onto, screens=NOTHING).flux[0]
    assert flux == pytest.approx(3.0 / pi / 25.0 * 0.0004, rel=PHYSICS)
