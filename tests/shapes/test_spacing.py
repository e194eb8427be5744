"""Distances, margins and pairs, against closed forms and brute force."""

from math import cos, hypot, pi, sin
from time import process_time

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.shapes import outline, spacing
from lamphouse.shapes.flatten import flatten
from tolerances import EXACT

STATED_MM = 1e-4
"""The error the module states for arcs."""

PLACES = st.floats(min_value=-40, max_value=40)


def test_distance_of_circles_is_exact():
    first = outline.circle(10, x_mm=-20, y_mm=3)
    assert spacing.gap_mm(first, other=outline.circle(6, x_mm=4, y_mm=10)) == pytest.approx(
        hypot(24, 7) - 8, abs=EXACT
    )
    assert spacing.gap_mm(first, other=outline.circle(6, x_mm=-20, y_mm=3)) == -8


def test_distance_of_a_slot_to_a_line_is_within_the_stated_error():
    # The slot's round end reaches x = 10; the rectangle begins at x = 12.
    gap = spacing.gap_mm(
        outline.slot(20, width_mm=4, turn_deg=0), other=outline.rectangle(4, height_mm=1, x_mm=14)
    )
    assert gap == pytest.approx(2, abs=STATED_MM)


@given(x=PLACES, y=PLACES, d=st.floats(min_value=0.2, max_value=9))
def test_margin_of_a_circle_in_a_rectangle_is_its_least_distance_to_a_side(x, y, d):
    margin = spacing.margin_mm(
        outline.circle(d, x_mm=x, y_mm=y), outer=outline.rectangle(60, height_mm=40)
    )
    inside = min(30 - abs(x), 20 - abs(y))
    if inside >= 0:
        assert margin == pytest.approx(min(inside - d / 2, spacing.FAR_MM), abs=EXACT)
    else:
        outside = hypot(max(abs(x) - 30, 0), max(abs(y) - 20, 0))
        assert margin == pytest.approx(-outside - d / 2, abs=EXACT)


@settings(max_examples=50)
@given(
    st.lists(st.tuples(PLACES, PLACES, st.floats(0.3, 12), st.booleans()), max_size=12),
    st.booleans(),
)
def test_margins_measured_at_once_are_distances_to_the_edge(rows, is_round):
    outer = outline.circle(70) if is_round else outline.rectangle(70, height_mm=50)
    inners = [
        outline.slot(2 * d, width_mm=d, x_mm=x, y_mm=y, turn_deg=30)
        if slotted
        else outline.circle(d, x_mm=x, y_mm=y)
        for x, y, d, slotted in rows
    ]
    enclosure = spacing.Enclosure(outer)
    enclosure.measure(inners)
    solid = shapely.Polygon(flatten(outer))
    for inner in inners:
        flat = shapely.Polygon(flatten(inner))
        margin = enclosure.margin_mm(inner)
        if solid.contains(flat):
            true = min(solid.exterior.distance(flat), spacing.FAR_MM)
            assert margin == pytest.approx(true, abs=2 * STATED_MM)
        else:
            assert margin < 2 * STATED_MM


def test_margin_counts_how_far_a_rectangle_sticks_out():
    panel = outline.rectangle(40, height_mm=18, x_mm=20, y_mm=9)
    window = outline.rectangle(10, height_mm=6, x_mm=37.5, y_mm=9)
    assert spacing.margin_mm(window, outer=panel) == pytest.approx(-2.5, abs=EXACT)
    inside = outline.rectangle(10, height_mm=6, x_mm=33, y_mm=9)
    assert spacing.margin_mm(inside, outer=panel) == pytest.approx(2, abs=EXACT)


def test_margin_sees_a_notch_between_far_corners():
    # A window whose corners all lie inside an L but whose middle crosses the inner corner.
    ell = outline.polygon([(0, 0), (20, 0), (20, 5), (5, 5), (5, 20), (0, 20)])
    window = outline.polygon([(1, 12), (12, 1), (13, 2), (2, 13)])
    assert spacing.margin_mm(window, outer=ell) < 0


def test_margin_of_circle_in_circle():
    assert spacing.margin_mm(
        outline.circle(2, x_mm=3, y_mm=4), outer=outline.circle(20)
    ) == pytest.approx(4, abs=EXACT)


@settings(max_examples=50)
@given(
    st.lists(st.tuples(PLACES, PLACES, st.floats(0.3, 8), st.booleans()), min_size=2, max_size=12)
)
def test_close_pairs_find_what_brute_force_finds(rows):
    shapes = [
        outline.circle(d, x_mm=x, y_mm=y)
        if is_round
        else outline.rectangle(d, height_mm=d / 2, x_mm=x, y_mm=y)
        for x, y, d, is_round in rows
    ]
    flat = [shapely.Polygon(flatten(s)) for s in shapes]
    far_and_near = {
        (earlier, later): flat[later].distance(flat[earlier])
        for later in range(len(flat))
        for earlier in range(later)
    }
    found = {
        (p.earlier, p.later): p.gap_mm for p in spacing.close_pairs(shapes, nearer_than_mm=1.5)
    }
    for pair, true in far_and_near.items():
        if true < 1.5 - 2 * STATED_MM:
            assert max(found[pair], 0) == pytest.approx(true, abs=2 * STATED_MM)
        elif true > 1.5 + 2 * STATED_MM:
            assert pair not in found


def test_bare_area_of_a_half_covered_window():
    window = outline.rectangle(10, height_mm=4)
    cover = outline.rectangle(10, height_mm=10, x_mm=5)
    assert spacing.bare_mm2(window, covers=[cover]) == pytest.approx(20, rel=EXACT)
    assert spacing.bare_mm2(window, covers=[]) == pytest.approx(40, rel=EXACT)


def test_overlap_of_two_circles_is_the_lens_of_the_textbook():
    # Two circles of radius 1 whose middles are 1 apart: 2 pi / 3 - sqrt(3) / 2.
    area = spacing.overlap_mm2(outline.circle(2), other=outline.circle(2, x_mm=1))
    assert area == pytest.approx(2 * pi / 3 - 3**0.5 / 2, abs=STATED_MM * 4)


def test_inner_spot_of_a_ring_like_outline_lies_inside():
    gap = outline.polygon([(0, 0), (20, 0), (20, 20), (0, 20), (0, 12), (16, 12), (16, 8), (0, 8)])
    assert shapely.Polygon(flatten(gap)).contains(shapely.Point(spacing.inner_spot(gap)))


def test_hostile_sizes_take_seconds():
    count = 50_000
    panel = outline.polygon(
        (500 * cos(2 * pi * i / count), 500 * sin(2 * pi * i / count)) for i in range(count)
    )
    heap = [outline.rectangle(3, height_mm=3, x_mm=1, y_mm=2)] * 3000
    began = process_time()
    pairs = spacing.close_pairs(heap, nearer_than_mm=1)
    assert {pair.later for pair in pairs} == set(range(1, len(heap)))
    assert len(pairs) <= len(heap) * spacing.MOST_NEIGHBOURS
    enclosure = spacing.Enclosure(panel)
    assert min(enclosure.margin_mm(window) for window in heap) == spacing.FAR_MM
    assert process_time() - began < 10.0
