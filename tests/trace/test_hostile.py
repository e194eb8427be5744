"""Pictures no maker would trace: each ends in an outline or in words, never in a crash."""

import warnings

import cv2
import numpy as np
import pytest

from lamphouse.trace import picture_file, scales, traced
from lamphouse.trace.refused import TraceError

CHANCE = np.random.default_rng(11)
DOWN, RIGHT = np.mgrid[:400, :500]


def blobs():
    grown = cv2.GaussianBlur(CHANCE.normal(0, 1, (400, 500)), (0, 0), 9.0)
    return np.where(grown > 0.0, 220, 20)


def spiral():
    far, angle = np.hypot(DOWN - 200, RIGHT - 250), np.arctan2(DOWN - 200, RIGHT - 250)
    return np.where((np.sin(far / 5.0 + angle) > 0.0) & (far < 180), 200, 30)


PICTURES = {
    "black": np.zeros((400, 500)),
    "white": np.full((400, 500), 255),
    "noise": CHANCE.integers(0, 256, (400, 500)),
    "slope": RIGHT / 2.0,
    "checks": ((DOWN // 7 + RIGHT // 7) % 2) * 255,
    "blobs": blobs(),
    "spiral": spiral(),
    "one pixel": np.where((DOWN == 200) & (RIGHT == 250), 255, 0),
    "one line": np.where((abs(DOWN - 200) < 1) & (abs(RIGHT - 250) < 100), 255, 0),
    "thin ring": np.where(abs(np.hypot(DOWN - 200, RIGHT - 250) - 120) < 1.0, 255, 0),
    "two halves": np.where(RIGHT < 250, 0, 255),
    "figure of eight": np.where(
        (np.hypot(DOWN - 200, RIGHT - 170) < 80) | (np.hypot(DOWN - 200, RIGHT - 330) < 80), 255, 0
    ),
}


@pytest.mark.parametrize("pixels", PICTURES.values(), ids=PICTURES)
@pytest.mark.parametrize("side", [None, *traced.Side])
def test_it_ends_in_an_outline_or_in_words(pixels, side):
    data = cv2.imencode(".png", pixels.astype(np.uint8))[1].tobytes()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            picture = picture_file.load(data)
            part = traced.trace(picture, scale=scales.from_dpi(600, tagged=None), side=side)
        except TraceError:
            return
    assert np.isfinite(np.array(part.corners)).all()
    assert len(part.corners) >= 2
    assert part.size_mm[0] > 0.0


def drawn_by_chance(seed):
    """Draw noise, gradients, stripes, clouds or patches of random size and contrast."""
    chance = np.random.default_rng(seed)
    high, wide = chance.integers(60, 400, 2)
    down, right = np.mgrid[:high, :wide].astype(float)
    turn = chance.uniform(0.0, np.pi)
    along = np.cos(turn) * right + np.sin(turn) * down
    noise = chance.normal(0.0, 1.0, (high, wide))
    kinds = (
        128.0 + 50.0 * noise,
        255.0 * (along - along.min()) / np.ptp(along),
        128.0 + 120.0 * np.sign(np.sin(along / chance.uniform(2.0, 30.0))),
        128.0 + 400.0 * cv2.GaussianBlur(noise, (0, 0), chance.uniform(2.0, 20.0)),
        np.kron(chance.integers(0, 256, (high // 20 + 1, wide // 20 + 1)), np.ones((20, 20)))[
            :high, :wide
        ],
    )
    pixels = kinds[seed % len(kinds)] + chance.choice((0.0, 3.0, 15.0)) * noise
    return np.clip(pixels, 0, 255).astype(np.uint8)


def test_a_hundred_pictures_by_chance_give_no_part_without_a_warning():
    made_up = []
    for seed in range(100):
        data = cv2.imencode(".png", drawn_by_chance(seed))[1].tobytes()
        try:
            picture = picture_file.load(data)
            is_sketch = seed % 7 == 3
            scale = scales.from_dpi(600, tagged=None)
            part = traced.trace(picture, scale=scale, is_sketch=is_sketch)
        except TraceError:
            continue
        assert np.isfinite(np.array(part.corners)).all()
        if not part.findings:
            made_up.append(seed)
    assert made_up == []
