"""Shapes as cells of a fine grid, each shape one long whole number, one bit for a cell.

Cell ``(x, y)`` is bit ``x * stride + y``, so that a shift moves a shape and an OR lays shapes over
one another. A cell belongs to a shape when any of its inside does: rounding makes shapes larger,
never smaller, and shapes that share no cell do not overlap.
"""

from collections.abc import Sequence
from math import ceil, floor, hypot, log10

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.shapes.outline import Spot

ROUNDING = 1e-6
"""What an edge may reach into a cell without taking it, in cells: the error of sums and turns."""

CELLS = 600
"""Along the longest side of a sheet, about."""

Stripe = tuple[int, int, tuple[tuple[int, int], ...]]
"""Columns that look the same: the first, how many, and their runs as (lowest cell, length)."""


class Cells(Record):
    """The cells a shape takes, from its lower left one on."""

    bits: int
    wide: int
    high: int
    stripes: tuple[Stripe, ...]


def pitch_for(longest_mm: float, *, gap_mm: float, cells: int = CELLS) -> float:
    """Choose the side of a cell for the longest side of a sheet.

    It divides the gap, so that a gap takes no more cells than it must; without a gap it is 1, 2 or
    5 times a power of ten, as sizes often are.
    """
    about = longest_mm / cells
    if gap_mm > 0.0:
        return gap_mm / ceil(gap_mm / about - 1e-9)
    power = 10.0 ** floor(log10(about))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= about * (1 + 1e-9))


def cells_of(grid: NDArray[np.bool_], *, stride: int) -> Cells:
    """Turn a grid, its first axis along x, into cells.

    Raises
    ------
    ValueError
        If a column is longer than the stride.
    """
    wide, high = grid.shape
    if high > stride:
        tall = f"{high} cells do not fit a column of {stride}"
        raise ValueError(tall)
    padded = np.zeros((wide, stride), dtype=np.bool_)
    padded[:, :high] = grid
    packed = np.packbits(padded.ravel(), bitorder="little").tobytes()
    return Cells(
        bits=int.from_bytes(packed, "little"), wide=wide, high=high, stripes=_stripes(grid)
    )


def _stripes(grid: NDArray[np.bool_]) -> tuple[Stripe, ...]:
    stripes: list[Stripe] = []
    changes = np.flatnonzero((grid[1:] != grid[:-1]).any(axis=1)) + 1
    starts = [0, *changes.tolist()]
    for start, end in zip(starts, [*starts[1:], len(grid)], strict=True):
        steps = np.diff(grid[start].astype(np.int8), prepend=0, append=0)
        lows, highs = np.flatnonzero(steps == 1), np.flatnonzero(steps == -1)
        runs = tuple((int(low), int(high - low)) for low, high in zip(lows, highs, strict=True))
        if runs:
            stripes.append((start, end - start, runs))
    return tuple(stripes)


def grid_of(bits: int, *, wide: int, stride: int) -> NDArray[np.bool_]:
    """Turn bits back into a grid of whole columns."""
    packed = bits.to_bytes((wide * stride + 7) // 8, "little")
    flat = np.unpackbits(np.frombuffer(packed, dtype=np.uint8), bitorder="little")
    return flat[: wide * stride].reshape(wide, stride).astype(np.bool_)


def rasterised(
    rings: Sequence[Sequence[Spot]], *, pitch_mm: float
) -> tuple[NDArray[np.bool_], int, int]:
    """Find the cells that an outline and its cut-outs leave not wholly free.

    Parameters
    ----------
    rings
        The outline and its cut-outs, straight pieces only, in either direction. [mm].
    pitch_mm
        Side of a cell.

    Returns
    -------
    grid, left, bottom
        Booleans with the first axis along x, and the cell its corner stands on.
    """
    starts, ends = [], []
    for ring in rings:
        spots = np.asarray(ring, dtype=np.float64) / pitch_mm
        starts.append(spots)
        ends.append(np.roll(spots, -1, axis=0))
    start, end = np.concatenate(starts), np.concatenate(ends)
    lowest = np.floor(start.min(axis=0) + ROUNDING).astype(int)
    size = np.maximum(np.ceil(start.max(axis=0) - ROUNDING).astype(int) - lowest, 1)
    start, end = start - lowest, end - lowest
    grid = _touched(start, end, size) | _inside(start, end, size)
    return grid, int(lowest[0]), int(lowest[1])


def _touched(
    start: NDArray[np.float64], end: NDArray[np.float64], size: NDArray[np.int_]
) -> NDArray[np.bool_]:
    """Find the cells whose inside an edge passes through."""
    swap = start[:, 0] > end[:, 0]
    left = np.where(swap[:, None], end, start)
    right = np.where(swap[:, None], start, end)
    first = np.floor(left[:, 0] + ROUNDING).astype(int)
    last = np.ceil(right[:, 0] - ROUNDING).astype(int) - 1
    counts = np.maximum(last - first + 1, 0)
    edge = np.repeat(np.arange(len(counts)), counts)
    column = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts) + first[edge]
    run = right[edge, 0] - left[edge, 0]
    safe = np.where(run > 0.0, run, 1.0)
    near = np.clip((column - left[edge, 0]) / safe, 0.0, 1.0)
    far = np.where(run > 0.0, np.clip((column + 1 - left[edge, 0]) / safe, 0.0, 1.0), 1.0)
    rise = right[edge, 1] - left[edge, 1]
    one, other = left[edge, 1] + near * rise, left[edge, 1] + far * rise
    low = np.floor(np.minimum(one, other) + ROUNDING).astype(int)
    high = np.ceil(np.maximum(one, other) - ROUNDING).astype(int)
    kept = high > low
    steps = np.zeros((size[0], size[1] + 1), dtype=np.int32)
    np.add.at(steps, (column[kept], low[kept]), 1)
    np.add.at(steps, (column[kept], high[kept]), -1)
    return np.cumsum(steps, axis=1)[:, :-1] > 0


