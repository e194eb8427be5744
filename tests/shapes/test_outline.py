"""Outlines from sizes: their pieces, their direction, and the circles in them."""

from math import atan, cos, hypot, isclose, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import measure, outline
from tolerances import EXACT

SIZES = st.floats(min_value=0.1, max_value=500.0)
PLACES = st.floats(min_value=-1000.0, max_value=1000.0)


def test_rectangle_starts_lower_left_and_runs_anticlockwise():
    assert outline.rectangle(48, height_mm=30, x_mm=34, y_mm=26) == (
        (10, 11, 0),
        (58, 11, 0),
        (58, 41, 0),
        (10, 41, 0),
    )


def test_slot_is_a_rectangle_and_two_half_circles():
    corners = outline.slot(20, width_mm=4)
    # Area of a stadium: straight part 16 x 4 and a circle of diameter 4.
    assert measure.area_mm2(corners) == pytest.approx(16 * 4 + pi * 4, rel=EXACT)
    assert measure.bounds_mm(corners) == pytest.approx((-10, -2, 10, 2), abs=EXACT)


def test_turned_slot_stands_upright():
    corners = outline.slot(20, width_mm=4, turn_deg=90, x_mm=5, y_mm=7)
    assert measure.bounds_mm(corners) == pytest.approx((3, -3, 7, 17), abs=EXACT)


def test_slot_shorter_than_wide_is_refused():
    with pytest.raises(ValueError, match="cannot be"):
        outline.slot(3, width_mm=4)


def test_rounded_rectangle_loses_its_four_corners():
    corners = outline.rounded_rectangle(30, height_mm=20, radius_mm=3)
    assert measure.area_mm2(corners) == pytest.approx(30 * 20 - (4 - pi) * 9, rel=EXACT)
    assert measure.bounds_mm(corners) == pytest.approx((-15, -10, 15, 10), abs=EXACT)


def test_fully_rounded_square_is_a_circle():
    corners = outline.rounded_rectangle(8, height_mm=8, radius_mm=4, x_mm=1, y_mm=2)
    ring = outline.circle_of(corners)
    assert ring is not None
    assert (ring.x_mm, ring.y_mm, ring.diameter_mm) == pytest.approx((1, 2, 8), abs=EXACT)


@pytest.mark.parametrize("sides", [3, 4, 6, 9])
def test_regular_polygon_touches_its_circle_with_every_side(sides):
    # Area of a polygon around a circle of radius r: n r^2 tan(pi / n).
    corners = outline.regular_polygon(sides, across_mm=32)
    expected = sides * 16**2 * sin(pi / sides) / cos(pi / sides)
    assert measure.area_mm2(corners) == pytest.approx(expected, rel=EXACT)
    assert measure.bounds_mm(corners)[1] == pytest.approx(-16, abs=EXACT)


@given(diameter=SIZES, x=PLACES, y=PLACES)
def test_circle_is_recognised_in_its_own_corners(diameter, x, y):
    ring = outline.circle_of(outline.circle(diameter, x_mm=x, y_mm=y))
    assert ring is not None
    assert isclose(ring.diameter_mm, diameter, rel_tol=1e-6)


@pytest.mark.parametrize(
    "corners",
    [
        outline.rectangle(4, height_mm=4),
        outline.slot(5, width_mm=4),
        ((-1, 0, 1), (1, 0, 0.9)),
        ((-1, 0, 1), (1, 0, -1)),
        ((-1, 0, 1), (1, 0, 1), (-1, 0, 1), (1, 0, 1)),
    ],
)
def test_what_is_not_one_circle_is_not_called_one(corners):
    assert outline.circle_of(corners) is None


@given(
    sweep=st.floats(min_value=-5.5, max_value=5.5).filter(lambda a: abs(a) > 0.1),
    share=st.floats(min_value=0.2, max_value=0.8),
    radius=SIZES,
    first=st.floats(min_value=0, max_value=6),
)
def test_bulge_through_a_third_point_is_a_quarter_of_the_sweep(sweep, share, radius, first):
    def spot(angle):
        return radius * cos(angle), radius * sin(angle)

    bulge = outline.bulge_through(
        spot(first), via=spot(first + share * sweep), end=spot(first + sweep)
    )
    assert 4 * atan(bulge) == pytest.approx(sweep, rel=1e-6)


def test_arc_needs_three_points():
    with pytest.raises(ValueError, match="three different"):
        outline.bulge_through((0, 0), via=(0, 0), end=(1, 0))


def test_arc_centre_and_radius_of_a_known_arc():
    # A quarter circle of radius 10 about the origin from (10, 0) to (0, 10).
    piece = outline.Piece(start=(10, 0), end=(0, 10), bulge=outline.QUARTER)
    assert piece.radius_mm == pytest.approx(10, rel=EXACT)
    assert hypot(*piece.centre) == pytest.approx(0, abs=EXACT)
    turned = outline.Piece(start=(10, 0), end=(0, 10), bulge=-outline.QUARTER)
    assert turned.centre == pytest.approx((10, 10), rel=EXACT)


def test_backwards_twice_is_the_same_outline():
    corners = outline.rounded_rectangle(30, height_mm=20, radius_mm=3)
    back = outline.backwards(corners)
    assert measure.signed_area_mm2(back) == pytest.approx(-measure.signed_area_mm2(corners))
    assert outline.backwards(back) == corners
