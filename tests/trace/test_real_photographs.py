"""Real photographs of things of known size; see tests/reference/photos/README.md for sources.

Coins are hostile: shiny, with a relief, and their upper edge is rounded, so that the edge of the
face lies inside the mint's diameter. What is asked of them is no more than what was reached.
"""

from pathlib import Path

import cv2
import numpy as np
import pytest

from lamphouse.trace import camera, picture_file, traced
from lamphouse.trace.fit import fit_circle

PHOTOS = Path(__file__).parents[1] / "reference" / "photos"
SQUARE_MM = 166.0 / 11.0
COINS = {(287, 613): (24.25, 2.38), (757, 583): (19.75, 1.93), (499, 386): (19.75, 1.93)}
"""Middle in pixels; diameter and thickness in mm."""
BOARD_RMS_MM, BOARD_MOST_MM = 0.102, 0.26
COIN_MM = 0.30
SQUARES_RMS = {"a": 0.0030, "b": 0.0052, "c": 0.0030}


def load(name):
    return picture_file.load((PHOTOS / name).read_bytes())


def fitted(height_mm):
    board = load("board_and_ruler.png").levels.astype(np.uint8)
    how = cv2.CALIB_CB_EXHAUSTIVE + cv2.CALIB_CB_ACCURACY
    found, corners = cv2.findChessboardCornersSB(board, (12, 10), flags=how)
    assert found
    plane = np.array([(x, -y) for y in range(10) for x in range(12)], dtype=float) * SQUARE_MM
    spots = corners.reshape(-1, 2).astype(float)
    terms = np.column_stack((plane, np.ones(len(plane))))
    if np.linalg.det(np.linalg.lstsq(terms, spots, rcond=None)[0][:2]) > 0.0:
        plane[:, 0] *= -1.0  # the library may begin at the other end of a row
    return camera.fit_camera(
        spots,
        plane,
        size=(1024, 1024),
        focal_35_mm=None,
        height_mm=height_mm,
        share=0.0013,
        words="board",
    )


def test_a_bent_lens_over_a_board_is_straightened_as_well_as_in_the_earlier_trial():
    _, off = fitted(0.0)
    far = np.hypot(*off.T)
    assert np.sqrt((far**2).mean()) < BOARD_RMS_MM
    assert far.max() < BOARD_MOST_MM


@pytest.mark.parametrize("at", COINS)
def test_a_shiny_coin_comes_within_what_its_rounded_rim_allows(at):
    diameter, thickness = COINS[at]
    scale, _ = fitted(thickness)
    picture = load("coins_same_camera.png")
    inside = np.zeros(picture.levels.shape, dtype=np.uint8)
    cv2.circle(inside, at, 80, 1, -1)
    part = traced.trace(
        picture, scale=scale, inside=inside > 0, finest_hole_mm=5 * scale.pixel_mm, tolerance_mm=0.2
    )
    circle, off = fit_circle(part.edges_mm[0])
    assert 2.0 * circle.radius_mm == pytest.approx(diameter, abs=COIN_MM)
    assert np.sqrt((off**2).mean()) < 0.15


@pytest.mark.parametrize("view", SQUARES_RMS)
def test_a_marked_board_keeps_its_proportions(view):
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_6X6_250)
    board = cv2.aruco.CharucoBoard((5, 7), 1.0, 0.5, book)
    board.setLegacyPattern(True)
    levels = load(f"marked_board_{view}.jpg").levels.astype(np.uint8)
    spots, numbers, _, _ = cv2.aruco.CharucoDetector(board).detectBoard(levels)
    assert len(numbers) == 24
    plane = board.getChessboardCorners()[np.ravel(numbers), :2].astype(float) * (1.0, -1.0)
    _, off = camera.fit_camera(
        spots.reshape(-1, 2).astype(float),
        plane,
        size=(640, 480),
        focal_35_mm=None,
        height_mm=0.0,
        share=0.0,
        words="",
    )
    assert np.sqrt((off**2).sum(axis=1).mean()) < SQUARES_RMS[view]
