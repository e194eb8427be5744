"""Sheet stock: plastic, card, board and metal by thickness."""

from lamphouse.catalogue.cells import Span, amount, several, words
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity

SIDES_MM = (1.0, 10_000.0)
"""Least and greatest side of a sheet at hand."""


class SheetStock(Record):
    """One thickness of one sheet material."""

    name: str
    """Such as ``styrene 0.75 mm``."""
    material: str
    thickness_mm: float
    size_mm: tuple[float, float] | None
    """The usual sheet as sold; None where there is none."""
    origin: Origin


SHEET_STOCK = Table(
    name="sheet_stock",
    row=SheetStock,
    columns=(
        Column(name="material", fields=("material",), read=words),
        Column(
            name="thickness",
            fields=("thickness_mm",),
            read=amount(
                Quantity.LENGTH, span=Span(above=0, most=50, why="a sheet has a thickness")
            ),
        ),
        Column(
            name="size",
            fields=("size_mm",),
            read=several(
                Quantity.LENGTH,
                count=2,
                span=Span(above=0, most=5000, why="a sheet has a length and a width"),
            ),
        ),
    ),
)
"""Thickness as stamped: 10 thou is 0.254 mm and not the 0.25 mm sheet."""
