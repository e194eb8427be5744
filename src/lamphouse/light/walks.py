"""Random walks through a light box, compiled: from an opening backwards to the lamps.

Every walk starts at a point of a patch and goes from face to face as light would, in reverse. At
each of its points it gathers the lamps' light twice: straight from the lamps, and by way of a face
that a lamp was drawn to shine on. Both find the same light, the first well where the lamp is far
from the face, the second where it is near; each counts by the chance with which it finds it (the
balance heuristic [VEACH1997]), so that no spike stands out beside a lamp or in a corner, and no
light is counted twice. Walks end by roulette only: nothing is cut off.
"""

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import Arrays
from lamphouse.light.compiled import compiled
from lamphouse.light.even_points import even_pair, key_of, plain_pair
from lamphouse.light.rays import (
    NOWHERE,
    Vector,
    about,
    dot,
    hidden,
    met,
    nearest,
    opening_at,
    stepped,
)

Floats = NDArray[np.float64]


class Point(NamedTuple):
    """A point of a walk."""

    place: Vector
    normal: Vector
    """Of the side the walk is on."""
    cavity: int
    wall: int
    carried: float
    """Share of what the walk began with."""
    chance: float
    """Chance per area with which the walk came here, from the point before."""
    number: int
    """0 at the patch the walk starts from."""


class LitFace(NamedTuple):
    """A point that a lamp was drawn to shine on."""

    place: Vector
    normal: Vector
    cavity: int
    paint: float
    """Reflectance."""
    passes: float
    """Transmittance; 0 but for the inner sheet."""
    flux: float
    """The lamp's flux over the chance of drawing this way; 0 when nothing was met. [lm]."""
    chance: float
    """Chance per area of drawing this point."""


class Round(NamedTuple):
    """Which walks to follow."""

    seed: int
    batch: int
    each: int
    """Walks from every patch."""


LEVEL, POLAR, UPRIGHT = 0, 1, 2
"""Kinds of patches a walk can start from."""

FAINT = 0.2
"""A walk goes on for certain while it carries more than this share of what it began with."""

FATE, PICK = 1 << 40, 1 << 41
"""Where the numbers of the roulette and of the choice of a lamp begin; they are always plain."""

EVEN_POINTS = 12
"""Points of a walk whose random numbers are evenly spread; later ones are plain."""


@compiled
def intensity(arrays: Arrays, number: int, cosine: float) -> float:
    """Give the intensity of a lamp at an angle from its axis. [cd]."""
    lamp = arrays.lamps[number]
    first, last = arrays.band_first[number], arrays.band_first[number + 1]
    if first == last:
        if cosine <= 0.0:
            return 0.0
        return float(lamp[12] * (cosine if lamp[13] == 1.0 else cosine ** lamp[13]))
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
    return float(band[3] + (band[4] - band[3]) * (angle - band[1]) / (band[2] - band[1]))


