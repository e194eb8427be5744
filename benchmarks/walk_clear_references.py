"""Follow light forward through boxes with and without a clear strand, and store what parts lose.

Usage: ``python benchmarks/walk_clear_references.py [--walks N]``. Boxes with one opening and one
strand, no baffle and no inner diffuser. The strand is a true cylinder of acrylic: every ray that
meets it is thrown back or let in by Fresnel's and Snell's laws at each face [FRESNEL], in three
dimensions; what reaches its ends inside it is lost. The same numbers drive both walks of a pair, so
that only what the strand changes is left over. Nothing is shared with the shadows that ``light``
predicts but the records of the box. Needs the extra ``verify``.
"""

import argparse
import json
import sys
from math import cos, pi, sin, sqrt
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from lamphouse.light.compiled import compiled  # noqa: E402
from lamphouse.light.strand_posts import face_spots  # noqa: E402
from light.strand_boxes import CASES, drawn_case, fresh_cases  # noqa: E402

OUT = ROOT / "tests" / "reference" / "strand_shadows" / "clear.json"

INDEX = 1.49
"""Of acrylic, from memory."""

SEED, BATCHES = 11, 32

FAINTEST = 1e-3
"""Light fainter than this is dropped, in both walks alike."""

MOST_TURNS = 24
"""Faces of the strand a ray meets in a row before it is given up."""

STEP, SCALE = np.uint64(0x9E3779B97F4A7C15), 2.0**-53


