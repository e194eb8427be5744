"""Amounts and prices as makers write them."""

import pytest

from lamphouse.project.amounts import parse_amount, parse_price
from lamphouse.units import UnitError
from tolerances import EXACT


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("100", 100.0, "pieces"),
        ("10 pcs", 10.0, "pieces"),
        ("10 m", 10.0, "m"),
        ("50 ft", 15.24, "m"),  # one foot is 0.3048 m exactly [INCH1959]
        ("17 ml", 17.0, "ml"),
        ("0.25 l", 250.0, "ml"),
        ("210 x 297 mm", 623.7, "cm2"),
    ],
)
def test_amounts(text, amount, unit):
    assert parse_amount(text) == (pytest.approx(amount, rel=EXACT), unit)


@pytest.mark.parametrize(
    "text", ["", "0", "0 m", "-3", "nan", "1e9", "9" * 400, "10 V", "ten", "1 x 2 x 3 mm", "\x00"]
)
def test_what_is_no_amount_is_refused_with_a_mend(text):
    with pytest.raises(UnitError) as refused:
        parse_amount(text)
    assert refused.value.remedy
    assert len(refused.value.problem) < 200


@pytest.mark.parametrize(
    ("text", "price"),
    [("4.50 EUR", (450, "EUR")), ("GBP 3", (300, "GBP")), ("12USD", (1200, "USD"))],
)
def test_prices(text, price):
    assert parse_price(text) == price


@pytest.mark.parametrize(
    "text", ["4.50", "4,50 EUR", "4.5 EUR", "-1 EUR", "eur", "1e3 EUR", "٣ EUR"]
)
def test_what_is_no_price_is_refused(text):
    with pytest.raises(UnitError):
        parse_price(text)
