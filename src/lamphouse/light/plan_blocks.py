"""Coarse cells of a plan: rectangles of a grid, joined where its lines lie too close.

A grid line drawn for the end of a baffle runs through the whole box and cuts it finely where
nothing happens. Rectangles away from such ends are joined again up to the step.
"""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.distinct import distinct
from lamphouse.light.scene import Spot
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

Line = tuple[Spot, Spot]


class Blocks(Record):
    """The coarse cells of a plan, before slanted walls cut them."""

    rect_mm: Floats
    """(B, 4) left, bottom, right, top."""
    across_mm: Floats
    """(X + 1,) the grid's lines."""
    up_mm: Floats
    """(Y + 1,)."""
    owner: Ints
    """(Y, X) block of each rectangle of the grid."""

    def quarters(self) -> Floats:
        """Halve every block both ways, (4 B, 4), those on the left and the lower ones first."""
        left, bottom, right, top = self.rect_mm.T
        x, y = (left + right) / 2.0, (bottom + top) / 2.0
        parts = (
            (left, bottom, x, y),
            (x, bottom, right, y),
            (left, y, x, top),
            (x, y, right, top),
        )
        return np.stack([np.stack(part, axis=1) for part in parts], axis=1).reshape(-1, 4)

    def quarter_at(self, x_mm: Floats, y_mm: Floats) -> Ints:
        """Give the quarter in which places off all lines lie, -1 outside the grid."""
        column = np.searchsorted(self.across_mm, x_mm) - 1
        row = np.searchsorted(self.up_mm, y_mm) - 1
        rows, columns = self.owner.shape
        outside = (column < 0) | (column >= columns) | (row < 0) | (row >= rows)
        block = self.owner[np.clip(row, 0, rows - 1), np.clip(column, 0, columns - 1)]
        left, bottom, right, top = self.rect_mm[block].T
        number = 4 * block + (x_mm > (left + right) / 2.0) + 2 * (y_mm > (bottom + top) / 2.0)
        return np.where(outside, -1, number)

    def ends_beside(self, spot_mm: Floats, *, ahead: Floats) -> Floats:
        """Give where blocks end that touch a line along the grid from one side.

        Parameters
        ----------
        spot_mm
            (2,) a place on the line.
        ahead
            (2,) direction of that side.
        """
        axis = 0 if abs(ahead[0]) > abs(ahead[1]) else 1
        near = self.rect_mm[:, axis if ahead[axis] > 0.0 else axis + 2]
        own = self.rect_mm[np.abs(near - spot_mm[axis]) < TOUCH_MM]
        return distinct(own[:, [1 - axis, 3 - axis]])


def _on_lines(lines: Iterable[Line], *, across: Floats, up: Floats) -> tuple[Bools, Bools]:
    """Mark where lines along the grid run: (Y, X + 1) upright, (Y + 1, X) level."""
    upright = np.zeros((len(up) - 1, len(across)), dtype=np.bool_)
    level = np.zeros((len(up), len(across) - 1), dtype=np.bool_)
    middle_x, middle_y = (across[1:] + across[:-1]) / 2.0, (up[1:] + up[:-1]) / 2.0
    for (ax, ay), (bx, by) in lines:
        if abs(ax - bx) < TOUCH_MM:
            own = (middle_y > min(ay, by)) & (middle_y < max(ay, by))
            upright[np.ix_(own, np.abs(across - ax) < TOUCH_MM)] = True
        elif abs(ay - by) < TOUCH_MM:
            own = (middle_x > min(ax, bx)) & (middle_x < max(ax, bx))
            level[np.ix_(np.abs(up - ay) < TOUCH_MM, own)] = True
    return upright, level


def _kept(ends: Iterable[tuple[Spot, float]], *, across: Floats, up: Floats) -> Bools:
    """Mark the rectangles near places, each with a reach, (Y, X)."""
    kept = np.zeros((len(up) - 1, len(across) - 1), dtype=np.bool_)
    for (x, y), reach in ends:
        gap_x = np.maximum(np.maximum(across[:-1] - x, x - across[1:]), 0.0)
        gap_y = np.maximum(np.maximum(up[:-1] - y, y - up[1:]), 0.0)
        kept |= np.maximum(gap_x, gap_y[:, None]) < reach - TOUCH_MM
    return kept


def join(
    across: Sequence[float],
    *,
    up: Sequence[float],
    step_mm: float,
    lines: Iterable[Line],
    ends: Iterable[tuple[Spot, float]],
) -> Blocks:
    """Join the rectangles of a grid.

    Parameters
    ----------
    across, up
        The grid's lines.
    step_mm
        Blocks are no longer than this either way, where the grid is not.
    lines
        Blocks do not reach over these, where they run along the grid.
    ends
        Places with a reach each, about which the grid stays as it is.
    """
    x, y = np.asarray(across), np.asarray(up)
    columns, rows = len(x) - 1, len(y) - 1
    owner = np.arange(rows * columns).reshape(rows, columns)
    most = step_mm * (1.0 + 1e-9)
    if min(np.min(place[2:] - place[:-2], initial=np.inf) for place in (x, y)) <= most:
        upright, level = _on_lines(lines, across=x, up=y)
        kept = _kept(ends, across=x, up=y)
        owner = _grown(kept, upright=upright, level=level, x=x.tolist(), y=y.tolist(), most=most)
    _, first = np.unique(owner, return_index=True)
    _, last = np.unique(owner.ravel()[::-1], return_index=True)
    last = owner.size - 1 - last
    return Blocks(
        rect_mm=np.column_stack(
            [x[first % columns], y[first // columns], x[last % columns + 1], y[last // columns + 1]]
        ),
        across_mm=x,
        up_mm=y,
        owner=owner,
    )


def _grown(
    kept: Bools, *, upright: Bools, level: Bools, x: list[float], y: list[float], most: float
) -> Ints:
    """Grow blocks from the lower left, first the way they are shorter; (Y, X) numbers."""
    rows, columns = kept.shape
    owner = np.full((rows, columns), -1)
    busy, number = kept.copy(), 0

    def wider(left: int, right: int, bottom: int, top: int) -> bool:
        return bool(
            right < columns
            and x[right + 1] - x[left] <= most
            and not busy[bottom:top, right].any()
            and not upright[bottom:top, right].any()
            and not level[bottom + 1 : top, right].any()
        )

    def higher(left: int, right: int, bottom: int, top: int) -> bool:
        return bool(
            top < rows
            and y[top + 1] - y[bottom] <= most
            and not busy[top, left:right].any()
            and not level[top, left:right].any()
            and not upright[top, left + 1 : right].any()
        )

    for bottom, left in np.ndindex(rows, columns):
        if owner[bottom, left] >= 0:
            continue
        right, top = left + 1, bottom + 1
        while not kept[bottom, left]:
            lies = x[right] - x[left] > y[top] - y[bottom]
            if not lies and wider(left, right, bottom, top):
                right += 1
            elif higher(left, right, bottom, top):
                top += 1
            elif lies and wider(left, right, bottom, top):
                right += 1
            else:
                break
        owner[bottom:top, left:right] = number
        busy[bottom:top, left:right] = True
        number += 1
    return owner
