"""Panels in colour: the colours told are the colours shown, and prints lie where they belong."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from lamphouse.colour.display import SRGB, decode, encode, xyz_of
from lamphouse.colour.observer import chromaticity
from lamphouse.outputs import page_panel
from lamphouse.outputs.panel_colours import panel_colours, pictures_of
from lamphouse.plan import make
from lamphouse.plan.artworked import studies
from lamphouse.plan.pictured import pictured
from lamphouse.project.read import read_text
from lamphouse.project.starter import demo_pictures, demo_text
from lamphouse.record import replace

HEAD, GAP, LONGEST = 26, 16, 640


@pytest.fixture(scope="module")
def plan():
    text = demo_text("saltmarsh", "mended.yaml")
    return make.plan(read_text(text, file="p.yaml", own_pictures=demo_pictures("saltmarsh")).design)


@pytest.fixture(scope="module")
def table(plan):
    """Give the chart table's panel with its lit box."""
    sub = plan.design.sub_assemblies[0]
    lit = tuple(pictured(glow) for glow in plan.glows if glow.sub_assembly == sub.name)
    return sub.panels[0], lit


def cells(png, *, columns, rows):
    """Cut the pictures out of a sheet of them, the upper row first."""
    with Image.open(BytesIO(png)) as sheet:
        pixels = np.asarray(sheet)
    step = columns + GAP
    count = (pixels.shape[1] - GAP) // step
    return [
        pixels[GAP + HEAD : GAP + HEAD + rows, GAP + n * step : GAP + n * step + columns]
        for n in range(count)
    ]


def pictures(plan, table, *, prints=(), room=None, is_wide=False):
    panel, lit = table
    named = {one.place.opening.name: one for one in prints}
    png = panel_colours(panel, lit=lit, prints=named, room=room, is_wide=is_wide)
    # 84 x 52 mm
    return cells(png, columns=LONGEST, rows=round(52 * LONGEST / 84))


def at(picture, x_mm, y_mm):
    """Give the mean colour of a small patch, sRGB 0 to 1."""
    per_mm = LONGEST / 84
    row, column = round((52 - y_mm) * per_mm), round(x_mm * per_mm)
    return picture[row - 4 : row + 4, column - 4 : column + 4].reshape(-1, 3).mean(axis=0) / 255.0


def test_the_colour_shown_is_the_colour_told(plan, table):
    (dark,) = pictures(plan, table)
    shown = chromaticity(xyz_of(decode(at(dark, 34.0, 26.0)), screen=SRGB))
    told = plan.glows[0].openings[0].colour.xy
    assert shown == pytest.approx(told, abs=0.003)
    assert at(dark, 80.0, 5.0) == pytest.approx([0.0, 0.0, 0.0], abs=0.01)


def test_a_grey_face_is_a_fifth_of_white_paper_by_the_curve_of_srgb(plan, table):
    # IEC 61966-2-1: a linear 0.2 is 124 of 255.
    dark, lit, unlit = pictures(plan, table, room=plan.design.room)
    assert at(unlit, 80.0, 5.0) * 255.0 == pytest.approx([124.0] * 3, abs=1.0)
    assert at(lit, 80.0, 5.0).max() < at(unlit, 80.0, 5.0).min()
    assert at(dark, 80.0, 5.0).max() < 0.01


def test_a_print_lies_upright_in_its_opening(plan, table):
    # The tide chart: night blue at its upper left, sand at its lower left, green low at the right.
    prints = studies(plan.design, glows=plan.glows)
    dark, _, unlit = pictures(plan, table, prints=prints, room=plan.design.room)
    left, bottom = 34.0 - 24.0, 26.0 - 15.0
    for picture in (dark, unlit):
        blue, sand = at(picture, left + 4, bottom + 27.5), at(picture, left + 4, bottom + 4)
        green = at(picture, left + 32, bottom + 6.3)
        assert blue[2] > blue[0]
        assert sand[0] > 1.2 * sand[2]
        assert green[1] == green.max()


def test_nothing_is_made_of_a_dark_model(plan, table):
    panel, _ = table
    dark = replace(plan.design.room, room_light_lx=0.0)
    png = panel_colours(panel, lit=(), prints={}, room=dark, is_wide=True)
    (picture,) = cells(png, columns=LONGEST, rows=round(52 * LONGEST / 84))
    assert picture[5:-5, 5:-5].max() == 0
    assert b"cICP" in png


def test_the_page_washes_an_opening_out_in_the_colour_of_its_unlit_face(plan):
    # The page adds light in the browser; unlit it must show what the pack's picture shows.
    room = plan.design.room
    paper_cd_m2 = room.room_light_lx / np.pi
    openings = page_panel.panel_glow(plan, sub_assembly="instrument wall", panel="wall")["openings"]
    sub = next(one for one in plan.design.sub_assemblies if one.name == "instrument wall")
    lit = [pictured(glow) for glow in plan.glows if glow.sub_assembly == sub.name]
    seen = pictures_of(sub.panels[0], lit=lit, prints={}, room=room, longest_px=160)
    (unlit,) = [one for one in seen if one.words.startswith("unlit")]
    with Image.open(BytesIO(unlit.png)) as picture:
        pixel = picture.convert("RGB").getpixel((115, 110 - 62))  # of 160 x 110 mm
    thrown = np.array(openings["tide board"]["thrown_rgb"]) / paper_cd_m2
    red, green, blue = encode(thrown) * 255.0
    assert red > green > blue
    assert (red, green) == pytest.approx(pixel[:2], abs=6.0)
