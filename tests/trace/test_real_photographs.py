"""Real photographs of things of known size; see tests/reference/photos/README.md for sources.

Coins are hostile: shiny, with a relief and a rounded rim, in shadow on one side and as bright as
the paper on the other. Rule of the edge: half level between part and ground; for a round part of
known thickness the circle through the arcs that turn away from the camera, on the plane of its
face. What is asked is no more than what was reached, and less than an earlier rough trial was off.
"""

from pathlib import Path

import cv2
import numpy as np
import pytest

from lamphouse.trace import (
    camera,
    checkerboard,
    paper_sheet,
    part_sight,
    picture_file,
    references,
    scales,
    traced,
)
from lamphouse.trace.fit import fit_circle
from lamphouse.trace.refused import TraceError

PHOTOS = Path(__file__).parents[1] / "reference" / "photos"
SQUARE_MM = 166.0 / 11.0
COINS = {(287, 613): (24.25, 2.38), (757, 583): (19.75, 1.93), (499, 386): (19.75, 1.93)}
"""Middle in pixels; diameter and thickness in mm."""
ON_SHEET = {
    "square": {
        (350, 648): (21.25, 1.67),
        (587, 780): (25.75, 2.20),
        (416, 890): (23.25, 2.33),
        (342, 1085): (22.25, 2.14),
        (672, 1131): (19.75, 1.93),
    },
    "oblique": {
        (349, 418): (21.25, 1.67),
        (554, 496): (25.75, 2.20),
        (408, 576): (23.25, 2.33),
        (343, 722): (22.25, 2.14),
        (646, 749): (19.75, 1.93),
    },
}
SHEET_RMS_MM = {("square", False): 0.15, ("oblique", False): 0.55, ("oblique", True): 0.35}
"""By view and whether the thickness is told; the earlier trial, without it: 0.19 and 0.63 mm."""
BOARD_RMS_MM, BOARD_MOST_MM = 0.102, 0.26
COIN_MM = 0.12
COINS_EARLIER_MM = {(287, 613): 24.32, (757, 583): 19.70, (499, 386): 19.71}
"""The earlier trial, smaller axis; its notes leave open which of the two small coins is which."""
RIM_SHARE = 1.004
"""By which its notes say the rim came out too large, standing nearer to the camera."""
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


def round_in(picture, one, *, at, reach):
    """Give diameter and stated uncertainty of the one coin in a window."""
    (x, y), shape = at, picture.levels.shape
    window = (x - reach, y - reach, x + reach, y + reach)
    finest = 8.0 * one.scale.pixel_mm
    seen = part_sight.look(
        picture,
        scale=one.scale,
        inside=references.within(one.inside, shape=shape, window=window),
        finest_hole_mm=finest,
    )
    circle, off = fit_circle(seen.outer.points_mm)
    part = traced.drawn(seen, finest_hole_mm=finest, tolerance_mm=0.2)
    return 2.0 * circle.radius_mm, part.uncertain_mm, float(np.sqrt((off**2).mean())), part


def coin_by_board(at):
    """Measure a coin by the board in another picture of the same camera."""
    lender, picture = load("board_and_ruler.png"), load("coins_same_camera.png")
    board = checkerboard.find_checkerboard(lender, corners=(12, 10), square_mm=SQUARE_MM)
    (one,) = references.scaled([board], pictures=[lender], thickness_mm=COINS[at][1])
    one = references.lent(one, picture=picture, lender=lender)
    return round_in(picture, one, at=at, reach=80)


@pytest.mark.parametrize("at", COINS)
def test_a_coin_is_measured_by_a_board_in_another_picture_of_the_same_camera(at):
    diameter, _ = COINS[at]
    found, stated, off, part = coin_by_board(at)
    assert found == pytest.approx(diameter, abs=COIN_MM)
    assert abs(found - diameter) < stated < 0.3
    assert off < 0.06
    assert len(part.corners) == 2  # one circle
    assert "TRC005" in {told.code for told in part.findings}  # the paper is burnt out there


def test_the_coins_together_are_nearer_than_in_the_earlier_trial():
    true = np.array([diameter for diameter, _ in COINS.values()])
    ours = np.array([coin_by_board(at)[0] for at in COINS]) - true
    earlier = np.array([COINS_EARLIER_MM[at] for at in COINS]) / RIM_SHARE - true
    assert np.hypot.reduce(ours) < 0.75 * np.hypot.reduce(earlier)
    assert np.abs(ours).max() < np.abs(earlier).max()


@pytest.mark.parametrize(("view", "is_told"), SHEET_RMS_MM)
def test_coins_on_a_curled_sheet_come_within_what_is_stated(view, is_told):
    picture = load(f"coins_on_sheet_{view}.jpg")
    sheet = paper_sheet.find_sheet(picture, size="A4")
    assert [told.code for told in sheet.findings] == ["TRC015"]
    errors = []
    for at, (diameter, thickness) in ON_SHEET[view].items():
        tall = thickness if is_told else 0.0
        (one,) = references.scaled([sheet], pictures=[picture], thickness_mm=tall)
        found, stated, _, _ = round_in(picture, one, at=at, reach=75)
        errors.append(found - diameter)
        assert abs(errors[-1]) < stated + (0.0 if is_told else 0.1)
    assert np.sqrt(np.mean(np.square(errors))) < SHEET_RMS_MM[view, is_told]


def test_the_sheet_is_told_from_letter_where_its_proportions_tell():
    square, oblique = (load(f"coins_on_sheet_{view}.jpg") for view in ("square", "oblique"))
    assert "A4" in paper_sheet.find_sheet(square, size=paper_sheet.EITHER).words
    with pytest.raises(TraceError, match="that is A4 and not Letter"):
        paper_sheet.find_sheet(square, size="Letter")
    with pytest.raises(TraceError, match="it could be A4 or Letter"):  # no focal length is told
        paper_sheet.find_sheet(oblique, size=paper_sheet.EITHER)


def test_five_coins_are_not_one_part():
    picture = load("coins_on_sheet_square.jpg")
    sheet = paper_sheet.find_sheet(picture, size="A4")
    (one,) = references.scaled([sheet], pictures=[picture])
    with pytest.raises(TraceError, match="another piece covers"):
        traced.trace(picture, scale=one.scale, inside=one.inside, finest_hole_mm=1.2)


def test_two_marks_of_a_real_ruler_agree_with_all_its_ticks():
    """The pitch of the millimetre ticks by their spectrum is the witness."""
    levels = load("ruler_strip.png").levels[4:16].mean(axis=0)
    ticks = (levels - levels.mean()) * np.hanning(len(levels))
    power = np.abs(np.fft.rfft(ticks, 16 * len(ticks)))
    shares = np.fft.rfftfreq(16 * len(ticks))
    near = (shares > 1 / 8.0) & (shares < 1 / 5.5)
    pitch = 1.0 / shares[near][power[near].argmax()]
    scale = scales.from_two_points((20.5, 12.0), second=(489.5, 12.0), apart_mm=70.0)
    assert scale.pixel_mm * pitch == pytest.approx(1.0, abs=scale.share)


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
