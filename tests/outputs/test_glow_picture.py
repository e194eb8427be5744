"""Pictures of panels: the grey of every luminance, what is marked, and whose light is where."""

from math import pi

import numpy as np
import pytest

from lamphouse.design.panel import Outline
from lamphouse.light.picture import Picture
from lamphouse.outputs.glow_picture import (
    FACE_REFLECTANCE,
    adapted_white,
    encoded,
    face_of,
    picture_of,
)
from lamphouse.plan.pictured import Pictured
from lamphouse.record import replace
from lamphouse.shapes.outline import circle, rectangle
from outputs.sample_plan import chart_table, glow, screen_box
from tolerances import EXACT

ROOM_LX = 50.0


def flat(level, *, columns=192, rows=120, shown=None):
    """Give a picture of the screen (48 x 30 mm at 10, 11) of one luminance."""
    seen = np.ones((rows, columns), dtype=bool) if shown is None else shown
    return Picture(
        luminance_cd_m2=np.where(seen, level, 0.0),
        shown=seen,
        left_mm=10.0,
        bottom_mm=11.0,
        pixel_mm=48.0 / columns,
    )


def panel(**changes):
    return replace(chart_table("chart table").panels[0], **changes)


def face(picture, *, room_lx=ROOM_LX, board=None, judged_lx=ROOM_LX):
    lit = () if picture is None else (Pictured(glow=glow("chart table"), pictures=(picture,)),)
    return face_of(
        board or panel(), lit=lit, boxes=(screen_box(),), room_lx=room_lx, judged_lx=judged_lx
    )


@pytest.mark.parametrize(
    ("linear", "code"),
    [
        (0.0, 0),
        (0.0031308, 10),  # the corner of the curve: 12.92 * 0.0031308 * 255 = 10.31
        (0.2140, 127),  # half of the code value is 21.4 % of the light: V = 0.5, 127.5
        (0.18, 118),  # the grey card, L* 49.5: 117.7 in every table of sRGB
        (0.5, 188),  # half of the light: V = 0.7354
        (1.0, 255),
        (7.0, 255),
    ],
)
def test_greys_are_those_of_srgb(linear, code):
    """IEC 61966-2-1; the codes are those printed in public tables, from memory."""
    assert encoded(np.array([[linear]]))[0, 0] == code


def test_every_grey_decodes_to_its_luminance():
    codes = np.arange(256) / 255.0
    linear = np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4)
    assert np.array_equal(encoded(linear[None])[0], np.arange(256))


def test_the_openings_show_their_light_and_the_room_what_it_adds():
    seen = face(flat(40.0))
    adds = glow("chart table").openings[0].room_cd_m2
    assert adds > 0.0
    assert seen.luminance_cd_m2[100, 120] == pytest.approx(40.0 + adds, rel=EXACT)
    assert seen.luminance_cd_m2[4, 4] == pytest.approx(FACE_REFLECTANCE * ROOM_LX / pi, rel=EXACT)
    dark = face(flat(40.0), room_lx=0.0)
    assert dark.luminance_cd_m2[100, 120] == pytest.approx(40.0, rel=EXACT)
    assert dark.luminance_cd_m2[4, 4] == 0.0
    brighter = face(flat(40.0), room_lx=2.0 * ROOM_LX)
    assert brighter.luminance_cd_m2[100, 120] == pytest.approx(40.0 + 2.0 * adds, rel=EXACT)


def test_no_light_is_lost_on_the_way_to_the_grid():
    """The integral of luminance over the panel is that of the opening, wherever its pixels lie."""
    rng = np.random.default_rng(5)
    values = 20.0 + rng.random((60, 96)).cumsum(axis=1) / 5.0
    picture = replace(flat(0.0, columns=96, rows=60), luminance_cd_m2=values)
    seen = face(picture, room_lx=0.0)
    lit = seen.luminance_cd_m2.sum() / 16.0
    assert lit == pytest.approx(values.mean() * 48.0 * 30.0, rel=1e-3)


