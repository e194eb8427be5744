"""Light that goes straight from a lamp to the faces of the box, and where on a face it lands.

The flux on a face is an integral of ``I cos / r^2`` over it, never a value at one point. Faces carry
fixed Gauss points; those near the lamp are quartered until they are small for their distance.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Beam, CosinePower, Lamp
from lamphouse.light.sight import Screens, lit

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NEAR = 0.3
"""A piece is quartered while its diagonal is longer than this times its distance to the lamp."""

DEEPEST = 9
"""Quarterings at most; a lamp 0.02 mm from a face still finds pieces of its own size."""

SHADOW_CUTS = 3
"""Times a piece is quartered where the edge of a shadow crosses it."""

EMPTY_MM2 = 1e-10
"""Pieces of less area are left out."""

_PLACES = (0.5 - sqrt(1.0 / 12.0), 0.5 + sqrt(1.0 / 12.0))


def intensity(beam: Beam, *, cosine: Floats) -> Floats:
    """Give the intensity of a beam of 1 lm. [cd/lm].

    Parameters
    ----------
    beam
        A cosine power, whose flux is ``2 pi I0 / (m + 1)``, or a table joined by straight lines.
    cosine
        Cosine of the angle from the axis, any shape.
    """
    if isinstance(beam, CosinePower):
        front = np.maximum(cosine, 0.0)
        peak = (beam.m + 1.0) / (2.0 * pi)
        return peak * (front if beam.m == 1.0 else np.where(cosine > 0.0, front**beam.m, 0.0))
    angle, value = np.radians(beam.angles_deg), np.array(beam.relative)
    slope = np.diff(value) / np.diff(angle)
    here, there = angle[:-1], angle[1:]
    # Integral of (straight line) * sin between two angles of the table.
    flux = 2.0 * pi * float(
        np.sum(
            value[:-1] * np.cos(here)
            - value[1:] * np.cos(there)
            + slope * (np.sin(there) - np.sin(here))
        )
    )
    return np.interp(np.arccos(np.clip(cosine, -1.0, 1.0)), angle, value, right=0.0) / flux


def fineness(beam: Beam) -> float:
    """Tell how small pieces must be for a beam, relative to a Lambertian one."""
    if isinstance(beam, CosinePower):
        return min(1.0, 2.0 / sqrt(beam.m + 3.0))
    return 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Pieces:
    """Flat four-cornered pieces of faces."""

    corner_mm: Floats
    """(Q, 4, 3); two corners may coincide."""
    face: Ints
    """(Q,) number of the face."""
    normal: Floats
    """(Q, 3) the side that is lit."""
    weight: Floats
    """(Q,) what the light that lands here counts for; a reflectance, or 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Targets:
    """Pieces with their Gauss points laid out for use with many lamps."""

    pieces: Pieces
    size2_mm2: Floats
    """(Q,) the longer diagonal squared."""
    centre_mm: Floats
    """(Q, 3)."""
    point_mm: Floats
    """(4, Q, 3)."""
    area_mm2: Floats
    """(4, Q) the area each point stands for; negative where a piece is folded over."""
    count: int
    """Number of faces."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """What a lamp of 1 lm sends straight to every face."""

    flux: Floats
    """(N,) [lm/lm]."""
    weighed: Floats
    """(N,) flux times the weight where it lands. [lm/lm]."""
    moment_mm: Floats
    """(N, 3) weighed flux times place. [mm lm/lm]."""


def _gauss(pieces: Pieces) -> tuple[Floats, Floats]:
    a, b, c, d = (pieces.corner_mm[:, index] for index in range(4))
    points = np.zeros((4, len(a), 3))
    areas = np.zeros((4, len(a)))
    for row, (u, v) in enumerate((u, v) for u in _PLACES for v in _PLACES):
        points[row] = (
            a * ((1 - u) * (1 - v)) + b * (u * (1 - v)) + c * (u * v) + d * ((1 - u) * v)
        )
        along = (b - a) * (1 - v) + (c - d) * v
        up = (d - a) * (1 - u) + (c - b) * u
        cross = np.stack(
            [
                along[:, 1] * up[:, 2] - along[:, 2] * up[:, 1],
                along[:, 2] * up[:, 0] - along[:, 0] * up[:, 2],
                along[:, 0] * up[:, 1] - along[:, 1] * up[:, 0],
            ],
            axis=1,
        )
        # Level faces run anticlockwise seen from above, walls seen from their front.
        turn = np.where(pieces.normal[:, 2] < 0.0, -1.0, 1.0)
        areas[row] = 0.25 * turn * np.sum(cross * pieces.normal, axis=1)
    return points, areas


def targets(pieces: Pieces, *, count: int) -> Targets:
    """Lay out the Gauss points of the pieces of ``count`` faces."""
    corner = pieces.corner_mm
    points, areas = _gauss(pieces)
    return Targets(
        pieces=pieces,
        size2_mm2=np.maximum(
            np.sum((corner[:, 2] - corner[:, 0]) ** 2, axis=1),
            np.sum((corner[:, 3] - corner[:, 1]) ** 2, axis=1),
        ),
        centre_mm=corner.mean(axis=1),
        point_mm=points,
        area_mm2=areas,
        count=count,
    )


def take(pieces: Pieces, *, which: Bools) -> Pieces:
    """Keep some of the pieces."""
    return Pieces(
        corner_mm=pieces.corner_mm[which],
        face=pieces.face[which],
        normal=pieces.normal[which],
        weight=pieces.weight[which],
    )


def quartered(pieces: Pieces) -> Pieces:
    """Cut every piece into four."""
    a, b, c, d = (pieces.corner_mm[:, index] for index in range(4))
    ab, bc, cd, da = (a + b) / 2, (b + c) / 2, (c + d) / 2, (d + a) / 2
    middle = (ab + cd) / 2
    quads = ((a, ab, middle, da), (ab, b, bc, middle), (middle, bc, c, cd), (da, middle, cd, d))
    return Pieces(
        corner_mm=np.concatenate([np.stack(quad, axis=1) for quad in quads]),
        face=np.tile(pieces.face, 4),
        normal=np.tile(pieces.normal, (4, 1)),
        weight=np.tile(pieces.weight, 4),
    )


def join(parts: Sequence[Pieces]) -> Pieces:
    """Put pieces together."""
    return Pieces(
        corner_mm=np.concatenate([part.corner_mm for part in parts]),
        face=np.concatenate([part.face for part in parts]),
        normal=np.concatenate([part.normal for part in parts]),
        weight=np.concatenate([part.weight for part in parts]),
    )


def _kept(onto: Targets, *, which: Bools) -> Targets:
    """Keep some of the pieces with their points."""
    return Targets(
        pieces=take(onto.pieces, which=which),
        size2_mm2=onto.size2_mm2[which],
        centre_mm=onto.centre_mm[which],
        point_mm=onto.point_mm[:, which],
        area_mm2=onto.area_mm2[:, which],
        count=onto.count,
    )


def _close_up(near: Pieces, *, at: Floats, reach2: float) -> Targets:
    """Quarter the pieces near a lamp until they are small for their distance."""
    done = []
    for _ in range(DEEPEST):
        whole = targets(near, count=0)
        split = whole.size2_mm2 > reach2 * np.sum((whole.centre_mm - at) ** 2, axis=1)
        done.append(take(near, which=~split))
        if not split.any():
            break
        near = quartered(take(near, which=split))
    else:
        done.append(near)
    return targets(join(done), count=0)


def _received(onto: Targets, *, lamp: Lamp) -> Floats:
    """Flux on the Gauss points (4, Q) if nothing were in the way. [lm/lm]."""
    at, axis = place_of(lamp), axis_of(lamp)
    ray = onto.point_mm - at
    far2 = np.einsum("...k,...k->...", ray, ray)
    far = np.sqrt(far2)
    arriving = np.maximum(np.einsum("...k,...k->...", ray, -onto.pieces.normal), 0.0)
    leaving = (ray @ axis) / far
    return intensity(lamp.beam, cosine=leaving) * arriving * onto.area_mm2 / (far2 * far)


def place_of(lamp: Lamp) -> Floats:
    """Place of a lamp, (3,). [mm]."""
    return np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm])


def axis_of(lamp: Lamp) -> Floats:
    """Axis of a lamp's beam, (3,), of length 1."""
    axis = np.array(lamp.direction)
    return axis / np.sqrt(axis @ axis)


