"""Outlines carried through maps of the plane: what stays exact, and how close the rest comes."""

from math import cos, exp, log, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import measure, outline
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.warping import spot_on, warped
from tolerances import EXACT

SHAPE = ((0.0, 0.0, 0.0), (10.0, 0.0, 0.4), (10.0, 6.0, 0.0), (0.0, 6.0, -0.3))


def test_turned_outline_keeps_its_corners_and_bulges():
    def turn(spot):
        x, y = spot
        return cos(0.3) * x - sin(0.3) * y + 5.0, sin(0.3) * x + cos(0.3) * y - 2.0

    carried = warped(SHAPE, by=turn, error_mm=1e-6)
    assert len(carried) == len(SHAPE)
    for (x, y, bulge), (near_x, near_y, near_bulge) in zip(carried, SHAPE, strict=True):
        assert (x, y) == pytest.approx(turn((near_x, near_y)), abs=EXACT)
        assert bulge == pytest.approx(near_bulge, abs=EXACT)


def test_level_line_under_a_polar_map_is_one_true_arc():
    def polar(spot):
        return (50.0 - spot[1]) * sin(spot[0] / 50.0), 50.0 - (50.0 - spot[1]) * cos(spot[0] / 50.0)

    carried = warped(outline.rectangle(40, height_mm=20), by=polar, error_mm=1e-6)
    assert len(carried) == 4
    lower, right, upper, left = outline.pieces(carried)
    assert right.is_straight
    assert left.is_straight
    assert lower.radius_mm == pytest.approx(60, abs=EXACT)
    assert upper.radius_mm == pytest.approx(40, abs=EXACT)
    assert lower.centre == pytest.approx((0, 50), abs=EXACT)
    # A sector of a ring: half the angle times the difference of the squares.
    assert measure.area_mm2(carried) == pytest.approx(0.8 / 2 * (60**2 - 40**2), rel=EXACT)


def test_stretched_circle_is_an_ellipse_in_few_arcs():
    stretched = warped(outline.circle(32), by=lambda s: (s[0] * 1.25, s[1]), error_mm=1e-4)
    assert outline.circle_of(stretched) is None
    assert len(stretched) <= 64
    # Points lie on the ellipse of axes 40 and 32; its area is that of the circle, stretched.
    for x, y in flatten(stretched, error_mm=1e-5):
        assert ((x / 20) ** 2 + (y / 16) ** 2) ** 0.5 == pytest.approx(1, abs=2e-5)
    assert measure.area_mm2(stretched) == pytest.approx(1.25 * 256 * 3.14159265, rel=1e-5)


@given(st.floats(-1.2, 1.2), st.floats(0.05, 0.95))
def test_points_on_a_piece_stand_where_the_share_says(bulge, share):
    piece = outline.Piece(start=(1.0, 2.0), end=(5.0, 4.0), bulge=bulge)
    x, y = spot_on(piece, share=share)
    if piece.is_straight:
        assert (x, y) == pytest.approx((1 + 4 * share, 2 + 2 * share), abs=EXACT)
    else:
        away = ((x - piece.centre[0]) ** 2 + (y - piece.centre[1]) ** 2) ** 0.5
        assert away == pytest.approx(piece.radius_mm, rel=1e-7)
    assert spot_on(piece, share=1.0) == pytest.approx(piece.end, abs=1e-7)


def test_a_map_that_never_gets_straight_ends_in_bounded_pieces():
    carried = warped(
        outline.rectangle(8, height_mm=8),
        by=lambda s: (s[0], s[1] + sin(4e4 * s[0])),
        error_mm=1e-9,
    )
    assert len(carried) <= 4 * 2**10


def test_growing_map_stays_within_the_error():
    def grow(spot):
        return exp(spot[0] / 20.0) * 20.0, spot[1] * 1.1

    carried = warped(outline.circle(16), by=grow, error_mm=1e-4)
    for x, y in flatten(carried, error_mm=1e-5):
        assert ((20.0 * log(x / 20.0)) ** 2 + (y / 1.1) ** 2) ** 0.5 == pytest.approx(8, abs=5e-4)
