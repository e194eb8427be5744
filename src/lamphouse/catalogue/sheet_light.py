"""Sheet light: how much light goes through a sheet material, by its scatter and absorption."""

from lamphouse.catalogue.cells import Span, amount, number
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity


class SheetLight(Record):
    """What one material does to light, whatever its thickness."""

    name: str
    """The material, as the sheet stock names it."""
    reflectance: float
    """Of its bare face and its cut edges, 0 to below 1."""
    scatter_per_mm: float
    """Scatter coefficient of Kubelka and Munk. [1/mm]."""
    absorption_per_mm: float
    """Absorption coefficient of Kubelka and Munk. [1/mm]."""
    origin: Origin


_COEFFICIENT = Span(least=0, most=1e5, why="a sheet adds no light")

SHEET_LIGHT = Table(
    name="sheet_light",
    row=SheetLight,
    columns=(
        Column(
            name="reflectance",
            fields=("reflectance",),
            read=amount(
                Quantity.SHARE,
                span=Span(least=0, most=0.995, why="a surface throws back less light than it gets"),
            ),
        ),
        Column(name="scatter per mm", fields=("scatter_per_mm",), read=number(span=_COEFFICIENT)),
        Column(
            name="absorption per mm", fields=("absorption_per_mm",), read=number(span=_COEFFICIENT)
        ),
    ),
)
"""The styrene row gives the film types 'thin styrene' their 45 % at 0.13 mm and 30 % at 0.25 mm."""
