"""Grid rectangles joined into coarse cells: they tile the plan and reach over nothing."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.light.glow import solve
from lamphouse.light.interior import make_interior
from lamphouse.light.plan_blocks import join
from lamphouse.light.plan_cells import free_ends, plan_blocks
from lamphouse.light.scene import Baffle
from light.boxes import box_of, plain_box, scenes
from tolerances import EXACT, PHYSICS

widths = st.lists(st.floats(0.1, 5.0), min_size=1, max_size=9)

SLANTED = next(
    scene for scene in scenes("fresh/scenes.json") if scene["name"] == "g03_slanted_baffles"
)


def lines_of(widths):
    return [0.0, *np.cumsum(widths).tolist()]


@settings(max_examples=60, deadline=None)
@given(widths, widths, st.floats(1.0, 8.0), st.data())
def test_blocks_tile_the_plan_and_keep_to_the_step(wide, high, step, data):
    across, up = lines_of(wide), lines_of(high)
    wall = data.draw(st.sampled_from(across))
    end = data.draw(st.sampled_from(up))
    blocks = join(
        across,
        up=up,
        step_mm=step,
        lines=[((wall, 0.0), (wall, end))],
        ends=[((wall, end), 1.0)],
    )
    left, bottom, right, top = blocks.rect_mm.T
    assert ((right - left) * (top - bottom)).sum() == pytest.approx(across[-1] * up[-1], rel=EXACT)
    for number, (west, south, east, north) in enumerate(blocks.rect_mm):
        rows, columns = np.nonzero(blocks.owner == number)
        own = (across[columns.min()], up[rows.min()], across[columns.max() + 1], up[rows.max() + 1])
        assert (west, south, east, north) == own
        assert len(rows) == (np.ptp(rows) + 1) * (np.ptp(columns) + 1)
        assert np.ptp(columns) == 0 or east - west <= step * (1.0 + 2.0 * EXACT)
        assert np.ptp(rows) == 0 or north - south <= step * (1.0 + 2.0 * EXACT)
        assert not (west < wall < east and south < end)
    quarters = blocks.quarters()
    x, y = (quarters[:, 0] + quarters[:, 2]) / 2.0, (quarters[:, 1] + quarters[:, 3]) / 2.0
    assert blocks.quarter_at(x, y).tolist() == list(range(len(quarters)))
    assert blocks.quarter_at(np.array([-1.0]), np.array([0.05])).tolist() == [-1]


def test_the_grid_stays_fine_at_the_end_of_a_baffle_alone():
    """A slit of 1 mm: beside its end cells are as small as it, far away as large as the step."""
    baffle = Baffle(
        start_mm=(15.0, 0.0), end_mm=(15.0, 19.0), low_mm=0.0, high_mm=8.0, reflectance=0.8
    )
    box = plain_box(baffles=(baffle,))
    assert free_ends(box) == [((15.0, 19.0), 1.0)]
    blocks = plan_blocks(box, step_mm=5.0, wanted=(), rims=())
    left, bottom, right, top = blocks.rect_mm.T
    near = (np.maximum(left - 15.0, 15.0 - right) < 0.5) & (top > 18.5)
    assert (top - bottom)[near].max() == pytest.approx(1.0, rel=EXACT)
    assert (right - left)[near].max() == pytest.approx(1.0, rel=EXACT)
    away = (right < 10.0) | (left > 20.0)
    # The strips on both sides of the line through the end are one there.
    assert np.minimum(right - left, top - bottom)[away].min() == pytest.approx(2.0, rel=EXACT)


def test_a_moment_is_kept_across_cells_of_unequal_size():
    """Light laid down off the middle of a face is shared so that its place is kept."""
    inside = make_interior(box_of(SLANTED))
    cells = inside.cavities[0].cell_count
    offset = np.zeros((inside.face_count, 3))
    offset[:, 0], offset[:, 1] = 0.2, -0.1
    both = (inside.lower != inside.upper).all(axis=0)
    both[2 * cells :] = False
    span = inside.centre_mm[inside.upper] - inside.centre_mm[inside.lower]
    moved = np.sum(offset * inside.per_mm, axis=2)[..., None] * span
    assert moved.sum(axis=0)[both] == pytest.approx(offset[both], abs=EXACT)


def test_joined_cells_see_what_fine_ones_do():
    """The slanted box again, against its own solution on steps half as long."""
    box = box_of(SLANTED)
    usual, fine = solve(box), solve(box, step=2.0)
    for look, better in zip(usual.looks, fine.looks, strict=True):
        assert look.mean_cd_m2 == pytest.approx(better.mean_cd_m2, rel=10.0 * PHYSICS)
