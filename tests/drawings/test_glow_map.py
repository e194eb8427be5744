"""Evenness maps: lines where the light says, figures that can be read, extremes named."""

from itertools import combinations

import numpy as np
import pytest

from drawings.sample_glow import aperture, hump, opening_glow
from lamphouse.drawings.clip import apart
from lamphouse.drawings.drawing import Path, Pen, Text
from lamphouse.drawings.glow_map import glow_map, levels
from lamphouse.drawings.lettering import LEAST_MM, box_of
from lamphouse.light.scene import Disc
from lamphouse.record import replace
from lamphouse.shapes.outline import circle

ROOM_MM = (176.0, 90.0)


def drawn(picture=None, *, room_mm=ROOM_MM, **changes):
    seen = picture or hump()
    return glow_map(
        opening_glow(seen, **changes), aperture=aperture(), picture=seen, room_mm=room_mm
    )


def texts(drawing):
    return [item for item in drawing.items if isinstance(item, Text)]


def contours(drawing, pen):
    return [
        item
        for item in drawing.items
        if isinstance(item, Path) and item.pen is pen and not item.closed
    ]


def test_lines_stand_where_the_light_says():
    """Along the hump's ellipse: share of the mean by the formula it was made with."""
    picture = hump()
    drawing = drawn(picture)
    scale = max(x for x, _, _ in drawing.items[0].corners) / 32.0
    peak = picture.luminance_cd_m2.max() / picture.luminance_cd_m2.mean()
    found = set()
    for path in contours(drawing, Pen.MARK) + contours(drawing, Pen.CUT):
        for x, y, _ in path.corners:
            u = (x / scale / 0.25 - 0.5 - 63.5) / 63.5
            v = (y / scale / 0.25 - 0.5 - 27.5) / 27.5
            found.add(round(peak * (1.0 - 0.6 * (u**2 + v**2) / 2.0), 2))
    assert found <= {0.5, 0.7, 0.8, 0.9, 1.1, 1.25}


def test_the_wanted_evenness_is_drawn_heavy_and_said():
    drawing = drawn()
    assert contours(drawing, Pen.CUT)
    assert any("evenness 70% (heavy line)" in text.words for text in texts(drawing))
    narrow = texts(drawn(room_mm=(78.0, 70.0)))
    assert any("evenness 70% (heavy)" in text.words for text in narrow)
    assert not any("\u2026" in text.words for text in narrow)
    even = drawn(hump(depth=0.05))
    assert not contours(even, Pen.CUT)
    assert not any("heavy" in text.words for text in texts(even))
    assert any("lit panel: 20 to 100 cd/m2" in text.words for text in texts(even))


def test_every_cell_has_its_share_and_the_extremes_their_names():
    drawing = drawn()
    shares = [
        text.words for text in texts(drawing) if text.words[1:2] == "." and len(text.words) == 4
    ]
    assert len(shares) >= 48
    picture = hump()
    glow = opening_glow(picture)
    bold = [text for text in texts(drawing) if text.bold]
    assert any(text.words == f"{glow.evenness:.2f}" for text in bold)
    assert any(text.words == f"{glow.hot_spot:.2f}" for text in bold)
    assert {"min", "max"} <= {text.words for text in bold}


@pytest.mark.parametrize("room_mm", [ROOM_MM, (86.0, 70.0), (50.0, 50.0)])
@pytest.mark.parametrize("depth", [0.05, 0.3, 0.9])
def test_no_text_lies_on_another(room_mm, depth):
    found = texts(drawn(hump(depth=depth), room_mm=room_mm))
    assert all(text.height_mm >= LEAST_MM for text in found)
    for one, other in combinations(found, 2):
        assert apart(box_of(one), box_of(other)), (one.words, other.words)


def test_lines_are_open_around_every_figure():
    drawing = drawn()
    boxes = [box_of(text) for text in texts(drawing)]
    for path in contours(drawing, Pen.MARK):
        for x, y, _ in path.corners:
            assert all(apart(box, (x, y, x, y)) for box in boxes)


def test_the_drawing_fits_its_room():
    for room in (ROOM_MM, (86.0, 70.0)):
        drawing = drawn(room_mm=room)
        assert drawing.width_mm <= room[0] + 1e-6
        assert drawing.height_mm <= room[1] + 1e-6


def test_of_equal_cells_the_first_is_named_whatever_the_last_digits_say():
    picture = hump()
    cells = opening_glow(picture).cells_cd_m2
    noisy = tuple(
        tuple(value * (1.0 - 1e-12 * (row + column)) for column, value in enumerate(values))
        for row, values in enumerate(cells)
    )
    assert drawn(picture, cells_cd_m2=cells) == drawn(picture, cells_cd_m2=noisy)


def test_without_light_or_a_look_nothing_breaks():
    picture = hump()
    dark = drawn(mean_cd_m2=0.0, cells_cd_m2=tuple((0.0,) * 8 for _ in range(6)))
    assert not contours(dark, Pen.MARK)
    plain = glow_map(
        opening_glow(picture, look=None), aperture=aperture(), picture=picture, room_mm=ROOM_MM
    )
    assert not any("wanted" in text.words for text in texts(plain))


def test_a_small_hole_has_one_figure():
    y, x = np.mgrid[0:4, 0:4]
    hole = Disc(x_mm=20.0, y_mm=20.0, diameter_mm=1.0)
    seen = hump()
    picture = type(seen)(
        luminance_cd_m2=np.full((4, 4), 9.0),
        shown=np.hypot(x - 1.5, y - 1.5) < 2.0,
        left_mm=19.5,
        bottom_mm=19.5,
        pixel_mm=0.25,
    )
    outline = opening_glow(seen).shape
    round_hole = type(outline)(corners=circle(1.0, x_mm=20.0, y_mm=20.0), words="round 1 mm")
    glow = opening_glow(seen, shape=round_hole, mean_cd_m2=9.0, cells_cd_m2=((9.0,),), look=None)
    drawing = glow_map(glow, aperture=aperture(hole), picture=picture, room_mm=ROOM_MM)
    assert [text.words for text in texts(drawing)].count("1.00") == 1
    assert not {"min", "max"} & {text.words for text in texts(drawing)}


@pytest.mark.parametrize(
    ("low", "high", "chosen"),
    [
        (0.66, 1.37, (0.7, 0.8, 0.9, 1.1, 1.25)),
        (0.93, 1.06, (0.95, 1.0, 1.05)),
        (0.97, 1.03, (0.98, 1.0, 1.02)),
        (1.0, 1.0, ()),
    ],
)
def test_lines_get_finer_as_the_light_gets_even(low, high, chosen):
    assert levels(low, high=high) == chosen


def test_what_a_look_wants_is_never_cut_and_stays_in_its_room():
    picture = hump()
    look = replace(opening_glow(picture).look, name="the dark corridor behind the engine room")
    for width in (40.0, 60.0, 86.0):
        drawing = drawn(picture, room_mm=(width, 70.0), look=look)
        said = [text.words for text in texts(drawing) if text.height_mm == 2.0]
        assert "evenness 70% (heavy" in " ".join(said)
        assert not any("\u2026" in words for words in said)
        assert drawing.height_mm <= 70.0 + 1e-9
