"""Areas, centroids and bounds, against closed forms and against fine chords in shapely."""

from math import cos, pi, sin

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import flatten, measure, outline
from tolerances import EXACT, PHYSICS

HALF_CIRCLE = ((-10.0, 0.0, 0.0), (10.0, 0.0, 1.0))


@st.composite
def rounded_stars(draw):
    """An outline about the origin, each piece straight or bulged a little either way."""
    count = draw(st.integers(min_value=3, max_value=9))
    corners = []
    for index in range(count):
        reach = draw(st.floats(min_value=8.0, max_value=30.0))
        bulge = draw(st.sampled_from([0.0, 0.1, -0.1, 0.25, 1e-4]))
        angle = 2 * pi * index / count
        corners.append((100 + reach * cos(angle), -50 + reach * sin(angle), bulge))
    return tuple(corners)


def test_half_circle_has_its_textbook_centroid():
    # Centroid of a half disc: 4 r / (3 pi) from the diameter (any mechanics handbook).
    assert measure.signed_area_mm2(HALF_CIRCLE) == pytest.approx(pi * 50, rel=EXACT)
    assert measure.centroid_mm(HALF_CIRCLE) == pytest.approx((0, 40 / (3 * pi)), abs=EXACT)
    assert measure.length_mm(HALF_CIRCLE) == pytest.approx(20 + 10 * pi, rel=EXACT)
    assert measure.bounds_mm(HALF_CIRCLE) == pytest.approx((-10, 0, 10, 10), abs=EXACT)


def test_arc_above_a_half_turn_reaches_round_its_circle():
    # Three quarters of a circle of radius 5 about the origin, closed by its chord.
    bulge = sin(3 * pi / 8) / cos(3 * pi / 8)
    corners = ((5.0, 0.0, bulge), (0.0, -5.0, 0.0))
    assert measure.area_mm2(corners) == pytest.approx(0.75 * pi * 25 + 12.5, rel=EXACT)
    assert measure.bounds_mm(corners) == pytest.approx((-5, -5, 5, 5), abs=EXACT)


def test_shallow_arc_keeps_its_small_area():
    # Segment of a circle, 2/3 chord sagitta to first order: error below (sagitta / chord)^2.
    chord, sagitta = 10.0, 1e-4
    corners = ((0.0, 0.0, 2 * sagitta / chord), (chord, 0.0, 0.0))
    assert measure.area_mm2(corners) == pytest.approx(2 / 3 * chord * sagitta, rel=1e-7)


@given(corners=rounded_stars())
def test_green_agrees_with_shapely_on_fine_chords(corners):
    flat = shapely.Polygon(flatten.flatten(corners, error_mm=1e-6))
    signed = measure.signed_area_mm2(corners)
    if not flat.is_valid:
        return
    slack = 1e-6 * flat.length
    assert signed == pytest.approx(flat.area, abs=slack)
    assert measure.centroid_mm(corners) == pytest.approx(
        (flat.centroid.x, flat.centroid.y), abs=PHYSICS
    )
    assert measure.bounds_mm(corners) == pytest.approx(flat.bounds, abs=2e-6)
    assert measure.length_mm(corners) == pytest.approx(flat.length, rel=1e-5)


def test_anticlockwise_turns_a_clockwise_outline_round():
    clockwise = outline.backwards(outline.rectangle(4, height_mm=2))
    assert measure.signed_area_mm2(clockwise) == -8
    assert measure.signed_area_mm2(measure.anticlockwise(clockwise)) == 8


@given(corners=rounded_stars())
def test_turns_of_a_closed_polygon_add_up_to_a_full_turn(corners):
    straight = tuple((x, y, 0.0) for x, y, _ in corners)
    if shapely.Polygon([c[:2] for c in straight]).is_valid:
        assert sum(measure.turns_rad(straight)) == pytest.approx(2 * pi, rel=EXACT)
