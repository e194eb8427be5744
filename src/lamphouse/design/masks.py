"""How a panel is painted: areas with their paints, openings kept clear, and the film for masks."""

from enum import StrEnum

from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.design.panel import Outline
from lamphouse.findings import Where
from lamphouse.record import Record


class CoatOrder(StrEnum):
    """In which order the coats go on."""

    LISTED = "as listed"
    LIGHT_TO_DARK = "light to dark"


class PaintArea(Record):
    """Part of a panel's face in one paint."""

    name: str
    where: Where
    paint: str
    outlines: tuple[Outline, ...]
    """What it covers, all together; in the panel plane."""
    inner: tuple[Outline, ...] = ()
    """What is left out of each, one for each of ``outlines`` in a frame; else empty."""
    lightness: float | None = None
    """How light the paint looks, from 0 for black to 1 for white; None when it was not said."""


class Masks(Record):
    """How one panel is painted."""

    where: Where
    film: SheetStock
    """What masks are cut from."""
    areas: tuple[PaintArea, ...]
    """A later one lies over an earlier one."""
    overlap_mm: float = 1.0
    """How far a mask laps over what is masked already."""
    order: CoatOrder = CoatOrder.LISTED
    clear: tuple[str, ...] = ()
    """Names of openings that stay clear of paint."""
