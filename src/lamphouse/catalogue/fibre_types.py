"""Plastic optical fibre by diameter."""

from collections.abc import Iterable

from lamphouse.catalogue.cells import OutOfRange, Span, amount, band, number
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, show


class FibreType(Record):
    """One size of end-lit plastic fibre."""

    name: str
    """Such as ``fibre 0.5 mm``."""
    diameter_mm: float
    """Over the cladding."""
    numerical_aperture: float
    hole_clearance_mm: tuple[float, float]
    """Least and most to add to the diameter for its hole."""
    bend_radius_mm: float
    """Least radius at which the loss stays small."""
    origin: Origin


def _faults(fibre: FibreType) -> Iterable[OutOfRange]:
    if fibre.bend_radius_mm < fibre.diameter_mm:
        radius = show(fibre.bend_radius_mm, Quantity.LENGTH)
        problem = f"a bend radius of {radius} is less than the fibre is thick"
        rule = show(32.5 * fibre.diameter_mm, Quantity.LENGTH)
        yield OutOfRange(problem, remedy=f"write the radius, such as {rule} (65 fibre radii)")


FIBRE_TYPES = Table(
    name="fibre_types",
    row=FibreType,
    columns=(
        Column(
            name="diameter",
            fields=("diameter_mm",),
            read=amount(Quantity.LENGTH, span=Span(above=0, most=20, why="a fibre has a diameter")),
        ),
        Column(
            name="numerical aperture",
            fields=("numerical_aperture",),
            read=number(span=Span(above=0, most=1, why="it is the sine of an angle in air")),
        ),
        Column(
            name="hole clearance",
            fields=("hole_clearance_mm",),
            read=band(
                Quantity.LENGTH,
                span=Span(least=0, most=2, why="a hole is at least as wide as its fibre"),
            ),
        ),
        Column(
            name="bend radius",
            fields=("bend_radius_mm",),
            read=amount(Quantity.LENGTH, span=Span(above=0, most=1000, why="a bend has a radius")),
        ),
    ),
    faults=_faults,
)
