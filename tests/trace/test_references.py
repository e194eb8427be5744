"""Sheets of paper and identity cards as the scale: synthetic pictures whose truth is known.

Sizes are those of [ISO216] and [ISO7810], written here apart from ours; the pictures carry tilt, a
bent lens the tool knows nothing of, blur, noise and JPEG.
"""

import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

from lamphouse.record import replace

sys.path.insert(0, str(Path(__file__).parent))
from part_pictures import CardPhoto, Plate, SheetPhoto, packed
from truth import compared

from lamphouse.trace import id_card, paper_sheet, picture_file, references, traced
from lamphouse.trace.quadrilateral import four_sided
from lamphouse.trace.refused import TraceError

PLATE = Plate(
    holes=((5.0, 5.0, 1.4), (20.0, 6.0, 1.0), (28.0, 6.0, 2.0), (8.0, 16.0, 6.0)),
    thickness_mm=0.75,
)
SMALL = {"plate": PLATE, "size": (1800, 1350)}


def traced_on(shot, seen_in, *, thickness_mm=0.75):
    picture = picture_file.load(packed(shot.pixels(), quality=92))
    (one,) = references.scaled([seen_in(picture)], pictures=[picture], thickness_mm=thickness_mm)
    part = traced.trace(picture, scale=one.scale, inside=one.inside, finest_hole_mm=0.9)
    return part, compared(part, PLATE)


def a4(picture):
    return paper_sheet.find_sheet(picture, size="A4")


@pytest.mark.parametrize("bow_mm", [0.0, 1.0])
def test_a_sheet_of_a4_gives_a_scale_within_what_is_stated(bow_mm):
    part, found = traced_on(SheetPhoto(**SMALL, tilt_deg=15, bow_mm=bow_mm), a4)
    assert (found.missed, found.invented) == (0, 0)
    error = abs(max(part.size_mm) - PLATE.width_mm)
    assert error < part.uncertain_mm < 0.025 * PLATE.width_mm
    assert found.rms_mm < 0.3


@pytest.mark.parametrize("tilt_deg", [0.0, 10.0])
@pytest.mark.parametrize(
    ("name", "other", "sheet_mm"), [("A4", "Letter", (210, 297)), ("Letter", "A4", (215.9, 279.4))]
)
def test_a_sheet_nobody_named_is_told_by_its_proportions(name, other, sheet_mm, tilt_deg):
    shot = SheetPhoto(plate=PLATE, size=(1000, 750), sheet_mm=sheet_mm, tilt_deg=tilt_deg)
    picture = picture_file.load(packed(shot.pixels(samples=1), quality=92))
    seen = paper_sheet.find_sheet(picture, size=paper_sheet.EITHER)
    assert seen.words.startswith(f"a sheet of {name}")
    assert np.ptp(seen.plane, axis=0) == pytest.approx(sheet_mm)
    with pytest.raises(TraceError, match=f"that is {name} and not {other}"):
        paper_sheet.find_sheet(picture, size=other)


def test_a_sheet_of_another_size_is_refused():
    letter = SheetPhoto(**SMALL, sheet_mm=(100.0, 297.0), at_mm=(40.0, 130.0))
    with pytest.raises(TraceError, match="that is none of A4, Letter") as told:
        traced_on(letter, a4)
    assert told.value.finding.code == "TRC011"


def test_a_sheet_that_is_cut_off_is_refused():
    pixels = SheetPhoto(**SMALL).pixels()
    picture = picture_file.load(packed(pixels[:, :1200]))
    with pytest.raises(TraceError, match="no whole sheet") as told:
        a4(picture)
    assert told.value.finding.code == "TRC010"


@pytest.mark.parametrize(
    "options",
    [{"tilt_deg": 15}, {"tilt_deg": 10, "upright": True, "card_at_mm": (12, 12)}, {"face": 0.4}],
    ids=["lying", "upright", "darker"],
)
def test_an_identity_card_beside_the_part_gives_its_scale(options):
    shot = CardPhoto(**SMALL, **{"tilt_deg": 15, **options})
    part, found = traced_on(shot, id_card.find_id_card)
    assert (found.missed, found.invented) == (0, 0)
    assert found.rms_mm < 0.25
    assert abs(max(part.size_mm) - PLATE.width_mm) < max(part.uncertain_mm, 0.2)


def test_the_cards_own_thickness_is_taken_off():
    """A part 0.76 mm thick is level with the card's face: 0.76 mm of 200 mm is 0.4 percent."""
    shot = CardPhoto(**{**SMALL, "plate": replace(PLATE, thickness_mm=0.76)}, tilt_deg=0.0)
    picture = picture_file.load(packed(shot.pixels(), quality=92))
    seen = id_card.find_id_card(picture)
    (one,) = references.scaled([seen], pictures=[picture], thickness_mm=0.76)
    assert one.scale.height_mm == pytest.approx(0.0)
    assert one.scale.base_mm == -0.76  # [ISO7810]


def test_sizes_are_those_of_the_standards():
    assert paper_sheet.SHEETS_MM["A4"] == (210.0, 297.0)  # [ISO216]
    assert paper_sheet.SHEETS_MM["Letter"] == pytest.approx((8.5 * 25.4, 11 * 25.4))
    assert (id_card.WIDTH_MM, id_card.HEIGHT_MM) == (85.60, 53.98)  # [ISO7810]
    assert id_card.RADIUS_MM == 3.18


def test_a_plate_of_the_cards_proportions_but_with_square_corners_is_no_card():
    pixels = np.full((900, 1200), 40, np.uint8)
    cv2.rectangle(pixels, (200, 200), (200 + 856, 200 + 540), 200, -1)
    picture = picture_file.load(packed(cv2.GaussianBlur(pixels, (0, 0), 1.0)))
    with pytest.raises(TraceError, match="no card of"):
        id_card.find_id_card(picture)


def test_four_sides_are_found_to_a_fraction_of_a_pixel():
    """Corners of a filled quadrilateral, drawn by sampling its four half planes."""
    corners = np.array(((130.3, 90.7), (80.2, 420.1), (520.9, 460.4), (470.6, 60.2)))
    down, right = np.mgrid[:560:0.25, :640:0.25]
    inside = np.ones(down.shape, bool)
    for (ax, ay), (bx, by) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        inside &= (bx - ax) * (down - ay) - (by - ay) * (right - ax) < 0.0
    share = inside.reshape(560, 4, 640, 4).mean(axis=(1, 3))
    pixels = cv2.GaussianBlur((40.0 + 170.0 * share).astype(np.float32), (0, 0), 1.0)
    (found,) = four_sided(pixels, skip_share=0.05)
    gaps = np.hypot(*(found.corners[:, None] - (corners - 0.375)[None]).transpose(2, 0, 1))
    assert gaps.min(axis=1).max() < 0.05
    assert found.bow_pixels < 0.1
