"""Shadows of upright walls, checked against their outlines as a lamp throws them on a plane."""

from itertools import pairwise

import numpy as np
import pytest
from shapely import Polygon, unary_union

from lamphouse.light.lamp_shadows import POINTS, STANDS_FOR, hidden, met_all, shadows_of
from lamphouse.light.pieces import level_pieces, targets
from lamphouse.light.viewers import Screens
from tolerances import EXACT

PLANE_MM = 8.0


def screens(*rows):
    table = np.array(rows, dtype=float).reshape(-1, 6)
    return Screens(
        start_mm=table[:, :2], end_mm=table[:, 2:4], low_mm=table[:, 4], high_mm=table[:, 5]
    )


def shares(cells, *, at, walls):
    onto = targets(
        level_pieces(cells, height_mm=PLANE_MM, up=False, face=np.arange(len(cells))),
        count=len(cells),
    )
    dark, crossed = met_all(onto.corner[:3], shadows=shadows_of(walls, at=np.array(at)))
    lit = np.where(dark, 0.0, np.ones((4, len(cells))))
    own, marks = hidden(crossed)
    lit[:, own] -= (marks @ STANDS_FOR).T
    return lit


def grid(step=2.0, reach=20.0):
    places = np.arange(-reach, reach, step)
    left, bottom = (axis.ravel() for axis in np.meshgrid(places, places))
    corners = ((0.0, 0.0), (step, 0.0), (step, step), (0.0, step))
    return np.stack([np.column_stack([left + x, bottom + y]) for x, y in corners], axis=1)


def thrown(at, *, wall):
    """The outline of a wall thrown from a lamp onto the plane: straight lines stay straight."""
    ax, ay, bx, by, low, high = wall
    corner = np.array([(ax, ay, low), (bx, by, low), (bx, by, high), (ax, ay, high)])
    reach = (PLANE_MM - at[2]) / (corner[:, 2] - at[2])
    return Polygon(np.array(at[:2]) + reach[:, None] * (corner[:, :2] - at[:2]))


@pytest.mark.parametrize("seed", range(6))
def test_shares_are_those_of_the_shadows_outlines(seed):
    """Central projection, closed form; areas by a polygon library."""
    chance = np.random.default_rng(seed)
    at = (*chance.uniform(-2.0, 2.0, size=2), 1.0)
    walls = [
        (*chance.uniform(-8.0, 8.0, size=4), *np.sort(chance.uniform(2.0, 7.5, size=2)))
        for _ in range(3)
    ]
    cells = grid()
    found = shares(cells, at=at, walls=screens(*walls)).mean(axis=0)
    shadow = unary_union([thrown(at, wall=wall) for wall in walls])
    wanted = [1.0 - shadow.intersection(Polygon(cell)).area / 4.0 for cell in cells]
    assert 0.05 < np.mean(wanted) < 0.999
    off = (found - wanted)[(np.array(wanted) > 0.0) & (np.array(wanted) < 1.0)]
    assert np.abs(off).max() < 0.03
    assert np.sqrt(np.mean(off**2)) < 0.004
    assert found.mean() == pytest.approx(np.mean(wanted), abs=1e-4)


def test_walls_that_meet_let_no_light_through():
    """A zigzag of walls, higher than all else, hides what lies behind it wholly."""
    corners = [(-60.0, 3.0), (-3.0, 5.0), (0.7, 3.1), (4.0, 6.0), (60.0, 3.0)]
    walls = screens(*((*start, *end, 0.0, 9.0) for start, end in pairwise(corners)))
    cells = grid() + np.array([0.37, 0.0])
    behind = cells[:, :, 1].min(axis=1) >= 6.0
    found = shares(cells, at=(0.3, -2.0, 1.0), walls=walls)
    assert np.abs(found[:, behind]).max() < EXACT
    assert (found[:, cells[:, :, 1].max(axis=1) <= 3.0] == 1.0).all()


def test_walls_one_on_the_other_are_one_wall():
    at, cells = (0.0, 0.0, 1.0), grid()
    whole = shares(cells, at=at, walls=screens((3.0, -4.0, 5.0, 6.0, 0.0, 7.0)))
    halves = ((3.0, -4.0, 5.0, 6.0, 0.0, 4.0), (3.0, -4.0, 5.0, 6.0, 4.0, 7.0))
    assert shares(cells, at=at, walls=screens(*halves)) == pytest.approx(whole, abs=1e-5)


def test_a_wall_in_line_with_the_lamp_hides_nothing():
    walls = screens((2.0, 0.0, 9.0, 0.0, 0.0, 8.0))
    assert shares(grid(), at=(0.0, 0.0, 1.0), walls=walls) == pytest.approx(1.0, abs=EXACT)


def test_what_is_left_counts_where_it_lies():
    """Half of a piece lit: with even light the middle of it, by its Gauss points, is its own."""
    cells = np.array([[(4.0, -2.0), (8.0, -2.0), (8.0, 2.0), (4.0, 2.0)]])
    walls = screens((1.0, 0.0, 1.0, 50.0, 0.0, 8.0))
    onto = targets(
        level_pieces(cells, height_mm=PLANE_MM, up=False, face=np.zeros(1, int)), count=1
    )
    share = shares(cells, at=(0.0, 0.0, 0.0), walls=walls)
    assert share.mean() == pytest.approx(0.5, abs=0.5 / POINTS)
    assert (share * onto.point[1]).sum() / share.sum() == pytest.approx(-1.0, abs=4.0 / POINTS)
