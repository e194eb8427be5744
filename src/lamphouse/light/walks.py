"""Random walks through a light box, compiled: from an opening backwards to the lamps.

Every walk starts at a point of a patch and goes from face to face as light would, in reverse. At each
of its points it gathers the lamps' light twice: straight from the lamps, and by way of a face that
a lamp was drawn to shine on. Both find the same light, the first well where the lamp is far from
the face, the second where it is near; each counts by the chance with which it finds it (the balance
heuristic [VEACH1997]), so that no spike stands out beside a lamp or in a corner, and no light is
counted twice. Walks end by roulette only: nothing is cut off.
"""

import math

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import BLOCKS, DISC, RECTANGLE, Arrays
from lamphouse.light.compiled import compiled
from lamphouse.light.even_points import even_pair, key_of, plain_pair

Floats = NDArray[np.float64]
Vector = tuple[float, float, float]
LitFace = tuple[Vector, Vector, int, float, float, float, float]
"""Place, normal, cavity, reflectance, transmittance, flux over chance [lm], chance per area."""

LEVEL, POLAR, UPRIGHT = 0, 1, 2
"""Kinds of patches a walk can start from."""

FLOOR, CEILING, WALL, NOWHERE = 0, 1, 2, 3
"""What a ray meets."""

CLOSE = 1e-9
"""A ray does not meet what it starts from. [mm]."""

FAINT = 0.05
"""A walk goes on for certain while it carries more than this share of what it began with."""

EVEN_POINTS = 8
"""Points of a walk whose random numbers are evenly spread; later ones are plain."""


@compiled
def _nearest(
    arrays: Arrays, place: Vector, way: Vector, cavity: int, left: int
) -> tuple[float, int, int]:
    """Find what a ray meets first: distance, kind, number of the wall."""
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
    return best, kind, which


@compiled
def _hidden(arrays: Arrays, one: Vector, other: Vector) -> bool:
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
def _met(
    arrays: Arrays, place: Vector, way: Vector, cavity: int, kind: int, which: int
) -> tuple[float, float, Vector]:
    """Give reflectance, transmittance and near side's normal of a face that a ray met."""
    if kind == WALL:
        wall = arrays.walls[which]
        length = math.hypot(wall[2], wall[3])
        nx, ny = -wall[3] / length, wall[2] / length
        turn = -1.0 if nx * way[0] + ny * way[1] > 0.0 else 1.0
        return wall[6], 0.0, (turn * nx, turn * ny, 0.0)
    top = arrays.level_mm.shape[0] - 2
    if kind == FLOOR:
        if cavity == 0:
            return arrays.paint[0], 0.0, (0.0, 0.0, 1.0)
        return arrays.paint[2], arrays.paint[3], (0.0, 0.0, 1.0)
    if cavity < top:
        return arrays.paint[2], arrays.paint[3], (0.0, 0.0, -1.0)
    number = opening_at(arrays, place[0], place[1])
    paint = arrays.paint[1] if number < 0 else arrays.openings[number, 5]
    return paint, 0.0, (0.0, 0.0, -1.0)


@compiled
def _stepped(place: Vector, way: Vector, length: float) -> Vector:
    return (
        place[0] + length * way[0],
        place[1] + length * way[1],
        place[2] + length * way[2],
    )


@compiled
def _about(normal: Vector, sine: float, cosine: float, turn: float) -> Vector:
    """Give the direction at an angle from a normal that is upright or level."""
    one, other = sine * math.cos(turn), sine * math.sin(turn)
    nx, ny, nz = normal
    if nz != 0.0:
        return one, other, nz * cosine
    return nx * cosine - ny * one, ny * cosine + nx * one, other


@compiled
def _dot(one: Vector, other: Vector) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


