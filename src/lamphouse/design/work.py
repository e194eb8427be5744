"""What the maker wishes of the work: own steps, own orderings, parts that are not there yet."""

from dataclasses import dataclass
from datetime import date

from lamphouse.findings import Where


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnStep:
    """A step the maker adds to the order of work."""

    name: str
    where: Where
    kind: str
    """A word of ``build.steps.StepKind``."""
    sub_assembly: str = ""
    """Empty for the whole model."""
    after: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    """Ids of steps, or names of own steps."""
    minutes: float = 15.0
    rest_hours: float = 0.0
    why: str = ""
    hides: tuple[str, ...] = ()
    """Items nobody can reach afterwards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnOrder:
    """That one step comes before another because the maker wishes it so."""

    where: Where
    first: str
    then: str
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitedFor:
    """A part that is not there yet."""

    where: Where
    part: str
    """As the parts list names it."""
    until: date | None
    """The day it comes; None: nobody knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkWishes:
    """What the maker wishes of the order of work."""

    steps: tuple[OwnStep, ...] = ()
    orders: tuple[OwnOrder, ...] = ()
    waiting: tuple[WaitedFor, ...] = ()
