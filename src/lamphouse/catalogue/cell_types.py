"""Cells and small batteries: size, open voltage as they empty, resistance, and capacity."""

from collections.abc import Iterable
from itertools import pairwise

from lamphouse.catalogue.cells import (
    OutOfRange,
    Span,
    amount,
    band,
    number,
    one_of,
    pair,
    several,
    words,
)
from lamphouse.catalogue.tables import Column, Origin, Table
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, show

CHEMISTRIES = ("alkaline", "lithium", "NiMH", "Li-ion", "lead")
RECHARGEABLE = frozenset({"NiMH", "Li-ion", "lead"})
_MOST_POINTS = 20


class CellType(Record):
    """One kind of cell, or of battery that is bought as one piece."""

    name: str
    """Such as ``alkaline AA``."""
    designation: str
    """Of its size by [IEC60086]; a dash where it has none."""
    chemistry: str
    size_mm: tuple[float, float, float]
    """Length, width and height, the largest its standard allows."""
    nominal_V: float
    open_V: tuple[tuple[float, float], ...]
    """Depth of discharge, 0 to 1, and voltage without load, falling from point to point."""
    fresh_ohm: float
    """Internal resistance when fresh."""
    empty_ohm: float
    """When empty; between the two it rises in a straight line."""
    least_Ah: float
    """Capacity of a poor one, at ``rated_A`` down to ``cut_off_V``."""
    most_Ah: float
    """Of a good one."""
    rated_A: float
    cut_off_V: float
    """Below it nothing is left, or a rechargeable cell is harmed."""
    max_current_A: float
    """The most it gives all the time."""
    peukert: float | None
    """Exponent of its loss of capacity above ``rated_A`` [PEUKERT]; None where the resistance
    alone tells it."""
    origin: Origin

    @property
    def fresh_V(self) -> float:
        """Voltage without load when fresh."""
        return self.open_V[0][1]

    @property
    def is_coin(self) -> bool:
        """Whether it is lower than wide, which makes it a button or coin cell."""
        return self.size_mm[2] < min(self.size_mm[:2])

    @property
    def is_rechargeable(self) -> bool:
        """Whether a deep discharge harms it."""
        return self.chemistry in RECHARGEABLE


def _open_voltages(text: str) -> tuple[tuple[float, float], ...]:
    """Read ``1.60 V at 0 %; 1.25 V at 50 %; 0.80 V at 100 %``, sorted by depth."""
    read = pair(
        Quantity.VOLTAGE,
        Quantity.SHARE,
        spans=(
            Span(above=0, most=60, why="a cell has a voltage"),
            Span(least=0, most=1, why="a cell is emptied from 0 % to 100 %"),
        ),
    )
    written = [part.strip() for part in text.split(";") if part.strip()]
    if not 2 <= len(written) <= _MOST_POINTS:
        problem = f"a discharge has 2 to {_MOST_POINTS} points, not {len(written)}"
        raise UnitError(problem, remedy="write points with ; between, such as 1.6 V at 0 %")
    points = sorted((depth, volts) for volts, depth in map(read, written))
    if points[0][0] != 0.0 or points[-1][0] != 1.0:
        problem = "the discharge does not run from 0 % to 100 %"
        raise OutOfRange(problem, remedy="add the voltage of the fresh and of the empty cell")
    for (depth, higher_V), (deeper, lower_V) in pairwise(points):
        if not (depth < deeper and lower_V < higher_V):
            at = show(deeper, Quantity.SHARE)
            problem = f"the open voltage does not fall towards {at}"
            raise OutOfRange(problem, remedy="measure it again; a cell loses voltage as it empties")
    return tuple(points)


def _faults(cell: CellType) -> Iterable[OutOfRange]:
    if cell.empty_ohm < cell.fresh_ohm:
        problem = "a resistance that falls as the cell empties"
        yield OutOfRange(problem, remedy="exchange 'fresh resistance' and 'empty resistance'")
    if not cell.cut_off_V < cell.fresh_V:
        fresh, cut = (show(volts, Quantity.VOLTAGE) for volts in (cell.fresh_V, cell.cut_off_V))
        problem = f"a cut-off of {cut} leaves nothing of the fresh {fresh}"
        yield OutOfRange(problem, remedy="write the voltage of the empty cell under load")


_VOLTS = Span(above=0, most=60, why="a cell has a voltage")
_OHMS = Span(least=0, most=1000, why="a cell has a resistance")
_AMPS = Span(above=0, most=100, why="a cell gives a current")

CELL_TYPES = Table(
    name="cell_types",
    row=CellType,
    columns=(
        Column(name="designation", fields=("designation",), read=words),
        Column(name="chemistry", fields=("chemistry",), read=one_of(*CHEMISTRIES)),
        Column(
            name="size",
            fields=("size_mm",),
            read=several(
                Quantity.LENGTH, count=3, span=Span(above=0, most=500, why="a cell takes room")
            ),
        ),
        Column(name="nominal", fields=("nominal_V",), read=amount(Quantity.VOLTAGE, span=_VOLTS)),
        Column(name="open voltage", fields=("open_V",), read=_open_voltages),
        Column(
            name="fresh resistance",
            fields=("fresh_ohm",),
            read=amount(Quantity.RESISTANCE, span=_OHMS),
        ),
        Column(
            name="empty resistance",
            fields=("empty_ohm",),
            read=amount(Quantity.RESISTANCE, span=_OHMS),
        ),
        Column(
            name="capacity",
            fields=("least_Ah", "most_Ah"),
            read=band(
                Quantity.CAPACITY, span=Span(above=0, most=1000, why="a cell holds a charge")
            ),
        ),
        Column(name="rated at", fields=("rated_A",), read=amount(Quantity.CURRENT, span=_AMPS)),
        Column(name="cut-off", fields=("cut_off_V",), read=amount(Quantity.VOLTAGE, span=_VOLTS)),
        Column(
            name="max current",
            fields=("max_current_A",),
            read=amount(Quantity.CURRENT, span=_AMPS),
        ),
        Column(
            name="peukert",
            fields=("peukert",),
            read=number(span=Span(least=1, most=2, why="lead loses capacity at high currents")),
            may_be_empty=True,
        ),
    ),
    faults=_faults,
)
"""No standard fixes a capacity: the bands hold what different makers sell."""
