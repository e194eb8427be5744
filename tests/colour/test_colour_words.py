"""Names of colours, and wanted colours."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.colour.colour_words import colour_names, dominant, light_of, name_of
from lamphouse.colour.display import D65_XY, white_xyz
from lamphouse.colour.lab import to_lab
from lamphouse.colour.wanted_colour import wanted_colour
from lamphouse.units import UnitError

WHITE = white_xyz(D65_XY) * 100.0


@pytest.mark.parametrize("name", colour_names())
def test_the_middle_of_a_name_has_the_name_and_meets_the_wish(name):
    xyz = light_of(name)
    assert name_of(xyz) == ("neutral white" if name == "white" else name)
    lab = to_lab(xyz * 50.0, white=WHITE)
    wish = wanted_colour(name)
    assert wish.is_met(xyz, lab=lab)
    assert wish.miss(lab=lab, white=WHITE) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("xy", [(0.2, 0.6), (0.6, 0.35), (0.16, 0.1), (0.45, 0.45), (0.35, 0.2)])
def test_dominant_wavelength_and_purity_agree_with_another_package(xy, witness):
    # colour-science 0.4.7, its purity and dominant wavelength; negative for purples.
    wavelength, _, _ = witness.dominant_wavelength(xy, D65_XY)
    purity = witness.excitation_purity(xy, D65_XY)
    found, ours, _ = dominant(np.array(xy))
    if wavelength < 0:
        assert found is None
        assert ours == pytest.approx(purity, abs=0.02)
    else:
        assert found == pytest.approx(float(wavelength), abs=1.0)
        assert ours == pytest.approx(float(purity), abs=0.01)


@pytest.mark.parametrize(("cct_K", "name"), [(2700, "warm white"), (4000, "neutral white")])
def test_whites_for_sale_have_their_trade_name(cct_K, name):
    # Warm and neutral white of 2700 K and 4000 K: common practice, no source.
    wish = wanted_colour(f"{cct_K} K")
    assert name_of(wish.target) == name
    assert wish.is_met(wish.target, lab=np.zeros(3))
    assert not wish.is_met(light_of("blue-white"), lab=np.zeros(3))
    assert wanted_colour("White").is_met(wish.target, lab=np.zeros(3))


def test_a_lab_is_judged_by_the_difference():
    wish = wanted_colour("Lab 60, 40, 20")
    assert wish.is_met(np.ones(3), lab=np.array([61.0, 41.0, 20.0]))
    assert not wish.is_met(np.ones(3), lab=np.array([60.0, -40.0, 20.0]))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("ambr", "write 'amber'"),
        ("burgundy", "write one of"),
        ("100 K", "is no colour"),
        ("99999 K", "1000 K to 25000 K"),
        ("Lab 200 0 0", "L\\* from 0 to 100"),
        ("", "is no colour"),
    ],
)
def test_what_is_no_colour_is_refused(text, said):
    with pytest.raises(UnitError, match=said):
        wanted_colour(text)


@given(st.lists(st.floats(0, 1), min_size=3, max_size=3))
def test_every_light_has_a_name(xyz):
    assert name_of(np.array(xyz))
