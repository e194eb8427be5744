"""How a sub-assembly's LEDs are put together, in a builder's words."""

from collections import Counter
from collections.abc import Sequence

from lamphouse.circuit.branch import StringDesign
from lamphouse.circuit.phrases import counted, listed, percent, some
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import CircuitHabits, Common, Grouping

EASY_HEADROOM = 0.2
"""Share of the supply's voltage over the resistor below which spread decides the current
[PRACTICE]."""


def topology_in_words(
    strings: Sequence[StringDesign], *, sub: SubAssembly, habits: CircuitHabits
) -> str:
    """Tell how LEDs are grouped, what each string has of its own, what all share, and why."""
    if not strings:
        return ""
    return "; ".join(
        part
        for part in (
            f"{_lengths(strings)}, {_resistors(strings)}",
            _single(sub),
            _tight(strings, least_share=habits.least_share),
            _common(strings, habits=habits),
        )
        if part
    )


def _lengths(strings: Sequence[StringDesign]) -> str:
    counts = Counter(len(string.leds) for string in strings)
    return listed(
        [
            counted(count, "single LED")
            if length == 1
            else f"{counted(count, 'string')} of {length} in series"
            for length, count in sorted(counts.items(), reverse=True)
        ]
    )


def _resistors(strings: Sequence[StringDesign]) -> str:
    if len(strings) == 1:
        return "with its resistor"
    return "each with a resistor of its own: behind a shared one the current would not part evenly"


def _single(sub: SubAssembly) -> str:
    if sub.grouping is Grouping.SERIES:
        return ""
    return "single as wished: one that fails darkens no other"


def _tight(strings: Sequence[StringDesign], *, least_share: float) -> str:
    """Name the strings with little headroom that hold all the same."""
    tight = [
        string.name
        for string in strings
        if string.headroom < EASY_HEADROOM and string.current_A.low >= least_share * string.wanted_A
    ]
    if not tight:
        return ""
    leaves = "leaves its" if len(tight) == 1 else "leave their"
    return (
        f"{some(tight)} {leaves} resistor less than the usual {percent(EASY_HEADROOM)} of the "
        "supply, and the worst case holds all the same"
    )


def _common(strings: Sequence[StringDesign], *, habits: CircuitHabits) -> str:
    positive = habits.common is Common.POSITIVE
    pole, other = ("plus", "minus") if positive else ("minus", "plus")
    groups = dict.fromkeys(led.group for string in strings for led in string.leds if led.group)
    if not groups:
        return f"{pole} is common"
    return f"{pole} is common, and {some(list(groups))} can be switched towards {other}"
