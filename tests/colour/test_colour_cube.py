"""Cubes of colours against an open package, and on functions they must give exactly."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.colour.colour_cube import cube_of, grid, read_at, read_pixels, sampled
from tolerances import EXACT

SINGLE = 1e-6
"""Numbers of 24 bits."""
RANDOM = np.random.default_rng(7)
PIXELS = RANDOM.integers(0, 256, (40, 50, 3), dtype=np.uint8)


def test_another_library_reads_the_same_between_the_corners(witness):
    # colour-science, tetrahedral interpolation of a table.
    cube = cube_of(RANDOM.random((9**3, 3)))
    wanted = witness.algebra.table_interpolation_tetrahedral(
        PIXELS / 255.0, cube.values.astype(float)
    )
    assert read_pixels(cube, PIXELS) == pytest.approx(wanted, abs=SINGLE)
    assert read_at(cube, PIXELS.reshape(-1, 3) / 255.0) == pytest.approx(
        wanted.reshape(-1, 3), abs=SINGLE
    )


def test_planes_are_read_exactly():
    def plane(shares):
        return shares @ np.array([[1.0, 0.5, 2.0, 0.0], [0.3, -1.0, 0.0, 1.0], [0.1, 0.2, -0.7, 2]])

    cube = sampled(plane, corners=5)
    shares = RANDOM.random((500, 3))
    assert read_at(cube, shares) == pytest.approx(plane(shares), abs=SINGLE)


@given(st.floats(0.0, 1.0))
def test_greys_stay_on_the_line_of_greys(grey):
    # What lies beside the diagonal plays no part for a grey: the promise of tetrahedra.
    values = grid(4) * 0.0
    on = np.isclose(grid(4).std(axis=1), 0.0)
    values[on] = grid(4)[on]
    values[~on] = 1000.0
    read = read_at(cube_of(values), np.array([[grey] * 3]))
    assert read == pytest.approx(np.full((1, 3), grey), abs=1e-3)


def test_corners_and_what_lies_outside():
    cube = cube_of(RANDOM.random((27, 2)))
    corners = grid(3)
    assert read_at(cube, corners) == pytest.approx(cube.values.reshape(-1, 2), abs=EXACT)
    beyond = np.array([[-3.0, 0.5, 9.0]])
    assert read_at(cube, beyond) == pytest.approx(read_at(cube, np.clip(beyond, 0, 1)), abs=EXACT)


def test_pictures_of_any_shape_are_read():
    cube = cube_of(grid(3))
    for shape in ((1, 3), (0, 3), (2, 3, 4, 3), (70_000, 3)):
        pixels = np.zeros(shape, dtype=np.uint8)
        assert read_pixels(cube, pixels).shape == shape
