"""Strands (fibre runs), and the source groups that light them."""

from enum import StrEnum

from lamphouse.catalogue.fibre_types import FibreType
from lamphouse.catalogue.film_types import FilmType
from lamphouse.design.lightbox import Led
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.findings import Where
from lamphouse.record import Record


class Head(StrEnum):
    """How a strand ends at the face."""

    FLUSH = "flush"
    PROUD = "proud"
    MUSHROOM = "mushroom"
    SET_BACK = "set back"


class Strand(Record):
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
    """Empty until it is shared out among those of ``any_of``."""
    head: Head = Head.FLUSH
    any_of: tuple[str, ...] = ()
    """Groups of which one may have it; empty where the maker named its group."""


class SourceSeat(Record):
    """What the maker decided of the place where a bundle meets its source."""

    at_mm: tuple[float, float] | None = None
    """In the plane of the sub-assembly; None leaves it to the program."""
    behind_mm: float | None = None
    """From the rear face of the panels to the open end of the ferrule; None: as near as the
    fibres bend."""
    gap_mm: float | None = None
    """From the face of the LED to the ends of the strands; None: found for even tips."""
    diffuser: FilmType | None = None
    """Between LED and strands."""


class SourceGroup(Record):
    """Strands and LEDs that blink together."""

    name: str
    where: Where
    pattern: Pattern
    sub_assembly: str
    """The sub-assembly that carries the source LED."""
    source: Led | None
    """The LED that lights the group's strands; None when the group has only box LEDs."""
    seat: SourceSeat = SourceSeat()
    in_scenes: bool = False
    """Whether a scene dims it or has it do something else."""

    @property
    def is_switched(self) -> bool:
        """Whether it does not always burn the same, and so wants a wire of its own."""
        return self.in_scenes or self.pattern.kind is not PatternKind.STEADY
