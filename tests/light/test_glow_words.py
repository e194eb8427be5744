"""Figures that bound something are rounded to the safe side."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.light.glow_words import at_most_passing, rounded_down, rounded_up
from lamphouse.light.leak_paths import through_coats
from tolerances import EXACT


@given(value=st.floats(1e-6, 1e6))
def test_limits_are_rounded_to_the_safe_side_and_no_further_than_two_digits(value):
    assert 0.9 * value <= rounded_down(value) <= value * (1.0 + EXACT)
    assert value * (1.0 - EXACT) <= rounded_up(value) <= 1.1 * value


@pytest.mark.parametrize("value", [0.045, 31.0, 2.0, 1000.0])
def test_what_has_two_digits_stays(value):
    assert rounded_down(value) == pytest.approx(value, rel=EXACT)
    assert rounded_up(value) == pytest.approx(value, rel=EXACT)


@given(share=st.floats(1e-5, 0.9))
def test_the_density_told_passes_no_more_than_the_share_told(share):
    # Optical density is minus the decadic logarithm of the transmittance, by its definition.
    told, _, density = at_most_passing(share).removesuffix(")").partition(" (a density of ")
    assert float(told) <= share * (1.0 + EXACT)
    assert through_coats(float(density)) <= share * (1.0 + EXACT)
