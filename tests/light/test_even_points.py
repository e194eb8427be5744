import os

import numpy as np
import pytest

numba = pytest.importorskip("numba") if os.environ.get("CI") != "true" else __import__("numba")

from lamphouse.light.even_points import even_pair, key_of, plain_pair  # noqa: E402 - needs numba


def points(draw, *, seed, count, pair=0):
    key = np.uint64(key_of(seed, 3, 4))
    return np.array([draw(key, number, pair) for number in range(count)])


@pytest.mark.parametrize("seed", [0, 1, 2**40])
@pytest.mark.parametrize("across", range(9))
def test_every_equal_box_holds_one_point(seed, across):
    # The definition of a (0, 8, 2)-net (Niederreiter).
    found = points(even_pair, seed=seed, count=256)
    columns, rows = 2**across, 2 ** (8 - across)
    boxes = np.floor(found[:, 0] * columns) * rows + np.floor(found[:, 1] * rows)
    assert len(set(boxes.tolist())) == 256


def test_pairs_and_keys_are_unrelated():
    one = points(even_pair, seed=5, count=4096)
    others = [
        points(even_pair, seed=5, count=4096, pair=1),
        points(even_pair, seed=6, count=4096),
        points(plain_pair, seed=5, count=4096),
    ]
    for other in others:
        table = np.corrcoef(one.T, other.T)[:2, 2:]
        assert np.abs(table).max() < 4.0 / 64.0


@pytest.mark.parametrize("draw", [even_pair, plain_pair])
def test_single_points_are_uniform_over_keys(draw):
    found = np.array([draw(np.uint64(key_of(seed, 0, 0)), 11, 2) for seed in range(4000)])
    counts = np.stack([np.histogram(row, bins=10, range=(0.0, 1.0))[0] for row in found.T])
    chi2 = ((counts - 400.0) ** 2 / 400.0).sum(axis=1)
    # 9 degrees of freedom: 27.9 is passed once in a thousand (tables of chi-square).
    assert chi2.max() < 27.9
