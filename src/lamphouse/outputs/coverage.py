"""How much of each pixel a shape of straight and round pieces covers."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import area_mm2, bounds_mm
from lamphouse.shapes.outline import Corners

Floats = NDArray[np.float64]

SUB_ROWS = 4
"""Lines looked at in each row of pixels; along a line the cover is exact."""
_CHORD_ERROR_PX = 0.02
_WHOLE = 1e-9
"""An outline that leaves less of its bounds free is an upright rectangle."""


def coverage(
    corners: Corners,
    *,
    left_mm: float,
    bottom_mm: float,
    shape: tuple[int, int],
    pixels_per_mm: float,
) -> Floats:
    """Give the covered share of every pixel of a grid.

    Each edge that crosses a line adds one to everything right of it, or takes one off when it runs
    down; what is left over inside is the shape, whatever its form.

    Parameters
    ----------
    corners
        The outline.
    left_mm, bottom_mm
        Lower left corner of the grid.
    shape
        Its rows and columns.
    pixels_per_mm
        Its fineness.

    Returns
    -------
    Floats
        (rows, columns), 0 to 1, the lowest row first.
    """
    rows, columns = shape
    left, bottom, right, top = bounds_mm(corners)
    if area_mm2(corners) >= (1.0 - _WHOLE) * (right - left) * (top - bottom):
        across, up = (
            np.clip((end - at) * pixels_per_mm - np.arange(count), 0.0, 1.0)
            - np.clip((start - at) * pixels_per_mm - np.arange(count), 0.0, 1.0)
            for start, end, at, count in (
                (left, right, left_mm, columns),
                (bottom, top, bottom_mm, rows),
            )
        )
        return np.outer(up, across)
    spots = np.array(flatten(corners, error_mm=_CHORD_ERROR_PX / pixels_per_mm))
    x, y = ((spots - (left_mm, bottom_mm)) * pixels_per_mm).T
    lines = (np.arange(rows * SUB_ROWS) + 0.5) / SUB_ROWS
    steps = np.zeros((rows * SUB_ROWS, columns + 2))
    for x0, y0, x1, y1 in zip(x, y, np.roll(x, -1), np.roll(y, -1), strict=True):
        first, last = np.searchsorted(lines, sorted((y0, y1)))
        if first == last:
            continue
        own = np.arange(first, last)
        cross = np.clip(x0 + (lines[own] - y0) * (x1 - x0) / (y1 - y0), 0.0, columns)
        pixel = cross.astype(np.int64)
        part = pixel + 1.0 - cross
        way = 1.0 if y1 < y0 else -1.0
        np.add.at(steps, (own, pixel), way * part)
        np.add.at(steps, (own, pixel + 1), way * (1.0 - part))
    filled = np.abs(np.cumsum(steps[:, :columns], axis=1))
    return np.asarray(filled.reshape(rows, SUB_ROWS, columns).mean(axis=1))
