"""The nearest side of a ring, against closed forms and the polygon library."""

from math import sqrt

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes.sides import nearest_side
from tolerances import EXACT

ELL = ((0.0, 0.0), (40.0, 0.0), (40.0, 12.0), (15.0, 12.0), (15.0, 30.0), (0.0, 30.0))
PLACES = st.floats(min_value=-20, max_value=60)


def test_place_foot_and_inward_normal_on_a_slanted_side():
    # The long side of a right triangle with legs of 10 mm: x + y = 10.
    side = nearest_side((4.0, 4.0), ring=((0.0, 0.0), (10.0, 0.0), (0.0, 10.0)))
    assert side.index == 1
    assert side.along_mm == pytest.approx(5.0 * sqrt(2.0), abs=EXACT)
    assert side.foot == pytest.approx((5.0, 5.0), abs=EXACT)
    assert side.gap_mm == pytest.approx(sqrt(2.0), abs=EXACT)
    assert side.normal == pytest.approx((-sqrt(0.5), -sqrt(0.5)), abs=EXACT)


def test_in_a_corner_of_the_box_the_first_side_is_taken():
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    assert nearest_side((9.0, 1.0), ring=square).index == 0
    assert nearest_side((9.0, 9.0), ring=square).index == 1


def test_past_a_corner_the_place_lies_beyond_the_side_and_the_foot_on_it():
    side = nearest_side((-3.0, -4.0), ring=ELL)
    assert (side.index, side.along_mm, side.foot, side.gap_mm) == (0, -3.0, (0.0, 0.0), 5.0)


def test_corners_written_twice_do_not_count():
    twice = (ELL[0], *ELL)
    assert nearest_side((20.0, 1.0), ring=twice).index == 1
    with pytest.raises(ValueError, match="empty"):
        nearest_side((0.0, 0.0), ring=(ELL[0], ELL[0]))


@given(x=PLACES, y=PLACES)
def test_distance_and_foot_agree_with_the_polygon_library(x, y):
    edge, spot = shapely.LinearRing(ELL), shapely.Point(x, y)
    side = nearest_side((x, y), ring=ELL)
    assert side.gap_mm == pytest.approx(edge.distance(spot), abs=EXACT)
    assert edge.distance(shapely.Point(side.foot)) < EXACT


@given(x=PLACES, y=PLACES)
def test_the_normal_points_to_the_side_the_point_is_on(x, y):
    side = nearest_side((x, y), ring=ELL)
    towards = [at - foot for at, foot in zip((x, y), side.foot, strict=True)]
    along_normal = sum(a * b for a, b in zip(towards, side.normal, strict=True))
    if shapely.Polygon(ELL).contains(shapely.Point(x, y)):
        assert along_normal >= -EXACT
    else:
        assert along_normal <= EXACT
