"""Amounts of parts and prices as the maker writes them: ``100``, ``10 m``, ``4.50 EUR``."""

import re

from lamphouse.units import Quantity, UnitError, parse, parse_many

MOST = 1e6
"""Beyond it no drawer holds anything."""
_VOLUME = re.compile(r"([0-9]+(?:\.[0-9]+)?) *(ml|cl|l)", re.ASCII | re.IGNORECASE)
_AREA = re.compile(r"([0-9]+(?:\.[0-9]+)?) *(cm2|cm²)", re.ASCII | re.IGNORECASE)
_COUNT = re.compile(r"([0-9]+)(?: *(?:pieces|pcs))?", re.ASCII | re.IGNORECASE)
_PRICE = re.compile(
    r"([0-9]{1,7})(?:\.([0-9]{2}))? *([A-Z]{3})|([A-Z]{3}) *([0-9]{1,7})(?:\.([0-9]{2}))?"
)
_MILLILITRES = {"ml": 1.0, "cl": 10.0, "l": 1000.0}


def parse_amount(text: str) -> tuple[float, str]:
    """Read an amount of a part.

    Returns
    -------
    tuple of float and str
        The amount and its unit: ``pieces``, ``m``, ``cm2`` or ``ml``.

    Raises
    ------
    UnitError
        If it is no amount, or none at all, or more than any drawer holds.

    Examples
    --------
    >>> parse_amount("100"), parse_amount("2.5 m"), parse_amount("300 x 200 mm")
    ((100.0, 'pieces'), (2.5, 'm'), (600.0, 'cm2'))
    """
    words = " ".join(text.split())[:60]
    amount, unit = _amount(words)
    if not 0.0 < amount <= MOST:
        problem = f"{words} is out of range: above 0 and at most {MOST:g}"
        raise UnitError(problem, remedy="write what one pack holds, such as 100 or 10 m")
    return round(amount, 6), unit


def _amount(words: str) -> tuple[float, str]:
    if found := _COUNT.fullmatch(words):
        return float(found[1]), "pieces"
    if found := _VOLUME.fullmatch(words):
        return float(found[1]) * _MILLILITRES[found[2].casefold()], "ml"
    if found := _AREA.fullmatch(words):
        return float(found[1]), "cm2"
    if "x" in words.casefold() or "\u00d7" in words:
        width, height = parse_many(words, Quantity.LENGTH, count=2)
        return width * height / 100.0, "cm2"
    return parse(words, Quantity.LENGTH) / 1000.0, "m"


def parse_price(text: str) -> tuple[int, str]:
    """Read a price.

    Returns
    -------
    tuple of int and str
        Hundredths of the currency, and its three letters [ISO4217].

    Raises
    ------
    UnitError
        If it has no currency, or is no price.

    Examples
    --------
    >>> parse_price("4.50 EUR"), parse_price("GBP 3")
    ((450, 'EUR'), (300, 'GBP'))
    """
    words = " ".join(text.split())[:60]
    found = _PRICE.fullmatch(words)
    if found is None:
        problem = f"'{words}' is no price"
        raise UnitError(problem, remedy="write the price of one pack with its currency: 4.50 EUR")
    whole, part, currency = (
        (found[1], found[2], found[3]) if found[1] else (found[5], found[6], found[4])
    )
    return int(whole) * 100 + int(part or 0), currency
