from math import cos, log, pi, radians, sqrt

import numpy as np
import pytest

from lamphouse.light.emitter import falling, intensity, spot_slope
from lamphouse.light.scene import CosinePower, IntensityTable
from lamphouse.light.viewers import Screens
from light.boxes import lamp
from tolerances import EXACT, PHYSICS, TABLE

NOTHING = Screens(
    start_mm=np.zeros((0, 2)), end_mm=np.zeros((0, 2)), low_mm=np.zeros(0), high_mm=np.zeros(0)
)


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


@pytest.mark.parametrize("m", [0.0, 1.0, 8.0, 60.0])
def test_the_spot_of_a_beam_ends_where_the_light_on_a_plane_has_halved(m):
    """E = I0 cos^(m + 3) / h^2 on a plane at a height h, the inverse-square cosine law."""
    half = np.arctan(spot_slope(CosinePower(m=m)))
    assert np.cos(half) ** (m + 3.0) == pytest.approx(0.5, rel=EXACT)
    angles = tuple(float(one) for one in np.linspace(0.0, 90.0, 901))
    table = IntensityTable(
        angles_deg=angles, relative=tuple(float(one) ** m for one in np.cos(np.radians(angles)))
    )
    assert np.arctan(spot_slope(table)) == pytest.approx(half, abs=np.radians(90.0 / 400.0))
