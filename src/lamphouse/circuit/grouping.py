"""Which LEDs share a string: the maker's wishes first, then the rest in the fewest even strings.

Terminology
-----------
bunch
    LEDs that belong together: those of one wish, or all loose LEDs of one type, current and
    source group.
row
    The LEDs of one string, from plus to minus.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from lamphouse.circuit.curve import fit
from lamphouse.design.lightbox import Led
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Grouping, StringWish
from lamphouse.findings import Where
from lamphouse.record import Record, replace


class Bunch(Record):
    """LEDs that belong together, and how long a string of them may be."""

    name: str
    """The maker's name; empty when the tool grouped."""
    where: Where
    leds: tuple[Led, ...]
    longest: int
    """Most LEDs in one of its strings."""
    fixed_ohm: float | None = None
    """The resistor the maker has chosen."""
    measured_ohm: float | None = None
    """What is soldered in its place, as measured."""
    alone: bool = False
    """Whether the tool is to give each LED a resistor of its own."""
    trim: bool = False
    """Whether its strings are set by a knob at the bench."""
    refused: tuple[int, float] | None = None
    """The shortest string tried and given up, with the share its worst case fell to."""

    @property
    def by_maker(self) -> bool:
        """Whether the maker put these LEDs together."""
        return bool(self.name)

    @property
    def wanted_A(self) -> float:
        """The least current wanted by any of its LEDs: none is driven brighter than wished."""
        return min(led.current_A for led in self.leds)

    def rows(self) -> tuple[tuple[Led, ...], ...]:
        """Split the LEDs, in their order, into the fewest strings, as even as can be."""
        count = math.ceil(len(self.leds) / self.longest)
        short, longer = divmod(len(self.leds), count)
        ends = [row * short + min(row, longer) for row in range(count + 1)]
        return tuple(self.leds[start:end] for start, end in pairwise(ends))

    def freed(self, *, supply_V: float) -> "Bunch":
        """Give the bunch as if the maker had left its strings and its resistor to the tool."""
        return replace(
            self,
            name="",
            longest=1 if self.alone else most_in_series(self.leds, supply_V=supply_V),
            fixed_ohm=None,
            measured_ohm=None,
        )


def designable(led: Led) -> bool:
    """Tell whether the LED's curve knows the current wanted."""
    return fit(led.led_type).answers(led.current_A)


def sound_wishes(sub: SubAssembly) -> tuple[StringWish, ...]:
    """List the wishes that can be designed.

    Left out are those that are empty, name an unknown LED, name one that an earlier wish or the
    same one already has, or hold an LED whose curve does not know the current wanted.
    """
    known = {led.name: led for led in sub.leds()}
    taken: set[str] = set()
    sound = []
    for wish in sub.strings:
        own = set(wish.leds)
        whole = own and own <= known.keys() and len(own) == len(wish.leds) and not own & taken
        if whole and all(designable(known[name]) for name in wish.leds):
            sound.append(wish)
        taken |= own
    return tuple(sound)


def wished_bunches(sub: SubAssembly) -> tuple[Bunch, ...]:
    """Make a bunch of each wish that can be designed, kept in one string."""
    known = {led.name: led for led in sub.leds()}
    return tuple(
        Bunch(
            name=wish.name,
            where=wish.where,
            leds=tuple(known[name] for name in wish.leds),
            longest=len(wish.leds),
            fixed_ohm=wish.resistor_ohm,
            measured_ohm=wish.measured_ohm,
            alone=sub.grouping is Grouping.SINGLE,
            trim=wish.resistor_ohm is None and (wish.trim or sub.trim),
        )
        for wish in sound_wishes(sub)
    )


def loose_bunches(sub: SubAssembly, *, supply_V: float) -> tuple[Bunch, ...]:
    """Bunch the LEDs that no wish names, each as long as the supply's voltage allows at all.

    Where the maker wants them single, each is one long.
    """
    named = {name for wish in sub.strings for name in wish.leds}
    alone = sub.grouping is Grouping.SINGLE
    alike: dict[tuple[object, ...], list[Led]] = {}
    for led in sub.leds():
        if led.name not in named and designable(led):
            alike.setdefault((led.led_type, led.current_A, led.group), []).append(led)
    return tuple(
        Bunch(
            name="",
            where=leds[0].where,
            leds=tuple(leds),
            longest=1 if alone else most_in_series(leds, supply_V=supply_V),
            alone=alone,
            trim=sub.trim,
        )
        for leds in alike.values()
    )


def most_in_series(leds: Sequence[Led], *, supply_V: float) -> int:
    """Count how many of the LEDs the voltage feeds at all; one at least, spread left aside."""
    least_V = min(float(fit(led.led_type).voltage(led.current_A)) for led in leds)
    return max(1, min(len(leds), int(supply_V / least_V)))


def names_for(taken: Iterable[str]) -> Iterator[str]:
    """Yield ``S1``, ``S2`` ... without the names that the maker uses."""
    used = set(taken)
    number = 0
    while True:
        number += 1
        if f"S{number}" not in used:
            yield f"S{number}"
