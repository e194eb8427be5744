"""Artwork: a picture the maker wants printed on a film, and the printer it goes through."""

from enum import StrEnum

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.photo_readings import Rgb
from lamphouse.findings import Where
from lamphouse.record import Record


class Printer(StrEnum):
    """How the printer makes tints."""

    INKJET = "inkjet"
    """Of drops finer than the ink spreads."""
    LASER = "laser"
    """Of dots of toner."""


class Artwork(Record):
    """A picture, brought to sRGB."""

    file: str
    """As the maker names it."""
    columns: int
    rows: int
    pixels: bytes
    """Red, green and blue of every pixel, 8 bits each, the upper row first."""
    assumed: tuple[str, ...] = ()
    """What the file leaves open or what was left out of it, in words."""

    def __repr__(self) -> str:
        """Name the picture without its pixels."""
        return f"Artwork(file={self.file!r}, columns={self.columns}, rows={self.rows})"


class PrintChart(Record):
    """A chart of one's own printer, as a camera read it."""

    name: str
    where: Where
    film: FilmType
    lit: tuple[tuple[str, Rgb], ...] = ()
    """Red, green and blue, 0 to 255, by the name of the patch."""
    unlit: tuple[tuple[str, Rgb], ...] = ()


class Print(Record):
    """What is printed on a layer."""

    artwork: Artwork
    printer: Printer = Printer.INKJET
    black_passes: float | None = None
    """Share of light that its blackest black passes on one film, measured; None when it was not."""
    chart: PrintChart | None = None
    """What tells the printer's own inks; typical ones without."""
