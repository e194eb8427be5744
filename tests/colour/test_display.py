"""Screens and whites against IEC 61966-2-1 and an outside package."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.colour.display import (
    BRADFORD,
    CAT16,
    D65_XY,
    SRGB,
    WIDE,
    adapted,
    decode,
    encode,
    fitted,
    is_outside,
    linear_of,
    white_xyz,
    xyz_of,
)
from lamphouse.colour.lab import from_lab, to_lab, to_lch
from tolerances import EXACT

D65 = white_xyz(D65_XY)
COLOURS = {
    "red": (1, 0, 0),
    "green": (0, 1, 0),
    "blue": (0, 0, 1),
    "yellow": (1, 1, 0),
    "magenta": (1, 0, 1),
    "cyan": (0, 1, 1),
    "orange_rgb_1_.5_0": (1, 0.5, 0),
}


def test_transfer_curve_is_that_of_the_standard(published):
    # IEC 61966-2-1.
    values = published("srgb")
    for given_value, expected in values["decode"].items():
        # The standard's two branches miss each other by 2.4e-9 where they meet, at 0.04045.
        seam = 5 * EXACT if given_value == "0.04045" else EXACT
        assert decode(np.array(float(given_value))) == pytest.approx(expected, abs=seam)
    for given_value, expected in values["encode"].items():
        assert encode(np.array(float(given_value))) == pytest.approx(expected, abs=EXACT)
    assert SRGB.to_xyz == pytest.approx(np.array(values["matrix"]), abs=EXACT)


@pytest.mark.parametrize("name", COLOURS)
def test_screen_colours_have_their_lab(name, published):
    # IEC 61966-2-1 and ISO/CIE 11664-4 as colour-science 0.4.7 joins them; white to four digits.
    lab = to_lab(xyz_of(decode(np.array(COLOURS[name])), screen=SRGB), white=D65)
    assert lab == pytest.approx(published("srgb")["lab"][name], abs=0.01)
    if name in published("srgb")["chroma"]:
        assert to_lch(lab)[1] == pytest.approx(published("srgb")["chroma"][name], abs=0.01)


def test_wide_screen_has_the_matrix_of_another_package(witness):
    # SMPTE EG 432-1 primaries with D65, from colour-science 0.4.7.
    other = witness.RGB_COLOURSPACES["Display P3"].matrix_RGB_to_XYZ
    assert WIDE.to_xyz == pytest.approx(other, abs=1e-6)


@pytest.mark.parametrize(("cones", "name"), [(BRADFORD, "Bradford"), (CAT16, "CAT16")])
def test_adaptation_agrees_with_another_package(cones, name, witness):
    # von Kries adaptation of colour-science 0.4.7.
    warm = white_xyz((0.44758, 0.40745))
    xyz = np.array([[0.3, 0.2, 0.05], [0.9, 1.0, 0.4]])
    other = witness.adaptation.chromatic_adaptation_VonKries(xyz, warm, D65, transform=name)
    assert adapted(xyz, seen=warm, shown=D65, cones=cones) == pytest.approx(other, abs=1e-9)
    assert adapted(warm, seen=warm, shown=D65, cones=cones) == pytest.approx(D65, abs=EXACT)


def test_lightness_and_back(published):
    # ISO/CIE 11664-4, CIE 1976 lightness.
    for share, expected in published("lightness")["L_of_Y"].items():
        lab = to_lab(D65 * float(share) / 100, white=D65)
        assert lab == pytest.approx([expected, 0, 0], abs=1e-5)
    for lightness, expected in published("lightness")["Y_of_L"].items():
        xyz = from_lab(np.array([float(lightness), 0, 0]), white=D65)
        assert 100 * xyz[1] == pytest.approx(expected, abs=1e-5)


colours = st.lists(st.floats(0, 1), min_size=3, max_size=3).map(np.array)


@given(colours)
def test_encoding_and_decoding_undo_each_other(linear):
    assert decode(encode(linear)) == pytest.approx(linear, abs=1e-7)
    assert linear_of(xyz_of(linear, screen=WIDE), screen=WIDE) == pytest.approx(linear, abs=EXACT)
    xyz = xyz_of(linear, screen=SRGB)
    assert from_lab(to_lab(xyz, white=D65), white=D65) == pytest.approx(xyz, abs=EXACT)


@given(st.lists(st.floats(-2, 3), min_size=3, max_size=3).map(np.array))
def test_fitted_colours_can_be_shown_and_keep_their_luminance(linear):
    shown = fitted(linear, screen=SRGB)
    assert not is_outside(shown)
    luminance = np.clip(linear @ SRGB.to_xyz[1], 0, 1)
    assert shown @ SRGB.to_xyz[1] == pytest.approx(luminance, abs=1e-9)
    if (linear >= 0).all() and (linear <= 1).all():
        assert shown == pytest.approx(linear, abs=EXACT)


def test_a_spectral_green_cannot_be_shown():
    green = white_xyz((0.0743, 0.8338)) * 0.3  # 520 nm [CIE 1931]
    assert is_outside(linear_of(green, screen=SRGB))
    assert is_outside(linear_of(green, screen=WIDE))
    assert not is_outside(linear_of(D65, screen=SRGB))
