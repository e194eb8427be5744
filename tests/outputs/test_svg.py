"""SVG read back by an XML parser, and rasterised by an independent program's own renderer."""

import math
import struct
import zlib
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from drawings.sample_pieces import CEILING, TITLE, WALL
from lamphouse.drawings.drawing import Circle, Drawing, Path, Pen, Text
from lamphouse.drawings.face import draw, panel_sheets
from lamphouse.drawings.page import lay_out
from lamphouse.drawings.pens import CUTTER
from lamphouse.drawings.ruler import ruler
from lamphouse.outputs.fonts import FOLDER
from lamphouse.outputs.svg import CAPITALS, render
from lamphouse.record import replace
from tolerances import EXACT

SVG = "{http://www.w3.org/2000/svg}"
MM_PER_INCH = 25.4


def drawing(*items, width=100.0, height=80.0, left=0.0, bottom=0.0, name="sample"):
    return Drawing(
        name=name, left_mm=left, bottom_mm=bottom, width_mm=width, height_mm=height, items=items
    )


def pixels(one, *, dpi):
    """Rasterise with the Rust renderer, and give darkness from 0 to 1, top row first."""
    png = bytes(
        resvg_py.svg_to_bytes(
            svg_string=render(one),
            dpi=dpi,
            background="#ffffff",
            skip_system_fonts=True,
            font_files=[str(path) for path in FOLDER.glob("*.otf")],
        )
    )
    return 1.0 - unpacked(png)[:, :, :3].mean(axis=2) / 255.0


def unpacked(png):
    """Unpack an 8-bit PNG with alpha (ISO/IEC 15948), filters and all."""
    place, data = 8, b""
    while place < len(png):
        (length,) = struct.unpack(">I", png[place : place + 4])
        kind = png[place + 4 : place + 8]
        body = png[place + 8 : place + 8 + length]
        if kind == b"IHDR":
            width, height, depth, colour = struct.unpack(">IIBB", body[:10])
            assert depth == 8
            channels = {2: 3, 6: 4}[colour]
        if kind == b"IDAT":
            data += body
        place += 12 + length
    raw = np.frombuffer(zlib.decompress(data), np.uint8).reshape(height, -1)
    rows = np.zeros((height, width * channels), np.int64)
    before = np.zeros(width * channels, np.int64)
    for number, (kind, row) in enumerate(zip(raw[:, 0], raw[:, 1:].astype(np.int64), strict=True)):
        rows[number] = before = unfiltered(kind, row, before, channels)
    return rows.reshape(height, width, channels)


def unfiltered(kind, row, before, channels):
    if kind == 0:
        return row
    if kind == 2:
        return (row + before) % 256
    done = np.zeros_like(row)
    for x in range(len(row)):
        left = done[x - channels] if x >= channels else 0
        corner = before[x - channels] if x >= channels else 0
        if kind == 1:
            guess = left
        elif kind == 3:
            guess = (left + before[x]) // 2
        else:
            estimate = left + before[x] - corner
            guess = min((left, before[x], corner), key=lambda v: abs(estimate - v))
        done[x] = (row[x] + guess) % 256
    return done


@settings(deadline=None)
@given(st.text(max_size=40), st.text(max_size=40))
def test_any_words_give_well_formed_xml_that_reads_back(words, name):
    text = Text(x_mm=1.0, y_mm=2.0, words=words, height_mm=2.5)
    root = ElementTree.fromstring(render(drawing(text, name=name)))
    (element,) = root.iter(f"{SVG}text")
    # XML 1.0: section 2.2 for the signs allowed, 2.11 for line ends.
    readable = "".join(
        sign if sign in "\t\n\r" or (sign >= " " and sign not in "\ufffe\uffff") else "\ufffd"
        for sign in words
    )
    assert (element.text or "") == readable.replace("\r\n", "\n").replace("\r", "\n")


def test_lone_surrogates_and_controls_become_the_replacement_sign():
    text = Text(x_mm=1.0, y_mm=2.0, words="a\x00b\ud800c", height_mm=2.5)
    svg = render(drawing(text))
    svg.encode()
    assert "a\ufffdb\ufffdc" in svg


def test_size_is_in_millimetres_and_y_goes_down():
    circle = Circle(pen=Pen.DRILL, x_mm=-3.0, y_mm=7.0, diameter_mm=0.5)
    root = ElementTree.fromstring(render(drawing(circle, left=-10.0, bottom=-5.0)))
    assert (root.get("width"), root.get("height")) == ("100mm", "80mm")
    assert root.get("viewBox") == "0 0 100 80"
    (element,) = root.iter(f"{SVG}circle")
    assert [float(element.get(key)) for key in ("cx", "cy", "r")] == [7.0, 68.0, 0.25]


def test_nothing_reaches_outside_and_nothing_runs():
    pages = lay_out(panel_sheets(WALL), paper="A4", title=TITLE)
    root = ElementTree.fromstring(render(pages[0].drawing))
    allowed = {f"{SVG}{tag}" for tag in ("svg", "title", "g", "path", "circle", "text")}
    for element in root.iter():
        assert element.tag in allowed
        assert not any("href" in key or key.startswith("on") for key in element.keys())  # noqa: SIM118
        assert not any("url(" in value for value in element.attrib.values())


