"""How light and voltage fall while cells empty, one plot over the other on the same hours."""

import math
from collections.abc import Callable, Iterator, Sequence

from lamphouse.circuit.discharge import DARK, HALF_LIGHT, Moment, RunTime
from lamphouse.design.supply import Supply
from lamphouse.drawings.drawing import Anchor, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, width_mm
from lamphouse.drawings.moves import drawing_of
from lamphouse.record import Record

_LEFT_MM = 15.0
"""Kept free for the numbers of the upright axes."""
_BELOW_MM = 10.0
_GAP_MM = 8.0
"""Between the two plots, with the heading of the lower one."""
_HEAD_MM = 5.0
_TICK_MM = 1.2
_BAR_MM = 2.2
_LETTER_MM = 2.2
_TICKS = 6
_STEPS = (1.0, 2.0, 5.0, 10.0)
_ABOVE = 1.08
"""Room over the highest point."""


class _Plot(Record):
    """A rectangle of paper with a level axis of hours and an upright one."""

    left_mm: float
    bottom_mm: float
    width_mm: float
    height_mm: float
    hours: float
    low: float
    high: float

    def x(self, hours: float) -> float:
        """Give the place of a time."""
        return self.left_mm + self.width_mm * min(hours / self.hours, 1.0)

    def y(self, value: float) -> float:
        """Give the place of a value."""
        return self.bottom_mm + self.height_mm * (value - self.low) / (self.high - self.low)


def discharge_plot(run: RunTime, *, supply: Supply, room_mm: tuple[float, float]) -> Drawing:
    """Plot the light and the cells' voltage over the hours.

    Parameters
    ----------
    run
        Lasting some time; the curves are those of cells of middling capacity.
    supply
        Whose cells they are.
    room_mm
        Width and height for the whole picture.

    Returns
    -------
    Drawing
        The bars under the upper plot run from a poor set of cells to a good one.
    """
    width = room_mm[0] - _LEFT_MM - 4.0
    height = (room_mm[1] - _BELOW_MM - _GAP_MM - 2 * _HEAD_MM) / 2
    hours = 1.02 * max(run.dark_h.high, run.moments[-1].hours)
    brightest = max(moment.light for moment in run.moments)
    highest = max(moment.pack_V for moment in run.moments)
    lowest = min(moment.pack_V for moment in run.moments)
    margin = 0.08 * (highest - lowest) or 0.1
    volts = _Plot(
        left_mm=_LEFT_MM, bottom_mm=_BELOW_MM, width_mm=width, height_mm=height, hours=hours,
        low=lowest - margin, high=highest + margin,
    )  # fmt: skip
    light = _Plot(
        left_mm=_LEFT_MM, bottom_mm=_BELOW_MM + height + _GAP_MM + _HEAD_MM, width_mm=width,
        height_mm=height, hours=hours, low=0.0, high=_ABOVE * max(brightest, 1.0),
    )  # fmt: skip
    items = (
        *_frame(light, "light, share of what is wanted", lambda share: f"{100 * share:.0f} %"),
        *_limit(light, HALF_LIGHT, "half"),
        *_limit(light, DARK, "dark"),
        _curve(light, run.moments, lambda moment: moment.light),
        *_bars(light, run),
        *_frame(volts, "cells under load, volt", lambda value: f"{value:.3g}"),
        _curve(volts, run.moments, lambda moment: moment.pack_V),
        *_hours(volts),
        *_wanted(light, volts, supply.hours_a_day),
    )
    return drawing_of(items, name="discharge")


