"""Number drills and metric drills, thin to thick."""

from datetime import date

from lamphouse.catalogue.cells import Span, amount
from lamphouse.catalogue.tables import Column, Origin, OriginKind, Table
from lamphouse.record import Record
from lamphouse.units import NUMBER_DRILLS_IN, Quantity

_ENTERED = date(2026, 11, 25)


class Drill(Record):
    """One twist drill."""

    name: str
    """``#75`` or ``0.55 mm``."""
    diameter_mm: float
    origin: Origin


DRILLS = Table(
    name="drills",
    row=Drill,
    columns=(
        Column(
            name="diameter",
            fields=("diameter_mm",),
            read=amount(Quantity.LENGTH, span=Span(above=0, most=50, why="a drill has a diameter")),
        ),
    ),
)


def standard_drills() -> tuple[Drill, ...]:
    """List the number drills #80 to #1 [ASME-B94.11M] and the metric steps [ISO235] by diameter.

    Metric drills run from 0.20 mm: four to each tenth (.00, .02, .05, .08) up to 0.98 mm, every
    0.05 mm up to 2.95 mm, every 0.1 mm up to 13.9 mm.
    """
    fine = [tenth * 10 + step for tenth in range(2, 10) for step in (0, 2, 5, 8)]
    hundredths = [*fine, *range(100, 300, 5), *range(300, 1400, 10)]
    metric = Origin(source="ISO235", kind=OriginKind.STANDARD, day=_ENTERED)
    numbered = Origin(source="ASME-B94.11M", kind=OriginKind.STANDARD, day=_ENTERED)
    drills = [
        Drill(name=f"{_at_least_one_place(step)} mm", diameter_mm=step / 100, origin=metric)
        for step in hundredths
    ]
    drills.extend(
        Drill(name=f"#{number}", diameter_mm=round(inches * 25.4, 6), origin=numbered)
        for number, inches in NUMBER_DRILLS_IN.items()
    )
    return tuple(sorted(drills, key=lambda drill: (drill.diameter_mm, drill.name)))


def _at_least_one_place(hundredths: int) -> str:
    text = f"{hundredths / 100:.2f}"
    return text[:-1] if text.endswith("0") else text
