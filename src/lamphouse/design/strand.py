"""Strands (fibre runs), and the source groups that light them."""

from dataclasses import dataclass
from enum import StrEnum

from lamphouse.catalogue.fibre_types import FibreType
from lamphouse.design.lightbox import Led
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.findings import Where


class Head(StrEnum):
    """How a strand ends at the face."""

    FLUSH = "flush"
    PROUD = "proud"
    MUSHROOM = "mushroom"
    SET_BACK = "set back"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strand:
    """One fibre from its source LED to its hole in a panel."""

    name: str
    """The flag on both its ends; unique in the project."""
    where: Where
    fibre: FibreType
    x_mm: float
    y_mm: float
    hole_mm: float | None
    """Hole diameter the maker insists on; None leaves it to the drill table."""
    group: str
    head: Head = Head.FLUSH


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceGroup:
    """Strands and LEDs that blink together."""

    name: str
    where: Where
    pattern: Pattern
    sub_assembly: str
    """The sub-assembly that carries the source LED."""
    source: Led | None
    """The LED that lights the group's strands; None when the group has only box LEDs."""
    in_scenes: bool = False
    """Whether a scene dims it or has it do something else."""

    @property
    def is_switched(self) -> bool:
        """Whether it does not always burn the same, and so wants a wire of its own."""
        return self.in_scenes or self.pattern.kind is not PatternKind.STEADY
