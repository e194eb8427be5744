"""Photographs of other things, as they come with scikit-image: refused with a code, or traced true.

The witness for what is traced: the largest patch beyond Otsu's level, both found by scikit-image.
"""

import warnings
from pathlib import Path

import numpy as np
import pytest
import skimage
from skimage import filters, io, measure

from lamphouse.shapes.measure import area_mm2
from lamphouse.trace import frame_card, id_card, paper_sheet, picture_file, scales, traced
from lamphouse.trace.refused import TraceError

FOLDER = Path(skimage.__file__).parent / "data"
PICTURES = sorted(
    path.name for path in FOLDER.iterdir() if path.suffix in {".png", ".jpg", ".tif", ".gif"}
)
"""Those in the package itself; nothing is fetched."""

PARTS = {"horse.png", "phantom.png", "retina.jpg"}
"""One thing on a plain ground: a silhouette, a test figure, a disc."""

DPI = scales.from_dpi(600, tagged=None)
PIXEL_MM = 25.4 / 600.0


def refusal(step):
    """Give the code a step is refused with, or none; a warning on the way is a fault."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            step()
        except TraceError as error:
            found = error.finding
        else:
            return ""
    assert found.message
    assert found.remedy
    return found.code


def picture(name):
    return picture_file.load((FOLDER / name).read_bytes())


def test_all_of_them_are_there():
    named = {"astronaut.png", "camera.png", "coffee.png", "coins.png", "page.png", "rocket.jpg"}
    assert {*named, "text.png", "chessboard_GRAY.png", "chelsea.png", *PARTS} <= set(PICTURES)
    assert len(PICTURES) >= 25


@pytest.mark.parametrize("is_sketch", [False, True])
@pytest.mark.parametrize("name", [name for name in PICTURES if name not in PARTS])
def test_a_photograph_of_something_else_is_refused_with_a_code(name, is_sketch):
    code = refusal(lambda: traced.trace(picture(name), scale=DPI, is_sketch=is_sketch))
    assert code.startswith("TRC")


def test_colours_that_fade_into_one_another_have_no_edge():
    assert refusal(lambda: traced.trace(picture("color.png"), scale=DPI)) == "TRC027"


@pytest.mark.parametrize("name", sorted(PARTS))
def test_what_lies_on_a_plain_ground_is_traced_as_large_as_it_is(name):
    part = traced.trace(picture(name), scale=DPI)
    levels = io.imread(FOLDER / name, as_gray=True)
    beyond = levels > filters.threshold_otsu(levels)
    if beyond[0].mean() > 0.5:
        beyond = ~beyond
    patch = max(measure.regionprops(measure.label(beyond)), key=lambda one: one.area)
    assert area_mm2(part.corners) == pytest.approx(patch.area_filled * PIXEL_MM**2, rel=0.02)
    top, left, bottom, right = patch.bbox
    across = np.array([right - left, bottom - top]) * PIXEL_MM
    assert part.size_mm == pytest.approx(across, abs=2 * PIXEL_MM)


@pytest.mark.parametrize("name", PICTURES)
def test_no_reference_is_seen_where_there_is_none(name):
    if refusal(lambda: picture(name)):
        return
    seen = picture(name)
    for find in (
        lambda: frame_card.find_card(seen, printed_mm=None),
        lambda: paper_sheet.find_sheet(seen, size="A4"),
        lambda: id_card.find_id_card(seen),
    ):
        assert refusal(find).startswith("TRC")
