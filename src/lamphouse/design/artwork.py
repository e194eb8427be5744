"""Artwork: a picture the maker wants printed on a film, and the printer it goes through."""

from dataclasses import dataclass, field
from enum import StrEnum


class Printer(StrEnum):
    """How the printer makes tints."""

    INKJET = "inkjet"
    """Of drops finer than the ink spreads."""
    LASER = "laser"
    """Of dots of toner."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Artwork:
    """A picture, brought to sRGB."""

    file: str
    """As the maker names it."""
    columns: int
    rows: int
    pixels: bytes = field(repr=False)
    """Red, green and blue of every pixel, 8 bits each, the upper row first."""
    assumed: tuple[str, ...] = ()
    """What the file leaves open or what was left out of it, in words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """What is printed on a layer."""

    artwork: Artwork
    printer: Printer = Printer.INKJET
    black_passes: float | None = None
    """Share of light that its blackest black passes on one film, measured; None when it was not."""