def _fitted(onto: Targets, *, lamp: Lamp) -> list[Targets]:
    """Exchange the pieces near a lamp for smaller ones."""
    at = place_of(lamp)
    reach2 = (NEAR * fineness(lamp.beam)) ** 2
    close = onto.size2_mm2 > reach2 * np.sum((onto.centre_mm - at) ** 2, axis=1)
    if not close.any():
        return [onto]
    near = _close_up(take(onto.pieces, which=close), at=at, reach2=reach2)
    return [_kept(onto, which=~close), near]


def _shaded(
    onto: Targets, *, flux: Floats, lamp: Lamp, screens: Screens
) -> list[tuple[Targets, Floats]]:
    """Take away what screens stop; pieces that a shadow's edge crosses are cut up first."""
    at = place_of(lamp)
    done = []
    for depth in range(SHADOW_CUTS + 1):
        bright = flux != 0.0
        clear = np.ones_like(bright)
        clear[bright] = lit(onto.point_mm[bright], at=at, screens=screens)
        flux = flux * clear
        edge = clear.any(axis=0) & ~clear.all(axis=0)
        if depth == SHADOW_CUTS or not edge.any():
            done.append((onto, flux))
            break
        done.append((_kept(onto, which=~edge), flux[:, ~edge]))
        onto = targets(quartered(take(onto.pieces, which=edge)), count=onto.count)
        flux = _received(onto, lamp=lamp)
    return done