@compiled
def _drawn(state, number):
    """Give an even number from 0 to 1 (the splitmix64 generator), by its place in a stream."""
    word = state + np.uint64(number + 1) * STEP
    word = (word ^ (word >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    word = (word ^ (word >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    word = word ^ (word >> np.uint64(31))
    return float(word >> np.uint64(11)) * SCALE


@compiled
def _fresnel(cosine, ratio):
    """Share thrown back at a face, light of all directions of polarisation; 1 where it is total."""
    sine2 = ratio * ratio * (1.0 - cosine * cosine)
    if sine2 >= 1.0:
        return 1.0
    beyond = sqrt(1.0 - sine2)
    across = (ratio * cosine - beyond) / (ratio * cosine + beyond)
    along = (cosine - ratio * beyond) / (cosine + ratio * beyond)
    return 0.5 * (across * across + along * along)


@compiled
def _walk(first, count, box, lamps, landed):
    """Follow light from the lamps; add up what lands on the 6 x 8 parts of the opening."""
    (wide, high, deep), (paint, panel, fill), (left, bottom, right, top), (px, py, radius) = box
    for walk in range(first, first + count):
        state = np.uint64(walk) * np.uint64(0xD1342543DE82EF95) + STEP
        other = state ^ np.uint64(0x2545F4914F6CDD1D)
        spent = 0
        lamp = int(_drawn(state, 0) * len(lamps))
        x, y, z, ax, ay, az, power = lamps[lamp]
        # The lamp's axis is along x, y or z.
        up = _drawn(state, 1) ** (1.0 / (power + 1.0))
        turn = 2.0 * pi * _drawn(state, 2)
        side = sqrt(max(1.0 - up * up, 0.0))
        u, v = side * cos(turn), side * sin(turn)
        if az != 0.0:
            dx, dy, dz = u, v, up * az
        elif ax != 0.0:
            dx, dy, dz = up * ax, u, v
        else:
            dx, dy, dz = u, up * ay, v
        weight, bounce = 1.0, 0
        while weight > FAINTEST:
            inside, turns, lost = False, 0, False
            while True:
                tx = (wide - x) / dx if dx > 0.0 else (-x / dx if dx < 0.0 else 1e300)
                ty = (high - y) / dy if dy > 0.0 else (-y / dy if dy < 0.0 else 1e300)
                tz = (deep - z) / dz if dz > 0.0 else (-z / dz if dz < 0.0 else 1e300)
                wall = min(tx, ty, tz)
                met = 1e300
                level2 = dx * dx + dy * dy
                if radius > 0.0 and level2 > 0.0:
                    ox, oy = x - px, y - py
                    half = ox * dx + oy * dy
                    root = half * half - level2 * (ox * ox + oy * oy - radius * radius)
                    if root > 0.0:
                        way = (-half + sqrt(root) if inside else -half - sqrt(root)) / level2
                        if way > 1e-9:
                            met = way
                if inside and tz < met:
                    lost = True
                    break
                if met >= wall:
                    break
                x, y, z = x + met * dx, y + met * dy, z + met * dz
                nx, ny = (x - px) / radius, (y - py) / radius
                cosine = -(dx * nx + dy * ny)
                if inside:
                    nx, ny, cosine = -nx, -ny, -cosine
                ratio = INDEX if inside else 1.0 / INDEX
                back = _fresnel(cosine, ratio)
                spent += 1
                if _drawn(other, spent) < back:
                    dx, dy = dx + 2.0 * cosine * nx, dy + 2.0 * cosine * ny
                else:
                    beyond = sqrt(1.0 - ratio * ratio * (1.0 - cosine * cosine))
                    more = ratio * cosine - beyond
                    dx, dy, dz = ratio * dx + more * nx, ratio * dy + more * ny, ratio * dz
                    inside = not inside
                turns += 1
                if turns > MOST_TURNS:
                    lost = True
                    break
            if lost:
                break
            x, y, z = x + wall * dx, y + wall * dy, z + wall * dz
            up = sqrt(_drawn(state, 3 + 2 * bounce))
            turn = 2.0 * pi * _drawn(state, 4 + 2 * bounce)
            bounce += 1
            side = sqrt(max(1.0 - up * up, 0.0))
            u, v = side * cos(turn), side * sin(turn)
            if tz <= tx and tz <= ty:
                if dz > 0.0:
                    z = deep
                    if left < x < right and bottom < y < top:
                        column = int((x - left) / (right - left) * 8.0)
                        row = int((y - bottom) / (top - bottom) * 6.0)
                        landed[8 * row + column] += weight
                        weight *= fill
                    else:
                        weight *= panel
                    dx, dy, dz = u, v, -up
                else:
                    z = 0.0
                    weight *= paint
                    dx, dy, dz = u, v, up
            elif tx <= ty:
                x = wide if dx > 0.0 else 0.0
                weight *= paint
                dx, dy, dz = (-up if dx > 0.0 else up), u, v
            else:
                y = high if dy > 0.0 else 0.0
                weight *= paint
                dx, dy, dz = u, (-up if dy > 0.0 else up), v


def _lamps(drawn):
    """Give lamps spread over the faces of their LEDs: place, axis and power of the cosine."""
    rows = []
    for led, lamp in zip(drawn.box.leds, drawn.scene.lamps, strict=True):
        axis = np.round(lamp.direction)
        rows += [(x, y, lamp.z_mm, *axis, lamp.beam.m) for x, y in face_spots(led, lamp=lamp)]
    return np.array(rows)


def walked(case, *, walks):
    """Give the share each part loses, its standard error, and both of the whole opening."""
    drawn, post = drawn_case(case)
    scene = drawn.scene
    (aperture,) = scene.apertures
    shape = aperture.shape
    wide, high = np.ptp(np.array(scene.outline), axis=0)
    each = walks // BATCHES
    sums = np.zeros((2, BATCHES, 48))
    for batch in range(BATCHES):
        for number, radius in enumerate((0.0, post.radius_mm)):
            _walk(
                SEED * 10**10 + batch * each,
                each,
                (
                    (float(wide), float(high), scene.depth_mm),
                    (scene.back_reflectance, scene.panel_reflectance, aperture.fill.reflectance),
                    (shape.left_mm, shape.bottom_mm, shape.right_mm, shape.top_mm),
                    (post.x_mm, post.y_mm, radius),
                ),
                _lamps(drawn),
                sums[number, batch],
            )
    free, with_it = sums
    lost = 1.0 - with_it.sum(axis=0) / free.sum(axis=0)
    off = with_it - (1.0 - lost) * free
    error = off.std(axis=0, ddof=1) * sqrt(BATCHES) / free.sum(axis=0)
    mean = 1.0 - with_it.sum() / free.sum()
    rest = (with_it - (1.0 - mean) * free).sum(axis=1)
    return lost, error, mean, rest.std(ddof=1) * sqrt(BATCHES) / free.sum()


def main() -> None:
    """Walk through every case without baffle and inner diffuser, and store what is lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--walks", type=int, default=40_000_000)
    given = parser.parse_args()
    stored = {}
    for name, case in (CASES | fresh_cases()).items():
        if "inner" in case or "baffle" in case:
            continue
        lost, error, mean, mean_error = walked(case, walks=given.walks)
        stored[name] = {
            "lost": [round(float(one), 5) for one in lost],
            "lost_error": [round(float(one), 5) for one in error],
            "mean_lost": round(float(mean), 5),
            "mean_lost_error": round(float(mean_error), 5),
        }
        print(name, stored[name]["mean_lost"], stored[name]["mean_lost_error"], error.max())
        OUT.write_text(json.dumps(stored, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
