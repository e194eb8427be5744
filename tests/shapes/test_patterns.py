"""Patterns of places against closed forms."""

from math import dist, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import measure, outline
from lamphouse.shapes.patterns import along, between, grid, ring
from tolerances import EXACT


@given(count=st.integers(2, 60), diameter=st.floats(0.5, 300), start=st.floats(-360, 360))
def test_ring_has_the_chords_of_a_regular_polygon(count, diameter, start):
    # Chord of 360 / n degrees: D sin(pi / n).
    spots = ring(count, diameter_mm=diameter, start_deg=start)
    chord = diameter * sin(pi / count)
    for one, other in zip(spots, spots[1:] + spots[:1], strict=True):
        assert dist(one, other) == pytest.approx(chord, abs=1e-9 * diameter + EXACT)
        assert dist(one, (0, 0)) == pytest.approx(diameter / 2)
    assert sum(x for x, _ in spots) == pytest.approx(0, abs=1e-9 * diameter * count)


def test_ring_of_six_on_24():
    # Common hole circles: six holes on a circle stand a radius apart.
    spots = ring(6, diameter_mm=24)
    assert spots[0] == (12, 0)
    assert spots[1] == pytest.approx((6, 12 * 3**0.5 / 2))


def test_grid_goes_row_by_row():
    assert grid(3, rows=2, step=(5, 0), row_step=(0, 4)) == (
        (0, 0), (5, 0), (10, 0), (0, 4), (5, 4), (10, 4),
    )  # fmt: skip


def test_staggered_grid_of_equal_pitch_is_triangular():
    # With rows half the root of three times the pitch apart, all neighbours are one pitch away.
    pitch = 3.0
    spots = grid(4, rows=3, step=(pitch, 0), row_step=(0, pitch * 3**0.5 / 2), staggered=True)
    near = [dist(a, b) for i, a in enumerate(spots) for b in spots[:i] if dist(a, b) < 1.5 * pitch]
    assert near == pytest.approx([pitch] * len(near))
    # Of 4, 4 and 4: three in each row, and seven between each pair of rows.
    assert len(near) == 3 * 3 + 2 * 7


def test_between_takes_both_ends():
    assert between(5, start=(2, 1), end=(10, 5)) == ((2, 1), (4, 2), (6, 3), (8, 4), (10, 5))
    assert between(1, start=(2, 1), end=(10, 5)) == ((2, 1),)


def test_along_a_rectangle_and_a_circle():
    box = outline.rectangle(20, height_mm=10, x_mm=10, y_mm=5)
    assert along(box, count=6) == ((0, 0), (10, 0), (20, 0), (20, 10), (10, 10), (0, 10))
    round_ = along(outline.circle(24), count=6)
    for one, other in zip(round_, round_[1:] + round_[:1], strict=True):
        assert dist(one, other) == pytest.approx(12)


@given(count=st.integers(3, 80))
def test_along_a_slot_keeps_one_pitch(count):
    slot = outline.slot(40, width_mm=12)
    places = along(slot, count=count)
    # The polygon through them is never longer than the outline.
    length = measure.length_mm(slot)
    closed = sum(dist(a, b) for a, b in zip(places, places[1:] + places[:1], strict=True))
    assert closed <= length + EXACT
    pitch = length / count
    assert all(
        dist(a, b) <= pitch + EXACT for a, b in zip(places, places[1:] + places[:1], strict=True)
    )
