from math import cos, pi, radians

import numpy as np
import pytest

from lamphouse.light.haze import lobe_rows
from lamphouse.light.interior import make_interior
from lamphouse.light.landing import landing
from lamphouse.light.scene import Baffle, Haze, IntensityTable, Sheet
from lamphouse.record import replace
from light.boxes import lamp, plain_box
from tolerances import EXACT, PHYSICS

HAZE = Haze(diffuse=0.2, lobe=0.8, straight=0.0, lobe_deg=12.0)


def spot(x, y, half=0.5):
    corner = [(-half, -half), (half, -half), (half, half), (-half, half)]
    return np.array([[(x + dx, y + dy) for dx, dy in corner]])


def sent_by_a_lamp(interior, x, y, *, haze):
    """The same weights the other way round: a lamp with the lobe for a beam, face by face."""
    angles = np.linspace(0.0, min(4.5 * haze.lobe_deg, 90.0), 400)
    beam = IntensityTable(
        angles_deg=tuple(angles), relative=tuple(np.exp(-0.5 * (angles / haze.lobe_deg) ** 2))
    )
    eye = replace(lamp(x, y, 8.0 - 1e-6, direction=(0.0, 0.0, -1.0)), beam=beam)
    flux = landing(eye, onto=interior.onto[-1], screens=interior.screens).flux
    return flux / flux.sum() / pi


@pytest.mark.parametrize("lobe_deg", [12.0, 40.0])
@pytest.mark.parametrize("place", [(13.7, 9.1), (1.3, 18.0)])
@pytest.mark.parametrize("height", [None, 3.0])
def test_the_lobe_sees_the_faces_a_lamp_in_its_place_would_light(lobe_deg, place, height):
    sheet = height and Sheet(height_mm=height, transmittance=0.5, reflectance=0.4)
    interior = make_interior(plain_box(sheet=sheet))
    haze = replace(HAZE, lobe_deg=lobe_deg)
    row = lobe_rows(interior, spots=spot(*place), haze=haze)[0, interior.first[-2] :]
    assert row.sum() == pytest.approx(1.0 / pi, rel=EXACT)
    wanted = sent_by_a_lamp(interior, *place, haze=haze)
    assert row == pytest.approx(wanted, abs=PHYSICS * wanted.max())


@pytest.mark.parametrize("lobe_deg", [1.0, 2.0, 6.0])
@pytest.mark.parametrize("place", [(13.7, 9.1), (12.003, 8.0)])
def test_a_narrow_lobe_falls_on_the_floor_as_its_integral_says(lobe_deg, place):
    """Midpoint sums of exp(-t^2 / 2 s^2) cos^3 t / h^2 over points 1/40 of the lobe apart."""
    depth = 8.0
    interior = make_interior(plain_box())
    row = lobe_rows(interior, spots=spot(*place), haze=replace(HAZE, lobe_deg=lobe_deg))[0]
    reach = depth * np.tan(radians(4.5 * lobe_deg))
    side = (np.arange(400) + 0.5) / 200.0 * reach - reach
    x, y = (grid.ravel() for grid in np.meshgrid(side, side))
    angle = np.arctan(np.hypot(x, y) / depth)
    weight = np.exp(-0.5 * (np.degrees(angle) / lobe_deg) ** 2) * np.cos(angle) ** 3
    weight[angle > radians(4.5 * lobe_deg)] = 0.0
    mesh = interior.cavities[0].mesh
    low, high = mesh.corner_mm.min(axis=1), mesh.corner_mm.max(axis=1)
    for number, ((left, bottom), (right, top)) in enumerate(zip(low, high, strict=True)):
        px, py = x + place[0], y + place[1]
        own = (px >= left) & (px < right) & (py >= bottom) & (py < top)
        share = weight[own].sum() / weight.sum()
        # A cell's edge runs between two lines of points: half a line's weight may go astray.
        assert row[number] * pi == pytest.approx(share, abs=0.006)


def test_nothing_is_seen_behind_a_baffle():
    baffle = Baffle(
        start_mm=(15.0, 0.0), end_mm=(15.0, 20.0), low_mm=0.0, high_mm=8.0, reflectance=0.8
    )
    interior = make_interior(plain_box(baffles=(baffle,)))
    row = lobe_rows(interior, spots=spot(14.0, 10.0), haze=replace(HAZE, lobe_deg=30.0))[0]
    behind = interior.centre_mm[:, 0] > 15.0 + 1e-3
    assert row[behind].sum() == 0.0
    assert row[~behind].sum() == pytest.approx(1.0 / pi, rel=EXACT)


def test_many_spots_are_as_few():
    interior = make_interior(plain_box())
    spots = np.concatenate([spot(x, y) for x in (4.0, 9.0, 21.0) for y in np.linspace(3, 17, 40)])
    rows = lobe_rows(interior, spots=spots, haze=HAZE)
    assert rows[97] == pytest.approx(
        lobe_rows(interior, spots=spots[97:98], haze=HAZE)[0], abs=EXACT
    )


def test_the_axis_of_a_lobe_is_the_normal():
    interior = make_interior(plain_box(), step=1.0)
    row = lobe_rows(interior, spots=spot(15.3, 9.8), haze=replace(HAZE, lobe_deg=1.0))[0]
    assert interior.centre_mm[row.argmax(), :2] == pytest.approx((15.3, 9.8), abs=cos(pi / 4) * 2)
    assert interior.centre_mm[row.argmax(), 2] == 0.0
