"""Zeros against the numerical library's own finder."""

from math import cos, exp

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from lamphouse.colour.crossing import crossing

CASES = {
    "a cosine": (lambda x: cos(x) - x, 0.0, 1.0),
    "a wall": (lambda x: exp(-40.0 * x) - 1e-6, 0.0, 60.0),
    "a far one": (lambda x: x**2 - 2.0, 0.0, 1e4),
    "falling": (lambda x: 5.0 - x, 0.0, 60.0),
}


@pytest.mark.parametrize("name", CASES)
def test_the_librarys_finder_finds_the_same(name):
    function, low, high = CASES[name]
    wanted = brentq(function, low, high, xtol=1e-12)
    # the flat one is zero to the last bit over a width of 1e-5
    assert crossing(function, low, high, within=1e-12) == pytest.approx(
        wanted, abs=2e-5 if "flat" in name else 1e-9
    )


@given(st.floats(-50.0, 50.0), st.floats(0.01, 100.0), st.floats(0.01, 100.0))
def test_it_is_found_in_a_bounded_number_of_calls(zero, below, above):
    calls = []

    def function(x):
        calls.append(x)
        return (x - zero) * (1.0 + (x - zero) ** 2)

    found = crossing(function, zero - below, zero + above, within=1e-9)
    assert found == pytest.approx(zero, abs=2e-9)
    assert len(calls) <= 240  # six for each halving of the bracket, at the worst


def test_an_end_may_be_zero_and_no_change_of_sign_is_refused():
    assert crossing(lambda x: x, 0.0, 1.0, within=1e-9) == 0.0
    assert crossing(lambda x: x - 1.0, 0.0, 1.0, within=1e-9) == 1.0
    with pytest.raises(ValueError, match="no change of sign"):
        crossing(lambda x: x + 1.0, 0.0, 1.0, within=1e-9)
