"""What is left of a sheet: the largest rectangles that keep clear of every piece."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from lamphouse.cutting.sheet_cells import ROUNDING, grid_of, pitch_for
from lamphouse.cutting.sheet_layout import LaidSheet, Offcut, rings_of
from lamphouse.cutting.sheet_places import Workshop, rings_turned

LEAST_SIDE_MM = 20.0
"""A narrower rest is waste [PRACTICE]."""
MOST_OFFCUTS = 3
"""Rests of one sheet that are kept [PRACTICE]."""
MOST_CELLS = 160
"""Along a side; rests are looked for on a grid this coarse, and so come out a little small."""


def offcuts(sheet: LaidSheet, *, gap_mm: float, edge_mm: float) -> tuple[Offcut, ...]:
    """Find the largest rectangles that stay whole.

    Returns
    -------
    tuple of Offcut
        The largest first, each clear of those before it, a gap away from every piece and within
        the edge of the sheet. Whether straight cuts from edge to edge can free them is not looked
        at.
    """
    taken, pitch_mm = _taken(sheet, gap_mm=gap_mm, edge_mm=edge_mm)
    if not taken.size:
        return ()
    coarse = max(1, -(-max(taken.shape) // MOST_CELLS))
    wide, high = (side // coarse for side in taken.shape)
    blocks = taken[: wide * coarse, : high * coarse].reshape(wide, coarse, high, coarse)
    free: NDArray[np.bool_] = np.logical_not(np.max(blocks, axis=(1, 3)))
    step = pitch_mm * coarse
    least = LEAST_SIDE_MM / step
    found = []
    for _ in range(MOST_OFFCUTS):
        x, y, across, up = max(
            _rectangles(free, least=least),
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


def _taken(sheet: LaidSheet, *, gap_mm: float, edge_mm: float) -> tuple[NDArray[np.bool_], float]:
    """Mark the cells within the edge that pieces and the gaps round them take."""
    pitch = pitch_for(max(sheet.width_mm, sheet.height_mm), gap_mm=gap_mm)
    shop = Workshop(pitch_mm=pitch, gap_mm=gap_mm, most_high_mm=sheet.height_mm)
    lying = []
    for one in sheet.laid:
        rings = [
            [(x + one.x_mm - edge_mm, y + one.y_mm - edge_mm) for x, y in ring]
            for ring in rings_turned(rings_of(one.piece), turn_deg=one.turn_deg)
        ]
        shape, left, bottom = shop.number(rings)
        lying.append((shape, left * shop.stride + bottom))
    wide, high = (
        max(0, int((side - 2.0 * edge_mm) / pitch + ROUNDING))
        for side in (sheet.width_mm, sheet.height_mm)
    )
    bits = shop.taken(lying) & ((1 << shop.stride * wide) - 1)
    return grid_of(bits, wide=wide, stride=shop.stride)[:, :high], pitch


def _rectangles(free: NDArray[np.bool_], *, least: float) -> Iterator[tuple[int, int, int, int]]:
    """Give every rectangle of free cells that cannot be made wider to the left, up or down.

    Those with a side of fewer cells than ``least`` are left out.

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
                if held >= least and y - start >= least:
                    yield x - held + 1, start, held, y - start
            if length:
                rising.append((start, length))
