"""Rays in a light box, compiled: what they meet, what hides one point from another.

A ray in one cavity meets its floor, its ceiling, a wall, or a baffle; walls and baffles are upright
and have no thickness. A baffle of part height is met between its lower and upper edge.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import BLOCKS, DISC, RECTANGLE, Arrays
from lamphouse.light.compiled import compiled

Floats = NDArray[np.float64]
Vector = tuple[float, float, float]

FLOOR, CEILING, WALL, NOWHERE = 0, 1, 2, 3
"""What a ray meets."""

CLOSE = 1e-9
"""A ray does not meet what it starts from. [mm]."""


class Hit(NamedTuple):
    """What a ray meets."""

    length: float
    """From where it set out. [mm]."""
    kind: int
    wall: int
    """Number of the wall or baffle, -1 for level faces."""


@compiled
def nearest(arrays: Arrays, place: Vector, way: Vector, cavity: int, left: int) -> Hit:
    """Find what a ray meets first; it cannot be the wall it left."""
    x, y, z = place
    dx, dy, dz = way
    best, kind, which = math.inf, NOWHERE, -1
    if dz < 0.0:
        best, kind = (arrays.level_mm[cavity] - z) / dz, FLOOR
    elif dz > 0.0:
        best, kind = (arrays.level_mm[cavity + 1] - z) / dz, CEILING
    walls = arrays.walls
    for number in range(walls.shape[0]):
        ex, ey = walls[number, 2], walls[number, 3]
        ox, oy = walls[number, 0] - x, walls[number, 1] - y
        cross = dx * ey - dy * ex
        along = (ox * ey - oy * ex) / cross
        if not (CLOSE < along < best) or number == left:
            continue
        part = (ox * dy - oy * dx) / cross
        if part < -1e-12 or part > 1.0 + 1e-12:
            continue
        height = z + along * dz
        if walls[number, 4] <= height <= walls[number, 5]:
            best, kind, which = along, WALL, number
    return Hit(best, kind, which)


@compiled
def hidden(arrays: Arrays, one: Vector, other: Vector) -> bool:
    """Tell whether a wall or baffle stands between two points of one cavity."""
    x, y, z = one
    dx, dy, dz = other[0] - x, other[1] - y, other[2] - z
    walls = arrays.walls
    for number in arrays.screens:
        ex, ey = walls[number, 2], walls[number, 3]
        ox, oy = walls[number, 0] - x, walls[number, 1] - y
        cross = dx * ey - dy * ex
        along = (ox * ey - oy * ex) / cross
        if not (CLOSE < along < 1.0 - CLOSE):
            continue
        part = (ox * dy - oy * dx) / cross
        if part < 0.0 or part > 1.0:
            continue
        height = z + along * dz
        if walls[number, 4] <= height <= walls[number, 5]:
            return True
    return False


@compiled
def _in_ring(corners: Floats, first: int, last: int, x: float, y: float) -> bool:
    inside = False
    before = last - 1
    for number in range(first, last):
        ax, ay = corners[before, 0], corners[before, 1]
        bx, by = corners[number, 0], corners[number, 1]
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
        before = number
    return inside


@compiled
def opening_at(arrays: Arrays, x: float, y: float) -> int:
    """Give the number of the opening at a place of the panel, -1 for none."""
    block = arrays.block_mm
    column = min(BLOCKS - 1, max(0, int((x - block[0]) / block[2])))
    row = min(BLOCKS - 1, max(0, int((y - block[1]) / block[3])))
    place = row * BLOCKS + column
    for entry in range(arrays.block_first[place], arrays.block_first[place + 1]):
        number = arrays.block_openings[entry]
        shape = arrays.openings[number]
        if shape[0] == DISC:
            if (x - shape[1]) ** 2 + (y - shape[2]) ** 2 <= shape[3] ** 2:
                return int(number)
        elif shape[1] <= x <= shape[3] and shape[2] <= y <= shape[4]:
            first, last = arrays.ring_first[number], arrays.ring_first[number + 1]
            if shape[0] == RECTANGLE or _in_ring(arrays.corners, first, last, x, y):
                return int(number)
    return -1


@compiled
def met(
    arrays: Arrays, place: Vector, way: Vector, cavity: int, hit: Hit
) -> tuple[float, float, Vector]:
    """Give reflectance, transmittance and near side's normal of a face that a ray met."""
    if hit.kind == WALL:
        wall = arrays.walls[hit.wall]
        length = math.hypot(wall[2], wall[3])
        nx, ny = -wall[3] / length, wall[2] / length
        turn = -1.0 if nx * way[0] + ny * way[1] > 0.0 else 1.0
        return wall[6], 0.0, (turn * nx, turn * ny, 0.0)
    top = arrays.level_mm.shape[0] - 2
    if hit.kind == FLOOR:
        if cavity == 0:
            return arrays.paint[0], 0.0, (0.0, 0.0, 1.0)
        return arrays.paint[2], arrays.paint[3], (0.0, 0.0, 1.0)
    if cavity < top:
        return arrays.paint[2], arrays.paint[3], (0.0, 0.0, -1.0)
    number = opening_at(arrays, place[0], place[1])
    paint = arrays.paint[1] if number < 0 else arrays.openings[number, 5]
    return paint, 0.0, (0.0, 0.0, -1.0)


@compiled
def stepped(place: Vector, way: Vector, length: float) -> Vector:
    """Go so far along a direction."""
    return (
        place[0] + length * way[0],
        place[1] + length * way[1],
        place[2] + length * way[2],
    )


@compiled
def about(normal: Vector, sine: float, cosine: float, turn: float) -> Vector:
    """Give the direction at an angle from a normal that is upright or level."""
    one, other = sine * math.cos(turn), sine * math.sin(turn)
    nx, ny, nz = normal
    if nz != 0.0:
        return one, other, nz * cosine
    return nx * cosine - ny * one, ny * cosine + nx * one, other


@compiled
def dot(one: Vector, other: Vector) -> float:
    """Multiply two vectors."""
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]