def test_no_minus_zero_and_no_exponent():
    path = Path(pen=Pen.CUT, corners=((-1e-9, 80.0, 0.0), (1e-7, 79.99999999, 0.0)))
    (line,) = [row for row in render(drawing(path)).splitlines() if row.startswith("<path")]
    assert line == '<path d="M0 0L0 0"/>'


def test_the_same_drawing_gives_the_same_text():
    assert render(draw(CEILING)) == render(draw(CEILING))


def test_only_the_cutters_pens_when_asked():
    root = ElementTree.fromstring(render(draw(WALL), pens=CUTTER))
    assert {group.get("id") for group in root.iter(f"{SVG}g")} == {"cut", "drill"}
    assert not list(root.iter(f"{SVG}text"))


def test_capitals_are_as_high_as_asked_in_both_weights():
    for weight in ("Regular", "Bold"):
        font = TTFont(FOLDER / f"LamphouseSans-{weight}.otf")
        ratio = font["OS/2"].sCapHeight / font["head"].unitsPerEm
        assert pytest.approx(ratio, abs=EXACT) == CAPITALS


SEGMENTS = [(0.2, 1), (1.0, 1), (1.7, 1), (-0.2, -1), (-1.0, -1), (-1.7, -1)]


@pytest.mark.parametrize(("bulge", "side"), SEGMENTS)
def test_arcs_bulge_to_the_right_side_by_the_right_amount(bulge, side):
    # Area of a circular segment: r^2 (a - sin a) / 2, its angle a = 4 atan(bulge).
    chord = 20.0
    angle = 4 * math.atan(abs(bulge))
    radius = chord / 2 / math.sin(angle / 2)
    area = radius**2 * (angle - math.sin(angle)) / 2
    corners = ((40.0, 40.0, bulge), (60.0, 40.0, 0.0))
    dark = pixels(drawing(Path(pen=Pen.TEXT, corners=corners, closed=True, filled=True)), dpi=254)
    assert dark.sum() / 100 == pytest.approx(area, rel=5e-3)
    rows = np.nonzero(dark.sum(axis=1))[0]
    # Positive bulges turn left: the arc from left to right then runs below its chord.
    middle = 80.0 - rows.mean() / 10
    assert (40.0 - middle) * side > 0


def test_the_rulers_measure_100_mm_and_4_inches_when_rasterised():
    one = drawing(*ruler(), left=-2.0, bottom=-8.0, width=116.0, height=16.0)
    dpi = 1200
    dark = pixels(one, dpi=dpi)
    per_mm = dpi / MM_PER_INCH
    for up, length, ticks in ((0.8, 100.0, 101), (-0.8, 101.6, 65)):
        row = dark[round((8.0 - up) * per_mm)]
        edges = np.flatnonzero(np.diff((row > 0.5).astype(int)))
        middles = (edges[0::2] + edges[1::2]) / 2
        assert len(middles) == ticks
        assert (middles[-1] - middles[0]) / per_mm == pytest.approx(length, abs=0.02)


def test_text_reads_upright_and_to_the_right_of_its_place():
    text = Text(x_mm=20.0, y_mm=40.0, words="HHHH", height_mm=10.0)
    dark = pixels(drawing(text), dpi=254)
    rows, columns = np.nonzero(dark > 0.5)
    # Height of capitals and baseline, to the tenth of a millimetre a pixel is.
    assert 80.0 - (rows.max() + 1) / 10 == pytest.approx(40.0, abs=0.1)
    assert (rows.max() + 1 - rows.min()) / 10 == pytest.approx(10.0, abs=0.2)
    assert columns.min() / 10 > 20.0


def test_text_turned_by_90_reads_from_the_right():
    text = Text(x_mm=40.0, y_mm=20.0, words="HHHH", height_mm=10.0, turn_deg=90.0)
    rows, columns = np.nonzero(pixels(drawing(text), dpi=254) > 0.5)
    assert columns.max() / 10 <= 40.1
    assert 80.0 - rows.max() / 10 >= 20.0


def test_a_thing_moved_is_the_same_picture_moved():
    here = drawing(Circle(pen=Pen.CUT, x_mm=30.0, y_mm=30.0, diameter_mm=20.0))
    there = replace(here, left_mm=10.0)
    a, b = pixels(here, dpi=127), pixels(there, dpi=127)
    # The renderer tells sixteen steps of coverage apart; one may fall the other way.
    assert np.abs(a[:, 50:] - b[:, :-50]).max() < 1.5 / 16


def test_a_file_by_itself_keeps_its_lines_as_long_as_they_were_laid_out_for():
    """Held to the font's own widths, and in another font where the shipped one is not."""
    words = "walls and back styrene 1.0 mm, matt white paint"
    one = drawing(Text(x_mm=2.0, y_mm=40.0, words=words, height_mm=2.0))
    (text,) = ElementTree.fromstring(render(one, alone=True)).iter(f"{SVG}text")
    font = TTFont(FOLDER / "LamphouseSans-Regular.otf")
    cmap, widths = font.getBestCmap(), font["hmtx"]
    units = sum(widths[cmap[ord(sign)]][0] for sign in words)
    exact = units / font["head"].unitsPerEm * 2.0 / CAPITALS
    assert exact <= float(text.get("textLength")) <= 1.03 * exact
    assert text.get("lengthAdjust") == "spacingAndGlyphs"
    assert text.get("font-family").split(", ")[-1] == "sans-serif"
    (plain,) = ElementTree.fromstring(render(one)).iter(f"{SVG}text")
    assert plain.get("textLength") is None