@compiled
def _intensity(arrays: Arrays, number: int, cosine: float) -> float:
    """Give the intensity of a lamp at an angle from its axis. [cd]."""
    lamp = arrays.lamps[number]
    first, last = arrays.band_first[number], arrays.band_first[number + 1]
    if first == last:
        if cosine <= 0.0:
            return 0.0
        return lamp[12] * (cosine if lamp[13] == 1.0 else cosine ** lamp[13])
    angle = math.acos(min(1.0, max(-1.0, cosine)))
    if angle > arrays.bands[last - 1, 2]:
        return 0.0
    low, high = first, last - 1
    while low < high:
        middle = (low + high) // 2
        if arrays.bands[middle, 2] < angle:
            low = middle + 1
        else:
            high = middle
    band = arrays.bands[low]
    return band[3] + (band[4] - band[3]) * (angle - band[1]) / (band[2] - band[1])


@compiled
def lamp_ray(arrays: Arrays, u: float, v: float, pick: float) -> tuple[int, Vector, float]:
    """Draw a lamp and a direction: its number, the direction, and flux over chance. [lm]."""
    number = 0
    while number < arrays.lamps.shape[0] - 1 and pick > arrays.share[number]:
        number += 1
    lamp = arrays.lamps[number]
    first, last = arrays.band_first[number], arrays.band_first[number + 1]
    worth = lamp[14]
    if first == last:
        cosine = u ** (1.0 / (lamp[13] + 1.0))
    else:
        at = first
        while at < last - 1 and u > arrays.bands[at, 0]:
            at += 1
        band = arrays.bands[at]
        before = arrays.bands[at - 1, 0] if at > first else 0.0
        chance = band[0] - before
        near, far = math.cos(band[1]), math.cos(band[2])
        cosine = near + (far - near) * (u - before) / chance
        worth = _intensity(arrays, number, cosine) * 2.0 * math.pi * (near - far) / chance
    before = arrays.share[number - 1] if number > 0 else 0.0
    worth /= arrays.share[number] - before
    sine = math.sqrt(max(0.0, 1.0 - cosine * cosine))
    one, other = sine * math.cos(2.0 * math.pi * v), sine * math.sin(2.0 * math.pi * v)
    way = (
        cosine * lamp[3] + one * lamp[6] + other * lamp[9],
        cosine * lamp[4] + one * lamp[7] + other * lamp[10],
        cosine * lamp[5] + one * lamp[8] + other * lamp[11],
    )
    return number, way, worth


@compiled
def _start(
    arrays: Arrays, patch: Floats, strips: Floats, u: float, v: float
) -> tuple[Vector, float]:
    """Draw a point of a patch; also give what a walk from there counts."""
    kind = int(patch[0])
    if kind == UPRIGHT:
        x, y = patch[8] + u * patch[10], patch[9] + u * patch[11]
        return (x, y, patch[12] + v * patch[13]), patch[6]
    if kind == POLAR:
        radius = math.sqrt(patch[10] ** 2 + u * (patch[11] ** 2 - patch[10] ** 2))
        turn = patch[12] + v * (patch[13] - patch[12])
        x, y = patch[8] + radius * math.cos(turn), patch[9] + radius * math.sin(turn)
    else:
        at, last = int(patch[8]), int(patch[9])
        before = 0.0
        while at < last - 1 and u > strips[at, 0]:
            before = strips[at, 0]
            at += 1
        strip = strips[at]
        part = (u - before) / (strip[0] - before)
        lower, upper = strip[4] - strip[3], strip[6] - strip[5]
        # The height at which this part of the strip's area lies below.
        root = math.sqrt(lower * lower + part * (upper * upper - lower * lower))
        up = part * (lower + upper) / (lower + root)
        left = strip[3] + up * (strip[5] - strip[3])
        right = strip[4] + up * (strip[6] - strip[4])
        x, y = left + v * (right - left), strip[1] + up * (strip[2] - strip[1])
    worth = patch[6]
    if patch[7] == 1.0 and opening_at(arrays, x, y) >= 0:
        worth = 0.0
    return (x, y, patch[1]), worth


