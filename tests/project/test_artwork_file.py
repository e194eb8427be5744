"""Pictures made artwork: what they hold comes through, what is wrong is said, nothing blows up."""

import struct
import warnings
import zlib
from io import BytesIO

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from lamphouse.project import artwork_file
from lamphouse.project.artwork_file import MOST_PIXELS, ArtworkError, artwork_of
from lamphouse.project.read import read_project, read_text
from project.projects import SMALL

RAMP = (np.arange(12 * 16 * 3) * 5 % 256).astype(np.uint8).reshape(12, 16, 3)


@pytest.fixture(scope="module")
def witness():
    """Give the open package that colours are held against; it warns while it loads."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("colour")


def saved(picture, **options):
    into = BytesIO()
    picture.save(into, **{"format": "PNG", **options})
    return into.getvalue()


def pixels(artwork):
    return np.frombuffer(artwork.pixels, dtype=np.uint8).reshape(artwork.rows, artwork.columns, 3)


def chunk(kind, body):
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(header, lines, *before):
    """Write a PNG by the format's own rules: header, other chunks, packed lines [PNG]."""
    whole = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header)
    return whole + b"".join(before) + chunk(b"IDAT", zlib.compress(lines)) + chunk(b"IEND", b"")


def test_plain_colours_come_through_untouched():
    artwork = artwork_of(saved(Image.fromarray(RAMP)), file="ramp.png")
    assert np.array_equal(pixels(artwork), RAMP)
    assert (artwork.columns, artwork.rows, artwork.assumed) == (16, 12, ())


def test_sixteen_bits_are_read_as_eight():
    deep = (np.arange(10 * 9 * 3) * 240).astype(">u2").reshape(9, 10, 3)
    lines = b"".join(b"\0" + row.tobytes() for row in deep)
    artwork = artwork_of(png(struct.pack(">IIBBBBB", 10, 9, 16, 2, 0, 0, 0), lines), file="deep")
    assert np.abs(pixels(artwork).astype(int) - deep / 257).max() <= 1.0
    assert "16 bits" in artwork.assumed[0]
    grey = b"".join(b"\0" + row[:, 0].tobytes() for row in deep)
    artwork = artwork_of(png(struct.pack(">IIBBBBB", 10, 9, 16, 0, 0, 0, 0), grey), file="deep")
    assert np.abs(pixels(artwork)[..., 1].astype(int) - deep[..., 0] / 257).max() <= 1.0


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P"])
def test_transparent_places_are_bare_film(mode):
    picture = Image.new("RGBA", (20, 10), (200, 30, 30, 255))
    picture.paste((0, 0, 0, 0), (10, 0, 20, 10))
    picture.paste((0, 0, 0, 128), (0, 0, 5, 10))
    artwork = artwork_of(saved(picture.convert(mode)), file="glassy.png")
    seen = pixels(artwork)
    assert (seen[:, 12:] == 255).all()
    assert seen[0, 7].max() < 230
    assert any("film without ink" in told for told in artwork.assumed)


def profile_of(primaries, *, gamma):
    """Write the smallest profile of a screen: three primaries under D50 and one curve [ICC.1]."""

    def fixed(*numbers):
        return b"".join(struct.pack(">i", round(number * 65536)) for number in numbers)

    def xyz(numbers):
        return b"XYZ " + bytes(4) + fixed(*numbers)

    curve = b"curv" + bytes(4) + struct.pack(">IH", 1, round(gamma * 256)) + bytes(2)
    words = b"desc" + bytes(4) + struct.pack(">I", 2) + b"a\0" + bytes(78)
    named = {b"rXYZ": 0, b"gXYZ": 1, b"bXYZ": 2}
    tags = {name: xyz(primaries[:, place]) for name, place in named.items()}
    tags |= {b"rTRC": curve, b"gTRC": curve, b"bTRC": curve}
    tags |= {b"wtpt": xyz((0.9642, 1.0, 0.8249)), b"desc": words, b"cprt": b"text" + bytes(5)}
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        padded = data + bytes(-len(data) % 4)
        table += name + struct.pack(">II", start + len(body), len(data))
        body += padded
    head = struct.pack(
        ">I4sI4s4s4s", start + len(body), b"lcms", 0x02400000, b"mntr", b"RGB ", b"XYZ "
    )
    head += (
        struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + fixed(0.9642, 1.0, 0.8249)
    )
    return head + bytes(128 - len(head)) + table + body


