"""Rounded corners against closed forms and against the tangency that makes a fillet."""

from math import hypot, pi, sqrt, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import measure, outline
from lamphouse.shapes.offset import Join, offset
from lamphouse.shapes.rounding import largest_radius_mm, rounded, sharp_corners, turn_rad
from lamphouse.shapes.soundness import flaw_of
from tolerances import EXACT

BOX = outline.rectangle(20, height_mm=10)
ELL = outline.polygon([(0, 0), (20, 0), (20, 5), (5, 5), (5, 20), (0, 20)])
TRIANGLE = outline.polygon([(0, 0), (4, 0), (0, 3)])
DEE = ((0.0, 0.0, 0.0), (10.0, 0.0, 1.0))
"""A half disc of diameter 10."""


def smooth_everywhere(corners):
    return all(abs(turn_rad(corners, index=index)) < 1e-6 for index in range(len(corners)))


def test_rounded_rectangle_is_the_one_made_from_its_sizes():
    made = rounded(BOX, radius_mm=2, at=range(4))
    true = outline.rounded_rectangle(20, height_mm=10, radius_mm=2)
    assert measure.area_mm2(made) == pytest.approx(measure.area_mm2(true), abs=EXACT)
    assert measure.length_mm(made) == pytest.approx(measure.length_mm(true), abs=EXACT)
    assert smooth_everywhere(made)


@pytest.mark.parametrize("radius", [0.5, 1.0, 4.9])
def test_inner_corner_gains_what_an_outer_one_loses(radius):
    # A right angle rounded by r loses r^2 (1 - pi / 4).
    part = radius**2 * (1 - pi / 4)
    inner = rounded(ELL, radius_mm=radius, at=[3])
    outer = rounded(ELL, radius_mm=radius, at=[0])
    assert measure.area_mm2(inner) == pytest.approx(175 + part, abs=EXACT)
    assert measure.area_mm2(outer) == pytest.approx(175 - part, abs=EXACT)


@given(angle=st.floats(0.3, 2.8), radius=st.floats(0.05, 1.0), clockwise=st.booleans())
def test_any_corner_loses_the_closed_form(angle, radius, clockwise):
    # A corner of inner angle a loses r^2 (1 / tan(a / 2) - (pi - a) / 2).
    from math import cos, sin

    reach = 50.0
    corners = outline.polygon([(0, 0), (reach, 0), (reach * cos(angle), reach * sin(angle))])
    if clockwise:
        corners = outline.backwards(corners)
    at = 2 if clockwise else 0
    made = rounded(corners, radius_mm=radius, at=[at])
    lost = radius**2 * (1 / tan(angle / 2) - (pi - angle) / 2)
    assert measure.area_mm2(corners) - measure.area_mm2(made) == pytest.approx(lost, abs=1e-8)


def test_largest_radius_of_a_triangle_is_its_incircle():
    # 3-4-5: the incircle has radius 1.
    assert largest_radius_mm(TRIANGLE, at=range(3), most_mm=10) == pytest.approx(1.0, abs=EXACT)
    made = rounded(TRIANGLE, radius_mm=1.0, at=range(3))
    assert outline.circle_of(made) == outline.Round(
        x_mm=pytest.approx(1), y_mm=pytest.approx(1), diameter_mm=pytest.approx(2)
    )
    assert rounded(TRIANGLE, radius_mm=1.001, at=range(3)) is None
    assert largest_radius_mm(BOX, at=range(4), most_mm=10) == pytest.approx(5.0, abs=EXACT)
    assert largest_radius_mm(BOX, at=[0], most_mm=30) == pytest.approx(10.0, abs=EXACT)


@pytest.mark.parametrize("radius", [0.5, 1.0, 2.0])
def test_corner_between_a_line_and_an_arc(radius):
    # In a half disc of radius R the fillet's middle is r above the line, R - r from the middle.
    made = rounded(DEE, radius_mm=radius, at=[0, 1])
    assert smooth_everywhere(made)
    arcs = [
        p for p in outline.pieces(made) if not p.is_straight and abs(p.radius_mm - radius) < 1e-9
    ]
    assert len(arcs) == 2
    for arc in arcs:
        x, y = arc.centre
        assert y == pytest.approx(radius, abs=EXACT)
        assert hypot(x - 5, y) == pytest.approx(5 - radius, abs=EXACT)
        assert abs(x - 5) == pytest.approx(sqrt((5 - radius) ** 2 - radius**2), abs=EXACT)


def test_largest_radius_in_a_half_disc_touches_line_and_arc_in_the_middle():
    # Two equal fillets in a half disc of radius R meet where each is R / 2 wide.
    assert largest_radius_mm(DEE, at=[0, 1], most_mm=10) == pytest.approx(2.5, abs=EXACT)


@given(radius=st.floats(0.1, 2.4))
def test_rounding_a_convex_outline_is_shrinking_and_growing_back(radius):
    # Opening by a disc (shrink, then grow round) rounds every convex corner by the disc's radius.
    (core,) = offset(BOX, by_mm=-radius)
    (back,) = offset(core.outside, by_mm=radius, join=Join.ROUND)
    made = rounded(BOX, radius_mm=radius, at=range(4))
    assert measure.area_mm2(made) == pytest.approx(measure.area_mm2(back.outside), abs=1e-8)
    assert flaw_of(made) is None


def test_smooth_joints_are_no_corners():
    assert sharp_corners(outline.slot(20, width_mm=4)) == ()
    assert sharp_corners(DEE) == (0, 1)
    assert sharp_corners(ELL) == tuple(range(6))
