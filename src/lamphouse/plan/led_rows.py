"""LEDs at given places as the rows a maker writes: a first place, a number and a step."""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from string import ascii_lowercase

from lamphouse.design.lightbox import Led
from lamphouse.record import Record, replace
from lamphouse.shapes.outline import Spot

SAME_MM = 1e-6


class LedRow(Record):
    """Equal LEDs in a row under one key, or a single one."""

    key: str
    led: Led
    """What they all are; its place is that of the first."""
    count: int
    step_mm: Spot
    """From one to the next; (0, 0) for a single one."""

    def leds(self) -> Iterator[Led]:
        """List its LEDs with the names the project file gives them."""
        across, up = self.step_mm
        for number in range(self.count):
            yield replace(
                self.led,
                name=self.key if self.count == 1 else f"{self.key}{number + 1}",
                x_mm=self.led.x_mm + number * across,
                y_mm=self.led.y_mm + number * up,
            )


def _sits(led: Led) -> tuple[object, ...]:
    """Give what the LEDs of a row share."""
    lean = led.tilt_deg, led.towards_deg
    return led.current_A, led.seat, led.height_mm, led.turn_deg, *lean


def _step(leds: Sequence[Led]) -> Spot | None:
    """Give the step from each to the next; None when it, the current or how they sit changes."""
    steps = {(round(b.x_mm - a.x_mm, 6), round(b.y_mm - a.y_mm, 6)) for a, b in pairwise(leds)} or {
        (0.0, 0.0)
    }
    if len(steps) > 1 or len({_sits(led) for led in leds}) > 1:
        return None
    return steps.pop()


def _runs(leds: Sequence[Led]) -> Iterator[Sequence[Led]]:
    """Split LEDs, sorted from the lowest left, into rows of equal step and single ones."""
    if _step(leds) is not None:
        yield leds
        return
    for _, level in groupby(leds, key=lambda led: round(led.y_mm / SAME_MM)):
        row = list(level)
        if _step(row) is not None:
            yield row
        else:
            yield from ([led] for led in row)


def rows_of(leds: Sequence[Led], *, stem: str, taken: frozenset[str]) -> tuple[LedRow, ...]:
    """Write LEDs as few rows.

    Parameters
    ----------
    leds
        Alike but for place and current.
    stem
        What their names begin with.
    taken
        Names and keys that others in the sub-assembly have.

    Returns
    -------
    tuple of LedRow
        From the lowest left. One row is called by the stem, single ones are counted, several rows
        are lettered.
    """
    runs = list(_runs(sorted(leds, key=lambda led: (led.y_mm, led.x_mm))))
    if len(runs) > len(ascii_lowercase) or all(len(run) == 1 for run in runs):
        runs = [[led] for run in runs for led in run]
        endings = [str(number) for number in range(1, len(runs) + 1)]
    else:
        endings = list(ascii_lowercase[: len(runs)])
    if len(runs) == 1:
        endings = [""]
    while True:
        rows = tuple(
            LedRow(key=stem + ending, led=run[0], count=len(run), step_mm=_step(run) or (0.0, 0.0))
            for run, ending in zip(runs, endings, strict=True)
        )
        names = {name for row in rows for name in (row.key, *(led.name for led in row.leds()))}
        if not names & taken:
            return rows
        stem += "x"
