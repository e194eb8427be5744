"""What plates leave free, against areas in closed form."""

from math import pi

import pytest

from lamphouse.shapes.clearing import free_parts
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.outline import circle, circle_of, rectangle
from tolerances import EXACT

ERROR_MM = 0.01
WINDOW = rectangle(20, height_mm=10)


def area(parts):
    return sum(area_mm2(part) for part in parts)


def test_a_plate_beside_it_covers_nothing():
    aside = (rectangle(5, height_mm=5, x_mm=30), ())
    assert free_parts(WINDOW, under=[aside], error_mm=ERROR_MM) is None
    ring = (rectangle(40, height_mm=40), (rectangle(20, height_mm=10),))
    assert free_parts(WINDOW, under=[ring], error_mm=ERROR_MM) is None


def test_a_bezel_leaves_its_cutout():
    bezel = (rectangle(40, height_mm=40), (rectangle(12, height_mm=6, x_mm=1),))
    (part,) = free_parts(WINDOW, under=[bezel], error_mm=ERROR_MM)
    assert bounds_mm(part) == pytest.approx((-5, -3, 7, 3), abs=EXACT)


def test_bars_leave_panes_from_left_to_right():
    bars = [(rectangle(2, height_mm=40, x_mm=x), ()) for x in (-4, 4)]
    parts = free_parts(WINDOW, under=bars, error_mm=ERROR_MM)
    assert [bounds_mm(part)[0] for part in parts] == pytest.approx([-10, -3, 5], abs=EXACT)
    assert area(parts) == pytest.approx(200 - 2 * 20, abs=EXACT)


def test_an_island_cuts_what_is_round_it_in_two():
    parts = free_parts(WINDOW, under=[(circle(6), ())], error_mm=ERROR_MM)
    assert len(parts) == 2
    assert area(parts) == pytest.approx(200 - 9 * pi, rel=2e-3)


def test_a_covered_window_has_no_part_left():
    assert free_parts(WINDOW, under=[(rectangle(30, height_mm=30), ())], error_mm=ERROR_MM) == ()


def test_a_round_cutout_stays_round():
    bezel = (rectangle(40, height_mm=40), (circle(8, x_mm=2),))
    (part,) = free_parts(WINDOW, under=[bezel], error_mm=ERROR_MM)
    assert circle_of(part).diameter_mm == pytest.approx(8, abs=EXACT)


def test_two_plates_leave_what_both_leave():
    one = (rectangle(40, height_mm=40), (rectangle(10, height_mm=10, x_mm=-3),))
    other = (rectangle(40, height_mm=40), (rectangle(10, height_mm=10, x_mm=3),))
    parts = free_parts(WINDOW, under=[one, other], error_mm=ERROR_MM)
    assert area(parts) == pytest.approx(4 * 10, abs=EXACT)
