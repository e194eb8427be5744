"""Whole numbers as they stand in a file, an address or a form: digits alone, and not many."""

MOST_DIGITS = 9
"""More are no count of anything here; Python itself refuses to read more than 4300."""


def whole_number(text: str) -> int | None:
    """Read digits as a whole number; None where there is anything else, or too many of them."""
    plain = text.isascii() and text.isdigit() and len(text) <= MOST_DIGITS
    return int(text) if plain else None