def _frame(plot: _Plot, words: str, shown: Callable[[float], str]) -> Iterator[Item]:
    right, top = plot.left_mm + plot.width_mm, plot.bottom_mm + plot.height_mm
    yield rectangle(Pen.SIZE, left=plot.left_mm, bottom=plot.bottom_mm, right=right, top=top)
    yield Text(
        x_mm=right, y_mm=top + 1.6, words=words, height_mm=_LETTER_MM, anchor=Anchor.END, bold=True
    )
    for value in round_values(plot.low, plot.high, most=_TICKS - 1):
        y = plot.y(value)
        yield segment(Pen.SIZE, start=(plot.left_mm - _TICK_MM, y), end=(plot.left_mm, y))
        yield Text(
            x_mm=plot.left_mm - _TICK_MM - 1.0, y_mm=y - LEAST_MM / 2, words=shown(value),
            height_mm=LEAST_MM, anchor=Anchor.END,
        )  # fmt: skip


def _hours(plot: _Plot) -> Iterator[Item]:
    for value in round_values(0.0, plot.hours, most=2 * _TICKS):
        x = plot.x(value)
        yield segment(Pen.SIZE, start=(x, plot.bottom_mm - _TICK_MM), end=(x, plot.bottom_mm))
        yield Text(
            x_mm=x, y_mm=plot.bottom_mm - _TICK_MM - 1.0 - LEAST_MM, words=f"{value:g}",
            height_mm=LEAST_MM, anchor=Anchor.MIDDLE,
        )  # fmt: skip
    yield Text(
        x_mm=plot.left_mm + plot.width_mm,
        y_mm=plot.bottom_mm - 9.0,
        words="hours with fresh cells",
        height_mm=_LETTER_MM,
        anchor=Anchor.END,
    )


def _curve(plot: _Plot, moments: Sequence[Moment], value: Callable[[Moment], float]) -> Path:
    corners = tuple((plot.x(moment.hours), plot.y(value(moment)), 0.0) for moment in moments)
    return Path(pen=Pen.CUT, corners=corners)


def _limit(plot: _Plot, value: float, words: str) -> Iterator[Item]:
    y, right = plot.y(value), plot.left_mm + plot.width_mm
    yield segment(Pen.HIDDEN, start=(plot.left_mm, y), end=(right, y))
    yield Text(x_mm=right - 1.0, y_mm=y + 0.8, words=words, height_mm=LEAST_MM, anchor=Anchor.END)


def _bars(plot: _Plot, run: RunTime) -> Iterator[Item]:
    """Draw from when to when it may cease to be bright, and become dark, under the plot."""
    middle = plot.bottom_mm - _BAR_MM
    for band, words in ((run.bright_h, "bright until"), (run.dark_h, "dark from")):
        start, end = plot.x(band.low), max(plot.x(band.high), plot.x(band.low) + 0.5)
        yield rectangle(
            Pen.TEXT, left=start, bottom=middle - 0.5, right=end, top=middle + 0.5, filled=True
        )
        room = width_mm(words, height_mm=LEAST_MM)
        before = start - plot.left_mm > room + 2.0
        yield Text(
            x_mm=start - 1.0 if before else end + 1.0, y_mm=middle - LEAST_MM / 2, words=words,
            height_mm=LEAST_MM, anchor=Anchor.END if before else Anchor.START,
        )  # fmt: skip
        middle -= _BAR_MM


def _wanted(upper: _Plot, lower: _Plot, hours: float | None) -> Iterator[Item]:
    """Draw the time the maker wants, through both plots."""
    if hours is None or hours > upper.hours:
        return
    x = upper.x(hours)
    for plot in (upper, lower):
        yield segment(
            Pen.CENTRE, start=(x, plot.bottom_mm), end=(x, plot.bottom_mm + plot.height_mm)
        )
    yield Text(
        x_mm=x, y_mm=upper.bottom_mm + upper.height_mm + 1.0, words="wanted", height_mm=LEAST_MM,
        anchor=Anchor.MIDDLE,
    )  # fmt: skip


def round_values(low: float, high: float, *, most: int) -> Iterator[float]:
    """Go through round values between two ends, few enough to be read."""
    least = (high - low) / most
    power = 10.0 ** math.floor(math.log10(least))
    step = next(power * size for size in _STEPS if power * size >= least * (1 - 1e-9))
    for number in range(math.ceil(low / step), math.floor(high / step) + 1):
        yield round(number * step, 10)
