"""Metric screws small enough for a light box: clearance holes, tapping drills and heads."""

from collections.abc import Mapping
from types import MappingProxyType

from lamphouse.record import Record


class ScrewThread(Record):
    """One coarse metric thread."""

    name: str
    diameter_mm: float
    pitch_mm: float
    """Coarse series of [ISO261]."""
    clearance_mm: float
    """Hole that the screw passes freely, medium series of [ISO273]."""
    head_mm: float
    """Greatest diameter of a cheese or pan head [MEMORY]."""

    @property
    def pilot_mm(self) -> float:
        """Hole to tap, or to drive the screw into: diameter less pitch [PRACTICE]."""
        return round(self.diameter_mm - self.pitch_mm, 6)

    @property
    def grip_mm(self) -> float:
        """Length in plastic that holds: twice the diameter [PRACTICE]."""
        return 2.0 * self.diameter_mm


def _thread(name: str, size: tuple[float, float], clearance: float, head: float) -> ScrewThread:
    return ScrewThread(
        name=name,
        diameter_mm=size[0],
        pitch_mm=size[1],
        clearance_mm=clearance,
        head_mm=head,
    )


THREADS: Mapping[str, ScrewThread] = MappingProxyType(
    {
        "M1.6": _thread("M1.6", (1.6, 0.35), 1.8, 3.2),
        "M2": _thread("M2", (2.0, 0.4), 2.4, 4.0),
        "M2.5": _thread("M2.5", (2.5, 0.45), 2.9, 5.0),
        "M3": _thread("M3", (3.0, 0.5), 3.4, 5.6),
    }
)
"""By name, thinnest first."""
