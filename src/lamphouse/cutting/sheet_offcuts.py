"""What is left of a sheet: the largest rectangles that keep clear of every piece."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from lamphouse.cutting.sheet_layout import Offcut

LEAST_SIDE_MM = 20.0
"""A narrower rest is waste [PRACTICE]."""
MOST_OFFCUTS = 3
"""Rests of one sheet that are kept [PRACTICE]."""
MOST_CELLS = 160
"""Along a side; rests are looked for on a grid this coarse, and so come out a little small."""


def offcuts(taken: NDArray[np.bool_], *, pitch_mm: float, edge_mm: float) -> tuple[Offcut, ...]:
    """Find the largest rectangles that stay whole.

    Parameters
    ----------
    taken
        Cells of the sheet within its edge that pieces and the gaps round them take, x first.
    pitch_mm
        Side of a cell.
    edge_mm
        What was kept free along the edge of the sheet; it is left out of the rests.

    Returns
    -------
    tuple of Offcut
        The largest first, each clear of those before it. Whether straight cuts from edge to edge
        can free them is not looked at.
    """
    coarse = max(1, -(-max(taken.shape) // MOST_CELLS))
    wide, high = (side // coarse for side in taken.shape)
    blocks = taken[: wide * coarse, : high * coarse].reshape(wide, coarse, high, coarse)
    free: NDArray[np.bool_] = np.logical_not(np.max(blocks, axis=(1, 3)))
    step = pitch_mm * coarse
    least = LEAST_SIDE_MM / step
    found = []
    for _ in range(MOST_OFFCUTS):
        x, y, across, up = max(
            (one for one in _rectangles(free) if min(one[2:]) >= least),
            key=lambda one: (one[2] * one[3], -one[0], -one[1]),
            default=(0, 0, 0, 0),
        )
        if not across:
            break
        free[x : x + across, y : y + up] = False
        found.append(
            Offcut(
                x_mm=edge_mm + x * step,
                y_mm=edge_mm + y * step,
                width_mm=across * step,
                height_mm=up * step,
            )
        )
    return tuple(found)


def _rectangles(free: NDArray[np.bool_]) -> Iterator[tuple[int, int, int, int]]:
    """Give every rectangle of free cells that cannot be made wider to the left, up or down.

    The classic sweep: for each column the free lengths to its left are bars of a histogram, and a
    stack of rising bars gives the widest run of each.
    """
    wide, high = free.shape
    lengths = np.zeros(high + 1, dtype=int)
    for x in range(wide):
        lengths[:high] = np.where(free[x], lengths[:high] + 1, 0)
        rising: list[tuple[int, int]] = []
        for y, length in enumerate(lengths.tolist()):
            start = y
            while rising and rising[-1][1] >= length:
                start, held = rising.pop()
                yield x - held + 1, start, held, y - start
            if length:
                rising.append((start, length))