@compiled
def _bent(patch: Floats, cosine: float) -> tuple[float, float]:
    """Give a hazy sheet's share to the eye [1/sr] and the chance of drawing a direction. [1/sr]."""
    even, lobe, wide, share = patch[14], patch[15], patch[16], patch[17]
    angle = math.acos(min(1.0, cosine))
    sine = math.sin(angle)
    bell = math.exp(-0.5 * (angle / wide) ** 2)
    whole = 1.0 - math.exp(-0.125 * (math.pi / wide) ** 2)
    stretch = angle / sine if sine > 0.0 else 1.0
    drawn = stretch * bell / (2.0 * math.pi * wide * wide * whole)
    return even + lobe * bell, share * cosine / math.pi + (1.0 - share) * drawn


@compiled
def _bent_ray(patch: Floats, u: float) -> tuple[float, float]:
    """Draw sine and cosine of a direction from below a hazy sheet."""
    share, wide = patch[17], patch[16]
    if u < share:
        sine = math.sqrt(u / share)
        return sine, math.sqrt(1.0 - sine * sine)
    part = (u - share) / (1.0 - share)
    whole = 1.0 - math.exp(-0.125 * (math.pi / wide) ** 2)
    angle = wide * math.sqrt(-2.0 * math.log(1.0 - part * whole))
    return math.sin(angle), math.cos(angle)


@compiled
def _passing(carried: float) -> float:
    """Chance that a walk goes on, by the share it carries of what it began with."""
    return min(1.0, carried / FAINT)


@compiled
def _pair(key: np.uint64, number: int, point: int, pair: int) -> tuple[float, float]:
    if point < EVEN_POINTS:
        return even_pair(key, number, 4 + 4 * point + pair)
    return plain_pair(key, number, 4 + 4 * point + pair)


@compiled
def _from_lamps(
    arrays: Arrays,
    place: Vector,
    normal: Vector,
    cavity: int,
    chance: float,
    pick: float,
    patch: Floats,
    first: bool,
) -> float:
    """Light that a point gets straight from the lamps, as far as this way of finding it counts."""
    hazy = first and patch[15] > 0.0
    total, chosen = 0.0, -1
    for number in range(arrays.lamps.shape[0]):
        lamp = arrays.lamps[number]
        if int(lamp[15]) != cavity:
            continue
        ray = (place[0] - lamp[0], place[1] - lamp[1], place[2] - lamp[2])
        facing = -_dot(ray, normal)
        if facing <= 0.0:
            continue
        square = _dot(ray, ray)
        length = math.sqrt(square)
        leaving = (ray[0] * lamp[3] + ray[1] * lamp[4] + ray[2] * lamp[5]) / length
        lit = _intensity(arrays, number, leaving) * facing / (square * length)
        if first:
            if hazy:
                lit *= _bent(patch, facing / length)[0]
        else:
            lit *= chance / (chance + lit / arrays.flux_lm)
        if lit <= 0.0:
            continue
        total += lit
        part = lit / total
        if pick < part:
            chosen, pick = number, pick / part
        else:
            pick = (pick - part) / (1.0 - part)
    if chosen < 0 or arrays.screens.shape[0] == 0:
        return total
    lamp = arrays.lamps[chosen]
    if _hidden(arrays, place, (lamp[0], lamp[1], lamp[2])):
        return 0.0
    return total


@compiled
def _by_lit_face(
    arrays: Arrays,
    place: Vector,
    normal: Vector,
    cavity: int,
    carried: float,
    lit: LitFace,
    patch: Floats,
    first: bool,
) -> float:
    """Light that a point gets by way of the face a lamp was drawn to shine on, as it counts."""
    spot, spot_normal, home, paint, passes, flux, found = lit
    side, up = 1.0, spot_normal[2]
    if passes > 0.0:
        side = paint / (paint + passes)
        if cavity != home:
            paint, side, up = passes, 1.0 - side, -up
    elif cavity != home:
        return 0.0
    ray = (spot[0] - place[0], spot[1] - place[1], spot[2] - place[2])
    here = _dot(ray, normal)
    there = -(ray[0] * spot_normal[0] + ray[1] * spot_normal[1] + ray[2] * up)
    if here <= 0.0 or there <= 0.0 or paint == 0.0:
        return 0.0
    square = _dot(ray, ray)
    length = math.sqrt(square)
    share, drawn, weight = 1.0, here / length / math.pi, 1.0
    if first and patch[15] > 0.0:
        share, drawn = _bent(patch, here / length)
        weight = share * here / length / drawn
    other = drawn * there / (length * square) * _passing(carried * weight * paint / side) * side
    sent = share * paint * here * there / (math.pi * square * square)
    if _hidden(arrays, place, spot):
        return 0.0
    return carried * flux * sent * found / (found + other)


