"""Chords: as many as the error asks for, never farther from the arc than it."""

import json
from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.shapes import flatten, outline
from tolerances import EXACT


def test_full_circles_take_the_published_number_of_chords(reference):
    table = json.loads((reference / "offset" / "values.json").read_text())["circle_chords"]
    assert table
    for row in table:
        spots = flatten.flatten(outline.circle(2 * row["r"]), error_mm=row["tol"])
        assert len(spots) == row["n"]


@given(
    radius=st.floats(min_value=0.1, max_value=1000),
    error=st.floats(min_value=1e-5, max_value=0.05),
)
def test_chords_leave_the_circle_by_no_more_than_the_error(radius, error):
    spots = np.array(flatten.flatten(outline.circle(2 * radius), error_mm=error))
    middles = (spots + np.roll(spots, -1, axis=0)) / 2
    assert np.hypot(*spots.T) == pytest.approx(radius, rel=EXACT)
    assert radius - np.hypot(*middles.T).min() <= error * (1 + 1e-6) + 1e-12


def test_straight_pieces_stay_as_they_are():
    corners = outline.rectangle(4, height_mm=2)
    assert flatten.flatten(corners) == tuple(c[:2] for c in corners)


def test_no_arc_is_its_chord_alone():
    assert flatten.chord_count(1000.0, sweep_rad=1e-6, error_mm=1.0) == 2


def test_endless_radius_is_bounded():
    assert flatten.chord_count(1e15, sweep_rad=pi, error_mm=1e-6) == flatten.MOST_CHORDS
