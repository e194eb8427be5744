"""What every source group shows over time, strip under strip on one time axis, and the load.

A strip is as high as full light. Its dark part is the mean light; where light changes within
the width of a line, a thin line runs along its brightest moments.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.blink.playing import steps_played, stretches
from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import TICKS_PER_S, light_of
from lamphouse.drawings.discharge_plot import round_values
from lamphouse.drawings.drawing import Anchor, Drawing, Item, Path, Pen, Text
from lamphouse.drawings.figures import rectangle, segment
from lamphouse.drawings.lettering import LEAST_MM, shortened
from lamphouse.drawings.moves import drawing_of

STRIP_MM = 7.0
GAP_MM = 3.0
NAME_MM = 34.0
"""Kept free on the left for the names of the groups."""
RIGHT_MM = 3.0
"""Kept free on the right for the last number of the axis."""
_AXIS_MM = 9.0
_COLUMN_MM = 0.25
"""Width of paper within which light is averaged."""
_LETTER_MM = 2.2

Floats = NDArray[np.float64]


def most_strips(height_mm: float) -> int:
    """Tell how many strips with their axis fit into a height, at least one."""
    return max(int((height_mm - _AXIS_MM) / (STRIP_MM + GAP_MM)), 1)


def pattern_strips(table: TimeTable, *, seconds: float, width_mm: float) -> Drawing:
    """Draw what every group shows from the beginning.

    Parameters
    ----------
    table
        What is played, its buttons left alone.
    seconds
        How long is drawn; columns narrower than a tick are as wide as one.
    width_mm
        Of the whole picture.
    """
    ticks = max(round(seconds * TICKS_PER_S), 1)
    light = light_of(steps_played(table, ticks=ticks))
    right = width_mm - RIGHT_MM
    room = right - NAME_MM
    items: list[Item] = []
    bottom = _AXIS_MM
    for place in reversed(range(len(table.groups))):
        items += _strip(light[:, place], bottom=bottom, room_mm=room)
        name = shortened(table.groups[place], room_mm=NAME_MM - 3.0, height_mm=_LETTER_MM)
        middle = bottom + (STRIP_MM - _LETTER_MM) / 2.0
        items.append(Text(x_mm=0.0, y_mm=middle, words=name, height_mm=_LETTER_MM, bold=True))
        bottom += STRIP_MM + GAP_MM
    items += _axis(ticks / TICKS_PER_S, room_mm=room, words="seconds from the beginning")
    items += _scenes(table, ticks=ticks, room_mm=room, top=bottom - GAP_MM)
    return drawing_of(tuple(items), name="patterns")


def load_plot(seconds_A: Sequence[float], *, width_mm: float, height_mm: float) -> Drawing:
    """Draw the current second by second."""
    right, top = width_mm - RIGHT_MM, height_mm - 6.0
    room = right - NAME_MM
    most_mA = 1.1e3 * max(seconds_A)
    tall = top - _AXIS_MM
    columns = _columns(np.array(seconds_A), count=max(round(room / _COLUMN_MM), 1))
    x = NAME_MM + room * np.arange(len(columns) + 1) / len(columns)
    y = _AXIS_MM + tall * 1e3 * columns.mean(axis=1) / most_mA
    line = [
        (float(a), float(v), 0.0) for v, *ends in zip(y, x[:-1], x[1:], strict=True) for a in ends
    ]
    items: list[Item] = [
        rectangle(Pen.SIZE, left=NAME_MM, bottom=_AXIS_MM, right=right, top=top),
        Path(pen=Pen.CUT, corners=tuple(line)),
        Text(
            x_mm=right, y_mm=top + 1.6, words="mean current of each second, mA",
            height_mm=_LETTER_MM, anchor=Anchor.END, bold=True,
        ),
    ]  # fmt: skip
    for value in round_values(0.0, most_mA, most=5):
        level = _AXIS_MM + tall * value / most_mA
        items += [
            segment(Pen.SIZE, start=(NAME_MM - 1.2, level), end=(NAME_MM, level)),
            Text(
                x_mm=NAME_MM - 2.2, y_mm=level - LEAST_MM / 2, words=f"{value:g}",
                height_mm=LEAST_MM, anchor=Anchor.END,
            ),
        ]  # fmt: skip
    items += _axis(float(len(seconds_A)), room_mm=room, words="seconds, each button's scene last")
    return drawing_of(tuple(items), name="load over time")


def _strip(light: Floats, *, bottom: float, room_mm: float) -> Iterator[Item]:
    columns = _columns(light, count=max(round(room_mm / _COLUMN_MM), 1))
    mean, most = columns.mean(axis=1), columns.max(axis=1)
    x = NAME_MM + room_mm * np.arange(len(columns) + 1) / len(columns)
    right = NAME_MM + room_mm
    yield rectangle(Pen.SIZE, left=NAME_MM, bottom=bottom, right=right, top=bottom + STRIP_MM)
    corners = [(NAME_MM, bottom, 0.0), *_stairs(x, bottom + STRIP_MM * mean), (right, bottom, 0.0)]
    yield Path(pen=Pen.TEXT, corners=tuple(corners), closed=True, filled=True)
    if (most - mean).max() > 0.02:
        yield Path(pen=Pen.SIZE, corners=tuple(_stairs(x, bottom + STRIP_MM * most)))


def _columns(values: Floats, *, count: int) -> Floats:
    """Part values into columns of equal numbers, shape ``(columns, values in each)``."""
    each = max(-(-len(values) // count), 1)
    wanted = -(-len(values) // each) * each
    return np.pad(values, (0, wanted - len(values)), mode="edge").reshape(-1, each)


def _stairs(x: Floats, y: Floats) -> list[tuple[float, float, float]]:
    """Give level pieces with upright ones between; what stays level is one piece."""
    edges = np.flatnonzero(np.diff(y)) + 1
    starts, ends = np.concatenate(([0], edges)), np.concatenate((edges, [len(y)]))
    return [
        (float(x[edge]), float(y[start]), 0.0)
        for start, end in zip(starts, ends, strict=True)
        for edge in (start, end)
    ]


def _axis(seconds: float, *, room_mm: float, words: str) -> Iterator[Item]:
    for value in round_values(0.0, seconds, most=12):
        x = NAME_MM + room_mm * value / seconds
        yield segment(Pen.SIZE, start=(x, _AXIS_MM - 1.5), end=(x, _AXIS_MM - 0.3))
        yield Text(
            x_mm=x, y_mm=_AXIS_MM - 2.5 - LEAST_MM, words=f"{value:g}", height_mm=LEAST_MM,
            anchor=Anchor.MIDDLE,
        )  # fmt: skip
    yield Text(
        x_mm=NAME_MM + room_mm, y_mm=0.0, words=words, height_mm=_LETTER_MM, anchor=Anchor.END
    )


def _scenes(table: TimeTable, *, ticks: int, room_mm: float, top: float) -> Iterator[Item]:
    """Draw where a scene begins, with its name, where there is room for it."""
    for stretch in stretches(table, ticks=ticks):
        if not stretch.scene.name:
            continue
        start, end = (NAME_MM + room_mm * tick / ticks for tick in (stretch.begins, stretch.ends))
        yield segment(Pen.CENTRE, start=(start, _AXIS_MM), end=(start, top + 4.0))
        words = shortened(stretch.scene.name, room_mm=end - start - 2.0, height_mm=LEAST_MM)
        if words:
            yield Text(x_mm=start + 1.0, y_mm=top + 1.5, words=words, height_mm=LEAST_MM)
