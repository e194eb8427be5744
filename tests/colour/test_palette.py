"""Palettes keep what a picture is made of."""

import numpy as np
import pytest

from lamphouse.colour.palette import MOST, palette
from tolerances import EXACT


def test_a_flag_boils_down_to_its_colours():
    flag = np.zeros((10, 30, 3), dtype=np.uint8)
    flag[:, :10] = (200, 10, 20)
    flag[:, 10:15] = (255, 255, 255)
    colours, shares = palette(flag)
    assert shares == pytest.approx([1 / 2, 1 / 3, 1 / 6], abs=EXACT)
    assert colours * 255.0 == pytest.approx(
        np.array([[0, 0, 0], [200, 10, 20], [255, 255, 255]]), abs=1e-9
    )


def test_the_mean_of_a_picture_is_kept_while_its_colours_are_few():
    soft = np.random.default_rng(1).integers(100, 150, (300, 300, 3), dtype=np.uint8)
    colours, shares = palette(soft)
    assert len(colours) <= MOST
    assert shares @ colours == pytest.approx(soft.reshape(-1, 3).mean(axis=0) / 255.0, abs=1e-9)


def test_noise_is_boiled_down_too():
    noise = np.random.default_rng(1).integers(0, 256, (400, 400, 3), dtype=np.uint8)
    colours, shares = palette(noise)
    assert len(colours) == MOST
    assert shares.sum() == pytest.approx(1.0, abs=EXACT)
