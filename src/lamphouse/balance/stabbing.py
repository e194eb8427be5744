"""The fewest values that serve every span, with the spans that prove it.

Going through the spans by their upper ends and taking the end of each that is not yet served is
the best there is: the spans whose ends were taken do not overlap, so that no value serves two.
"""

from collections.abc import Collection, Sequence

from lamphouse.record import Record


class Stabbing(Record):
    """Values that serve every span."""

    values: tuple[float, ...]
    witnesses: tuple[int, ...]
    """As many spans as values, by number; no two of them overlap."""


def stab(spans: Sequence[tuple[float, float]], *, free: Collection[float] = ()) -> Stabbing:
    """Find the fewest values that serve every span.

    Parameters
    ----------
    spans
        Least and most of each, both of which serve.
    free
        Values that cost nothing; spans they serve are left out.
    """
    values: list[float] = []
    witnesses: list[int] = []
    for number in sorted(range(len(spans)), key=lambda one: spans[one][1]):
        low, high = spans[number]
        if any(low <= value <= high for value in free) or (values and values[-1] >= low):
            continue
        values.append(high)
        witnesses.append(number)
    return Stabbing(values=tuple(values), witnesses=tuple(witnesses))
