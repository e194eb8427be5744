"""Luminances, lengths and lists in a builder's words, for findings about the glow."""

from collections.abc import Sequence
from math import ceil, floor, log10

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


def rounded_down(value: float, *, digits: int = 2) -> float:
    """Cut a number above 0 to so many digits, for what must not be passed: 31.6 to ``31``."""
    step = 10.0 ** (floor(log10(value)) - digits + 1)
    return floor(value / step * (1.0 + 1e-12)) * step


def rounded_up(value: float, *, digits: int = 2) -> float:
    """Raise a number above 0 to so many digits, for what must be reached: 0.151 to ``0.16``."""
    step = 10.0 ** (floor(log10(value)) - digits + 1)
    return ceil(value / step * (1.0 - 1e-12)) * step


def at_most_passing(share: float) -> str:
    """Say what a paint may pass, with the density that keeps to it: ``0.044 (density 1.4)``."""
    density = ceil(-10.0 * log10(share) - 1e-9) / 10.0
    return f"{rounded_down(share):.2g} (a density of {density:.1f})"


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
