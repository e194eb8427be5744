"""Cover of pixels against exact areas and against the polygon library, pixel by pixel."""

from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.outputs.coverage import SUB_ROWS, coverage
from lamphouse.shapes.outline import circle, polygon, rectangle
from tolerances import EXACT

LINES = 0.5 / SUB_ROWS
"""A pixel's cover is a mean over four lines: exact along them, this much off across at worst."""
CHORDS = 0.02
"""Round edges come as chords that lie this much inside them at most. [pixel]."""


def cover(corners, *, shape=(40, 50), pixels_per_mm=4.0, left=0.0, bottom=0.0):
    return coverage(
        corners, left_mm=left, bottom_mm=bottom, shape=shape, pixels_per_mm=pixels_per_mm
    )


def test_a_rectangle_off_the_grid_is_exact():
    seen = cover(rectangle(3.1, height_mm=2.3, x_mm=5.0, y_mm=4.0))
    assert seen.sum() == pytest.approx(3.1 * 2.3 * 16, rel=EXACT)
    assert seen.max() == 1.0


def test_a_circle_has_its_area():
    seen = cover(circle(8.0, x_mm=6.0, y_mm=5.0))
    assert seen.sum() == pytest.approx(pi * 16 * 16, abs=CHORDS * 2 * pi * 16)
    assert seen[20, 24] == pytest.approx(1.0, abs=EXACT)
    assert seen[0, 0] == 0.0


@settings(max_examples=40, deadline=None)
@given(
    radii=st.lists(st.floats(min_value=0.8, max_value=3.0), min_size=5, max_size=9),
    turn=st.floats(min_value=0.0, max_value=1.0),
)
def test_every_pixel_agrees_with_the_polygon_library(radii, turn):
    """Stars with slanting edges, dents and the direction turned round."""
    angles = 2.0 * pi * (np.arange(len(radii)) / len(radii) + turn)
    spots = [(4.0 + r * np.cos(a), 4.0 + r * np.sin(a)) for r, a in zip(radii, angles, strict=True)]
    seen = cover(polygon(reversed(spots)), shape=(32, 32))
    shape = shapely.Polygon(spots)
    edge = np.arange(33) / 4.0
    pixels = shapely.box(edge[None, :-1], edge[:-1, None], edge[None, 1:], edge[1:, None])
    exact = shapely.area(shapely.intersection(shape, pixels)) * 16.0
    assert np.abs(seen - exact).max() <= LINES


def test_what_lies_outside_the_grid_is_cut_off():
    seen = cover(rectangle(100.0, height_mm=100.0), shape=(8, 8))
    assert np.all(seen == 1.0)
    assert np.all(cover(circle(2.0, x_mm=-9.0, y_mm=3.0), shape=(8, 8)) == 0.0)
    half = cover(circle(4.0, x_mm=0.0, y_mm=4.0), shape=(32, 32))
    assert half.sum() == pytest.approx(pi * 64 / 2, rel=1e-2)
