"""Which drill makes a hole, the order of the holes, and the chart of a piece's holes.

Terminology
-----------
aim
    A hole before it has its number: its place, its purpose and its drill.
number drill
    A drill named by a number, such as ``#75``; the others are named by their millimetres.
row
    Holes whose height differs from the row's highest by no more than 1 mm. Rows count from the
    top, holes in a row from the left.
"""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.piece import DrilledHole, Piece
from lamphouse.design.strand import Strand
from lamphouse.findings import Where
from lamphouse.record import Record

SLACK_MM = 0.05
"""A drill this near to a wanted diameter makes the hole [PRACTICE]."""

LARGEST_MM = 6.0
"""Larger holes in thin sheet are cut: a twist drill grabs and tears it [PRACTICE]."""

PILOT_ABOVE_MM = 1.5
"""Larger holes get a pilot hole of about half the diameter first [PRACTICE]."""

ROW_MM = 1.0
"""Height of a row of holes."""

ROUNDING_MM = 1e-6
"""Distances are compared with this slack, well below what anyone can cut."""

MM_PER_INCH = 25.4


class Aim(Record):
    """A hole before it has its number."""

    purpose: str
    where: Where
    x_mm: float
    y_mm: float
    wanted_mm: float
    drill: Drill


class ChartRow(Record):
    """One line of a drill chart."""

    number: int
    purpose: str
    x_mm: float
    """From the datum corner, to the right."""
    y_mm: float
    """From the datum corner, up."""
    wanted_mm: float
    drill: str
    drill_mm: float
    drill_in: float
    twin: str
    """The nearest drill of the other system, with its diameter when its name has none."""
    pilot: str
    """Drill to go first; empty when none is needed."""
    tick: str = ""
    """Left empty for the pen."""


def is_numbered(drill: Drill) -> bool:
    """Tell a number drill from a metric one."""
    return drill.name.startswith("#")


def nearest_drill(wanted_mm: float, *, drills: Sequence[Drill]) -> Drill:
    """Give the drill nearest to a diameter, the thinner of two equally near.

    Raises
    ------
    ValueError
        If there are no drills.
    """
    off_mm = [abs(drill.diameter_mm - wanted_mm) for drill in drills]
    least = min(off_mm)
    nearest = [drill for drill, off in zip(drills, off_mm, strict=True) if off == least]
    return min(nearest, key=lambda drill: drill.diameter_mm)


def band_mm(strand: Strand) -> tuple[float, float]:
    """Least and greatest diameter of a strand's hole by its fibre's clearance. [mm]."""
    least, most = strand.fibre.hole_clearance_mm
    return strand.fibre.diameter_mm + least, strand.fibre.diameter_mm + most


def wanted_hole_mm(strand: Strand) -> float:
    """Diameter aimed at: the maker's own, or the middle of the fibre's band. [mm]."""
    return sum(band_mm(strand)) / 2.0 if strand.hole_mm is None else strand.hole_mm


def drill_for_strand(strand: Strand, *, drills: Sequence[Drill]) -> Drill | None:
    """Choose the drill for a strand's hole.

    Without a diameter from the maker: of the drills within the fibre's band, the one nearest to
    its middle. With one: the nearest within 0.05 mm that the fibre still passes.

    Returns
    -------
    Drill or None
        None when no drill will do.
    """
    wanted = wanted_hole_mm(strand)
    least, most = band_mm(strand)
    if strand.hole_mm is not None:
        least = max(strand.fibre.diameter_mm, wanted - SLACK_MM)
        most = wanted + SLACK_MM
    fitting = [
        drill for drill in drills if least - ROUNDING_MM <= drill.diameter_mm <= most + ROUNDING_MM
    ]
    return nearest_drill(wanted, drills=fitting) if fitting else None


def drill_for_round(diameter_mm: float, *, drills: Sequence[Drill]) -> Drill | None:
    """Choose the drill for a round opening; None when it is to be cut."""
    if diameter_mm > LARGEST_MM or not drills:
        return None
    drill = nearest_drill(diameter_mm, drills=drills)
    return drill if abs(drill.diameter_mm - diameter_mm) <= SLACK_MM + ROUNDING_MM else None


def twin_of(drill: Drill, *, drills: Sequence[Drill]) -> Drill | None:
    """Give the nearest drill of the other system; None when the table has none."""
    numbered = is_numbered(drill)
    others = [other for other in drills if is_numbered(other) != numbered]
    return nearest_drill(drill.diameter_mm, drills=others) if others else None


def pilot_of(drill: Drill, *, drills: Sequence[Drill]) -> Drill | None:
    """Give the pilot drill, about half as thick; None where none is needed."""
    if drill.diameter_mm <= PILOT_ABOVE_MM:
        return None
    return nearest_drill(drill.diameter_mm / 2.0, drills=drills)


def _by_rows(aims: Iterable[Aim]) -> list[Aim]:
    """Put holes in order: rows from the top, each from the left."""
    rows: list[list[Aim]] = []
    for aim in sorted(aims, key=lambda aim: -aim.y_mm):
        if rows and rows[-1][0].y_mm - aim.y_mm <= ROW_MM + ROUNDING_MM:
            rows[-1].append(aim)
        else:
            rows.append([aim])
    return [aim for row in rows for aim in sorted(row, key=lambda aim: (aim.x_mm, -aim.y_mm))]


def number_holes(aims: Iterable[Aim], *, drills: Sequence[Drill]) -> tuple[DrilledHole, ...]:
    """Give the holes of a piece their running numbers, pilots and twins."""
    ordered = _by_rows(aims)
    used = {aim.drill for aim in ordered}
    pilots = {drill: pilot_of(drill, drills=drills) for drill in used}
    twins = {drill: twin_of(drill, drills=drills) for drill in used}
    return tuple(
        DrilledHole(
            number=number,
            purpose=aim.purpose,
            where=aim.where,
            x_mm=aim.x_mm,
            y_mm=aim.y_mm,
            wanted_mm=aim.wanted_mm,
            drill=aim.drill,
            pilot=pilots[aim.drill],
            twin=twins[aim.drill],
        )
        for number, aim in enumerate(ordered, start=1)
    )


def both_names(drill: Drill) -> str:
    """Name a drill so that its size is known: ``#75 (0.533 mm)``, ``0.55 mm``."""
    return f"{drill.name} ({drill.diameter_mm:.3f} mm)" if is_numbered(drill) else drill.name


def chart(piece: Piece) -> tuple[ChartRow, ...]:
    """Give the drill chart of a piece, in the order of its hole numbers."""
    return tuple(
        ChartRow(
            number=hole.number,
            purpose=hole.purpose,
            x_mm=hole.x_mm,
            y_mm=hole.y_mm,
            wanted_mm=hole.wanted_mm,
            drill=hole.drill.name,
            drill_mm=hole.drill.diameter_mm,
            drill_in=hole.drill.diameter_mm / MM_PER_INCH,
            twin=both_names(hole.twin) if hole.twin else "",
            pilot=both_names(hole.pilot) if hole.pilot else "",
        )
        for hole in piece.holes
    )
