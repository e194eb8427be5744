"""Readers of one cell of a parts table: the maker's text into base units, or a refusal.

Every reader takes the text of one cell and raises :class:`~lamphouse.units.UnitError`, which holds
the problem and the remedy; :class:`OutOfRange` when the text is clear but no such thing exists.
"""

import re
from collections.abc import Callable, Iterable
from datetime import date
from itertools import pairwise

from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, parse, parse_many, parse_range, show

Reader = Callable[[str], object]
"""Turns the text of a cell into a value."""

MOST_POINTS = 20
"""Points a forward curve may have."""
LONGEST_WORDS = 100
"""Characters of a name or any other plain words."""
SHORTEST_PART = 3
"""Characters from which a part of a name is taken to mean the whole."""

_CONTROL = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_NUMBER = re.compile(r"\d{1,9}(?:\.\d{1,9})?", re.ASCII)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)


class OutOfRange(UnitError):
    """A clear quantity that no real thing has."""


class Span(Record):
    """The values a quantity may have, in its base unit."""

    above: float | None = None
    """Least value, itself left out."""
    least: float | None = None
    most: float | None = None
    why: str
    """What sets the limits, for the message."""

    def check(self, value: float, *, given: str, words: Callable[[float], str]) -> float:
        """Give the value back when it lies inside.

        Raises
        ------
        OutOfRange
            When it does not.
        """
        low = self.above is not None and value <= self.above
        if low or (self.least is not None and value < self.least) or value > self._top:
            problem = f"'{given}' is out of range: {self.why}"
            raise OutOfRange(problem, remedy=f"write a value {self._limits(words)}")
        return value

    @property
    def _top(self) -> float:
        return float("inf") if self.most is None else self.most

    def _limits(self, words: Callable[[float], str]) -> str:
        ends = (("above", self.above), ("from", self.least), ("up to", self.most))
        return " ".join(f"{word} {words(end)}" for word, end in ends if end is not None)


def amount(quantity: Quantity, *, span: Span) -> Callable[[str], float]:
    """Read one quantity with its unit, such as ``0.75 mm``."""

    def read(text: str) -> float:
        return _checked(parse(text, quantity), text, quantity, span)

    return read


def several(quantity: Quantity, *, count: int, span: Span) -> Callable[[str], tuple[float, ...]]:
    """Read quantities with ``x`` between, such as ``300 x 200 mm``."""

    def read(text: str) -> tuple[float, ...]:
        values = parse_many(text, quantity, count=count)
        return tuple(_checked(value, text, quantity, span) for value in values)

    return read


def band(quantity: Quantity, *, span: Span) -> Callable[[str], tuple[float, float]]:
    """Read a least and a most, such as ``0.02 to 0.05 mm``."""

    def read(text: str) -> tuple[float, float]:
        low, high = parse_range(text, quantity)
        return _checked(low, text, quantity, span), _checked(high, text, quantity, span)

    return read


def pair(
    quantity: Quantity, at: Quantity, *, spans: tuple[Span, Span]
) -> Callable[[str], tuple[float, float]]:
    """Read a value and the condition it holds at, such as ``1.2 lm at 5 mA``."""

    def read(text: str) -> tuple[float, float]:
        parts = text.split(" at ")
        if len(parts) != 2:
            problem = f"'{shortened(text)}' does not say at which {at} it holds"
            example = f"10 {quantity.units[0]} at 5 {at.units[0]}"
            raise UnitError(problem, remedy=f"write both, such as {example}")
        value, condition = (part.strip() for part in parts)
        return (
            _checked(parse(value, quantity), value, quantity, spans[0]),
            _checked(parse(condition, at), condition, at, spans[1]),
        )

    return read


def forward_curve(text: str) -> tuple[tuple[float, float], ...]:
    """Read the points of an LED's forward curve: ``2.65 V at 1 mA; 2.80 V at 5 mA``.

    Returns
    -------
    tuple of (float, float)
        Current [A] and voltage [V], sorted by current; both rise from point to point.

    Raises
    ------
    UnitError
        If a point is not clear, or there are fewer than two or more than ``MOST_POINTS``.
    OutOfRange
        If the voltage does not rise with the current.
    """
    spans = (
        Span(above=0, most=60, why="LEDs need a forward voltage"),
        Span(above=0, most=10, why="a point of the curve needs a current"),
    )
    point = pair(Quantity.VOLTAGE, Quantity.CURRENT, spans=spans)
    written = [part for part in text.split(";") if part.strip()]
    if not 2 <= len(written) <= MOST_POINTS:
        problem = f"a forward curve has 2 to {MOST_POINTS} points, not {len(written)}"
        remedy = "write measured points with ; between, such as 2.65 V at 1 mA; 2.80 V at 5 mA"
        raise UnitError(problem, remedy=remedy)
    points = sorted((current_A, volts) for volts, current_A in map(point, written))
    for (less_A, lower_V), (more_A, higher_V) in pairwise(points):
        if not (less_A < more_A and lower_V < higher_V):
            first, then = _point(less_A, lower_V), _point(more_A, higher_V)
            problem = f"the forward voltage does not rise from '{first}' to '{then}'"
            remedy = "measure the two points again; an LED needs more voltage for more current"
            raise OutOfRange(problem, remedy=remedy)
    return tuple(points)


