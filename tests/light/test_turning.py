from math import cos, radians, sin

import numpy as np
import pytest

from lamphouse.light.glow import solve
from lamphouse.light.scene import Aperture, Baffle, Disc, Patch
from lamphouse.light.turning import LEVEL, best_way, laid_back, straight_box, straightened
from lamphouse.record import replace
from light.boxes import OPAL, lamp, plain_box
from tolerances import EXACT, PHYSICS

L_SHAPE = ((0.0, 0.0), (30.0, 0.0), (30.0, 12.0), (12.0, 12.0), (12.0, 26.0), (0.0, 26.0))
OUTLINES = {"rectangle": plain_box().outline, "L": L_SHAPE}


def disc(x, y):
    return Aperture(name="A", shape=Disc(x_mm=x, y_mm=y, diameter_mm=6.0), fill=OPAL)


def box(outline):
    return plain_box(
        outline=outline, lamps=(lamp(6.0, 9.0, 0.6),), apertures=(disc(6.0, 18.0), disc(22.0, 6.0))
    )


def turned(one, *, degrees):
    """The same box turned on the drawing; straight_box turns the other way."""
    way = (cos(radians(degrees)), -sin(radians(degrees)))
    lamps = tuple(
        replace(
            each,
            x_mm=way[0] * each.x_mm + way[1] * each.y_mm,
            y_mm=way[0] * each.y_mm - way[1] * each.x_mm,
        )
        for each in one.lamps
    )
    return replace(straight_box(one, way=way), lamps=lamps)


@pytest.mark.parametrize("outline", OUTLINES.values(), ids=OUTLINES)
@pytest.mark.parametrize("degrees", [7.0, 45.0, 101.0])
def test_a_box_glows_alike_however_it_lies_on_the_drawing(outline, degrees):
    """Nature knows no axes; a disc's spots lie a little otherwise, so not exactly."""
    straight, other = solve(box(outline)), solve(turned(box(outline), degrees=degrees))
    assert other.faces == straight.faces
    assert other.energy.escaped_lm == pytest.approx(straight.energy.escaped_lm, rel=PHYSICS)
    for one, two in zip(straight.looks, other.looks, strict=True):
        assert two.mean_cd_m2 == pytest.approx(one.mean_cd_m2, rel=PHYSICS)


def test_the_axes_of_the_drawing_win_where_no_others_fit_better():
    assert best_way(plain_box()) == LEVEL
    hexagon = tuple((10.0 * cos(radians(a)), 10.0 * sin(radians(a))) for a in range(0, 360, 60))
    assert best_way(plain_box(outline=hexagon)) == LEVEL


@pytest.mark.parametrize("degrees", [30.0, 80.0])
def test_the_grid_runs_along_the_walls(degrees):
    across, up = best_way(turned(plain_box(), degrees=degrees))
    assert (across, up) == pytest.approx((cos(radians(degrees)), sin(radians(degrees))), abs=EXACT)


def test_baffles_have_their_say():
    walls = tuple(
        Baffle(
            start_mm=(15.0, 10.0),
            end_mm=(15.0 + 9.0 * cos(radians(turn)), 10.0 + 9.0 * sin(radians(turn))),
            low_mm=0.0,
            high_mm=8.0,
            reflectance=0.5,
        )
        for turn in (25.0, 115.0, 205.0)
    )
    octagon = tuple(
        (15.0 + 10.0 * cos(radians(a)), 10.0 + 10.0 * sin(radians(a))) for a in range(10, 360, 45)
    )
    across, up = best_way(plain_box(outline=octagon, baffles=walls))
    assert (across, up) == pytest.approx((cos(radians(25.0)), sin(radians(25.0))), abs=EXACT)


def test_points_come_back():
    points = np.array([(3.0, 4.0), (-1.0, 7.0)])
    way = (0.6, 0.8)
    assert straightened(points, way=way)[0] == pytest.approx((5.0, 0.0), abs=EXACT)
    assert laid_back(straightened(points, way=way), way=way) == pytest.approx(points, abs=EXACT)


def test_a_turned_rectangle_is_a_rectangle_again():
    ring = ((0.0, 0.0), (6.0, 8.0), (2.0, 11.0), (-4.0, 3.0))
    opening = Aperture(name="A", shape=Patch(ring=ring), fill=OPAL)
    straight = straight_box(plain_box(apertures=(opening,)), way=(0.6, 0.8)).apertures[0].shape
    assert np.array(straight.ring) == pytest.approx(
        np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0)]), abs=EXACT
    )


@pytest.mark.parametrize("degrees", [12.0, 45.0])
def test_an_opening_of_a_shallow_box_glows_alike_however_it_lies(degrees):
    """The spots of the turned opening are strips of the drawing, so only the mean is alike."""
    shallow = plain_box(depth_mm=3.0)
    one = solve(shallow).looks[0]
    other = solve(turned(shallow, degrees=degrees)).looks[0]
    assert other.mean_cd_m2 == pytest.approx(one.mean_cd_m2, rel=PHYSICS)
