import numpy as np
import pytest
import shapely

from lamphouse.light.crossings import aimed, crossings
from lamphouse.light.sight import lit, seen_between, visible
from lamphouse.light.viewers import RAYS, Screens, level_viewers, wall_viewers

# The plain way: a geometry library crosses every ray with every foot line; the height at the
# crossing follows from similar triangles.
SQUARE = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])


def cells(rng, count):
    corner = rng.uniform(0.0, 28.0, (count, 1, 2)) + rng.uniform(1.0, 4.0, (count, 1, 1)) * SQUARE
    return np.concatenate([corner, corner[:, -1:]], axis=1)


def screens(rng, count, *, part_height):
    table = rng.uniform(2.0, 30.0, (count, 4))
    low, high = np.zeros(count), np.full(count, 8.0)
    if part_height:
        high[::2], low[1::2] = rng.uniform(3.0, 7.0), rng.uniform(2.0, 5.0)
    return Screens(start_mm=table[:, :2], end_mm=table[:, 2:], low_mm=low, high_mm=high)


def counted(one, other, walls, *, i, j):
    """Share of rays between two faces that pass, layer by layer."""
    ray = np.arange(RAYS)
    partner = (ray * 7 + 3) % RAYS
    start, end = one.spot_mm[i], other.spot_mm[j][partner]
    free = np.ones((RAYS, len(one.low_mm), len(other.low_mm)), dtype=bool)
    place = {shift: ((ray * 7 + shift) % RAYS + 0.5) / RAYS for shift in (3, 9)}
    low = one.low_mm + place[3][:, None] * (one.high_mm - one.low_mm)
    high = other.low_mm + place[9][:, None] * (other.high_mm - other.low_mm)
    for number in range(len(walls.low_mm)):
        foot = shapely.linestrings([walls.start_mm[number], walls.end_mm[number]])
        lines = shapely.linestrings(np.stack([start, end], axis=1))
        meeting = shapely.intersection(lines, foot)
        for which in np.flatnonzero(~shapely.is_empty(meeting)):
            at = np.array([meeting[which].x, meeting[which].y])
            part = np.hypot(*(at - start[which])) / np.hypot(*(end[which] - start[which]))
            height = (1.0 - part) * low[which][:, None] + part * high[which][None]
            free[which] &= ~((height >= walls.low_mm[number]) & (height <= walls.high_mm[number]))
    return free.mean(axis=0)


@pytest.mark.parametrize("part_height", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_rays_are_stopped_where_a_geometry_library_says(seed, part_height):
    rng = np.random.default_rng(seed)
    one = level_viewers(cells(rng, 12), height_mm=[0.0, 8.0])
    foot = rng.uniform(0.0, 32.0, (9, 2, 2))
    other = wall_viewers(foot, height_mm=np.array([0.0, 2.5, 8.0]))
    walls = screens(rng, 4, part_height=part_height)
    for first, second in ((one, other), (other, one), (one, one), (other, other)):
        seen = visible(first, other=second, screens=walls)
        for i in range(len(first.spot_mm)):
            for j in range(len(second.spot_mm) if first is not second else i):
                wanted = counted(first, second, walls, i=i, j=j)
                found = np.broadcast_to(seen[:, :, i, j], wanted.shape)
                # Level faces at one height do not see each other, whatever stands between.
                sees = ~np.eye(2, dtype=bool) if first is second is one else np.full((2, 2), True)
                assert found[sees] == pytest.approx(wanted[sees], abs=1e-12)


def test_faces_that_look_at_one_another_agree():
    rng = np.random.default_rng(7)
    one = level_viewers(cells(rng, 20), height_mm=[0.0, 8.0])
    seen = visible(one, other=one, screens=screens(rng, 3, part_height=True))
    seen[..., np.arange(20), np.arange(20)] = 1.0
    assert np.array_equal(seen, seen.transpose(1, 0, 3, 2))


def test_layers_that_look_at_the_opposite_one_alone():
    """By the same crossings of the geometry library."""
    rng = np.random.default_rng(5)
    one = level_viewers(cells(rng, 12), height_mm=[0.0, 8.0])
    walls = screens(rng, 3, part_height=True)
    seen = visible(one, other=one, screens=walls, opposite=True)
    assert seen.shape == (2, 1, 12, 12)
    for i in range(12):
        for j in range(i):
            wanted = counted(one, one, walls, i=i, j=j)
            assert seen[:, 0, i, j] == pytest.approx([wanted[0, 1], wanted[1, 0]], abs=1e-12)
            assert seen[:, 0, j, i] == pytest.approx([wanted[1, 0], wanted[0, 1]], abs=1e-12)


def test_pairs_that_do_not_face_each_other_are_not_looked_at():
    rng = np.random.default_rng(9)
    one = level_viewers(cells(rng, 12), height_mm=[0.0])
    other = wall_viewers(rng.uniform(0.0, 32.0, (9, 2, 2)), height_mm=np.array([0.0, 8.0]))
    walls, facing = screens(rng, 4, part_height=False), rng.random((12, 9)) < 0.5
    mine, theirs = (aimed(faces, screens=walls) for faces in (one, other))
    met = crossings(mine, theirs=theirs, screens=walls, facing=facing)
    seen = visible(one, other=other, screens=walls, met=met)[0, 0]
    assert np.all(seen[~facing] == 1.0)
    assert np.array_equal(seen[facing], visible(one, other=other, screens=walls)[0, 0][facing])
    assert seen[facing].min() < 1.0


@pytest.mark.parametrize("seed", range(4))
def test_a_ray_that_begins_or_ends_on_a_wall_is_not_stopped_by_it(seed):
    """Plane geometry, for walls at any slant: rounding decides nothing."""
    rng = np.random.default_rng(seed)
    start, end = rng.uniform(2.0, 30.0, (2, 40, 2))
    walls = Screens(start_mm=start, end_mm=end, low_mm=np.zeros(40), high_mm=np.full(40, 8.0))
    for number in range(40):
        along = end[number] - start[number]
        foot = start[number] + rng.uniform(0.05, 0.95, (60, 1)) * along
        out = np.array([-along[1], along[0]]) / np.hypot(*along)
        beside = (
            foot + rng.uniform(0.1, 5.0, (60, 1)) * out + rng.uniform(-3.0, 3.0, (60, 1)) * along
        )
        on_wall = np.column_stack([foot, rng.uniform(0.5, 7.5, 60)])
        off_wall = np.column_stack([beside, rng.uniform(0.5, 7.5, 60)])
        own = walls.take([number])
        assert lit(on_wall, at=off_wall, screens=own).all()
        assert lit(off_wall, at=on_wall, screens=own).all()


def test_pairs_seen_at_once_are_those_seen_one_by_one():
    lot = np.random.default_rng(8)
    ends = lot.uniform(-10.0, 10.0, size=(6, 2, 2))
    low = lot.uniform(0.0, 4.0, size=6)
    walls = Screens(start_mm=ends[:, 0], end_mm=ends[:, 1], low_mm=low, high_mm=low + 5.0)
    ones, others = (lot.uniform(-10.0, 10.0, size=(3, count)) for count in (40, 30))
    ones[2], others[2] = np.abs(ones[2]), np.abs(others[2])
    asked = lot.uniform(size=(40, 30)) < 0.7
    seen = np.zeros_like(asked)
    seen[seen_between(ones, others_mm=others, asked=asked, screens=walls)] = True
    singly = np.array([lit(ones.T, at=other, screens=walls) for other in others.T]).T
    assert (seen == (singly & asked)).all()
    assert (singly & asked).sum() < asked.sum()
