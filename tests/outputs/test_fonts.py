"""The shipped font against its own tables, read by an independent font library."""

from fontTools.pens.recordingPen import RecordingPen
from fontTools.ttLib import TTFont

from lamphouse.outputs.fonts import FOLDER, FONT, font_bytes, lacking

WEIGHTS = ("Regular", "Bold")
PRINTED = "ΩµØ°×±≥≤→–—’·²#■✓"  # noqa: RUF001 - the very signs
LOOK_ALIKES = "0O1lI|"


def opened(weight):
    return TTFont(FOLDER / f"LamphouseSans-{weight}.otf")


def test_the_family_name_stands_in_both_files():
    for weight in WEIGHTS:
        assert opened(weight)["name"].getDebugName(1) == FONT


def test_lacking_agrees_with_the_tables_of_both_weights():
    for weight in WEIGHTS:
        has = set(opened(weight).getBestCmap())
        said = {code for code in range(0x20, 0x3000) if not lacking(chr(code))}
        assert said == has


def test_every_sign_the_sheets_print_is_there():
    assert lacking(PRINTED) == ()


def test_signs_outside_are_named_once_in_order():
    assert lacking("a 文 b 中 文\n") == ("文", "中")


def test_figures_are_equally_wide():
    for weight in WEIGHTS:
        font = opened(weight)
        cmap, widths = font.getBestCmap(), font["hmtx"]
        assert len({widths[cmap[ord(figure)]][0] for figure in "0123456789"}) == 1


def test_signs_that_look_alike_have_outlines_of_their_own():
    font = opened("Regular")
    shapes = font.getGlyphSet()
    drawn = []
    for sign in LOOK_ALIKES:
        pen = RecordingPen()
        shapes[font.getBestCmap()[ord(sign)]].draw(pen)
        drawn.append(tuple(pen.value))
    lengths = dict(zip(LOOK_ALIKES, map(len, drawn), strict=True))
    assert len(set(drawn)) == len(LOOK_ALIKES)
    assert lengths["I"] > lengths["|"], "the capital I has serifs"
    assert lengths["0"] > lengths["O"], "the zero is slashed"


def test_no_ligature_changes_what_was_typed():
    for weight in WEIGHTS:
        font = opened(weight)
        if "GSUB" in font:
            tags = {record.FeatureTag for record in font["GSUB"].table.FeatureList.FeatureRecord}
            assert tags <= {"ccmp"}


def test_licence_lies_beside_and_the_font_is_small():
    licence = (FOLDER / "LICENCE.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "The Inter Project Authors" in licence
    assert len(font_bytes()) + len(font_bytes(bold=True)) < 400_000
