"""The geometric median against closed forms of triangles and another optimiser."""

from math import atan2, cos, degrees, dist, pi, sin, tau

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from lamphouse.shapes.median_point import median_point
from tolerances import EXACT

STATED_MM = 1e-4
"""What a step of 1e-7 mm leaves of the way where steps get short slowly."""

SPOTS = st.lists(
    st.tuples(st.floats(-500, 500), st.floats(-500, 500), st.integers(1, 8)),
    min_size=1,
    max_size=9,
)


def cost(at, spots, weights):
    return sum(weight * dist(at, spot) for spot, weight in zip(spots, weights, strict=True))


def angles(at, spots):
    """Angles between neighbouring directions to the spots, in degrees."""
    seen = sorted(atan2(y - at[1], x - at[0]) for x, y in spots)
    return [degrees((b - a) % tau) for a, b in zip(seen, seen[1:] + seen[:1], strict=True)]


def test_of_an_equilateral_triangle_it_is_the_centre():
    corners = [(cos(turn) * 100, sin(turn) * 100) for turn in (0.3, 0.3 + tau / 3, 0.3 - tau / 3)]
    assert median_point(corners, weights=[1, 1, 1]) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_sides_of_a_sharp_triangle_are_seen_at_120_degrees():
    # Torricelli and Fermat.
    corners = [(0.0, 0.0), (130.0, 10.0), (40.0, 90.0)]
    at = median_point(corners, weights=[1, 1, 1])
    assert angles(at, corners) == pytest.approx([120.0] * 3, abs=1e-4)


def test_a_corner_of_120_degrees_or_more_is_it():
    wide = [(0.0, 0.0), (80.0, 0.0), (60 * cos(0.7 * pi), 60 * sin(0.7 * pi))]
    assert median_point(wide, weights=[1, 1, 1]) == (0.0, 0.0)


def test_a_spot_that_outweighs_the_others_is_it():
    assert median_point([(3.0, 4.0), (90.0, 1.0), (-7.0, 55.0)], weights=[2, 1, 1]) == (3.0, 4.0)


def test_of_a_convex_quadrangle_it_is_where_the_diagonals_cross():
    # Fagnano.
    corners = [(0.0, 0.0), (100.0, 0.0), (80.0, 60.0), (0.0, 40.0)]
    at = median_point(corners, weights=[1, 1, 1, 1])
    along = (
        40 / (60 + 40 * 80 / 100) * 80 / 100
    )  # of (0, 0) to (80, 60), met by (0, 40) to (100, 0)
    assert at == pytest.approx((100 * along, 75 * along), abs=STATED_MM)


def test_of_an_odd_row_it_is_the_middle_one():
    row = [(float(x), 2.0 * x) for x in (9, 1, 5, 30, 31)]
    assert median_point(row, weights=[1] * 5) == (9.0, 18.0)


@settings(max_examples=60, deadline=None)
@given(SPOTS)
def test_no_other_optimiser_finds_a_better_place(given_spots):
    spots = [(x, y) for x, y, _ in given_spots]
    weights = [weight for *_, weight in given_spots]
    own = cost(median_point(spots, weights=weights), spots, weights)
    tries = [*spots, tuple(np.mean(spots, axis=0))]
    best = min(
        minimize(cost, at, args=(spots, weights), method="Nelder-Mead", options={"xatol": 1e-7}).fun
        for at in tries
    )
    assert own <= best + 1e-6 * max(best, 1.0)


@settings(max_examples=60, deadline=None)
@given(SPOTS, st.randoms(use_true_random=False))
def test_order_changes_not_one_bit(given_spots, chance):
    mixed = list(given_spots)
    chance.shuffle(mixed)
    first, second = (
        median_point([(x, y) for x, y, _ in some], weights=[w for *_, w in some])
        for some in (given_spots, mixed)
    )
    assert first == second


def test_it_moves_with_its_spots():
    spots, weights = [(0.0, 0.0), (50.0, 8.0), (21.0, 60.0)], [2, 3, 2]
    x, y = median_point(spots, weights=weights)
    moved = median_point([(a + 100, b - 30) for a, b in spots], weights=weights)
    assert moved == pytest.approx((x + 100, y - 30), abs=STATED_MM)


def test_no_spots_have_none():
    with pytest.raises(ValueError, match="no spots"):
        median_point([], weights=[])
    with pytest.raises(ValueError, match="shorter"):
        median_point([(0.0, 0.0)], weights=[])


def test_spots_of_one_place_add_up():
    assert median_point([(1.0, 1.0), (1.0, 1.0), (9.0, 9.0)], weights=[1, 1, 1]) == pytest.approx(
        (1.0, 1.0), abs=EXACT
    )
