import numpy as np
import pytest

from lamphouse.light.interior import make_interior
from lamphouse.light.landing import landing
from lamphouse.light.pieces import level_pieces, targets
from lamphouse.light.scene import Baffle, Sheet
from lamphouse.light.small_lamps import SmallLamps, rows_of
from lamphouse.light.spot_lamps import OFF_MM
from light.boxes import lamp, plain_box
from tolerances import EXACT, PHYSICS

L_SHAPE = ((0.0, 0.0), (40.0, 0.0), (40.0, 12.0), (18.0, 12.0), (18.0, 30.0), (0.0, 30.0))

SLANTED = Baffle(start_mm=(20.0, 0.0), end_mm=(25.0, 9.0), low_mm=0.0, high_mm=4.5, reflectance=0.7)


def glint_lamps(interior, *, count, seed):
    """Lamps on faces of a box drawn by lot, each with a flux of its own."""
    lot, faces = np.random.default_rng(seed), interior.faces[0]
    which = lot.choice(faces.plane.shape[1], size=count, replace=False)
    way = faces.plane[:3, which]
    return SmallLamps(
        place_mm=faces.middle[:3, which] + OFF_MM * way,
        axis=way,
        flux_lm=lot.uniform(0.1, 2.0, size=count),
    )


@pytest.mark.parametrize("sheet", [None, Sheet(height_mm=5.0, transmittance=0.6, reflectance=0.3)])
def test_lamps_followed_at_once_give_what_they_give_one_by_one(sheet):
    interior = make_interior(
        plain_box(outline=L_SHAPE, baffles=(SLANTED,), sheet=sheet, apertures=())
    )
    lamps, singly = glint_lamps(interior, count=30, seed=5), 0.0
    onto, screens = interior.onto[0], interior.screens
    for place, axis, flux in zip(lamps.place_mm.T, lamps.axis.T, lamps.flux_lm, strict=True):
        own = landing(lamp(*place, direction=tuple(axis)), onto=onto, screens=screens)
        singly = singly + flux * own.rows / own.flux.sum()
    rows = rows_of(lamps, onto=onto, screens=screens, evened=True)
    # A point that is looked at in the very edge of a shadow may fall to either side.
    assert rows == pytest.approx(singly, abs=1e-3 * PHYSICS * np.abs(singly).max())
    assert rows[0].sum() == pytest.approx(lamps.flux_lm.sum(), rel=EXACT)


def test_all_light_of_lamps_on_faces_lands_behind_no_baffle():
    """The light that lands on a closed box adds up to what was sent."""
    interior = make_interior(plain_box(outline=L_SHAPE, baffles=(SLANTED,), apertures=()))
    lamps = glint_lamps(interior, count=40, seed=6)
    rows = rows_of(lamps, onto=interior.onto[0], screens=interior.screens)
    assert rows[0].sum() == pytest.approx(lamps.flux_lm.sum(), rel=PHYSICS)


def test_light_on_a_square_is_that_of_the_closed_form():
    """A small flat source below the corner of a parallel rectangle, element to rectangle.

    Howell, A Catalog of Radiation Heat Transfer Configuration Factors, B-3.
    """
    a, b, high = 6.0, 4.0, 3.0
    cells = np.array([[(0.0, 0.0), (a, 0.0), (a, b), (0.0, b)]])
    onto = targets(level_pieces(cells, height_mm=high, up=False, face=np.zeros(1, int)), count=1)
    one = SmallLamps(
        place_mm=np.zeros((3, 2)), axis=np.array([[0.0, 0.0, 1.0]] * 2).T, flux_lm=np.ones(2)
    )
    interior = make_interior(plain_box(apertures=()))
    x, y = a / high, b / high
    wide, deep = np.sqrt(1.0 + x * x), np.sqrt(1.0 + y * y)
    share = (x / wide * np.arctan(y / wide) + y / deep * np.arctan(x / deep)) / (2.0 * np.pi)
    landed = rows_of(one, onto=onto, screens=interior.screens)[0, 0]
    assert landed == pytest.approx(2.0 * share, rel=PHYSICS)
