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