def test_a_profile_is_used(witness):
    # A screen with the primaries of P3 and a curve of 2.2 against colour-science, which goes
    # another way: its own matrices, its own Bradford.
    wide = witness.RGB_COLOURSPACES["Display P3"]
    to_D50 = witness.adaptation.matrix_chromatic_adaptation_VonKries(
        wide.matrix_RGB_to_XYZ @ np.ones(3), np.array([0.9642, 1.0, 0.8249]), transform="Bradford"
    )
    profile = profile_of(to_D50 @ wide.matrix_RGB_to_XYZ, gamma=2.2)
    drawn = np.array([[[120, 110, 100], [200, 120, 90], [60, 90, 160], [250, 250, 250]]], np.uint8)
    picture = Image.fromarray(np.repeat(np.repeat(drawn, 8, axis=0), 3, axis=1))
    artwork = artwork_of(saved(picture, icc_profile=profile), file="wide.png")
    linear = (drawn[0] / 255.0) ** 2.2 @ wide.matrix_RGB_to_XYZ.T
    srgb = witness.RGB_COLOURSPACES["sRGB"]
    wanted = srgb.cctf_encoding(linear @ np.linalg.inv(srgb.matrix_RGB_to_XYZ).T) * 255.0
    assert np.abs(pixels(artwork)[0, 1::3] - wanted).max() <= 2.0
    assert "own profile" in artwork.assumed[0]


def test_a_profile_that_cannot_be_read_is_told():
    artwork = artwork_of(saved(Image.fromarray(RAMP), icc_profile=b"not a profile"), file="x.png")
    assert np.array_equal(pixels(artwork), RAMP)
    assert "could not be used" in artwork.assumed[0]


def test_colours_named_wider_without_a_profile_are_told():
    lines = b"".join(b"\0" + row.tobytes() for row in RAMP)
    header = struct.pack(">IIBBBBB", 16, 12, 8, 2, 0, 0, 0)
    wide = artwork_of(png(header, lines, chunk(b"cICP", bytes([12, 13, 0, 1]))), file="wide.png")
    assert "wider than sRGB" in wide.assumed[0]
    plain = artwork_of(png(header, lines, chunk(b"cICP", bytes([1, 13, 0, 1]))), file="plain.png")
    assert plain.assumed == ()
    linear = artwork_of(png(header, lines, chunk(b"gAMA", struct.pack(">I", 100000))), file="l.png")
    assert "curve" in linear.assumed[0]


def test_a_turned_photograph_is_set_upright():
    turned = Image.Exif()
    turned[0x0112] = 6  # the top is at the right [EXIF]
    artwork = artwork_of(saved(Image.fromarray(RAMP), format="TIFF", exif=turned), file="photo")
    assert (artwork.columns, artwork.rows) == (12, 16)


@pytest.mark.parametrize(
    ("data", "word"),
    [
        (b"", "no PNG"),
        (b"GIF89a" + bytes(60), "no PNG"),
        (saved(Image.fromarray(RAMP))[:-60], "broken"),
        (saved(Image.new("RGB", (4, 200))), "at least 8"),
        (saved(Image.new("L", (20_000, 8))), "24 million"),
    ],
    ids=["empty", "another kind", "cut short", "too narrow", "too long"],
)
def test_what_cannot_be_artwork_is_refused_with_a_mend(data, word):
    with pytest.raises(ArtworkError, match=word) as told:
        artwork_of(data, file="x.png")
    assert told.value.remedy


@pytest.mark.parametrize("side", [5_000, 60_000, 2**31 - 1])
def test_a_bomb_is_refused_by_its_header(side):
    # A file of some hundred bytes that claims up to 4e18 pixels.
    bomb = png(struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0), bytes(1000))
    assert side * side > MOST_PIXELS
    with pytest.raises(ArtworkError, match="million"):
        artwork_of(bomb, file="bomb.png")


