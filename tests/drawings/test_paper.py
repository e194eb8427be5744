"""Paper sizes and line widths against the standards' tables."""

import json

import pytest

from lamphouse.drawings.drawing import Pen
from lamphouse.drawings.paper import INCH_MM, SIZES_MM, lying, upright
from lamphouse.drawings.pens import CUTTER, STYLES
from tolerances import EXACT


@pytest.fixture
def table(reference):
    return json.loads((reference / "paper" / "values.json").read_text())


def test_sizes_are_those_of_the_tables(table):
    assert set(SIZES_MM) == set(table["upright_mm"])
    for name, size in table["upright_mm"].items():
        assert SIZES_MM[name] == pytest.approx(size, abs=EXACT)
    assert table["inch_mm"] == INCH_MM


@pytest.mark.parametrize("name", SIZES_MM)
def test_field_strip_and_band_share_the_frame_without_touching(name):
    for paper in (upright(name), lying(name)):
        field, strip, band = paper.field, paper.strip, paper.band
        assert strip[2] < field[0]
        assert band[3] < field[1]
        assert field[2] < paper.frame[2]
        assert field[3] < paper.frame[3]


def test_line_widths_are_steps_of_the_standard(table):
    assert {style.width_mm for style in STYLES.values()} <= set(table["line_widths_mm"])


def test_what_is_cut_is_twice_as_wide_as_what_explains():
    # ISO 128-2: the ratio of wide to narrow is 2:1, within the steps of the square root of 2.
    ratio = STYLES[Pen.CUT].width_mm / STYLES[Pen.SIZE].width_mm
    assert ratio == pytest.approx(2, rel=0.03)


def test_no_two_cutting_pens_and_no_two_broken_lines_look_alike_without_colour():
    broken = [style for style in STYLES.values() if style.dashes_mm]
    assert len({(s.width_mm, s.dashes_mm) for s in broken}) == len(broken)
    cutting = [STYLES[pen] for pen in CUTTER]
    assert len({(s.width_mm, s.dashes_mm) for s in cutting}) == len(cutting)


def test_every_ink_prints_dark_without_colour():
    # Relative luminance of IEC 61966-2-1 linear light, coefficients of ITU-R BT.709.
    for style in STYLES.values():
        linear = [
            (c / 255 + 0.055) ** 2.4 / 1.055**2.4 if c > 10 else c / 255 / 12.92 for c in style.ink
        ]
        luminance = sum(k * c for k, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
        # WCAG 2.2 success criterion 1.4.6: at least 7:1 against white.
        assert 1.05 / (luminance + 0.05) >= 7
