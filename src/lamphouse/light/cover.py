"""How much of each cell of the panel an opening takes up, and the ring of every opening's shape."""

from math import cos, pi, sin, sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Disc, Rectangle, Ring, Shape
from lamphouse.light.uprights import direction, inside

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

CHORDS = 48
"""Chords that stand for a full circle; they enclose its exact area."""


def ring_of(shape: Shape) -> Ring:
    """Give a shape as a ring that runs anticlockwise and has the shape's area."""
    if isinstance(shape, Rectangle):
        left, bottom, right, top = shape.left_mm, shape.bottom_mm, shape.right_mm, shape.top_mm
        return ((left, bottom), (right, bottom), (right, top), (left, top))
    if isinstance(shape, Disc):
        turn = 2.0 * pi / CHORDS
        radius = shape.diameter_mm / 2.0 * sqrt(turn / sin(turn))
        return tuple(
            (shape.x_mm + radius * cos(turn * step), shape.y_mm + radius * sin(turn * step))
            for step in range(CHORDS)
        )
    return shape.ring if direction(shape.ring) > 0.0 else shape.ring[::-1]


def area_of(shape: Shape) -> float:
    """Area of a shape. [mm2]."""
    if isinstance(shape, Disc):
        return pi * shape.diameter_mm**2 / 4.0
    return direction(ring_of(shape)) / 2.0


def contains(shape: Shape, *, points_mm: Floats) -> Bools:
    """Tell which points (P, 2) lie in a shape."""
    if isinstance(shape, Disc):
        offset = points_mm - np.array([shape.x_mm, shape.y_mm])
        return np.asarray(np.sum(offset**2, axis=1) <= shape.diameter_mm**2 / 4.0)
    return inside(points_mm, rings=(ring_of(shape),))


def area_below(ring: Ring, *, x_mm: Floats, y_mm: Floats) -> Floats:
    """Area of a ring's inside that lies left of ``x`` and below ``y``. [mm2].

    Green's theorem: each edge adds the area under its part that lies left of ``x``, cut off at
    ``y``.
    """
    return _below(np.array(ring), x_mm=x_mm[..., None], y_mm=y_mm[..., None])


def _below(corner_mm: Floats, *, x_mm: Floats, y_mm: Floats) -> Floats:
    """Add up what the edges of polygons (..., v, 2) give."""
    start, end = corner_mm, np.roll(corner_mm, -1, axis=-2)
    ahead = end[..., 0] > start[..., 0]
    left, right = (np.where(ahead == first, start[..., 0], end[..., 0]) for first in (True, False))
    low, high = (np.where(ahead == first, start[..., 1], end[..., 1]) for first in (True, False))
    floor = start[..., 1].min(axis=-1, keepdims=True)
    width = np.where(right > left, right - left, 1.0)
    reach = np.clip(x_mm, left, right) - left
    first = low - floor
    run = (high - low) / width * reach
    cap = np.maximum(y_mm - floor, 0.0)
    # Mean of min(line, cap) over the part, by the antiderivative of min for a straight line.
    flat = np.abs(run) < 1e-12
    below = _half_square(first + run, cap=cap) - _half_square(first, cap=cap)
    mean = np.where(flat, np.minimum(first, cap), below / np.where(flat, 1.0, run))
    return np.asarray(np.sum(np.where(ahead, -mean, mean) * reach, axis=-1))


def _half_square(value: Floats, *, cap: Floats) -> Floats:
    """Antiderivative of ``min(v, cap)``."""
    small = np.minimum(value, cap)
    return small * small / 2.0 + cap * (value - small)


def clipped(ring: Ring, *, cell: Floats) -> Floats:
    """Give the part of a ring inside a convex cell that runs anticlockwise, (v, 2).

    A ring that the cell cuts into several parts comes back as one, joined by edges that lie on the
    cell's own and add no area.
    """
    kept = [(float(x), float(y)) for x, y in ring]
    edges = cell.tolist()
    # Plain numbers: polygons of a few corners cost an array more than the sum itself.
    for (ax, ay), (bx, by) in zip(edges, [*edges[1:], edges[0]], strict=True):
        if len(kept) < 3:
            break
        side = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in kept]
        rest: list[tuple[float, float]] = []
        for index, (x, y) in enumerate(kept):
            here, there = side[index - 1], side[index]
            if here * there < 0.0:
                px, py = kept[index - 1]
                share = here / (here - there)
                rest.append((px + share * (x - px), py + share * (y - py)))
            if there >= 0.0:
                rest.append((x, y))
        kept = rest
    return np.array(kept).reshape(-1, 2)


def shares(shape: Shape, *, corner_mm: Floats, area_mm2: Floats) -> Floats:
    """Share of each cell (C, v, 2) that a shape covers, (C,), 0 to 1."""
    ring = ring_of(shape)
    low, high = corner_mm.min(axis=1), corner_mm.max(axis=1)
    around = np.array(ring)
    near = ((high > around.min(axis=0)) & (low < around.max(axis=0))).all(axis=1)
    upright = near & (np.abs((high - low).prod(axis=1) - area_mm2) < 1e-9 * area_mm2)
    covered = np.zeros(len(area_mm2))
    (left, bottom), (right, top) = low[upright].T, high[upright].T
    covered[upright] = (
        area_below(ring, x_mm=right, y_mm=top)
        - area_below(ring, x_mm=left, y_mm=top)
        - area_below(ring, x_mm=right, y_mm=bottom)
        + area_below(ring, x_mm=left, y_mm=bottom)
    )
    slanted = np.flatnonzero(near & ~upright)
    if isinstance(shape, Rectangle):
        cells = corner_mm[slanted]
        covered[slanted] = sum(
            way * _below(cells, x_mm=np.array(x), y_mm=np.array(y))
            for (x, y), way in zip(ring, (1.0, -1.0, 1.0, -1.0), strict=True)
        )
        slanted = slanted[:0]
    for index in slanted:
        part = clipped(ring, cell=corner_mm[index])
        covered[index] = direction(tuple(map(tuple, part.tolist()))) / 2.0 if len(part) else 0.0
    return np.clip(covered / area_mm2, 0.0, 1.0)
