"""Shapes on the grid, with shapely as the witness: no cell that a shape enters is missed."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.cutting import sheet_cells as cells

STRIDE = 64
coordinate = st.one_of(st.integers(0, 20), st.floats(0, 20)).map(lambda value: round(value, 3))
corner = st.tuples(coordinate, coordinate)


@st.composite
def plates(draw):
    """A sound polygon, sometimes with a hole."""
    hull = shapely.MultiPoint(draw(st.lists(corner, min_size=4, max_size=9))).convex_hull
    bite = shapely.MultiPoint(draw(st.lists(corner, min_size=4, max_size=9))).convex_hull
    left = hull.difference(bite)
    parts = [part for part in shapely.get_parts(left) if part.geom_type == "Polygon"]
    solid = max([hull, *parts], key=lambda part: part is not hull and part.area > 1.0)
    return solid if solid.geom_type == "Polygon" and solid.area > 1e-3 else shapely.box(0, 0, 3, 2)


def rings_of(solid):
    return [ring.coords[:-1] for ring in (solid.exterior, *solid.interiors)]


@given(plates(), st.sampled_from([0.5, 1.0, 0.7]))
def test_every_cell_a_shape_enters_is_taken_and_no_other(solid, pitch):
    grid, left, bottom = cells.rasterised(rings_of(solid), pitch_mm=pitch)
    x, y = np.meshgrid(
        np.arange(left - 1, left + grid.shape[0] + 1),
        np.arange(bottom - 1, bottom + grid.shape[1] + 1),
        indexing="ij",
    )
    boxes = shapely.box(x * pitch, y * pitch, (x + 1) * pitch, (y + 1) * pitch)
    shared = shapely.area(shapely.intersection(boxes, solid))
    taken = np.pad(grid, 1)
    assert not shared[~taken].max(initial=0.0) > 1e-5  # what an edge may reach into a cell
    assert not (taken & (shapely.distance(boxes, solid) > 1e-9)).any()


def test_a_rectangle_on_the_grid_takes_exactly_its_cells():
    grid, left, bottom = cells.rasterised([[(1, 2), (4, 2), (4, 7), (1, 7)]], pitch_mm=0.5)
    assert (left, bottom) == (2, 4)
    assert grid.shape == (6, 10)
    assert grid.all()


def test_a_hole_on_the_grid_stays_free():
    ring = [(0, 0), (6, 0), (6, 6), (0, 6)]
    hole = [(2, 2), (5, 2), (5, 4), (2, 4)]
    grid, _, _ = cells.rasterised([ring, hole], pitch_mm=1.0)
    assert grid.sum() == 36 - 6
    assert not grid[2:5, 2:4].any()


@given(st.integers(0, 2**32 - 1))
def test_the_sum_of_two_shapes_is_every_sum_of_their_cells(seed):
    chance = np.random.default_rng(seed)
    one, other = (chance.random(chance.integers(1, 9, 2)) < 0.5 for _ in range(2))
    one[0, 0] = other[0, 0] = True
    first, second = (cells.cells_of(grid, stride=STRIDE) for grid in (one, other))
    total = cells.swept(first.bits, by=second.stripes, stride=STRIDE)
    wanted = {
        int((a[0] + b[0]) * STRIDE + a[1] + b[1])
        for a in np.argwhere(one)
        for b in np.argwhere(other)
    }
    assert {bit for bit in range(total.bit_length()) if total >> bit & 1} == wanted


@given(st.integers(0, 2**32 - 1))
def test_half_a_turn_is_that_of_the_grid(seed):
    grid = np.random.default_rng(seed).random((7, 5)) < 0.5
    grid[0, 0] = True
    made = cells.cells_of(grid, stride=STRIDE)
    back = cells.turned_about(made.stripes, wide=made.wide, high=made.high)
    assert cells.swept(1, by=back, stride=STRIDE) == (
        cells.cells_of(grid[::-1, ::-1], stride=STRIDE).bits
    )


def test_bits_and_grid_are_one():
    grid = np.random.default_rng(1).random((9, 13)) < 0.4
    bits = cells.cells_of(grid, stride=16).bits
    assert (cells.grid_of(bits, wide=9, stride=16)[:, :13] == grid).all()


@pytest.mark.parametrize(
    ("longest", "gap", "pitch"),
    [
        (300.0, 2.0, 0.5),
        (300.0, 0.3, 0.3),
        (300.0, 0.0, 0.5),
        (5752.0, 0.0, 5.0),
        (40.0, 0.0, 0.05),
    ],
)
def test_the_pitch_divides_the_gap_or_is_round(longest, gap, pitch):
    assert cells.pitch_for(longest, gap_mm=gap) == pytest.approx(pitch)


@pytest.mark.parametrize("gap", [0.0, 0.4, 0.5, 1.0, 1.7])
def test_cells_out_of_reach_lie_a_gap_apart(gap):
    pitch = 0.5
    near = cells.reach(gap, pitch_mm=pitch)
    most = len(near) // 2
    for x in range(-most - 1, most + 2):
        for y in range(-most - 1, most + 2):
            inside = max(abs(x), abs(y)) <= most and near[x + most, y + most]
            if not inside:
                apart = np.hypot(max(abs(x) - 1, 0), max(abs(y) - 1, 0)) * pitch
                assert apart >= gap - 1e-12
