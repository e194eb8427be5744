"""Thin round tube by its diameters, for ferrules and collars."""

from collections.abc import Iterable

from lamphouse.catalogue.cells import OutOfRange, Span, amount
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, show


class TubeType(Record):
    """One size of round tube."""

    name: str
    """Such as ``brass tube 4 mm``."""
    outside_mm: float
    inside_mm: float
    origin: Origin


def _faults(tube: TubeType) -> Iterable[OutOfRange]:
    if tube.inside_mm >= tube.outside_mm:
        inside = show(tube.inside_mm, Quantity.LENGTH)
        problem = f"an inside of {inside} leaves no wall"
        yield OutOfRange(problem, remedy="measure both diameters; the wall is half the difference")


_SPAN = Span(above=0, most=50, why="a ferrule or a collar is a small part")

TUBE_TYPES = Table(
    name="tube_types",
    row=TubeType,
    columns=(
        Column(name="outside", fields=("outside_mm",), read=amount(Quantity.LENGTH, span=_SPAN)),
        Column(name="inside", fields=("inside_mm",), read=amount(Quantity.LENGTH, span=_SPAN)),
    ),
    faults=_faults,
)