def test_text_that_unpacks_without_end_is_refused():
    bomb = chunk(b"zTXt", b"Comment\0\0" + zlib.compress(bytes(80_000_000), 9))
    header = struct.pack(">IIBBBBB", 16, 12, 8, 2, 0, 0, 0)
    with pytest.raises(ArtworkError):
        artwork_of(png(header, b"\0" * 12 * 49, bomb), file="bomb.png")


@given(st.integers(0, 400), st.integers(0, 255), st.integers(1, 30))
@settings(max_examples=60)
def test_damaged_files_are_read_or_refused(place, byte, length):
    whole = bytearray(saved(Image.fromarray(RAMP)))
    place %= len(whole)
    whole[place : place + length] = bytes([byte]) * length
    try:
        artwork = artwork_of(bytes(whole), file="damaged.png")
    except ArtworkError:
        return
    assert len(artwork.pixels) == artwork.columns * artwork.rows * 3


def with_artwork(text="chart.png", film="print film"):
    layers = f"layers: [opal film 60, {{film: {film}, artwork: '{text}'}}], look: lit"
    return SMALL.replace("look: lit}", layers + "}")


def test_a_project_reads_its_artwork_and_says_what_it_assumed():
    glassy = saved(Image.new("RGBA", (20, 10), (200, 30, 30, 100)))
    reading = read_text(with_artwork(), file="p.yaml", own_pictures={"chart.png": glassy})
    (panel,) = reading.design.sub_assemblies[0].panels
    printed = panel.openings[0].layers[1].printed
    assert (printed.artwork.file, printed.artwork.columns) == ("chart.png", 20)
    assert [found.code for found in reading.findings if found.code.startswith("PRJ06")] == [
        "PRJ062"
    ]


def test_a_missing_or_broken_picture_stops_only_its_print():
    for pictures, code in (({}, "PRJ060"), ({"chart.png": b"nothing"}, "PRJ061")):
        reading = read_text(with_artwork(), file="p.yaml", own_pictures=pictures)
        assert code in [found.code for found in reading.findings]
        assert reading.design.sub_assemblies[0].panels[0].openings[0].layers[1].printed is None


def test_artwork_on_a_gel_is_refused():
    reading = read_text(
        with_artwork(film="red gel"),
        file="p.yaml",
        own_pictures={"chart.png": saved(Image.fromarray(RAMP))},
    )
    assert reading.design is None
    assert "PRJ063" in [found.code for found in reading.findings]


@pytest.mark.parametrize(
    "name", ["../secret.png", "{folder}/secret.png", "C:\\secret.png", "link.png", "a/../../x.png"]
)
def test_a_project_cannot_name_pictures_outside_its_folder(tmp_path, name):
    secret = tmp_path / "secret.png"
    secret.write_bytes(saved(Image.fromarray(RAMP)))
    inside = tmp_path / "model"
    inside.mkdir()
    (inside / "link.png").symlink_to(secret)
    text = with_artwork(name.replace("{folder}", tmp_path.as_posix()))
    (inside / "project.yaml").write_text(text, encoding="utf-8")
    reading = read_project(inside)
    assert [found.code for found in reading.findings if found.code.startswith("PRJ06")] == [
        "PRJ060"
    ]


def test_a_project_finds_pictures_in_its_folder(tmp_path):
    (tmp_path / "art").mkdir()
    (tmp_path / "art/chart.png").write_bytes(saved(Image.fromarray(RAMP)))
    (tmp_path / "project.yaml").write_text(with_artwork("art/chart.png"), encoding="utf-8")
    reading = read_project(tmp_path)
    assert not [found for found in reading.findings if found.code.startswith("PRJ06")]


def test_the_limits_leave_room_for_a_whole_page():
    # A4 at 400 dots per inch [ISO216].
    assert round(210 / 25.4 * 400) * round(297 / 25.4 * 400) < artwork_file.MOST_PIXELS