@compiled
def _lamp_ray(arrays: Arrays, u: float, v: float, pick: float) -> tuple[int, Vector, float]:
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
        worth = intensity(arrays, number, cosine) * 2.0 * math.pi * (near - far) / chance
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
def start_of(
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
    return even + lobe * bell / cosine, share * cosine / math.pi + (1.0 - share) * drawn


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
def chance_on(carried: float) -> float:
    """Chance that a walk goes on, by the share it carries of what it began with."""
    return min(1.0, carried / FAINT)


@compiled
def _pair(key: np.uint64, number: int, point: int, pair: int) -> tuple[float, float]:
    if point < EVEN_POINTS:
        return even_pair(key, number, 4 + 2 * point + pair)
    return plain_pair(key, number, 4 + 2 * point + pair)


@compiled
def _from_lamps(arrays: Arrays, point: Point, patch: Floats, pick: float) -> float:
    """Light that a point gets straight from the lamps, as far as this way of finding it counts."""
    hazy = point.number == 0 and patch[15] > 0.0
    total, chosen = 0.0, -1
    for number in range(arrays.lamps.shape[0]):
        lamp = arrays.lamps[number]
        if int(lamp[15]) != point.cavity:
            continue
        x, y, z = point.place
        ray = (x - lamp[0], y - lamp[1], z - lamp[2])
        facing = -dot(ray, point.normal)
        if facing <= 0.0:
            continue
        square = dot(ray, ray)
        length = math.sqrt(square)
        leaving = (ray[0] * lamp[3] + ray[1] * lamp[4] + ray[2] * lamp[5]) / length
        lit = intensity(arrays, number, leaving) * facing / (square * length)
        if hazy:
            lit *= _bent(patch, facing / length)[0]
        elif point.number > 0:
            lit *= point.chance / (point.chance + lit / arrays.flux_lm)
        if lit <= 0.0:
            continue
        # One of the lamps is drawn by what it would give, and asked whether it is seen.
        total += lit
        part = lit / total
        if pick < part:
            chosen, pick = number, pick / part
        else:
            pick = (pick - part) / (1.0 - part)
    if chosen < 0:
        return 0.0
    lamp = arrays.lamps[chosen]
    if hidden(arrays, point.place, (lamp[0], lamp[1], lamp[2])):
        return 0.0
    return point.carried * total


@compiled
def _by_lit_face(arrays: Arrays, point: Point, patch: Floats, lit: LitFace) -> float:
    """Light that a point gets by way of a face a lamp shines on, as far as this way counts."""
    paint, side, up = lit.paint, 1.0, lit.normal[2]
    if lit.passes > 0.0:
        side = paint / (paint + lit.passes)
        if point.cavity != lit.cavity:
            paint, side, up = lit.passes, 1.0 - side, -up
    elif point.cavity != lit.cavity:
        return 0.0
    x, y, z = point.place
    ray = (lit.place[0] - x, lit.place[1] - y, lit.place[2] - z)
    here = dot(ray, point.normal)
    there = -(ray[0] * lit.normal[0] + ray[1] * lit.normal[1] + ray[2] * up)
    if here <= 0.0 or there <= 0.0 or paint == 0.0:
        return 0.0
    square = dot(ray, ray)
    length = math.sqrt(square)
    share, drawn, bend = 1.0, here / length / math.pi, 1.0
    if point.number == 0 and patch[15] > 0.0:
        share, drawn = _bent(patch, here / length)
        bend = share * here / length / (math.pi * drawn)
    passing = chance_on(point.carried * bend * paint / side)
    walked = drawn * there / (length * square) * passing * side
    sent = share * paint * here * there / (math.pi * square * square)
    if hidden(arrays, point.place, lit.place):
        return 0.0
    return point.carried * lit.flux * sent * lit.chance / (lit.chance + walked)


@compiled
def _lit_face(arrays: Arrays, key: np.uint64, number: int) -> LitFace:
    """Draw a lamp and follow its light to the first face."""
    u, v = even_pair(key, number, 1)
    pick, _ = even_pair(key, number, 2)
    lamp, way, flux = _lamp_ray(arrays, u, v, pick)
    row = arrays.lamps[lamp]
    source, home = (row[0], row[1], row[2]), int(row[15])
    hit = nearest(arrays, source, way, home, -1)
    if hit.kind == NOWHERE:
        return LitFace(source, way, home, 0.0, 0.0, 0.0, 0.0)
    place = stepped(source, way, hit.length)
    paint, passes, normal = met(arrays, place, way, home, hit)
    leaving = way[0] * row[3] + way[1] * row[4] + way[2] * row[5]
    square = hit.length * hit.length
    chance = intensity(arrays, lamp, leaving) * -dot(way, normal) / (square * arrays.flux_lm)
    return LitFace(place, normal, home, paint, passes, flux, chance)


@compiled
def _next(
    arrays: Arrays, point: Point, patch: Floats, key: np.uint64, number: int
) -> tuple[bool, Point]:
    """Go on to the next point of a walk; first tell whether there is one."""
    u, v = _pair(key, number, point.number, 0)
    carried = point.carried
    if point.number == 0 and patch[15] > 0.0:
        sine, cosine = _bent_ray(patch, u)
        share, drawn = _bent(patch, cosine)
        carried *= share * cosine / (math.pi * drawn)
    else:
        sine, cosine = math.sqrt(u), math.sqrt(1.0 - u)
        drawn = cosine / math.pi
    way = about(point.normal, sine, cosine, 2.0 * math.pi * v)
    hit = nearest(arrays, point.place, way, point.cavity, point.wall)
    if hit.kind == NOWHERE:
        return False, point
    place = stepped(point.place, way, hit.length)
    paint, passes, normal = met(arrays, place, way, point.cavity, hit)
    carried *= paint + passes
    passing = chance_on(carried)
    if passing < 1.0:
        fate, _ = plain_pair(key, number, FATE + point.number)
        if fate >= passing:
            return False, point
    chance = drawn * -dot(way, normal) / (hit.length * hit.length) * passing
    cavity = point.cavity
    if passes > 0.0:
        side = paint / (paint + passes)
        turn, _ = _pair(key, number, point.number, 1)
        if turn >= side:
            side, cavity, normal = 1.0 - side, 1 - cavity, (0.0, 0.0, -normal[2])
        chance *= side
    return True, Point(place, normal, cavity, hit.wall, carried / passing, chance, point.number + 1)


@compiled
def walk(arrays: Arrays, patch: Floats, strips: Floats, key: np.uint64, number: int) -> float:
    """Follow one walk from a patch and give what it finds: the patch's worth times lm/mm2."""
    u, v = even_pair(key, number, 0)
    place, worth = start_of(arrays, patch, strips, u, v)
    if worth == 0.0:
        return 0.0
    lit = _lit_face(arrays, key, number)
    normal = (patch[2], patch[3], patch[4])
    point = Point(place, normal, int(patch[5]), int(patch[18]), 1.0, 0.0, 0)
    total, goes_on = 0.0, True
    while goes_on:
        pick, _ = plain_pair(key, number, PICK + point.number)
        total += _from_lamps(arrays, point, patch, pick)
        total += _by_lit_face(arrays, point, patch, lit)
        goes_on, point = _next(arrays, point, patch, key, number)
    return total * worth


@compiled
def walks(arrays: Arrays, patches: Floats, strips: Floats, part: Round, means: Floats) -> None:
    """Follow walks from every patch and set the mean of what they find, (P,).

    Patches keep their own numbers in column 19, so that the answer of one does not depend on what
    else is asked, nor on how the work is shared out.
    """
    for at in range(patches.shape[0]):
        key = key_of(part.seed, int(patches[at, 19]), part.batch)
        total = 0.0
        for number in range(part.each):
            total += walk(arrays, patches[at], strips, key, number)
        means[at] = total / part.each
