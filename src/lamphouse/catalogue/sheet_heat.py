"""Sheet heat: how well a sheet material leads heat away, and where it softens."""

from lamphouse.catalogue.cells import Span, amount, number
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity


class SheetHeat(Record):
    """What heat does to one material, whatever its thickness."""

    name: str
    """The material, as the sheet stock names it."""
    conductivity_W_mK: float
    """In W/(m K), of the solid sheet."""
    softens_degC: float
    """Where the softest grade sold begins to give way under load."""
    origin: Origin


SHEET_HEAT = Table(
    name="sheet_heat",
    row=SheetHeat,
    columns=(
        Column(
            name="conductivity",
            fields=("conductivity_W_mK",),
            read=number(span=Span(above=0, most=500, why="every sheet leads some heat")),
        ),
        Column(
            name="softens at",
            fields=("softens_degC",),
            read=amount(
                Quantity.TEMPERATURE, span=Span(least=30, most=2000, why="sheet is firm in a room")
            ),
        ),
    ),
)
"""Materials without a row do not soften in a model, or nobody has written down where."""
