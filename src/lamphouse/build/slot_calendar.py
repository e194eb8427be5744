"""Time cut into equal slots, some of them work: as bits of whole numbers, so that search is fast.

Terminology
-----------
slot
    A piece of time in which somebody can work. Slots of one evening follow on one another; between
    two evenings the clock runs on, and paint dries, without any slot.
mask
    A whole number of which bit ``n`` stands for slot ``n``.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class SlotCalendar:
    """Slots with the time at which each begins.

    Sessions are given as pairs of the time of their first slot and the number of their slots.
    """

    sessions: tuple[tuple[float, int], ...]
    slot: float = 1.0
    """Length of a slot, in the unit of the times."""
    starts: tuple[float, ...] = field(init=False)
    left: tuple[int, ...] = field(init=False)
    """Slots from each on to the end of its session."""
    _fits: dict[int, int] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        """Lay the slots out."""
        starts = [at + n * self.slot for at, count in self.sessions for n in range(count)]
        left = [count - n for _, count in self.sessions for n in range(count)]
        object.__setattr__(self, "starts", tuple(starts))
        object.__setattr__(self, "left", tuple(left))

    @property
    def count(self) -> int:
        """Number of slots."""
        return len(self.starts)

    @property
    def longest(self) -> int:
        """Slots of the longest session."""
        return max((count for _, count in self.sessions), default=0)

    def first_from(self, time: float) -> int:
        """Give the first slot that begins at a time or later."""
        return bisect_left(self.starts, time - 1e-6)

    def end_of(self, slot: int) -> float:
        """Give the time at which a slot ends."""
        return self.starts[slot] + self.slot

    def fits(self, slots: int) -> int:
        """Mask the slots from which so many follow in one session; of more than any has, all."""
        if slots not in self._fits:
            anywhere = slots > self.longest
            bits = "".join("1" if anywhere or each >= slots else "0" for each in self.left[::-1])
            self._fits[slots] = int(bits or "0", 2)
        return self._fits[slots]

    def backwards(self) -> "SlotCalendar":
        """Give the same slots with the clock running backwards."""
        return SlotCalendar(
            tuple((-(at + count * self.slot), count) for at, count in reversed(self.sessions)),
            self.slot,
        )


def without_end(slots: int) -> SlotCalendar:
    """Give one session of so many slots: time in which work never stops."""
    return SlotCalendar(((0.0, slots),))


def windows(free: int, *, slots: int) -> int:
    """Mask the slots from which so many are free.

    Examples
    --------
    >>> bin(windows(0b0111011, slots=2))
    '0b110001'
    """
    found, done = free, 1
    while done < slots:
        step = min(done, slots - done)
        found &= found >> step
        done += step
    return found


def first_of(mask: int, *, start: int) -> int | None:
    """Give the first slot of a mask from a slot on; None where there is none.

    Examples
    --------
    >>> first_of(0b110001, start=1)
    4
    """
    rest = mask >> start
    return start + (rest & -rest).bit_length() - 1 if rest else None


def span(start: int, *, slots: int) -> int:
    """Mask so many slots from one on."""
    return ((1 << slots) - 1) << start


def capacities(levels: Sequence[int], *, slots: int) -> list[list[int]]:
    """Give for every resource the masks of slots in which at least so much of it is free.

    The mask at place ``k`` of a resource is that of ``k`` units; at place 0 every slot is.
    """
    whole = (1 << slots) - 1
    return [[whole] * (level + 1) for level in levels]
