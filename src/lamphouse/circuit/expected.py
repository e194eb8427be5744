"""The records of what a meter should read at each gate of the build, and its range for it.

Terminology
-----------
gate
    A test that must pass before the next step hides something.
band
    Least, as designed, and most.
range
    The smallest of the meter's ranges that shows the whole band.
"""

from enum import StrEnum

from lamphouse.circuit.branch import Band
from lamphouse.circuit.meter import FINEST, MOST_OHM, Meter, ProbeKind
from lamphouse.record import Record


class Gate(StrEnum):
    """When a reading is taken."""

    LOOSE = "each LED, loose"
    BOARD = "the board alone, no power"
    OPEN = "joined, before it is closed"
    CLOSED = "closed"
    IN_MODEL = "in the model"
    WHOLE = "the whole model"


class Expected(Record):
    """One reading with what it should be."""

    gate: Gate
    name: str
    """``W1``, ``R1``, ``plug``, ``TP3``."""
    kind: ProbeKind
    red: str
    """Where the red probe goes, or how the meter is put in."""
    black: str
    """Empty for a current."""
    band: Band | None
    """In A, V or ohm; None for an open line, on which the meter shows no number."""
    range_top: float
    """End of the meter's range, same unit."""
    resolution: float
    """Last digit shown on that range, same unit."""
    error: float
    """The meter's largest error at the middle of the band, same unit."""
    at_A: float | None = None
    """What a tester drives meanwhile."""


class Reversed(Record):
    """What a reversed plug does."""

    current_A: float
    """As solved."""
    reverse_V: float
    """The most across a string; leaks decide how its LEDs share it, so one may take it all."""
    fewest_leds: int
    """Of any string."""
    harmless: bool
    """Whether even one LED alone bears it."""


class BenchReadings(Record):
    """Every reading of a sub-assembly, gate by gate."""

    sub_assembly: str
    expected: tuple[Expected, ...]
    reversed: Reversed
    lost_V: float
    """The most that is lost between the supply's terminals and the plug, out and back."""

    def at(self, gate: Gate) -> tuple[Expected, ...]:
        """List the readings of a gate."""
        return tuple(one for one in self.expected if one.gate is gate)


class ModelReadings(Record):
    """Every reading of a model."""

    sub_assemblies: tuple[BenchReadings, ...]
    whole: tuple[Expected, ...]
    """Of the supply, and of each feed of the loom, with everything lit."""


def expect(
    gate: Gate,
    name: str,
    kind: ProbeKind,
    *,
    red: str,
    black: str = "",
    band: Band | None,
    meter: Meter,
    at_A: float | None = None,
) -> Expected:
    """Find the range and the error of a reading on a meter."""
    top = range_top(band, kind=kind, meter=meter)
    resolution = top / meter.counts
    middle = band.nominal if band else 0.0
    return Expected(
        gate=gate,
        name=name,
        kind=kind,
        red=red,
        black=black,
        band=band,
        range_top=top,
        resolution=resolution,
        error=meter.share * abs(middle) + meter.digits * resolution,
        at_A=at_A,
    )


def range_top(band: Band | None, *, kind: ProbeKind, meter: Meter) -> float:
    """Give the end of the smallest range of a meter that shows a band; an open line's is 20 Mohm.

    Parameters
    ----------
    band
        In A, V or ohm.
    kind
        What is measured.
    meter
        Its ranges end at its counts, times powers of ten.
    """
    if band is None:
        return MOST_OHM
    highest = max(abs(band.low), abs(band.high))
    top = FINEST[kind] * meter.counts
    while top < highest:
        top *= 10.0
    return top
