"""The meshes of a box, one for each of its cavities, and the faces they come to."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import ceil

import numpy as np

from lamphouse.light.cover import ring_of
from lamphouse.light.mesh import Mesh, make_mesh
from lamphouse.light.plan_cells import grid_lines
from lamphouse.light.scene import Box, Disc
from lamphouse.light.turning import best_way, straight_box
from lamphouse.light.uprights import segments
from lamphouse.record import replace

GRID_OVER = 3
"""Cells of the plain grid, in rows allowed, from which a box is surely too much: of a crooked
outline most of them lie outside."""

MOST_ROWS = 3000
"""Rows of the tables of a box, its faces and some more: 36 MB a table, well below 700 MB in all."""

KEPT = 16
"""Boxes whose meshes are kept, 2 MB at most each: those of a suite are counted, then solved."""


def _wanted(box: Box, *, step: float) -> list[tuple[float, float]]:
    """Corners of the openings large enough to deserve grid lines."""
    spots = []
    for aperture in box.apertures:
        ring = np.array(ring_of(aperture.shape))
        low, high = ring.min(axis=0), ring.max(axis=0)
        if not isinstance(aperture.shape, Disc) and (high - low).max() > 2.0 * step:
            spots.extend([tuple(low), tuple(high)])
    return spots


def meshes_of(box: Box, *, step_mm: float) -> tuple[Mesh, ...]:
    """Cut a box into cells, columns and layers, from the back to the panel.

    Parameters
    ----------
    box
        A sound box.
    step_mm
        Fine step.
    """
    return _meshes(replace(box, lamps=()), step_mm=step_mm)


@lru_cache(maxsize=KEPT)
def _meshes(box: Box, *, step_mm: float) -> tuple[Mesh, ...]:
    """Cut a box once; more sparingly about its pillars where it would come to too many rows."""
    whole = _cut(box, step_mm=step_mm, most_cells=_most_cells(box, step_mm=step_mm))
    if not box.holes or whole[0].sparing or _rows(whole) <= MOST_ROWS:
        return whole
    return _cut(box, step_mm=step_mm, most_cells=0.0)


def _levels(box: Box, *, step_mm: float) -> list[tuple[float, float, int]]:
    """Give where each cavity of a box begins and ends, and how many layers it has at least."""
    levels = [0.0, box.depth_mm]
    if box.sheet is not None:
        levels.insert(1, box.sheet.height_mm)
    return [
        (low, high, 2 * max(1, ceil((high - low) / (2.0 * step_mm) - 1e-9)))
        for low, high in pairwise(levels)
    ]


def _most_cells(box: Box, *, step_mm: float) -> float:
    """Give how many cells leave a box no more rows than there may be, its walls counted before."""
    levels = _levels(box, step_mm=step_mm)
    columns = sum(2 * max(1, ceil(wall.length_mm / (2.0 * step_mm))) for wall in segments(box))
    layers = sum(count for _, _, count in levels)
    return (MOST_ROWS - columns * layers) / (2.0 * len(levels))


def _cut(box: Box, *, step_mm: float, most_cells: float) -> tuple[Mesh, ...]:
    way = best_way(box)
    straight = straight_box(box, way=way)
    wanted = _wanted(straight, step=step_mm)
    return tuple(
        make_mesh(
            straight,
            low_mm=low,
            high_mm=high,
            plan_step_mm=2.0 * step_mm,
            layer_step_mm=2.0 * (high - low) / count,
            wanted=wanted,
            rims=[ring_of(aperture.shape) for aperture in straight.apertures],
            way=way,
            most_cells=most_cells,
        )
        for low, high, count in _levels(box, step_mm=step_mm)
    )


def _rows(meshes: Sequence[Mesh]) -> int:
    return sum(
        2 * len(mesh.area_mm2) + len(mesh.column_wall) * len(mesh.layer_parent) for mesh in meshes
    )


def rows_of(box: Box, *, step_mm: float, most: int) -> int:
    """Count the rows of the tables of a box: its faces, and patches that low baffles leave out.

    Parameters
    ----------
    box, step_mm
        As for ``meshes_of``.
    most
        A grid with many times more cells is not cut up, and its cells are given.
    """
    way = best_way(box)
    across, up = grid_lines(straight_box(box, way=way), step_mm=2.0 * step_mm, wanted=())
    cells = 4 * (len(across) - 1) * (len(up) - 1)
    if cells > GRID_OVER * most:
        return cells
    return _rows(meshes_of(box, step_mm=step_mm))
