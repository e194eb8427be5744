"""Which pin of a pigtail's plug carries what.

Pin 1 is the common, plus unless the maker wants minus. Then comes the return of all that burns
steadily, if anything does, and a return for each source group that blinks, in the order of the
project's groups.
"""

from collections.abc import Sequence

from lamphouse.circuit.phrases import listed
from lamphouse.design.place import SubAssembly
from lamphouse.design.strand import SourceGroup
from lamphouse.record import Record

COMMON = "common"
RETURN = "return"


class PinUse(Record):
    """What one pin carries."""

    pin: int
    means: str
    """``common``, ``return``, or the source group switched there."""
    positive: bool
    """Whether it is joined to plus."""

    @property
    def sign(self) -> str:
        """How a label shows it: a plus, a minus sign, or the group's name."""
        if self.means in (COMMON, RETURN):
            return "+" if self.positive else "\u2212"
        return self.means


def switched_groups(sub: SubAssembly, *, groups: Sequence[SourceGroup]) -> tuple[str, ...]:
    """List the source groups of a sub-assembly that are switched, and so want a pin each."""
    lit = {led.group for led in sub.leds()}
    return tuple(group.name for group in groups if group.name in lit and group.is_switched)


def returns_together(uses: Sequence[PinUse], *, common_positive: bool) -> str:
    """Say which pins the bench joins so that all lights: none where there is but one return.

    The switches of the groups are under the floor. On the bench nothing closes them, and what they
    switch stays dark unless its return is joined to the others.
    """
    backs = [use for use in uses if use.means != COMMON]
    if len(backs) < 2:
        return ""
    pole = "minus" if common_positive else "plus"
    return f"pins {listed([str(use.pin) for use in backs])} together on {pole}"


def uses_of(means: Sequence[str], *, common_positive: bool) -> tuple[PinUse, ...]:
    """Give pins their numbers, from 1, and their poles."""
    return tuple(
        PinUse(pin=number, means=what, positive=(what == COMMON) == common_positive)
        for number, what in enumerate(means, start=1)
    )


def pins_of(
    sub: SubAssembly, *, groups: Sequence[SourceGroup], common_positive: bool = True
) -> tuple[PinUse, ...]:
    """List the pins a sub-assembly's plug wants, at least two."""
    switched = switched_groups(sub, groups=groups)
    steady = not switched or any(led.group not in switched for led in sub.leds())
    means = (COMMON, *((RETURN,) if steady else ()), *switched)
    return uses_of(means, common_positive=common_positive)
