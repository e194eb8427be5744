import json
from math import atan, cos, log, pi, radians, sqrt

import numpy as np
import pytest

from lamphouse.light.emitter import falling, intensity
from lamphouse.light.interior import make_interior
from lamphouse.light.landing import landing
from lamphouse.light.pieces import Lobe, level_pieces, targets
from lamphouse.light.scene import Baffle, CosinePower, IntensityTable
from lamphouse.light.viewers import Screens
from light.boxes import lamp, plain_box
from tolerances import EXACT, PHYSICS, TABLE

NOTHING = Screens(
    start_mm=np.zeros((0, 2)), end_mm=np.zeros((0, 2)), low_mm=np.zeros(0), high_mm=np.zeros(0)
)


def plate(left, bottom, right, top, *, height, up=False, lobe=None):
    corner = np.array([[(left, bottom), (right, bottom), (right, top), (left, top)]], dtype=float)
    pieces = level_pieces(corner, height_mm=height, up=up, face=np.array([0]))
    return targets(pieces, count=1, lobe=lobe)


def light_at(source, *, x, y, z, screens=NOTHING):
    spot = falling(
        source,
        x_mm=np.array([x]),
        y_mm=np.array([y]),
        z_mm=z,
        faces_up=False,
        lobe=None,
        screens=screens,
    )
    return float(spot[0])


@pytest.mark.parametrize(
    ("full_width_deg", "per_candela"),
    [(15, 0.0769), (30, 0.2993), (60, 1.0798), (90, 2.0944), (120, 3.1416), (150, 4.1533)],
)
def test_lumens_per_candela(full_width_deg, per_candela):
    """I = I0 cos^m, m = ln 0.5 / ln cos(half the full width), flux = 2 pi I0 / (m + 1)."""
    m = log(0.5) / log(cos(radians(full_width_deg / 2.0)))
    peak = float(intensity(CosinePower(m=m), cosine=np.array([1.0]))[0])
    assert 1.0 / peak == pytest.approx(per_candela, abs=TABLE * 1e-4)
    half = float(intensity(CosinePower(m=m), cosine=np.cos(np.radians([full_width_deg / 2.0])))[0])
    assert half == pytest.approx(peak / 2.0)


def test_a_table_of_cosines_is_the_cosine():
    angles = np.arange(0.0, 91.0)
    table = IntensityTable(
        angles_deg=tuple(angles), relative=tuple(np.cos(np.radians(angles)) * 3.0)
    )
    cosine = np.cos(np.radians([0.0, 20.0, 45.5, 80.0]))
    assert intensity(table, cosine=cosine) == pytest.approx(cosine / pi, rel=PHYSICS)


@pytest.mark.parametrize(
    ("place", "illuminance"), [((0.0, 0.0, 500.0), 4.0), ((1000.0, 0.0, 1000.0), 0.25)]
)
def test_inverse_square_and_cosines(place, illuminance):
    """CIE/ISO: E = I cos / d^2: 1 cd at 0.5 m gives 4 lx; Lambertian at 45 degrees cos^4."""
    source = lamp(0.0, 0.0, 0.0, flux=1.0)
    x, y, z = place
    assert light_at(source, x=x, y=y, z=z) * pi * 1e6 == pytest.approx(illuminance, rel=EXACT)


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


def test_two_lamps_are_flat_between_them_at_the_known_spacing():
    """d = 2 h / sqrt(m + 4): 0.8944, 0.8165, 0.6667, 0.4082 for m = 1, 2, 5, 20."""
    for m, spacing in ((1.0, 0.8944), (2.0, 0.8165), (5.0, 0.6667), (20.0, 0.4082)):
        assert 2.0 / sqrt(m + 4.0) == pytest.approx(spacing, abs=TABLE * 1e-4)

        def bend(apart, m=m):
            pair = [lamp(side * apart / 2.0, 0.0, 0.0, m=m) for side in (-1.0, 1.0)]
            row = [
                sum(light_at(one, x=x, y=0.0, z=1.0) for one in pair) for x in (-0.01, 0.0, 0.01)
            ]
            return row[0] - 2.0 * row[1] + row[2]

        assert bend(spacing * 0.99) < 0.0 < bend(spacing * 1.01)


def test_evenness_under_a_square_grid_of_lamps():
    """Direct sum over 83 x 83 Lambertian emitters: Emin/Emax at pitch over height 1.0, 1.5, 2.0."""
    for ratio, even, over in ((1.0, 0.9516, 3.2251), (1.5, 0.7165, 1.6888), (2.0, 0.4394, 1.2688)):
        places = ratio * np.arange(-41.0, 42.0)
        x, y = np.meshgrid(places, places)
        above = lamp(0.0, 0.0, 0.0)
        sums = [
            float(
                np.sum(
                    falling(
                        above,
                        x_mm=x + shift,
                        y_mm=y + shift,
                        z_mm=1.0,
                        faces_up=False,
                        lobe=None,
                        screens=NOTHING,
                    )
                )
            )
            for shift in (0.0, ratio / 2.0)
        ]
        assert sums[0] * pi == pytest.approx(over, abs=TABLE * 1e-4)
        assert min(sums) / max(sums) == pytest.approx(even, abs=TABLE * 1e-4)


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


def test_a_wall_throws_a_shadow():
    screens = Screens(
        start_mm=np.array([[5.0, -5.0]]),
        end_mm=np.array([[5.0, 5.0]]),
        low_mm=np.array([0.0]),
        high_mm=np.array([2.0]),
    )
    source = lamp(0.0, 0.0, 1.0)
    # From height 1 at 5 mm the top at 2 hides the plane of height 4 up to 15 mm away.
    assert light_at(source, x=14.9, y=0.0, z=4.0, screens=screens) > 0.0
    assert light_at(source, x=15.1, y=0.0, z=4.0, screens=screens) == 0.0
    assert light_at(source, x=4.0, y=0.0, z=4.0, screens=screens) > 0.0


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