def landing(lamp: Lamp, *, onto: Targets, screens: Screens) -> Landing:
    """Sum up what a lamp of 1 lm sends straight to each face.

    Parameters
    ----------
    lamp
        Off every face.
    onto
        The faces of the lamp's own cavity.
    screens
        What casts shadows.
    """
    parts = [(part, _received(part, lamp=lamp)) for part in _fitted(onto, lamp=lamp)]
    if len(screens.low_mm):
        parts = [
            shaded
            for part, flux in parts
            for shaded in _shaded(part, flux=flux, lamp=lamp, screens=screens)
        ]
    total, weighed = np.zeros(onto.count), np.zeros(onto.count)
    moment = np.zeros((onto.count, 3))
    for part, flux in parts:
        face, weight, whole = part.pieces.face, part.pieces.weight, flux.sum(axis=0)
        total += np.bincount(face, whole, minlength=onto.count)
        weighed += np.bincount(face, whole * weight, minlength=onto.count)
        place = np.einsum("gq,gqk->kq", flux, part.point_mm) * weight
        for axis, row in enumerate(place):
            moment[:, axis] += np.bincount(face, row, minlength=onto.count)
    return Landing(flux=total, weighed=weighed, moment_mm=moment)


def level_pieces(
    corner_mm: Floats, *, height_mm: float, up: bool, face: Ints
) -> Pieces:
    """Cut level polygons (C, v, 2) into four-cornered pieces.

    A polygon that is not convex is cut like a fan all the same; the folded pieces count negative.
    """
    most = corner_mm.shape[1]
    fans = [
        corner_mm[:, [0, start, start + 1, min(start + 2, most - 1)]]
        for start in range(1, most - 1, 2)
    ]
    flat, faces = np.concatenate(fans), np.tile(face, len(fans))
    diagonal, other = flat[:, 2] - flat[:, 0], flat[:, 3] - flat[:, 1]
    real = np.abs(diagonal[:, 0] * other[:, 1] - diagonal[:, 1] * other[:, 0]) > EMPTY_MM2
    flat, faces = flat[real], faces[real]
    height = np.full((*flat.shape[:2], 1), height_mm)
    return Pieces(
        corner_mm=np.concatenate([flat, height], axis=2),
        face=faces,
        normal=np.tile(np.array([0.0, 0.0, 1.0 if up else -1.0]), (len(flat), 1)),
        weight=np.ones(len(flat)),
    )


def upright_pieces(
    foot_mm: Floats, *, low_mm: Floats, high_mm: Floats, face: Ints
) -> Pieces:
    """Make one piece of each wall patch: foot line (W, 2, 2), lower and upper edge (W,)."""
    start, end = foot_mm[:, 0], foot_mm[:, 1]
    step = end - start
    length = np.hypot(step[:, 0], step[:, 1])
    # Seen from the front, which lies left of the foot line, the line runs from right to left.
    corner = np.stack(
        [
            np.column_stack([spot, height])
            for spot, height in ((start, low_mm), (start, high_mm), (end, high_mm), (end, low_mm))
        ],
        axis=1,
    )
    normal = np.column_stack([-step[:, 1] / length, step[:, 0] / length, np.zeros(len(face))])
    return Pieces(corner_mm=corner, face=face, normal=normal, weight=np.ones(len(face)))
