"""Luminances, lengths and lists in a builder's words, for findings about the glow."""

from collections.abc import Sequence

from lamphouse.units import Quantity, show


def in_cd_m2(luminance_cd_m2: float) -> str:
    """Write a luminance to three digits: ``52.3 cd/m2``."""
    return show(luminance_cd_m2, Quantity.LUMINANCE, digits=3)


def in_mm(length_mm: float) -> str:
    """Write a length to three digits: ``9 mm``."""
    return show(length_mm, Quantity.LENGTH, digits=3)


def in_current(current_A: float) -> str:
    """Write a current to two digits, as closely as a resistor sets it: ``1.4 mA``."""
    return show(current_A, Quantity.CURRENT, digits=2)


def in_percent(share: float) -> str:
    """Write a share in whole percent."""
    return f"{100.0 * share:.0f} %"


def in_share(share: float) -> str:
    """Write a share to three digits: ``99.5 %``."""
    return show(share, Quantity.SHARE, digits=3)


def counted(number: int, noun: str) -> str:
    """Write a number with its noun: ``1 LED``, ``3 LEDs``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def either(ways: Sequence[str]) -> str:
    """Join alternatives as a sentence does: ``a, or b, or c``."""
    return ", or ".join(ways)


def together(parts: Sequence[str]) -> str:
    """Join parts as a sentence does: ``a, b and c``."""
    *first, last = parts
    return f"{', '.join(first)} and {last}" if first else last
