"""Room for text against the shipped font's own tables, read by an independent font library."""

import math

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from lamphouse.drawings.drawing import Anchor, Text
from lamphouse.drawings.lettering import (
    ASCENT,
    DESCENT,
    box_of,
    lines_of,
    shortened,
    width_mm,
)
from lamphouse.outputs.fonts import FOLDER
from tolerances import EXACT

FONTS = {
    bold: TTFont(FOLDER / f"LamphouseSans-{'Bold' if bold else 'Regular'}.otf")
    for bold in (False, True)
}
SIGNS = {bold: font.getBestCmap() for bold, font in FONTS.items()}


def set_width(words, *, height_mm, bold):
    """Add the advances of the font's own table."""
    font = FONTS[bold]
    capitals = font["OS/2"].sCapHeight
    return sum(font["hmtx"][SIGNS[bold][ord(s)]][0] for s in words) * height_mm / capitals


@pytest.mark.parametrize("bold", [False, True])
def test_no_sign_of_the_font_is_wider_than_said(bold):
    for code in SIGNS[bold]:
        said = width_mm(chr(code), height_mm=2.5, bold=bold)
        assert set_width(chr(code), height_mm=2.5, bold=bold) <= said + EXACT


@pytest.mark.parametrize("bold", [False, True])
def test_plain_words_are_said_within_two_percent(bold):
    words = "Saltmarsh Pilot Station, 12.5 mm"
    said = width_mm(words, height_mm=2.5, bold=bold)
    assert said == pytest.approx(set_width(words, height_mm=2.5, bold=bold), rel=0.02)


@pytest.mark.parametrize("bold", [False, True])
def test_letters_stay_between_ascent_and_descent(bold):
    font = FONTS[bold]
    capitals = font["OS/2"].sCapHeight
    glyphs = font.getGlyphSet()
    for sign in "bdfhkltgjpqyQ,;()":
        pen = BoundsPen(glyphs)
        glyphs[SIGNS[bold][ord(sign)]].draw(pen)
        assert -DESCENT * capitals <= pen.bounds[1], sign
        assert pen.bounds[3] <= ASCENT * capitals, sign


words = st.text(st.characters(codec="utf-8", exclude_categories=("Cc",)), max_size=60)


@settings(deadline=None)
@given(words, st.floats(5, 80), st.booleans())
def test_a_shortened_text_fits_or_is_one_ellipsis(text, room, bold):
    short = shortened(text, height_mm=2.2, room_mm=room, bold=bold)
    assert width_mm(short, height_mm=2.2, bold=bold) <= room or short == "…"
    if short != text:
        assert text.startswith(short[:-1].rstrip())


@settings(deadline=None)
@given(words, st.floats(8, 80))
def test_broken_lines_keep_every_word_that_fits(text, room):
    lines = lines_of(text, height_mm=1.8, room_mm=room)
    assert all(width_mm(line, height_mm=1.8) <= room for line in lines)
    if "…" not in "".join(lines):
        assert " ".join(lines).split() == text.split()


@settings(deadline=None)
@given(st.sampled_from(Anchor), st.floats(-180, 180))
def test_the_box_of_a_turned_text_holds_its_ends(anchor, turn):
    text = Text(x_mm=3.0, y_mm=4.0, words="panel 12", height_mm=2.5, anchor=anchor, turn_deg=turn)
    left, bottom, right, top = box_of(text)
    long = width_mm("panel 12", height_mm=2.5)
    start = {"start": 0.0, "middle": -long / 2, "end": -long}[anchor]
    for along in (start, start + long):
        x = 3.0 + along * math.cos(math.radians(turn))
        y = 4.0 + along * math.sin(math.radians(turn))
        assert left - EXACT <= x <= right + EXACT
        assert bottom - EXACT <= y <= top + EXACT
