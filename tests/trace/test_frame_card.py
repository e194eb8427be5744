"""The frame card: its markers against the library's, and pictures of it against where it is.

The pictures are synthetic (bent lens, tilt, blur, noise, JPEG, uneven light, texture, side walls);
a print that is stretched otherwise along x and y is measured by the maker, as on the real card.
"""

import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

from lamphouse.record import replace

sys.path.insert(0, str(Path(__file__).parent))
from part_pictures import CardScan, Photo, Plate, Spoil, packed
from truth import compared

from lamphouse.drawings import marker_card
from lamphouse.trace import camera, frame_card, picture_file, traced
from lamphouse.trace.part_sight import slant_findings
from lamphouse.trace.refused import TraceError

COARSE = Plate(
    holes=((5.0, 5.0, 1.4), (20.0, 6.0, 1.0), (28.0, 6.0, 2.0), (8.0, 16.0, 6.0)),
    thickness_mm=0.75,
)
PRINTED = (marker_card.WIDTH_MM * 1.004, marker_card.HEIGHT_MM * 0.997)


@pytest.fixture(scope="module")
def photo():
    shot = Photo(plate=COARSE, size=(2400, 1800), spoil=Spoil(blur_pixels=0.8, drilled=1.0))
    return picture_file.load(packed(shot.pixels(), quality=92))


def test_every_marker_is_that_of_the_dictionary():
    """[ARUCO]: the library draws each of its own markers."""
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_100)
    assert len(marker_card.MARKERS) == len(list(marker_card.marked_squares()))
    for number, word in enumerate(marker_card.MARKERS):
        drawn = cv2.aruco.generateImageMarker(book, number, 6, borderBits=1)[1:5, 1:5] > 0
        ours = [bool(word >> (15 - place) & 1) for place in range(16)]
        assert drawn.ravel().tolist() == ours


def test_the_library_finds_every_marker_where_it_was_drawn():
    card = np.array(marker_card.modules())[::-1]
    pixels = np.where(np.kron(card, np.ones((10, 10))), 0, 255).astype(np.uint8)
    pixels = np.pad(pixels, 40, constant_values=255)
    book = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_100)
    corners, numbers, _ = cv2.aruco.ArucoDetector(book).detectMarkers(pixels)
    squares = list(marker_card.marked_squares())
    assert sorted(np.ravel(numbers).tolist()) == list(range(len(squares)))
    for four, number in zip(corners, np.ravel(numbers), strict=True):
        column, row = squares[number]
        middle = four[0].mean(axis=0) - 40 + 0.5
        assert middle[0] / 80 == pytest.approx(column + 0.5, abs=0.02)
        assert marker_card.UP - middle[1] / 80 == pytest.approx(row + 0.5, abs=0.02)


def test_the_drawing_covers_exactly_the_black_modules():
    module = marker_card.SQUARE_MM / marker_card.MODULES
    covered = np.zeros((marker_card.UP * 8, marker_card.ACROSS * 8), dtype=int)
    for item in marker_card.card().items:
        (left, low, _), _, (right, high, _), _ = item.corners
        one, two, three, four = (round(value / module) for value in (low, high, left, right))
        covered[one:two, three:four] += 1
    assert np.array_equal(covered, np.array(marker_card.modules()).astype(int))


def test_a_camera_is_found_again_from_exact_places():
    """The projection of the pictures is written apart from ours: rays there, points here."""
    shot = Photo()
    focal, lens, turn, place = shot.camera()
    plane = np.array(list(marker_card.crossings()))
    seen = np.column_stack((plane, np.zeros(len(plane)))) @ turn.T + place
    flat = seen[:, :2] / seen[:, 2:]
    spots = lens + focal * flat * (1 + shot.bend * (flat**2).sum(axis=1, keepdims=True))
    found, off = camera.fit_camera(
        spots, plane, size=shot.size, focal_35_mm=26.0, height_mm=0.75, share=0.0, words=""
    )
    assert np.abs(off).max() < 0.002
    face = np.column_stack((plane, np.full(len(plane), 0.75))) @ turn.T + place
    flat = face[:, :2] / face[:, 2:]
    spots = lens + focal * flat * (1 + shot.bend * (flat**2).sum(axis=1, keepdims=True))
    assert np.abs(found.to_mm(spots) - plane).max() < 0.01
    assert np.allclose(found.to_pixels(found.to_mm(spots)), spots, atol=1e-3)