def test_white_is_paper_in_the_room_or_the_brightest_opening():
    assert adapted_white(face(flat(0.5))) == pytest.approx(ROOM_LX / pi, rel=EXACT)
    bright = face(flat(300.0))
    assert adapted_white(bright) == pytest.approx(bright.luminance_cd_m2.max(), rel=EXACT)
    assert adapted_white(face(flat(0.0), room_lx=0.0)) > 0.0


def test_what_is_brighter_than_a_white_asked_for_is_striped():
    seen = face(flat(40.0))
    assert picture_of(seen, title="t").over == 0.0
    told = picture_of(seen, title="t", white_cd_m2=20.0)
    assert told.over == pytest.approx(48.0 * 30.0 / (84.0 * 52.0), rel=1e-6)
    assert told.white_cd_m2 == 20.0
    assert b"striped is brighter than white" in told.png


def test_an_opening_without_a_figure_is_marked_and_one_without_a_box_is_dark():
    assert not face(flat(40.0)).unknown.any()
    unsolved = face(None)
    assert unsolved.unknown.sum() == 192 * 120
    hole = replace(
        panel().openings[0],
        name="hole",
        outline=replace(panel().outline, corners=circle(4.0, x_mm=76.0, y_mm=26.0)),
    )
    with_hole = face(flat(40.0), board=panel(openings=(*panel().openings, hole)))
    assert with_hole.luminance_cd_m2[104, 304] == 0.0
    assert not with_hole.unknown.any()


def test_the_rim_of_a_round_opening_keeps_its_light():
    """Pixels cut by the rim are mixed by cover, so the sum is the disc's area times its light."""
    disc = replace(panel().openings[0].outline, corners=circle(30.0, x_mm=34.0, y_mm=26.0))
    board = panel(openings=(replace(panel().openings[0], outline=disc),))
    y, x = np.mgrid[0:120, 0:192]
    shown = np.hypot((x + 0.5) * 0.25 + 10.0 - 34.0, (y + 0.5) * 0.25 + 11.0 - 26.0) <= 15.0
    seen = face(flat(40.0, shown=shown), board=board, room_lx=0.0)
    assert seen.luminance_cd_m2.sum() / 16.0 == pytest.approx(40.0 * pi * 225.0, rel=1e-3)


def test_outside_an_outline_that_is_no_rectangle_stands_paper():
    disc = replace(panel().outline, corners=circle(52.0, x_mm=42.0, y_mm=26.0))
    seen = face(flat(40.0), board=panel(outline=disc))
    assert seen.shown[0, 0] == 0.0
    assert seen.shown[104, 104] == 1.0


def test_the_same_face_gives_the_same_bytes_and_its_size():
    one, two = (picture_of(face(flat(40.0)), title="chart table / top") for _ in range(2))
    assert one.png == two.png
    assert (one.width_mm, one.height_mm) == (84.0, 52.0)


def test_an_overlay_looks_like_the_face_and_shows_the_light_in_its_cutouts():
    def plate(name, left, right):
        sides = {"height_mm": 40.0, "x_mm": (left + right) / 2.0, "y_mm": 26.0}
        outline = Outline(corners=rectangle(right - left, **sides), words="")
        return panel(name=name, outline=outline, openings=(), overlays=())

    cutout = replace(panel().openings[0], outline=plate("pane", 12.0, 20.0).outline)
    bezel = replace(plate("bezel", 5.0, 34.0), openings=(cutout,))
    plain, seen = face(flat(40.0)), face(flat(40.0), board=panel(overlays=(bezel,)))
    grey = FACE_REFLECTANCE * ROOM_LX / pi
    places = {"bezel": (100, 108), "pane": (100, 64), "beside": (100, 160), "panel": (100, 10)}
    light = {name: seen.luminance_cd_m2[place] for name, place in places.items()}
    assert light["bezel"] == pytest.approx(grey, rel=EXACT)
    assert light["pane"] == pytest.approx(plain.luminance_cd_m2[places["pane"]], rel=EXACT)
    assert light["beside"] == pytest.approx(plain.luminance_cd_m2[places["beside"]], rel=EXACT)
    assert light["panel"] == pytest.approx(grey, rel=EXACT)
    assert light["pane"] > 2.0 * grey
