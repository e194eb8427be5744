"""The check ruler: 100 mm on one side of a line, 4 inches on the other.

A printer that scales "to fit" spoils every template, and may do so on one axis only; so each page
with lengths carries one ruler along the bottom and one up the side, to be measured with a real
ruler before anything is cut.
"""

from collections.abc import Iterator

from lamphouse.drawings.drawing import Anchor, Item, Path, Pen, Text
from lamphouse.drawings.lettering import LEAST_MM
from lamphouse.drawings.paper import INCH_MM

LENGTH_MM = 100
LENGTH_IN = 4
SIXTEENTHS = 16
REACH_MM = 3.4
"""Length of the longest tick, to either side."""
SIDE_MM = REACH_MM + 0.6 + LEAST_MM
"""From the base line to the far side of the figures, to either side."""
_MM_TICKS = ((10, REACH_MM), (5, 2.5), (1, 1.6))
"""A tick stands at every so many millimetres, so long; the first that fits holds."""
_INCH_TICKS = ((16, REACH_MM), (8, 2.8), (4, 2.3), (2, 1.8), (1, 1.2))
"""The same in sixteenths of an inch."""


def ruler() -> tuple[Item, ...]:
    """Draw the ruler along the x axis from the origin: millimetres above, inches below."""
    base = Path(pen=Pen.FRAME, corners=((0.0, 0.0, 0.0), (LENGTH_IN * INCH_MM, 0.0, 0.0)))
    return (base, *_millimetres(), *_inches())


def _millimetres() -> Iterator[Item]:
    for place in range(LENGTH_MM + 1):
        yield _tick(float(place), _length(place, _MM_TICKS))
        if place % 10 == 0:
            yield _figure(str(place), float(place), REACH_MM + 0.6, Anchor.MIDDLE)
    yield _figure("mm", LENGTH_MM + 3.2, REACH_MM + 0.6, Anchor.START)


def _inches() -> Iterator[Item]:
    low = -REACH_MM - 0.6 - LEAST_MM
    for place in range(LENGTH_IN * SIXTEENTHS + 1):
        along = place * INCH_MM / SIXTEENTHS
        yield _tick(along, -_length(place, _INCH_TICKS))
        if place % SIXTEENTHS == 0:
            yield _figure(str(place // SIXTEENTHS), along, low, Anchor.MIDDLE)
    yield _figure("in", LENGTH_IN * INCH_MM + 1.8, low, Anchor.START)


def _length(place: int, ticks: tuple[tuple[int, float], ...]) -> float:
    return next(length for every, length in ticks if place % every == 0)


def _tick(along_mm: float, length_mm: float) -> Path:
    return Path(pen=Pen.SIZE, corners=((along_mm, 0.0, 0.0), (along_mm, length_mm, 0.0)))


def _figure(words: str, x_mm: float, y_mm: float, anchor: Anchor) -> Text:
    return Text(x_mm=x_mm, y_mm=y_mm, words=words, height_mm=LEAST_MM, anchor=anchor)