def _inside(
    start: NDArray[np.float64], end: NDArray[np.float64], size: NDArray[np.int_]
) -> NDArray[np.bool_]:
    """Find the cells whose middle has an odd number of edges below it."""
    swap = start[:, 0] > end[:, 0]
    left = np.where(swap[:, None], end, start)
    right = np.where(swap[:, None], start, end)
    first = np.ceil(left[:, 0] - 0.5).astype(int)
    last = np.ceil(right[:, 0] - 0.5).astype(int)
    counts = np.maximum(last - first, 0)
    edge = np.repeat(np.arange(len(counts)), counts)
    column = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts) + first[edge]
    share = (column + 0.5 - left[edge, 0]) / (right[edge, 0] - left[edge, 0])
    height = left[edge, 1] + share * (right[edge, 1] - left[edge, 1])
    above = np.clip(np.ceil(height - 0.5).astype(int), 0, size[1])
    steps = np.zeros((size[0], size[1] + 1), dtype=np.int32)
    np.add.at(steps, (column, above), 1)
    odd: NDArray[np.bool_] = np.cumsum(steps, axis=1)[:, :-1] % 2 == 1
    return odd


def reach(gap_mm: float, *, pitch_mm: float) -> NDArray[np.bool_]:
    """Give the cells that lie nearer than a gap to the cell in the middle.

    Two cells lie as far apart as the nearest points of them.
    """
    most = reach_cells(gap_mm, pitch_mm=pitch_mm)
    steps = range(-most, most + 1)
    return np.array(
        [
            [hypot(max(abs(x) - 1, 0), max(abs(y) - 1, 0)) * pitch_mm < gap_mm or x == y == 0
             for y in steps]
            for x in steps
        ]
    )  # fmt: skip


def reach_cells(gap_mm: float, *, pitch_mm: float) -> int:
    """Count the cells that a gap takes on either side of a shape."""
    return ceil(gap_mm / pitch_mm - ROUNDING) if gap_mm > 0.0 else 0


def swept(bits: int, *, by: Sequence[Stripe], stride: int) -> int:
    """Lay a shape at every cell of another: their Minkowski sum.

    Runs are built from powers of two, so that a run of any length costs two shifts.
    """
    longest = max(length for _, _, runs in by for _, length in runs)
    doubled = [bits]
    while 2 ** len(doubled) <= longest:
        doubled.append(doubled[-1] | doubled[-1] << 2 ** (len(doubled) - 1))
    total = 0
    for start, count, runs in by:
        column = 0
        for low, length in runs:
            power = length.bit_length() - 1
            half = doubled[power]
            column |= (half | half << (length - 2**power)) << low
        total |= repeated(column, count=count, step=stride) << start * stride
    return total


def repeated(bits: int, *, count: int, step: int) -> int:
    """Lay a shape so many times, a step apart."""
    done = 1
    while done < count:
        more = min(done, count - done)
        bits |= bits << more * step
        done += more
    return bits


def turned_about(stripes: Sequence[Stripe], *, wide: int, high: int) -> tuple[Stripe, ...]:
    """Turn a shape by half a turn within its own box."""
    return tuple(
        (
            wide - start - count,
            count,
            tuple((high - low - length, length) for low, length in reversed(runs)),
        )
        for start, count, runs in reversed(stripes)
    )
