"""Which face of a box each of many rays meets first."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.factors import Cavity
from lamphouse.light.turning import Way, straightened
from lamphouse.light.uprights import TOUCH_MM, Segment
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LOST = -1
"""Instead of a face: the ray slipped through a seam between faces."""


NONE, SEVERAL = -1, -2
"""Instead of a cell: a block off the plan, and the first of those that several cells share."""

CHUNK = 20_000
"""Pairs of place and cell looked at at once."""


class Raster(Record):
    """The plan in blocks by all edges of its cells, so that a point finds its cell at once."""

    way: Way
    """Direction of the grid; all that follows is laid along it."""
    across_mm: Floats
    up_mm: Floats
    cell: Ints
    """(rows, columns) the cell of a block; NONE, or below it, for SEVERAL less the number of its
    list of them."""
    listed: Ints
    """Lists of cells, one after the other."""
    start: Ints
    """Where each begins, and the length of all."""
    corner_mm: Floats
    """(C, v, 2)."""


class Slice(Record):
    """The faces of one cavity, laid out for rays."""

    raster: Raster
    low_mm: float
    high_mm: float
    first: int
    """Number of its first face."""
    segments: tuple[Segment, ...]
    column_ends_mm: tuple[Floats, ...]
    """For each segment the ends of its columns, along it."""
    face: tuple[Ints, ...]
    """For each segment the numbers of its patches, (columns, layers); -1 where there is none."""
    height_mm: Floats
    """(Z + 1,) edges of the layers."""


class Hits(Record):
    """Where rays end."""

    face: Ints
    """(P,) face of the box, or LOST."""
    place_mm: Floats
    """(P, 3)."""


def _lines(values: Floats) -> Floats:
    """Sort places and leave out those that coincide."""
    values = np.sort(values)
    return values[np.diff(values, prepend=-np.inf) > TOUCH_MM]


def _raster(corner_mm: Floats, *, way: Way) -> Raster:
    corner = straightened(corner_mm, way=way)
    low, high = corner.min(axis=1), corner.max(axis=1)
    across, up = (_lines(np.concatenate([low[:, axis], high[:, axis]])) for axis in range(2))
    cell = np.full((len(up) - 1, len(across) - 1), NONE)
    first = np.stack(
        [np.searchsorted(lines, low[:, axis] - TOUCH_MM) for axis, lines in enumerate((across, up))]
    )
    last = np.stack(
        [
            np.searchsorted(lines, high[:, axis] - TOUCH_MM)
            for axis, lines in enumerate((across, up))
        ]
    )
    blocks = [
        (slice(bottom, top), slice(left, right))
        for left, bottom, right, top in np.concatenate([first, last]).T.tolist()
    ]
    for number, block in enumerate(blocks):
        cell[block] = np.where(cell[block] == NONE, number, SEVERAL)
    shared = np.cumsum((cell == SEVERAL).ravel()).reshape(cell.shape) - 1
    homes, cells = [], []
    for number, block in enumerate(blocks):
        own = shared[block][cell[block] == SEVERAL]
        homes.append(own)
        cells.append(np.full(len(own), number))
    home = np.concatenate(homes)
    count = int(shared[-1, -1]) + 1
    return Raster(
        way=way,
        across_mm=across,
        up_mm=up,
        cell=np.where(cell == SEVERAL, SEVERAL - shared, cell),
        listed=np.concatenate(cells)[np.argsort(home, kind="stable")],
        start=np.append(0, np.cumsum(np.bincount(home, minlength=count))),
        corner_mm=corner,
    )


def _cells(raster: Raster, *, spots: Floats) -> Ints:
    """Find the cell each place (P, 2) lies in, or the nearest one."""
    spots = straightened(spots, way=raster.way)
    column, row = (
        np.clip(np.searchsorted(lines, spots[:, axis]) - 1, 0, len(lines) - 2)
        for axis, lines in enumerate((raster.across_mm, raster.up_mm))
    )
    found = raster.cell[row, column]
    shared = np.flatnonzero(found <= SEVERAL)
    if len(shared):
        number = SEVERAL - found[shared]
        start, counts = raster.start[number], raster.start[number + 1] - raster.start[number]
        begin = np.cumsum(counts) - counts
        cells = raster.listed[np.repeat(start - begin, counts) + np.arange(counts.sum())]
        depth = _depths(spots[np.repeat(shared, counts)], cells=cells, corner=raster.corner_mm)
        deepest = np.repeat(np.maximum.reduceat(depth, begin), counts)
        # Of several that are as deep the last one stays.
        found[np.repeat(shared, counts)[depth == deepest]] = cells[depth == deepest]
    every = np.arange(len(raster.corner_mm))
    for place in np.flatnonzero(found == NONE).tolist():
        near = np.broadcast_to(spots[place], (len(every), 2))
        found[place] = _depths(near, cells=every, corner=raster.corner_mm).argmax()
    return found


def _depths(spots: Floats, *, cells: Ints, corner: Floats) -> Floats:
    """Give how deep in a cell each place (P, 2) lies, negative outside. [mm]."""
    step = np.roll(corner, -1, axis=1) - corner
    length = np.sqrt((step**2).sum(axis=2))
    unit = step / np.maximum(length, TOUCH_MM)[..., None]
    # How far a place lies to the left of each edge; what is no edge does not count.
    shift = unit[..., 1] * corner[..., 0] - unit[..., 0] * corner[..., 1]
    shift[length <= TOUCH_MM] = np.inf
    depth = np.zeros(len(cells))
    for first in range(0, len(cells), CHUNK):
        part = slice(first, first + CHUNK)
        own, spot = cells[part], spots[part]
        side = unit[own, :, 0] * spot[:, 1, None] - unit[own, :, 1] * spot[:, 0, None]
        depth[part] = (side + shift[own]).min(axis=1)
    return depth


def slices(cavities: Sequence[Cavity], *, first: Sequence[int]) -> tuple[Slice, ...]:
    """Lay out the faces of a box for rays, cavity by cavity from the back.

    Parameters
    ----------
    cavities
        Of the box.
    first
        Number of each one's first face.
    """
    made = []
    for number, cavity in enumerate(cavities):
        mesh, count = cavity.mesh, cavity.cell_count
        column, layer = cavity.patches()
        patch = np.full(cavity.wall.shape, -1)
        patch[column, layer] = 2 * count + np.arange(len(column))
        ends, faces = [], []
        for index, segment in enumerate(mesh.segments):
            own = np.flatnonzero(mesh.column_wall == index)
            feet = mesh.foot_mm[own]
            start = np.array(segment.start_mm)
            unit = (np.array(segment.end_mm) - start) / segment.length_mm
            along = (feet[:, 0] - start) @ unit
            order = np.argsort(along)
            ends.append(np.append(along[order], (feet[order[-1], 1] - start) @ unit))
            faces.append(patch[own[order]])
        made.append(
            Slice(
                raster=_raster(mesh.corner_mm, way=mesh.way),
                low_mm=float(mesh.height_mm[0]),
                high_mm=float(mesh.height_mm[-1]),
                first=first[number],
                segments=mesh.segments,
                column_ends_mm=tuple(ends),
                face=tuple(faces),
                height_mm=mesh.height_mm,
            )
        )
    return tuple(made)


def meet(part: Slice, *, start_mm: Floats, way: Floats) -> Hits:
    """Follow rays through one cavity to the first face each meets.

    Parameters
    ----------
    part
        The cavity.
    start_mm
        (P, 3) in it or on its rim.
    way
        (P, 3) directions, of any length.
    """
    dx, dy, dz = np.ascontiguousarray(way.T)
    sx, sy, sz = np.ascontiguousarray(start_mm.T)
    with np.errstate(divide="ignore", invalid="ignore"):
        level = np.where(dz < 0.0, part.low_mm - sz, part.high_mm - sz) / dz
    best = np.where(dz == 0.0, np.inf, np.maximum(level, 0.0))
    which = np.full(len(way), -1)
    for number, wall in enumerate(part.segments):
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        ex, ey = (bx - ax) / wall.length_mm, (by - ay) / wall.length_mm
        # Only the front of a wall is met: it lies to the left of the foot line.
        cross = dx * ey - dy * ex
        ahead = (ax - sx) * ey - (ay - sy) * ex
        met = (cross > 0.0) & (ahead > TOUCH_MM * cross) & (ahead < best * cross)
        (rays,) = met.nonzero()
        length = ahead[rays] / cross[rays]
        along = (ax - sx[rays]) * dy[rays] - (ay - sy[rays]) * dx[rays]
        along /= cross[rays]
        height = sz[rays] + length * dz[rays]
        on = (along >= -TOUCH_MM) & (along <= wall.length_mm + TOUCH_MM)
        on &= (height >= wall.low_mm) & (height <= wall.high_mm)
        best[rays[on]], which[rays[on]] = length[on], number
    place = start_mm + np.where(np.isfinite(best), best, 0.0)[:, None] * way
    face = np.full(len(way), LOST)
    flat = np.flatnonzero((which < 0) & np.isfinite(best))
    cells = _cells(part.raster, spots=place[flat, :2])
    face[flat] = np.where(dz[flat] < 0.0, cells, cells + len(part.raster.corner_mm))
    for number, wall in enumerate(part.segments):
        own = np.flatnonzero(which == number)
        if not len(own):
            continue
        start = np.array(wall.start_mm)
        along = (place[own, :2] - start) @ (np.array(wall.end_mm) - start) / wall.length_mm
        ends = part.column_ends_mm[number]
        column = np.clip(np.searchsorted(ends, along) - 1, 0, len(ends) - 2)
        layer = np.searchsorted(part.height_mm, place[own, 2]) - 1
        layer = np.clip(layer, 0, len(part.height_mm) - 2)
        face[own] = part.face[number][column, layer]
    found = face >= 0
    face[found] += part.first
    return Hits(face=face, place_mm=place)