def test_a_photograph_of_a_thick_part_on_the_card_is_true(photo):
    scale = frame_card.from_card(photo, printed_mm=PRINTED, thickness_mm=0.75)
    part = traced.trace(photo, scale=scale.scale, inside=scale.inside, finest_hole_mm=0.6)
    found = compared(part, COARSE)
    assert (found.missed, found.invented) == (0, 0)
    assert found.centre_mm < 0.05
    assert max(found.rms_mm, found.p95_mm) < 0.10
    assert abs(part.size_mm[0] - COARSE.width_mm) < part.uncertain_mm


def test_leaving_out_the_thickness_or_the_measured_print_shows(photo):
    def size(**told):
        scale = frame_card.from_card(photo, **told)
        part = traced.trace(photo, scale=scale.scale, inside=scale.inside, finest_hole_mm=0.6)
        return max(part.size_mm) - COARSE.width_mm

    assert abs(size(printed_mm=PRINTED, thickness_mm=0.75)) < 0.05
    assert size(printed_mm=PRINTED, thickness_mm=0.0) > 0.08
    assert abs(size(printed_mm=None, thickness_mm=0.75)) > 0.08


def test_a_scan_of_the_card_takes_the_scanners_own_stretch_off():
    shot = CardScan(plate=COARSE, dpi=200.0, spoil=Spoil(blur_pixels=0.7))
    picture = picture_file.load(packed(shot.pixels(), quality=95))
    scale = frame_card.from_card(picture, printed_mm=PRINTED, is_scan=True)
    part = traced.trace(picture, scale=scale.scale, inside=scale.inside, finest_hole_mm=0.6)
    found = compared(part, COARSE)
    assert (found.missed, found.invented) == (0, 0)
    assert found.centre_mm < 0.02
    assert max(found.rms_mm, found.p95_mm) < 0.05
    assert abs(part.size_mm[0] - COARSE.width_mm) < 0.05


def test_a_card_that_is_cut_off_covered_or_away_is_refused(photo):
    levels = photo.levels
    cut = picture_file.Picture(levels=levels[:, :1700], header=photo.header)
    with pytest.raises(TraceError, match=r"crossings are in the picture|markers are seen"):
        frame_card.from_card(cut, printed_mm=PRINTED)
    bare = picture_file.Picture(levels=levels[600:1200, 900:1500], header=photo.header)
    with pytest.raises(TraceError, match="0 of the frame card's 56 markers are seen"):
        frame_card.from_card(bare, printed_mm=PRINTED)


def test_a_bent_card_is_refused_with_its_residual(photo):
    rows, columns = photo.levels.shape
    down, right = np.mgrid[:rows, :columns].astype(np.float32)
    wavy = cv2.remap(photo.levels, right, down + 6.0 * np.sin(right / 150.0), cv2.INTER_LINEAR)
    bent = picture_file.Picture(levels=wavy, header=photo.header)
    with pytest.raises(TraceError, match=r"lie 0\.\d+ mm \(rms\) from where"):
        frame_card.from_card(bent, printed_mm=PRINTED)


@pytest.mark.parametrize("printed", [(100.0, 100.0), (1.0, 1.3), (216.0, 168.0)])
def test_a_measured_size_of_other_proportions_is_refused(photo, printed):
    with pytest.raises(TraceError, match="has not the card's proportions"):
        frame_card.from_card(photo, printed_mm=printed)


def test_holes_that_show_only_their_wall_are_warned_of():
    """A wall seen at a slant of 25 degrees looks tan 25 = 0.47 of the thickness wide."""
    shot = Photo(plate=replace(COARSE, thickness_mm=1.5), size=(2400, 1800), tilt_deg=25.0)
    focal, lens, turn, place = shot.camera()
    plane = np.array(list(marker_card.crossings()))
    seen = np.column_stack((plane, np.zeros(len(plane)))) @ turn.T + place
    spots = lens + focal * seen[:, :2] / seen[:, 2:]
    scale, _ = camera.fit_camera(
        spots, plane, size=shot.size, focal_35_mm=26.0, height_mm=1.5, share=0.0, words=""
    )
    middle = scale.to_pixels(np.array([[84.0, 108.0]]))
    wide_mm = float(np.hypot(*scale.foot(middle)[0])) * scale.pixel_mm
    assert wide_mm == pytest.approx(1.5 * np.tan(np.radians(25.0)), rel=0.12)
    assert slant_findings(wide_mm, finest_hole_mm=0.5)
    assert not slant_findings(wide_mm, finest_hole_mm=1.0)
