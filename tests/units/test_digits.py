"""Whole numbers from digits: nothing else passes, and nothing breaks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamphouse.units.digits import MOST_DIGITS, whole_number


@given(st.integers(0, 10**MOST_DIGITS - 1))
def test_every_number_is_read_as_it_is_printed(number):
    assert whole_number(str(number)) == number


@pytest.mark.parametrize(
    "text",
    ["", "-1", "+1", "1.0", "1e3", "1_000", " 1", "²", "\u0661", "9" * 10, "9" * 5000, "0x10"],
    ids=repr,
)
def test_anything_else_is_none(text):
    assert whole_number(text) is None


@given(st.text())
def test_no_text_raises(text):
    assert whole_number(text) is None or text.isdigit()
