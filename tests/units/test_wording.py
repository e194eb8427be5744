"""Words made from base units, and back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.units import Quantity, parse, show, show_both
from tolerances import EXACT, TABLE

SIZES = st.floats(min_value=1e-12, max_value=1e12) | st.floats(min_value=0.01, max_value=1e4)
VALUES = st.builds(math.copysign, SIZES, st.sampled_from([1.0, -1.0])) | st.just(0.0)


@given(value=VALUES, quantity=st.sampled_from(Quantity), digits=st.integers(1, 12))
def test_what_is_shown_is_read_back_within_its_digits(value, quantity, digits):
    words = show(value, quantity, digits=digits)
    back = parse(words, quantity)
    assert back == pytest.approx(value, rel=TABLE * 10.0 ** (1 - digits) * (1 + EXACT), abs=0)
    assert show(back, quantity, digits=digits) == words


@given(value=VALUES, quantity=st.sampled_from(Quantity))
def test_seventeen_digits_lose_nothing(value, quantity):
    if quantity is Quantity.DURATION:  # minutes and hours need one more division
        assert parse(show(value, quantity, digits=18), quantity) == pytest.approx(value, rel=EXACT)
    else:
        assert parse(show(value, quantity, digits=17), quantity) == value


# IEC 60062, examples as an encyclopaedia page prints them, with the lower k of the trade.
@pytest.mark.parametrize(
    ("ohms", "words"),
    [
        (0.47, "R47"),
        (4.7, "4R7"),
        (470, "470R"),
        (4700, "4k7"),
        (47_000, "47k"),
        (47_300, "47k3"),
        (470_000, "470k"),
        (4_700_000, "4M7"),
    ],
)
def test_resistances_are_written_as_the_standard_does(ohms, words):
    assert show(ohms, Quantity.RESISTANCE) == words


@pytest.mark.parametrize(
    ("value", "quantity", "words"),
    [
        (0.001, Quantity.CURRENT, "1 mA"),
        (0.01, Quantity.FLUX, "0.01 lm"),
        (0.75, Quantity.LENGTH, "0.75 mm"),
        (0.0015, Quantity.CURRENT, "1.5 mA"),
        (0.99999, Quantity.CURRENT, "1 A"),
        (0.0, Quantity.CURRENT, "0 A"),
        (-0.0, Quantity.LENGTH, "0 mm"),
        (0.7, Quantity.SHARE, "70 %"),
        (7200, Quantity.DURATION, "2 h"),
        (90, Quantity.DURATION, "90 s"),
        (0.3, Quantity.DURATION, "300 ms"),
        (-0.002, Quantity.FORWARD_DRIFT, "-2 mV/K"),
        (10.05, Quantity.RESISTANCE, "10R05"),
        (-0.05, Quantity.RESISTANCE, "-R05"),
        (0, Quantity.RESISTANCE, "0R"),
        (1e-9, Quantity.LENGTH, "0.000000001 mm"),
        (2.5, Quantity.ANGLE, "2.5 deg"),
    ],
)
def test_words_are_what_a_builder_would_write(value, quantity, words):
    assert show(value, quantity) == words


def test_halves_round_away_from_zero():
    assert show(12.345, Quantity.LENGTH) == "12.35 mm"
    assert show(-12.345, Quantity.LENGTH) == "-12.35 mm"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_has_no_words(value):
    with pytest.raises(ValueError, match="into words"):
        show(value, Quantity.LENGTH)


# Sheet sizes as the trade prints them in both: 10, 20 and 40 thou are 0.254, 0.508 and 1.016 mm.
@pytest.mark.parametrize(
    ("length_mm", "words"),
    [
        (0.254, "0.254 mm (0.010 in)"),
        (0.508, "0.508 mm (0.020 in)"),
        (1.016, "1.016 mm (0.040 in)"),
        (0.75, "0.75 mm (0.030 in)"),
        (0.127, "0.127 mm (0.0050 in)"),
        (-160, "-160 mm (-6.299 in)"),
    ],
)
def test_lengths_are_shown_in_both_units(length_mm, words):
    assert show_both(length_mm) == words
