"""What the maker wishes of the work: own steps, own orderings, parts that are not there yet."""

from datetime import date

from lamphouse.findings import Where
from lamphouse.record import Record


class OwnStep(Record):
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


class OwnOrder(Record):
    """That one step comes before another because the maker wishes it so."""

    where: Where
    first: str
    then: str
    why: str = ""


class WaitedFor(Record):
    """A part that is not there yet."""

    where: Where
    part: str
    """As the parts list names it."""
    until: date | None
    """The day it comes; None: nobody knows."""


class WorkWishes(Record):
    """What the maker wishes of the order of work."""

    steps: tuple[OwnStep, ...] = ()
    orders: tuple[OwnOrder, ...] = ()
    waiting: tuple[WaitedFor, ...] = ()
