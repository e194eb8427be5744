"""What goes to the printer: true size, bleed, marks, and how it will be seen."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from lamphouse.colour.artwork_fit import look_of, print_cube
from lamphouse.colour.artwork_look import Condition
from lamphouse.colour.colour_cube import cube_of, grid
from lamphouse.colour.display import SRGB, WIDE
from lamphouse.colour.inks import INKJET
from lamphouse.design.artwork import Artwork
from lamphouse.design.panel import Outline
from lamphouse.outputs.artwork_pictures import out_of_reach, picture_in, sheet
from lamphouse.outputs.artwork_tile import (
    BLEED_MM,
    MARGIN_MM,
    TooFine,
    cropping_words,
    most_dpi,
    tile_of,
)
from lamphouse.outputs.picture_sheet import striped
from lamphouse.shapes.outline import rectangle
from sample_prints import backlit

AS_IS = cube_of(grid())
"""Prints every colour as drawn."""
SHAPE = Outline(corners=rectangle(48.0, height_mm=30.0), words="rectangle 48 x 30 mm")


def artwork(pixels):
    rows, columns = pixels.shape[:2]
    return Artwork(file="a.png", columns=columns, rows=rows, pixels=pixels.tobytes())


def ramp(columns=96, rows=60):
    across = np.linspace(40, 220, columns).astype(np.uint8)
    return np.stack([np.broadcast_to(across, (rows, columns))] * 3, axis=-1)


def test_the_picture_is_as_large_as_its_opening():
    tile = tile_of(artwork(ramp()), made=AS_IS, shape=SHAPE, dpi=254)
    rows, columns = tile.drawn.shape[:2]
    assert (columns, rows) == (480, 300)
    around = 2 * (BLEED_MM + MARGIN_MM)
    assert tile.width_mm == pytest.approx(48.0 + around, abs=0.1)
    assert tile.height_mm == pytest.approx(30.0 + around, abs=0.1)
    assert tile.pixels_per_mm == pytest.approx(10.0)


def test_the_edge_is_drawn_on_into_the_bleed():
    tile = tile_of(artwork(ramp()), made=AS_IS, shape=SHAPE, dpi=254)
    margin, bleed = round(MARGIN_MM * 10), round(BLEED_MM * 10)
    row = tile.pixels[tile.pixels.shape[0] // 3]
    left = row[margin : margin + bleed + 1, 0]
    assert (left == left[-1]).all()
    assert left[0] < 60
    assert (row[margin - 3 : margin, 0] == 255).all()


def test_marks_stand_in_the_margin_and_show_the_trim():
    white = np.full((60, 96, 3), 255, dtype=np.uint8)
    ink = tile_of(artwork(white), made=AS_IS, shape=SHAPE, dpi=600).pixels[..., 0] < 128
    thirds = [ink[: ink.shape[0] // 3], ink[-ink.shape[0] // 3 :]]
    thirds += [ink[:, : ink.shape[1] // 3], ink[:, -ink.shape[1] // 3 :]]
    assert all(third.any() for third in thirds)
    margin = round(MARGIN_MM / 25.4 * 600)
    bleed = round(BLEED_MM / 25.4 * 600)
    inside = ink[margin:-margin, margin:-margin]
    assert not inside.any()
    # a trim line stands where the picture ends, in the margin above it
    column = margin + bleed
    assert ink[: margin - 4, column].any()


def test_what_stands_over_is_cut_off_alike_on_both_sides():
    wide = np.full((60, 192, 3), 128, dtype=np.uint8)
    wide[:, :48], wide[:, 144:] = 0, 255
    tile = tile_of(artwork(wide), made=AS_IS, shape=SHAPE, dpi=100)
    assert tile.cropped == pytest.approx((0.5, 0.0), abs=0.002)
    assert "50%" in cropping_words(tile)
    assert "left and right" in cropping_words(tile)
    assert set(np.unique(tile.drawn[:, 5:-5])) == {128}
    assert cropping_words(tile_of(artwork(ramp()), made=AS_IS, shape=SHAPE, dpi=100)) == ""


def test_more_pixels_than_memory_holds_are_refused_with_what_fits():
    huge = Outline(corners=rectangle(3000.0, height_mm=3000.0), words="")
    with pytest.raises(TooFine, match=f"at most {most_dpi(huge):.0f} fit"):
        tile_of(artwork(ramp()), made=AS_IS, shape=huge, dpi=300)
    small = Outline(corners=rectangle(0.4, height_mm=900.0), words="")
    assert tile_of(artwork(ramp()), made=AS_IS, shape=small, dpi=100).drawn.shape == (3543, 2, 3)


@pytest.fixture(scope="module")
def look():
    return look_of(backlit(films=1, room_lx=100.0), inks=INKJET)


def test_one_film_leaves_dark_colours_out_of_reach(look):
    made = print_cube(look)
    drawn = np.zeros((4, 8, 3), dtype=np.uint8)
    drawn[:, 4:] = (250, 250, 250)
    drawn[:2, :4] = (10, 20, 90)
    far = out_of_reach(look, made=made, drawn=drawn)
    assert far[:2, :4].all()
    assert not far[:, 4:].any()


@pytest.mark.parametrize("condition", list(Condition))
def test_white_is_brightest_and_black_darkest_in_every_condition(look, condition):
    drawn = np.array([[[255, 255, 255], [128, 128, 128], [0, 0, 0]]], dtype=np.uint8)
    seen, outside = picture_in(look, drawn, condition=condition, screen=SRGB)
    levels = seen[0].astype(int).sum(axis=-1)
    assert (np.diff(levels) < 0).all()
    assert not outside.any()


def test_more_shows_on_a_wide_screen():
    two = look_of(backlit(films=3), inks=INKJET)
    drawn = np.round(grid() * 255.0).astype(np.uint8)[None]
    found = [
        picture_in(two, drawn, condition=Condition.DARK, screen=screen)[1].sum()
        for screen in (SRGB, WIDE)
    ]
    assert found[0] > 3 * found[1] > 0


def test_stripes_change_marked_places_only():
    plain = np.full((40, 40, 3), 200, dtype=np.uint8)
    where = np.zeros((40, 40), dtype=bool)
    where[10:30] = True
    marked = striped(plain, where=where)
    assert (marked[:10] == 200).all()
    assert (marked[10:30] != 200).any()


@pytest.mark.parametrize("is_wide", [False, True])
def test_the_sheet_of_pictures_is_the_same_twice(look, is_wide):
    made, drawn = print_cube(look), np.array(ramp())
    one, two = (sheet(look, made=made, drawn=drawn, is_wide=is_wide) for _ in range(2))
    assert one == two
    with Image.open(BytesIO(one)) as seen:
        assert seen.size[0] > 4 * 96
        assert (b"cICP" in one) is is_wide
