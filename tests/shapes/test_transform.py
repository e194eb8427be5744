"""Moved, turned and stretched outlines keep what they should."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import measure, outline, transform
from tolerances import EXACT

NUMBERS = st.floats(min_value=-300, max_value=300)
SHAPE = (
    (0.0, 0.0, 0.2),
    (20.0, 0.0, 0.0),
    (26.0, 9.0, -0.3),
    (11.0, 15.0, 0.0),
    (-2.0, 8.0, 0.05),
)


@given(angle=NUMBERS, x=NUMBERS, y=NUMBERS)
def test_turning_moves_the_centroid_round_the_point(angle, x, y):
    turned = transform.turn(SHAPE, angle_deg=angle, about=(x, y))
    assert measure.area_mm2(turned) == pytest.approx(measure.area_mm2(SHAPE), rel=EXACT)
    centre, was = measure.centroid_mm(turned), measure.centroid_mm(SHAPE)
    reach = (was[0] - x) ** 2 + (was[1] - y) ** 2
    assert (centre[0] - x) ** 2 + (centre[1] - y) ** 2 == pytest.approx(reach, rel=1e-6)


def test_quarter_turn_of_a_known_corner():
    assert transform.turn(((3.0, 1.0, 0.5),), angle_deg=90, about=(1, 1))[0] == pytest.approx(
        (1, 3, 0.5), abs=EXACT
    )


def test_moved_outline_keeps_its_arcs():
    moved = transform.move(outline.circle(4), x_mm=3, y_mm=-2)
    assert outline.circle_of(moved) == outline.Round(x_mm=3, y_mm=-2, diameter_mm=4)


def test_mirrored_twice_is_the_same_and_keeps_its_direction():
    once = transform.mirror(SHAPE, about_x_mm=3.0)
    assert measure.signed_area_mm2(once) == pytest.approx(measure.signed_area_mm2(SHAPE))
    assert once[0][:2] == pytest.approx((6.0 - SHAPE[0][0], SHAPE[0][1]))
    back = transform.mirror(once, about_x_mm=3.0)
    assert [value for corner in back for value in corner] == pytest.approx(
        [value for corner in SHAPE for value in corner]
    )
