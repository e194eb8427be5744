"""A box turned in the plane, so that most of its walls run along the axes of its grid."""

from collections import defaultdict
from math import atan2, cos, pi, sin

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cover import ring_of
from lamphouse.light.scene import Box, Disc, Patch, Ring, Shape, Spot
from lamphouse.light.slits import narrow_slits
from lamphouse.light.uprights import segments
from lamphouse.record import replace

Floats = NDArray[np.float64]

Way = tuple[float, float]
"""Direction of a grid's first axis, of length 1."""

LEVEL: Way = (1.0, 0.0)

QUARTER = pi / 2.0

SAME_RAD = 1e-7
"""Walls whose directions differ by less run alike."""

WORTH = 1.01
"""A grid is turned when so many times more wall runs along it than along the drawing's axes."""


def best_way(box: Box) -> Way:
    """Find the direction along or across which most of the length of walls and baffles runs.

    Where light passes narrow slits, that of their baffles alone: beside them the grid must be fine.
    """
    length: defaultdict[int, float] = defaultdict(float)
    angles = {0: 0.0}
    slit = [slit.wall for slit in narrow_slits(box)]
    for wall in slit or segments(box):
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        angle = atan2(by - ay, bx - ax) % QUARTER
        alike = round(angle / SAME_RAD) % round(QUARTER / SAME_RAD)
        length[alike] += wall.length_mm
        angles.setdefault(alike, angle)
    best = max(length, key=lambda alike: length[alike])
    if length[best] < WORTH * length[0]:
        return LEVEL
    return cos(angles[best]), sin(angles[best])


def straightened(points_mm: Floats, *, way: Way) -> Floats:
    """Give points (..., 2) along and across a direction."""
    if way == LEVEL:
        return points_mm
    return np.asarray(points_mm @ np.array([(way[0], -way[1]), (way[1], way[0])]))


def laid_back(points_mm: Floats, *, way: Way) -> Floats:
    """Undo ``straightened``."""
    return straightened(points_mm, way=(way[0], -way[1]))


def _spot(spot: Spot, *, way: Way) -> Spot:
    return way[0] * spot[0] + way[1] * spot[1], way[0] * spot[1] - way[1] * spot[0]


def _ring(ring: Ring, *, way: Way) -> Ring:
    return tuple(_spot(spot, way=way) for spot in ring)


def straight_shape(shape: Shape, *, way: Way) -> Shape:
    """Turn a shape as ``straightened`` turns points."""
    if way == LEVEL:
        return shape
    if isinstance(shape, Disc):
        x, y = _spot((shape.x_mm, shape.y_mm), way=way)
        return replace(shape, x_mm=x, y_mm=y)
    return Patch(ring=_ring(ring_of(shape), way=way))


def straight_box(box: Box, *, way: Way) -> Box:
    """Turn the walls, baffles and openings of a box; its lamps play no part in a mesh."""
    if way == LEVEL:
        return box
    return replace(
        box,
        outline=_ring(box.outline, way=way),
        holes=tuple(_ring(hole, way=way) for hole in box.holes),
        baffles=tuple(
            replace(
                baffle,
                start_mm=_spot(baffle.start_mm, way=way),
                end_mm=_spot(baffle.end_mm, way=way),
            )
            for baffle in box.baffles
        ),
        ports=tuple(
            replace(
                port,
                start_mm=_spot(port.start_mm, way=way),
                end_mm=_spot(port.end_mm, way=way),
            )
            for port in box.ports
        ),
        apertures=tuple(
            replace(aperture, shape=straight_shape(aperture.shape, way=way))
            for aperture in box.apertures
        ),
    )
