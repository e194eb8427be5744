"""Random walks through boxes that share openings, compiled: from an opening backwards to the lamps.

At each of its points a walk gathers the light of every lamp it can see, through open passages too:
a ray towards the lamp goes from box to box until it is stopped or there. Walks go on through open
passages as if they were not there, and through those with a diffuser by chance. They end by
roulette only. A point very near a lamp finds much light at once, so the scatter grows with lamps
close to faces.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import Arrays
from lamphouse.light.compiled import compiled
from lamphouse.light.even_points import even_pair, key_of, plain_pair
from lamphouse.light.rays import NOWHERE, WALL, Hit, Vector, about, dot, met, nearest, stepped
from lamphouse.light.walks import EVEN_POINTS, FATE, Round, chance_on, intensity, start_of

Floats = NDArray[np.float64]


class Rooms(NamedTuple):
    """All boxes as the walks want them."""

    boxes: tuple[Arrays, ...]
    passages: Floats
    """(P, 12) first and second box, ends in plan, heights in the first box, rise to the second,
    whether open, reflectance and transmittance of the diffuser."""
    backs_mm: Floats
    """(B,) height of each back above the first one's."""


class Stand(NamedTuple):
    """A point of a walk."""

    place: Vector
    """In the heights of its box."""
    normal: Vector
    box: int
    cavity: int
    wall: int


MOST_PASSED = 64
"""Passages a ray goes through at most."""


@compiled
def passage_at(passages: Floats, box: int, place: Vector) -> int:
    """Give the number of the passage at a place on a wall of a box, -1 for none."""
    for number in range(passages.shape[0]):
        row = passages[number]
        if row[0] == box:
            low, high = row[6], row[7]
        elif row[1] == box:
            low, high = row[6] + row[8], row[7] + row[8]
        else:
            continue
        if not (low < place[2] < high):
            continue
        ex, ey = row[4] - row[2], row[5] - row[3]
        ox, oy = place[0] - row[2], place[1] - row[3]
        square = ex * ex + ey * ey
        along = (ox * ex + oy * ey) / square
        aside = (ox * ey - oy * ex) / math.sqrt(square)
        if 0.0 < along < 1.0 and abs(aside) < 1e-6:
            return number
    return -1


@compiled
def _beyond(passages: Floats, number: int, box: int, place: Vector) -> tuple[int, Vector]:
    """Give the box on the other side of a passage, and a place in its heights."""
    row = passages[number]
    if row[0] == box:
        return int(row[1]), (place[0], place[1], place[2] + row[8])
    return int(row[0]), (place[0], place[1], place[2] - row[8])


@compiled
def _cavity(arrays: Arrays, height: float) -> int:
    return 1 if arrays.level_mm.shape[0] == 3 and height > arrays.level_mm[1] else 0


@compiled
def _wall_at(arrays: Arrays, place: Vector) -> int:
    """Give the outer wall a place lies on, which a ray that enters there must not meet, or -1."""
    for number in range(arrays.walls.shape[0]):
        wall = arrays.walls[number]
        length = math.hypot(wall[2], wall[3])
        ox, oy = place[0] - wall[0], place[1] - wall[1]
        aside = abs(ox * wall[3] - oy * wall[2]) / length
        along = (ox * wall[2] + oy * wall[3]) / length
        if aside < 1e-6 and -1e-6 <= along <= length + 1e-6:
            return number
    return -1


@compiled
def _through(rooms: Rooms, number: int, point: Stand) -> Stand:
    """Stand on the other side of a passage, facing away from it."""
    box, place = _beyond(rooms.passages, number, point.box, point.place)
    cavity = _cavity(rooms.boxes[box], place[2])
    nx, ny, nz = point.normal
    return Stand(place, (-nx, -ny, nz), box, cavity, _wall_at(rooms.boxes[box], place))


