"""Rows of LEDs with resistors and worst cases, before they are settled as strings."""

from collections.abc import Sequence

from lamphouse.catalogue.electric_parts import ResistorPackage
from lamphouse.circuit.branch import Band
from lamphouse.circuit.corners import Branch, Case, types_of, worst_cases
from lamphouse.circuit.grouping import Bunch
from lamphouse.design.lightbox import Led
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.record import Record

Stock = tuple[tuple[float, int], ...]
"""Resistors in a drawer: value in ohm and count."""


class Feed(Record):
    """What the strings of a sub-assembly hang on, and what there is to make them with."""

    supply: Supply
    habits: CircuitHabits
    package: ResistorPackage
    lead_ohm: float
    drawer: Stock = ()
    """Resistors that are still free; of the package, as far as the maker says."""


class Row(Record):
    """LEDs in series, before their resistor is known."""

    place: int
    """Index of its bunch."""
    bunch: Bunch
    leds: tuple[Led, ...]

    @property
    def rated_A(self) -> float:
        """Rated current of its weakest LED."""
        return min(led.led_type.max_current_A for led in self.leds)

    @property
    def blinks(self) -> bool:
        """Whether it is dark at times."""
        return any(led.group for led in self.leds)


class Trial(Record):
    """Rows with their resistors and worst cases, as long as their bunches let them be."""

    rows: tuple[Row, ...]
    ohms: tuple[float, ...]
    """In series with each row, a trim knob where it is expected to stand included."""
    wanted_V: tuple[float, ...]
    """Forward voltage of each row at its wanted current."""
    cases: tuple[Case, ...]
    total_A: Band


def tried(
    rows: Sequence[Row], *, ohms: Sequence[float], wanted_V: Sequence[float], feed: Feed
) -> Trial:
    """Bound the worst case of rows with their resistors."""
    if not rows:
        nothing = Band(low=0.0, nominal=0.0, high=0.0)
        return Trial(rows=(), ohms=(), wanted_V=(), cases=(), total_A=nothing)
    branches = [
        Branch(
            types=types_of(row.leds),
            ohm=ohm,
            measured=row.bunch.measured_ohm is not None,
            blinks=row.blinks,
        )
        for row, ohm in zip(rows, ohms, strict=True)
    ]
    cases, total = worst_cases(
        branches, supply=feed.supply, habits=feed.habits, lead_ohm=feed.lead_ohm
    )
    return Trial(
        rows=tuple(rows),
        ohms=tuple(ohms),
        wanted_V=tuple(wanted_V),
        cases=cases,
        total_A=total,
    )
