"""PNG files read back: by the specification's own rules here, and by a typesetter and poppler."""

import struct
import zlib
from io import BytesIO

import numpy as np
import pytest
import typst
from PIL import Image

from lamphouse.outputs.png import SIGNATURE, encode
from outputs.rasters import INCH_MM, raster

ZOOM = 9
"""Dots of the outside raster for each pixel; the middle one is looked at."""
WORDS = {"Title": "a grey ramp", "Comment": "white is 45 cd/m2"}


def ramp(rows=13, columns=37):
    """Give every grey in no order a filter could guess."""
    return (np.arange(rows * columns) * 97 % 256).astype(np.uint8).reshape(rows, columns)


def chunks(data):
    assert data.startswith(SIGNATURE)
    at = len(SIGNATURE)
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        kind, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + length]
        (check,) = struct.unpack(">I", data[at + 8 + length : at + 12 + length])
        assert check == zlib.crc32(kind + body)
        yield kind, body
        at += 12 + length


def test_pixels_come_back_by_the_rules_of_the_format():
    # PNG specification 9.2: filter type 2 holds the difference to the line above, modulo 256.
    greys = ramp()
    parts = dict(chunks(encode(greys, pixels_per_mm=4.0, words=WORDS)))
    width, height, *kind = struct.unpack(">IIBBBBB", parts[b"IHDR"])
    assert (height, width) == greys.shape
    assert kind == [8, 0, 0, 0, 0]
    lines = np.frombuffer(zlib.decompress(parts[b"IDAT"]), dtype=np.uint8).reshape(height, -1)
    assert set(lines[:, 0]) == {2}
    undone = np.cumsum(lines[:, 1:], axis=0, dtype=np.uint64).astype(np.uint8)
    assert np.array_equal(undone[::-1], greys)


def test_the_file_says_its_size_its_curve_and_its_words():
    found = list(chunks(encode(ramp(), pixels_per_mm=4.0, words=WORDS)))
    kinds = [kind for kind, _ in found]
    assert kinds == [b"IHDR", b"sRGB", b"pHYs", b"tEXt", b"tEXt", b"IDAT", b"IEND"]
    assert dict(found)[b"pHYs"] == struct.pack(">IIB", 4000, 4000, 1)
    assert (b"tEXt", b"Title\0a grey ramp") in found


def test_another_program_sees_the_same_pixels(tmp_path, tool):
    greys = ramp()
    rows, columns = greys.shape
    picture = encode(greys, pixels_per_mm=4.0, words=WORDS)
    page = (
        f"#set page(width: {columns}pt, height: {rows}pt, margin: 0pt)\n"
        f"#image(bytes(json(bytes(sys.inputs.png))), width: {columns}pt, height: {rows}pt, "
        'scaling: "pixelated")'
    )
    made = typst.compile(page.encode(), sys_inputs={"png": str(list(picture))})
    path = tmp_path / "page.pdf"
    path.write_bytes(made)
    size = (0, 0, columns * INCH_MM / 72, rows * INCH_MM / 72)
    seen = raster(tool("pdftoppm"), path, page=1, box_mm=size, dpi=72 * ZOOM)
    middles = seen[ZOOM // 2 :: ZOOM, ZOOM // 2 :: ZOOM]
    assert np.abs(middles[::-1].astype(int) - greys).max() <= 1


@pytest.mark.parametrize("shape", [(1, 1), (1, 9), (9, 1)])
def test_the_smallest_pictures_are_whole(shape):
    parts = dict(chunks(encode(np.full(shape, 7, dtype=np.uint8), pixels_per_mm=4.0, words={})))
    assert len(zlib.decompress(parts[b"IDAT"])) == shape[0] * (shape[1] + 1)


def test_the_same_pixels_give_the_same_bytes():
    one, two = (encode(ramp(), pixels_per_mm=4.0, words=WORDS) for _ in range(2))
    assert one == two


def colours(rows=7, columns=11):
    return (np.arange(rows * columns * 3) * 59 % 256).astype(np.uint8).reshape(rows, columns, 3)


@pytest.mark.parametrize("is_wide", [False, True])
def test_another_library_reads_the_same_colours_and_size(is_wide):
    data = encode(colours(), pixels_per_mm=10.0, words=WORDS, is_wide=is_wide)
    with Image.open(BytesIO(data)) as seen:
        assert np.array_equal(np.asarray(seen)[::-1], colours())
        assert seen.info["dpi"] == pytest.approx((254.0, 254.0), abs=0.1)


def test_wide_colours_are_named_by_number_and_by_primaries():
    # PNG third edition: primaries, curve, matrix, range of H.273; primaries of SMPTE EG 432-1.
    found = list(chunks(encode(colours(), pixels_per_mm=10.0, words={}, is_wide=True)))
    kinds = [kind for kind, _ in found]
    assert kinds == [b"IHDR", b"cICP", b"gAMA", b"cHRM", b"pHYs", b"IDAT", b"IEND"]
    assert dict(found)[b"cICP"] == bytes([12, 13, 0, 1])
    numbers = struct.unpack(">8I", dict(found)[b"cHRM"])
    assert numbers == tuple(
        round(xy * 100_000) for xy in (0.3127, 0.329, 0.68, 0.32, 0.265, 0.69, 0.15, 0.06)
    )
