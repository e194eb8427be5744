"""Signs: the plain spelling of printed ones, and a refusal of what no maker types."""

import re

from lamphouse.units.quantity import UnitError

LONGEST_TEXT = 100
"""Characters; a longer text is refused before anything looks at it."""

_FRACTION_SIGNS = (
    ("\u00bd", 1, 2),
    ("\u00bc", 1, 4),
    ("\u00be", 3, 4),
    ("\u215b", 1, 8),
    ("\u215c", 3, 8),
    ("\u215d", 5, 8),
    ("\u215e", 7, 8),
)
"""Fractions printed as one sign, with their parts."""
_PLAIN_SPELLING = str.maketrans(
    {
        "\u00b5": "u",  # micro sign
        "\u03bc": "u",  # Greek mu
        "\u03a9": "ohm",  # Greek Omega
        "\u2126": "ohm",  # ohm sign
        "\u00b0": "deg",
        "\u2103": "degC",
        "\u00b2": "2",
        "\u00d7": "x",
        "\u2212": "-",  # minus sign
        "\u2032": "'",  # prime
        "\u2019": "'",
        "\u2033": '"',  # double prime
        "\u201d": '"',
        "\u00a0": " ",  # no-break space
        "\u202f": " ",  # narrow no-break space
        **{sign: f" {top}/{bottom}" for sign, top, bottom in _FRACTION_SIGNS},
    }
)
_UNSEEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ud800-\udfff]"
)
_DIGITS_AROUND_COMMA = re.compile(r"\d,\d", re.ASCII)
_TWO_NUMBERS = re.compile(r"([+-]?\d+),(\d+) *(\D*)", re.ASCII)
_ALL_THOUSANDS = re.compile(r"[+-]?\d{1,3}(,\d{3}){2,} *\D*", re.ASCII)
_THOUSANDS = re.compile(r"\d,\d{3}(?!\d)", re.ASCII)


def plain(text: str) -> str:
    """Give the text in plain signs, without outer blanks.

    Raises
    ------
    UnitError
        If it is too long, holds a sign that cannot be seen, or a comma between digits, which half
        the world reads as the decimal point and the other half as a parting of numbers.

    Examples
    --------
    >>> plain(" 4.7 k\u03a9 ")
    '4.7 kohm'
    """
    if len(text) > LONGEST_TEXT:
        problem = f"a text of {len(text)} characters is no quantity"
        raise UnitError(problem, remedy=f"write at most {LONGEST_TEXT}, such as 0.75 mm")
    if _UNSEEN.search(text):
        problem = f"{text!a} holds a sign that cannot be seen, such as a tab"
        raise UnitError(problem, remedy="type it anew with plain spaces")
    given = text.translate(_PLAIN_SPELLING).replace("  ", " ").strip()
    if _DIGITS_AROUND_COMMA.search(given):
        problem = f"the comma in '{given}' can be read in two ways"
        raise UnitError(problem, remedy=_two_readings(given))
    return given


def _two_readings(given: str) -> str:
    decimal = given.replace(",", ".")
    if _ALL_THOUSANDS.fullmatch(given):
        return f"write {given.replace(',', '')}"
    if decimal.count(".") > 1:  # both signs, or several: the last one is the point
        whole, point, rest = decimal.rpartition(".")
        return f"write {whole.replace('.', '')}{point}{rest}"
    if _THOUSANDS.search(given):
        return f"write {decimal} or {given.replace(',', '')}"
    two = _TWO_NUMBERS.fullmatch(given)
    pair = f"{two[1]} {two[3]}, {two[2]} {two[3]}" if two else given.replace(",", ", ")
    return f"write {decimal}, or for two numbers {pair}"
