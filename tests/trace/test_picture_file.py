"""Picture files: true, turned, deep, clear, broken and malicious; the library is the witness."""

import struct
import zlib

import cv2
import numpy as np
import pytest

from lamphouse.trace import picture_file, picture_header
from lamphouse.trace.refused import TraceError

RAMP = (np.add.outer(np.arange(60) * 2, np.arange(80)) % 256).astype(np.uint8)


def encoded(pixels, kind=".png"):
    return cv2.imencode(kind, pixels)[1].tobytes()


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def with_chunk(png, kind, data):
    return png[:33] + chunk(kind, data) + png[33:]


def exif(orientation, *, focal=None):
    tags = [(274, 3, orientation)] + ([(41989, 3, focal)] if focal else [])
    body = b"".join(struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in tags)
    return b"II*\0" + struct.pack("<IH", 8, len(tags)) + body + b"\0\0\0\0"


def with_exif(jpeg, block):
    body = b"Exif\0\0" + block
    return jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body + jpeg[2:]


@pytest.mark.parametrize("kind", [".png", ".tiff", ".jpg"])
def test_a_picture_is_read_as_the_library_reads_it(kind):
    data = encoded(RAMP, kind)
    picture = picture_file.load(data)
    assert (picture.header.rows, picture.header.columns) == RAMP.shape
    witness = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert np.array_equal(picture.levels, witness)


def test_sixteen_bits_keep_their_depth():
    deep = RAMP.astype(np.uint16) * 257 + 100
    levels = picture_file.load(encoded(deep)).levels
    assert np.allclose(levels, deep / 257.0, atol=1e-3)


def test_colours_are_weighed_and_clear_places_lie_on_white():
    colours = np.zeros((50, 50, 4), np.uint8)
    colours[..., 1], colours[..., 3] = 255, 255
    colours[:, 25:, 3] = 0
    picture = picture_file.load(encoded(colours))
    assert picture.levels[0, 0] == pytest.approx(0.587 * 255, abs=0.6)  # [BT601]
    assert picture.levels[0, 40] == 255
    assert any("transparent" in one.message for one in picture.findings)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_turned_photograph_is_set_upright_as_the_library_would(orientation):
    data = with_exif(encoded(RAMP, ".jpg"), exif(orientation, focal=26))
    picture = picture_file.load(data)
    witness = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_GRAYSCALE)
    assert np.array_equal(picture.levels, witness)
    assert picture.header.focal_35_mm == 26


def test_the_fineness_is_read_from_each_kind():
    per_metre = round(600 / 0.0254)
    png = with_chunk(encoded(RAMP), b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1))
    assert picture_header.read_header(png).dpi == pytest.approx((600, 600), abs=0.1)
    jpeg = bytearray(encoded(RAMP, ".jpg"))
    assert jpeg[6:10] == b"JFIF"
    jpeg[13:18] = struct.pack(">BHH", 2, 236, 236)  # per centimetre
    assert picture_header.read_header(bytes(jpeg)).dpi == pytest.approx((599.4, 599.4), abs=0.1)
    tiff = cv2.imencode(
        ".tiff",
        RAMP,
        [cv2.IMWRITE_TIFF_XDPI, 300, cv2.IMWRITE_TIFF_YDPI, 300, cv2.IMWRITE_TIFF_RESUNIT, 2],
    )[1].tobytes()
    assert picture_header.read_header(tiff).dpi == pytest.approx((300, 300))


def test_a_small_file_that_unpacks_to_a_huge_one_is_never_unpacked(monkeypatch):
    bomb = bytearray(encoded(RAMP))
    bomb[16:24] = struct.pack(">II", 200_000, 200_000)
    monkeypatch.setattr(picture_file, "_decoded", lambda _: pytest.fail("it was unpacked"))
    with pytest.raises(TraceError, match="200000 x 200000 pixels; at most 100 million"):
        picture_file.load(bytes(bomb))


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"GIF89a" + bytes(100), "no PNG, JPEG or TIFF"),
        (b"%PDF-1.7" + bytes(100), "no PNG, JPEG or TIFF"),
        (encoded(RAMP)[:20], "cut short"),
        (encoded(RAMP)[:-20], "cannot be unpacked"),
        (encoded(np.tile(RAMP, (4, 4)), ".jpg")[:-900], "cannot be unpacked"),
        (encoded(RAMP[:10, :10]), "at least 40"),
    ],
    ids=["empty", "gif", "pdf", "short header", "short png", "short jpeg", "thumbnail"],
)
def test_what_is_no_whole_picture_is_refused_in_words(data, words):
    with pytest.raises(TraceError, match=words):
        picture_file.load(data)


@pytest.mark.parametrize("kind", [".png", ".tiff", ".jpg"])
def test_broken_bytes_end_in_a_picture_or_in_words(kind):
    chance = np.random.default_rng(5)
    whole = np.frombuffer(encoded(RAMP, kind), np.uint8)
    for _ in range(150):
        broken = whole.copy()
        broken[chance.integers(0, len(broken), 6)] = chance.integers(0, 256, 6)
        try:
            levels = picture_file.load(broken.tobytes()).levels
        except TraceError:
            continue
        assert np.isfinite(levels).all()


def test_a_stated_resolution_must_agree_with_the_file():
    from lamphouse.trace import scales

    assert scales.from_dpi(600, tagged=(600.0, 599.9)).mm_per_column == 25.4 / 600  # [INCH1959]
    with pytest.raises(TraceError, match="the file says 300 x 300 dpi"):
        scales.from_dpi(600, tagged=(300.0, 300.0))
    for wrong in (0.0, -600.0, float("nan"), 1e9):
        with pytest.raises(TraceError, match="no resolution"):
            scales.from_dpi(wrong, tagged=None)


def test_two_marks_of_a_ruler_give_a_scale_and_its_doubt():
    from lamphouse.trace import scales

    scale = scales.from_two_points((100.0, 50.0), second=(400.0, 450.0), apart_mm=50.0)
    assert scale.mm_per_column == pytest.approx(0.1)  # 3, 4, 5
    assert scale.share > 0.01
    for second in ((100.0, 50.0), (150.0, 60.0), (float("nan"), 0.0)):
        with pytest.raises(TraceError, match="two marks"):
            scales.from_two_points((100.0, 50.0), second=second, apart_mm=50.0)


def test_stripes_that_touch_every_side_are_no_part():
    from lamphouse.trace import scales, traced

    picture = picture_file.load(encoded(np.tile(RAMP, (3, 9))))
    with pytest.raises(TraceError):
        traced.trace(picture, scale=scales.from_dpi(600, tagged=None))