@compiled
def _lit_face(arrays: Arrays, key: np.uint64, number: int) -> LitFace:
    """Draw a lamp and follow its light to the first face."""
    u, v = even_pair(key, number, 1)
    pick, _ = even_pair(key, number, 2)
    lamp, way, flux = lamp_ray(arrays, u, v, pick)
    row = arrays.lamps[lamp]
    source, home = (row[0], row[1], row[2]), int(row[15])
    length, kind, which = _nearest(arrays, source, way, home, -1)
    if kind == NOWHERE:
        return source, way, home, 0.0, 0.0, 0.0, 0.0
    spot = _stepped(source, way, length)
    paint, passes, normal = _met(arrays, spot, way, home, kind, which)
    leaving = way[0] * row[3] + way[1] * row[4] + way[2] * row[5]
    square = length * length
    found = _intensity(arrays, lamp, leaving) * -_dot(way, normal) / (square * arrays.flux_lm)
    return spot, normal, home, paint, passes, flux, found


@compiled
def walk(arrays: Arrays, patch: Floats, strips: Floats, key: np.uint64, number: int) -> float:
    """Follow one walk from a patch and give what it finds: the patch's worth times lm/mm2."""
    u, v = even_pair(key, number, 0)
    place, worth = _start(arrays, patch, strips, u, v)
    if worth == 0.0:
        return 0.0
    lit = _lit_face(arrays, key, number)
    normal = (patch[2], patch[3], patch[4])
    cavity, left = int(patch[5]), int(patch[18])
    total, carried, chance, point = 0.0, 1.0, 0.0, 0
    while True:
        first = point == 0
        fate, pick = _pair(key, number, point, 1)
        total += carried * _from_lamps(arrays, place, normal, cavity, chance, pick, patch, first)
        total += _by_lit_face(arrays, place, normal, cavity, carried, lit, patch, first)
        u, v = _pair(key, number, point, 0)
        if first and patch[15] > 0.0:
            sine, cosine = _bent_ray(patch, u)
            share, drawn = _bent(patch, cosine)
            carried *= share * cosine / drawn
        else:
            sine, cosine = math.sqrt(u), math.sqrt(1.0 - u)
            drawn = cosine / math.pi
        way = _about(normal, sine, cosine, 2.0 * math.pi * v)
        length, kind, left = _nearest(arrays, place, way, cavity, left)
        if kind == NOWHERE:
            break
        place = _stepped(place, way, length)
        paint, passes, normal = _met(arrays, place, way, cavity, kind, left)
        chance = drawn * -_dot(way, normal) / (length * length)
        carried *= paint + passes
        passing = _passing(carried)
        if fate >= passing:
            break
        carried /= passing
        chance *= passing
        if passes > 0.0:
            side = paint / (paint + passes)
            turn, _ = _pair(key, number, point, 2)
            if turn >= side:
                side, cavity, normal = 1.0 - side, 1 - cavity, (0.0, 0.0, -normal[2])
            chance *= side
        point += 1
    return total * worth


@compiled
def walks(
    arrays: Arrays, patches: Floats, strips: Floats, seed: int, batch: int, count: int
) -> Floats:
    """Follow ``count`` walks from every patch and give the mean of what they find, (P,).

    Patches keep their own numbers in column 19, so that the answer of one does not depend on what
    else is asked, nor on how the work is shared out.
    """
    means = np.zeros(patches.shape[0])
    for at in range(patches.shape[0]):
        key = key_of(seed, int(patches[at, 19]), batch)
        total = 0.0
        for number in range(count):
            total += walk(arrays, patches[at], strips, key, number)
        means[at] = total / count
    return means
