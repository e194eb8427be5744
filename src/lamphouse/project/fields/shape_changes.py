"""Changes to a shape in words: ``grown 2 mm``, ``rounded 1 mm at 1 3``, ``mirrored``."""

import re
from collections.abc import Iterator
from enum import StrEnum

from lamphouse.project.fields.values import NOT_UNDERSTOOD, OUT_OF_RANGE, Measure, refuse
from lamphouse.record import Record
from lamphouse.units import Quantity, UnitError, parse

MOST_CHANGES = 20
"""More changes to one shape than this are a slip."""

EXAMPLE = "grown 2 mm, rounded 1 mm, or mirrored"

_BY = Measure(
    quantity=Quantity.LENGTH,
    least=0.01,
    most=500.0,
    why="the range of parts that are cut by hand",
    example="2 mm",
)
_BREAK = re.compile(r"[\s,]+(?=(?:grown|shrunk|mirrored)\b|rounded\s)", re.IGNORECASE)
_QUOTED = re.compile(r"""\s*like\s+(['"])(.*?)\1""", re.IGNORECASE)


class ChangeKind(StrEnum):
    """What is done to a shape."""

    GROWN = "grown"
    SHRUNK = "shrunk"
    ROUNDED = "rounded"
    MIRRORED = "mirrored"


class Change(Record):
    """One change to a shape."""

    kind: ChangeKind
    words: str
    by_mm: float = 0.0
    """The distance, or the radius."""
    at: tuple[int, ...] = ()
    """Corners to round, from 1; empty for all that turn."""
    round_corners: bool = False
    """Whether growing goes round corners on circles."""
    upside_down: bool = False
    """Mirrored top to bottom rather than left to right."""


def parted(text: str) -> tuple[str, list[str]]:
    """Part a shape's text into the shape itself and the texts of its changes."""
    quoted = _QUOTED.match(text)
    if quoted:  # the name may hold the words of a change
        _, *rest = _BREAK.split(f"like it{text[quoted.end() :]}")
        return f"like {quoted[2]}", [part.strip(" ,") for part in rest]
    first, *rest = _BREAK.split(text.strip())
    return first.strip(" ,"), [part.strip(" ,") for part in rest]


def read_changes(texts: list[str], *, scale: float | None) -> tuple[Change, ...]:
    """Read the changes to one shape, in the order in which they are made."""
    if len(texts) > MOST_CHANGES:
        refuse(OUT_OF_RANGE, f"{len(texts)} changes to one shape", f"write at most {MOST_CHANGES}")
    return tuple(change for text in texts for change in _read(text, scale))


def _read(text: str, scale: float | None) -> Iterator[Change]:
    word, _, rest = " ".join(text.split()).partition(" ")
    try:
        kind = ChangeKind(word.casefold())
    except ValueError:
        refuse(NOT_UNDERSTOOD, f"'{text[:60]}' is no change to a shape", f"write {EXAMPLE}")
    if kind is ChangeKind.MIRRORED:
        if rest not in ("", "left to right", "top to bottom"):
            refuse(
                NOT_UNDERSTOOD,
                f"'{text[:60]}' says no way to mirror",
                "write mirrored, or mirrored top to bottom",
            )
        yield Change(kind=kind, words=text, upside_down=rest == "top to bottom")
        return
    at: tuple[int, ...] = ()
    if kind is ChangeKind.ROUNDED:
        rest, named, numbers = rest.partition(" at ")
        at = _corners(numbers, text) if named else ()
    round_corners = kind is not ChangeKind.ROUNDED and rest.endswith(" round")
    length = rest.removesuffix(" round") if round_corners else rest
    try:
        by_mm = _BY.within(parse(length, Quantity.LENGTH, scale=scale), length)
    except UnitError as fault:
        refuse(NOT_UNDERSTOOD, f"{kind}: {fault.problem}", fault.remedy)
    yield Change(kind=kind, words=text, by_mm=by_mm, at=at, round_corners=round_corners)


def _corners(text: str, whole: str) -> tuple[int, ...]:
    numbers = re.sub(r"\bcorners?\b|\band\b|,", " ", text).split()
    if not numbers or not all(re.fullmatch(r"[1-9][0-9]{0,3}", number) for number in numbers):
        refuse(
            NOT_UNDERSTOOD,
            f"'{whole[:60]}' names no corners",
            "write their numbers, counted from 1, such as rounded 2 mm at 1 3",
        )
    return tuple(int(number) for number in numbers)