def words(text: str) -> str:
    """Read plain words, runs of blanks as one.

    Raises
    ------
    UnitError
        If they hold a control character or run on for too long.
    """
    told = " ".join(text.split())
    if len(told) > LONGEST_WORDS:
        problem = f"'{shortened(told)}' has {len(told)} characters"
        raise UnitError(problem, remedy=f"use at most {LONGEST_WORDS}")
    if _CONTROL.search(told):
        problem = f"{shortened(told)!r} holds a control character"
        raise UnitError(problem, remedy="use plain letters, digits and blanks")
    return told


def one_of(*allowed: str) -> Callable[[str], str]:
    """Read one of a few words."""

    def read(text: str) -> str:
        if text in allowed:
            return text
        meant = nearest(text, allowed)
        remedy = f"write '{meant}'" if meant else f"write one of: {', '.join(allowed)}"
        problem = f"'{shortened(text)}' is not one of {', '.join(allowed)}"
        raise UnitError(problem, remedy=remedy)

    return read


def number(*, span: Span) -> Callable[[str], float]:
    """Read a number that has no unit."""

    def read(text: str) -> float:
        if not _NUMBER.fullmatch(text):
            problem = f"'{shortened(text)}' is not a plain number"
            raise UnitError(problem, remedy="write digits and a point only, such as 0.50")
        return span.check(float(text), given=text, words=lambda end: f"{end:g}")

    return read


def whole_number(*, span: Span) -> Callable[[str], int]:
    """Read a count."""

    def read(text: str) -> int:
        if not (_NUMBER.fullmatch(text) and text.isdigit()):
            problem = f"'{shortened(text)}' is not a whole number"
            raise UnitError(problem, remedy="write digits only, such as 2")
        return round(span.check(int(text), given=text, words=lambda end: f"{end:g}"))

    return read


def or_word(word: str, *, otherwise: Reader) -> Reader:
    """Read None for one word, and anything else by another reader."""

    def read(text: str) -> object:
        return None if text == word else otherwise(text)

    return read


def day(text: str) -> date:
    """Read a date written year first, such as ``2026-11-25``.

    Raises
    ------
    UnitError
        If it is not such a date.
    """
    try:
        if _DAY.fullmatch(text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    problem = f"'{shortened(text)}' is not a date"
    raise UnitError(problem, remedy="write year, month and day, such as 2026-11-25")


def nearest(name: str, names: Iterable[str]) -> str | None:
    """Find the name a mistyped one was most likely meant to be.

    Capitals and the order of the words are no matter; of names that differ by their numbers alone,
    the one with the nearest numbers is meant.

    Returns
    -------
    str or None
        None when nothing is near.

    Examples
    --------
    >>> nearest("whit 0603", ("white 0603", "red 0603")), nearest("usb", ("cells", "usb port"))
    ('white 0603', 'usb port')
    >>> nearest("styrene 0.8 mm", ("styrene 0.5 mm", "styrene 0.75 mm"))
    'styrene 0.75 mm'
    """
    from difflib import get_close_matches

    by_plain = {known.casefold(): known for known in names}
    given = name[:LONGEST_WORDS].casefold()
    found = get_close_matches(given, by_plain, n=1, cutoff=0.6)
    if not found:
        by_words = {_in_order(known): known for known in by_plain}
        found = [by_words[it] for it in get_close_matches(_in_order(given), by_words, 1, 0.8)]
    if not found and len(given) >= SHORTEST_PART:
        found = [known for known in by_plain if given in known][:1]
    return by_plain[_with_nearest_numbers(given, found[0], by_plain)] if found else None


_FIGURES = re.compile(r"\d+(?:\.\d+)?|\.\d+", re.ASCII)


def _in_order(words: str) -> str:
    """Sort the words and numbers of a name."""
    return " ".join(sorted(re.findall(rf"{_FIGURES.pattern}|[^\W\d]+", words)))


def _with_nearest_numbers(given: str, likely: str, names: Iterable[str]) -> str:
    """Take the name with the nearest numbers of those that have the words of the likely one."""
    wanted = [float(number) for number in _FIGURES.findall(given)]
    alike = {
        name: [float(number) for number in _FIGURES.findall(name)]
        for name in names
        if _FIGURES.sub("#", name) == _FIGURES.sub("#", likely)
    }
    if not wanted or len(wanted) != len(alike[likely]):
        return likely
    return min(
        alike, key=lambda name: sum(abs(a - b) for a, b in zip(alike[name], wanted, strict=True))
    )


def shortened(text: str) -> str:
    """Give a text that fits into a message."""
    return text if len(text) <= 40 else f"{text[:37]}..."


def _checked(value: float, given: str, quantity: Quantity, span: Span) -> float:
    return span.check(value, given=given, words=lambda end: show(end, quantity))


def _point(current_A: float, volts: float) -> str:
    return f"{show(volts, Quantity.VOLTAGE)} at {show(current_A, Quantity.CURRENT)}"
