"""Where renderers look at an opening: points spread evenly over it, spot by spot."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Disc, Patch, Rectangle, Shape

Floats = NDArray[np.float64]

ACROSS, UP = 8, 6
"""Spots over a rectangle; other openings are one."""


def _unit(count: int, *, random: np.random.Generator) -> Floats:
    """Points of a unit square (count, 2), one in each field of a board as nearly square as fits."""
    across = int(np.sqrt(count))
    while count % across:
        across -= 1
    row, column = np.divmod(np.arange(count), across)
    shift = random.random((count, 2))
    return np.column_stack(
        [(column + shift[:, 0]) / across, (row + shift[:, 1]) / (count // across)]
    )


def _in_patch(patch: Patch, *, count: int, random: np.random.Generator) -> Floats:
    """Points of a ring that is seen whole from its first corner: a fan of triangles."""
    corner = np.array(patch.ring)
    one, other = corner[1:-1] - corner[0], corner[2:] - corner[0]
    area = np.abs(one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0])
    which = np.searchsorted(np.cumsum(area) / area.sum(), random.random(count))
    u, v = random.random((2, count, 1))
    fold = u + v > 1.0
    u, v = np.where(fold, 1.0 - u, u), np.where(fold, 1.0 - v, v)
    return np.asarray(corner[0] + u * one[which] + v * other[which])


def points(shape: Shape, *, count: int, random: np.random.Generator) -> Floats:
    """Spread points over an opening, (S, count, 2). [mm]."""
    if isinstance(shape, Patch):
        return _in_patch(shape, count=count, random=random)[None]
    if isinstance(shape, Disc):
        u = _unit(count, random=random)
        radius, angle = shape.diameter_mm / 2.0 * np.sqrt(u[:, 0]), 2.0 * np.pi * u[:, 1]
        middle = np.array([shape.x_mm, shape.y_mm])
        return (middle + radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)]))[None]
    size = np.array([shape.right_mm - shape.left_mm, shape.top_mm - shape.bottom_mm])
    corner = np.array([shape.left_mm, shape.bottom_mm])
    cells = [
        corner + (_unit(count, random=random) + np.array([column, row])) * size / (ACROSS, UP)
        for row in range(UP)
        for column in range(ACROSS)
    ]
    return np.array(cells)


def spot_count(shape: Shape) -> int:
    """Give the number of spots S."""
    return ACROSS * UP if isinstance(shape, Rectangle) else 1
