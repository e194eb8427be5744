"""Wall coats: paints, foils and tapes that keep light in, by optical density."""

from lamphouse.catalogue.cells import Span, number
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record


class WallCoat(Record):
    """One coat on a wall."""

    name: str
    density: float
    """Optical density of one coat on plastic: it passes 10 to the power of minus it."""
    origin: Origin


WALL_COATS = Table(
    name="wall_coats",
    row=WallCoat,
    columns=(
        Column(
            name="density",
            fields=("density",),
            read=number(
                span=Span(above=0, most=10, why="a coat takes light away, and none takes all")
            ),
        ),
    ),
)
"""Typical until measured: paint differs with thinning and hand more than any other row."""
