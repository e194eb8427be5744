"""Pictures of other kinds and parts laid badly: each is traced true, or refused with its reason.

The witness for files is the imaging library that wrote them; for parts, the plate they show.
"""

import io
import sys
from pathlib import Path

import cv2
import numpy as np
import pytest

from lamphouse.record import replace

sys.path.insert(0, str(Path(__file__).parent))
from part_pictures import CardScan, Plate, Scan, Spoil, packed
from PIL import Image
from truth import compared

from lamphouse.drawings import marker_card
from lamphouse.trace import frame_card, picture_file, scales, traced
from lamphouse.trace.refused import TraceError

PLATE = Plate(holes=((5.0, 5.0, 1.4), (20.0, 6.0, 1.0), (28.0, 6.0, 2.0), (8.0, 16.0, 6.0)))
DPI = 200.0
SCAN = Scan(plate=PLATE, dpi=DPI)
PRINTED = (marker_card.WIDTH_MM * 1.004, marker_card.HEIGHT_MM * 0.997)
ON_CARD = CardScan(plate=PLATE, dpi=DPI, spoil=Spoil(blur_pixels=0.7))


@pytest.fixture(scope="module")
def pixels():
    return SCAN.pixels()


def saved(image, kind, **options):
    data = io.BytesIO()
    image.save(data, kind, **options)
    return data.getvalue()


def seen(data):
    scale = scales.from_dpi(DPI, tagged=None)
    part = traced.trace(picture_file.load(data), scale=scale, finest_hole_mm=0.8)
    return part, compared(part, PLATE)


def refused_with(step):
    with pytest.raises(TraceError) as told:
        step()
    assert told.value.finding.remedy
    return told.value.finding.code


def as_cmyk(pixels):
    ink = Image.fromarray(pixels).convert("RGB").convert("CMYK")
    return saved(ink, "JPEG", quality=92)


def as_clear(pixels):
    """A part cut out of its ground: there is nothing but the part in the picture."""
    grey = Image.fromarray(np.full_like(pixels, 60))
    clear = Image.fromarray(pixels)
    return saved(Image.merge("LA", (grey, clear)), "PNG")


def as_deep_tiff(pixels):
    return packed(pixels.astype(np.uint16) * 257, kind=".tiff")


def as_palette(pixels):
    return saved(Image.fromarray(pixels).convert("P"), "PNG")


def as_progressive(pixels):
    return saved(Image.fromarray(pixels).convert("RGB"), "JPEG", quality=92, progressive=True)


FILES = (as_cmyk, as_clear, as_deep_tiff, as_palette, as_progressive)


@pytest.mark.parametrize("kind", FILES, ids=[one.__name__ for one in FILES])
def test_a_file_of_another_kind_is_traced_as_true(kind, pixels):
    part, found = seen(kind(pixels))
    assert (found.missed, found.invented) == (0, 0)
    assert found.centre_mm < 0.02
    assert max(found.rms_mm, found.p95_mm) < 0.05
    assert abs(max(part.size_mm) - PLATE.width_mm) < part.uncertain_mm


@pytest.mark.parametrize("turn", [3, 6, 8])
def test_a_photograph_a_phone_has_turned_is_traced_upright(turn, pixels):
    """The witness sets it upright: what is traced must lie as in its picture."""
    image = Image.fromarray(pixels[:, : pixels.shape[1] - 40])
    exif = Image.Exif()
    exif[274] = turn
    data = saved(image, "JPEG", quality=95, exif=exif)
    witness = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert picture_file.load(data).levels.shape == witness.shape
    _, found = seen(data)
    assert (found.missed, found.invented) == (0, 0)
    assert found.centre_mm < 0.02


def test_moving_pictures_and_other_kinds_are_refused_in_words(pixels):
    image = Image.fromarray(pixels)
    moving = saved(image, "GIF", save_all=True, append_images=[image.rotate(5)])
    for data in (moving, saved(image, "BMP"), saved(image, "WEBP")):
        assert refused_with(lambda data=data: seen(data)) == "TRC001"


def test_a_single_pixel_and_a_plain_grey_are_refused():
    dot = packed(np.full((1, 1), 200, np.uint8), kind=".png")
    assert refused_with(lambda: seen(dot)) == "TRC003"
    for level in (60, 128, 255):
        plain = packed(np.full((400, 500), level, np.uint8), kind=".png")
        assert refused_with(lambda plain=plain: seen(plain)) == "TRC020"


def on_card(shot, *, alike=None):
    pixels = shot.pixels()
    if alike is not None:
        pixels = np.where(alike.pixels() > 170, np.maximum(pixels, alike.pixels()), pixels)
    picture = picture_file.load(packed(pixels, quality=92))
    card = frame_card.from_card(picture, printed_mm=PRINTED, is_scan=True)
    return traced.trace(picture, scale=card.scale, inside=card.inside, finest_hole_mm=0.8)


@pytest.mark.parametrize("at_mm", [(26.0, 90.0), (130.0, 90.0), (70.0, 14.0)])
def test_a_part_over_the_frame_of_the_card_is_refused(at_mm):
    """The window's rim is at 24 and 144 mm across and from 24 mm up, on the print as drawn."""
    assert refused_with(lambda: on_card(replace(ON_CARD, at_mm=at_mm))) in {"TRC010", "TRC022"}


def test_two_parts_on_the_card_are_refused():
    other = replace(ON_CARD, at_mm=(62.0, 140.0), turn_deg=-8.0)
    assert refused_with(lambda: on_card(ON_CARD, alike=other)) == "TRC025"


def streaked(pixels, strength):
    """Give a glossy face that mirrors a lamp, or a dark room: a band over both of its edges."""
    down, right = np.mgrid[: pixels.shape[0], : pixels.shape[1]]
    band = np.exp(-(((right - 0.3 * down - 0.38 * pixels.shape[1]) / 14.0) ** 2))
    face = np.clip((pixels.astype(float) - 60.0) / 120.0, 0.0, 1.0)
    return packed(
        np.clip(pixels + 200.0 * strength * band * face, 0, 255).astype(np.uint8), quality=92
    )


@pytest.mark.parametrize("strength", [0.4, 1.0])
def test_a_bright_streak_over_a_part_leaves_it_true(strength, pixels):
    _, found = seen(streaked(pixels, strength))
    assert found.missed == found.invented == 0
    assert max(found.rms_mm, found.p95_mm) < 0.05


def test_a_dark_streak_that_cuts_a_part_in_two_is_refused(pixels):
    assert refused_with(lambda: seen(streaked(pixels, -0.5))) == "TRC025"