@compiled
def _met(rooms: Rooms, point: Stand, way: Vector, reach: float) -> tuple[int, int, Stand]:
    """Follow a ray to what stops it: kind of face, passage or -1, and where; or to its reach.

    The normal of where it ends is not set.
    """
    for _ in range(MOST_PASSED):
        hit = nearest(rooms.boxes[point.box], point.place, way, point.cavity, point.wall)
        if hit.kind == NOWHERE or hit.length >= reach - 1e-9:
            return NOWHERE, -1, point
        reach -= hit.length
        place = stepped(point.place, way, hit.length)
        point = Stand(place, point.normal, point.box, point.cavity, hit.wall)
        gate = passage_at(rooms.passages, point.box, place) if hit.kind == WALL else -1
        if gate < 0 or rooms.passages[gate, 9] == 0.0:
            return hit.kind, gate, point
        point = _through(rooms, gate, point)
    return WALL, -1, point


@compiled
def _from_lamps(rooms: Rooms, point: Stand) -> float:
    """Light that a point gets straight from all lamps. [lm/mm2]."""
    total = 0.0
    for other in range(len(rooms.boxes)):
        arrays = rooms.boxes[other]
        rise = rooms.backs_mm[other] - rooms.backs_mm[point.box]
        for number in range(arrays.lamps.shape[0]):
            lamp = arrays.lamps[number]
            x, y, z = point.place
            way = (lamp[0] - x, lamp[1] - y, lamp[2] + rise - z)
            facing = dot(way, point.normal)
            if facing <= 0.0:
                continue
            square = dot(way, way)
            length = math.sqrt(square)
            leaving = -(way[0] * lamp[3] + way[1] * lamp[4] + way[2] * lamp[5]) / length
            lit = intensity(arrays, number, leaving) * facing / (square * length)
            if lit > 0.0:
                kind, _, end = _met(rooms, point, way, 1.0)
                if kind == NOWHERE and end.box == other:
                    total += lit
    return total


@compiled
def _walk(
    rooms: Rooms, box: int, patch: Floats, strips: Floats, stream: tuple[np.uint64, int]
) -> float:
    """Follow one walk from a patch and give what it finds: the patch's worth times lm/mm2."""
    key, number = stream
    u, v = even_pair(key, number, 0)
    place, worth = start_of(rooms.boxes[box], patch, strips, u, v)
    normal = (patch[2], patch[3], patch[4])
    point = Stand(place, normal, box, int(patch[5]), int(patch[18]))
    total, carried, step = 0.0, worth, 0
    while carried > 0.0:
        total += carried * _from_lamps(rooms, point)
        if step < EVEN_POINTS:
            u, v = even_pair(key, number, 4 + 2 * step)
        else:
            u, v = plain_pair(key, number, 4 + 2 * step)
        way = about(point.normal, math.sqrt(u), math.sqrt(1.0 - u), 2.0 * math.pi * v)
        kind, gate, end = _met(rooms, point, way, math.inf)
        if kind == NOWHERE:
            break
        hit = Hit(0.0, kind, end.wall)
        paint, passes, normal = met(rooms.boxes[end.box], end.place, way, end.cavity, hit)
        if gate >= 0:
            paint, passes = rooms.passages[gate, 10], rooms.passages[gate, 11]
        carried *= paint + passes
        chance = chance_on(carried / worth)
        fate, side = plain_pair(key, number, FATE + step)
        if fate >= chance:
            break
        carried /= chance
        point = Stand(end.place, normal, end.box, end.cavity, end.wall)
        if side * (paint + passes) < passes:
            if gate >= 0:
                point = _through(rooms, gate, point)
            else:
                nx, ny, nz = normal
                point = Stand(end.place, (nx, ny, -nz), end.box, 1 - end.cavity, end.wall)
        step += 1
    return total


@compiled
def suite_walks(
    rooms: Rooms, box: int, starts: tuple[Floats, Floats], part: Round, means: Floats
) -> None:
    """Follow walks from every patch of a box and set the mean of what they find, (P,)."""
    patches, strips = starts
    for at in range(patches.shape[0]):
        key = key_of(part.seed, int(patches[at, 19]), part.batch)
        total = 0.0
        for number in range(part.each):
            total += _walk(rooms, box, patches[at], strips, (key, number))
        means[at] = total / part.each
