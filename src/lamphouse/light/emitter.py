"""Light that goes straight from a lamp to the faces of the box, and where on a face it lands.

The flux on a face is an integral of ``I cos / r^2`` over it, never a value at one point. Faces
carry fixed Gauss points; those near the lamp are quartered until they are small for their distance.
"""

from collections.abc import Callable, Sequence
from math import pi, radians, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.lamp_shadows import GAUSS, blend, lit_shares
from lamphouse.light.scene import Beam, CosinePower, Lamp
from lamphouse.light.sight import lit
from lamphouse.light.viewers import Screens
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NEAR = 0.3
"""For what lands: the longest diagonal of a piece, in distances to the lamp."""

DEEPEST = 10
"""Quarterings at most; a lamp 0.02 mm from a face still finds pieces of its own size."""

LOBE_STEP = 1.0
"""A piece lit through a lobe is quartered while it is wider than this in standard deviations."""

EMPTY_MM2 = 1e-10
"""Pieces of less area are left out."""

_BLEND = blend(np.repeat(GAUSS, 2), v=np.tile(GAUSS, 2))

_AT_CORNERS = np.linalg.inv(_BLEND)
"""What is linear along both sides of a piece: at its corners, from its Gauss points."""

_U, _V = np.array([0.0, 1.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0, 1.0])
_QUARTERS = blend(np.add.outer(_U, _U).ravel() / 2.0, v=np.add.outer(_V, _V).ravel() / 2.0)
"""Corners of the four quarters of a piece from its own, (16, 4), corner by corner."""


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
        shape = front if beam.m == 1.0 else np.where(cosine > 0.0, front**beam.m, 0.0)
        return np.asarray(peak * shape)
    angle, value = np.radians(beam.angles_deg), np.array(beam.relative)
    slope = np.diff(value) / np.diff(angle)
    here, there = angle[:-1], angle[1:]
    # Integral of (straight line) * sin between two angles of the table.
    pieces = value[:-1] * np.cos(here) - value[1:] * np.cos(there)
    pieces += slope * (np.sin(there) - np.sin(here))
    flux = 2.0 * pi * float(np.sum(pieces))
    off_axis = np.arccos(np.clip(cosine, -1.0, 1.0))
    return np.asarray(np.interp(off_axis, angle, value, right=0.0) / flux)


def beam_edge_rad(beam: Beam) -> float:
    """Angle from the axis beyond which a beam is dark."""
    return pi / 2.0 if isinstance(beam, CosinePower) else radians(beam.angles_deg[-1])


def fineness(beam: Beam) -> float:
    """Tell how small pieces must be for a beam, relative to a Lambertian one."""
    if isinstance(beam, CosinePower):
        return min(1.0, 2.0 / sqrt(beam.m + 3.0))
    return 0.5


class Lobe(Record):
    """Light counts by a Gaussian of the angle at which it lands."""

    sigma_rad: float
    reach_rad: float
    """Beyond this angle it counts nothing."""
    peak: float
    """On the normal. [1/sr]."""


class Pieces(Record):
    """Flat four-cornered pieces of faces."""

    corner_mm: Floats
    """(Q, 4, 3); two corners may coincide."""
    face: Ints
    """(Q,) number of the face."""
    normal: Floats
    """(Q, 3) the side that is lit."""
    weight: Floats
    """(Q,) what the light that lands here counts for; a reflectance, or 1."""


class Targets(Record):
    """Pieces with their Gauss points laid out for use with many lamps."""

    pieces: Pieces
    size2_mm2: Floats
    """(Q,) the longer diagonal squared."""
    centre_mm: Floats
    """(Q, 3)."""
    x_mm: Floats
    """(4, Q) places of the Gauss points."""
    y_mm: Floats
    """(4, Q)."""
    z_mm: Floats
    """(4, Q)."""
    area_mm2: Floats
    """(4, Q) the area each point stands for; negative where a piece is folded over."""
    count: int
    """Number of faces."""
    lobe: Lobe | None = None
    """None: light counts by the cosine at which it lands, as illuminance does."""


class Landing(Record):
    """What a lamp of 1 lm sends straight to every face."""

    flux: Floats
    """(N,) [lm/lm]."""
    weighed: Floats
    """(N,) flux times the weight where it lands. [lm/lm]."""
    moment_mm: Floats
    """(N, 3) weighed flux times place. [mm lm/lm]."""


def sizes2(corner: Floats) -> Floats:
    """Longer diagonal of pieces (3, 4, Q), squared, (Q,). [mm2]."""
    diagonal = corner[:, 2:] - corner[:, :2]
    diagonal *= diagonal
    return np.asarray(diagonal.sum(axis=0).max(axis=0))


def targets(pieces: Pieces, *, count: int, lobe: Lobe | None = None) -> Targets:
    """Lay out the Gauss points of the pieces of ``count`` faces."""
    corner = np.ascontiguousarray(pieces.corner_mm.T)
    # Level faces run anticlockwise seen from above, walls seen from their front.
    facing = np.where(pieces.normal[:, 2] < 0.0, -1.0, 1.0) * pieces.normal.T
    # The area a point stands for is linear in u and v, so the corners' own areas are blended.
    ahead = corner[:, [1, 2, 3, 0]] - corner
    x, y, z = ahead
    back_x, back_y, back_z = -ahead[:, [3, 0, 1, 2]]
    turn = (y * back_z - z * back_y) * facing[0]
    turn += (z * back_x - x * back_z) * facing[1]
    turn += (x * back_y - y * back_x) * facing[2]
    turn *= 0.25
    return _laid_out(
        np.concatenate([corner, turn[None]]),
        face=pieces.face,
        normal=pieces.normal,
        weight=pieces.weight,
        count=count,
        lobe=lobe,
    )


def _laid_out(
    corner: Floats, *, face: Ints, normal: Floats, weight: Floats, count: int, lobe: Lobe | None
) -> Targets:
    """Lay out the Gauss points of pieces by the places and areas of their corners, (4, 4, Q)."""
    points, place = _BLEND @ corner, corner[:3]
    return Targets(
        pieces=Pieces(corner_mm=place.T, face=face, normal=normal, weight=weight),
        size2_mm2=sizes2(place),
        centre_mm=(0.25 * place.sum(axis=1)).T,
        x_mm=points[0],
        y_mm=points[1],
        z_mm=points[2],
        area_mm2=points[3],
        count=count,
        lobe=lobe,
    )


def take(pieces: Pieces, *, which: Ints) -> Pieces:
    """Keep some of the pieces."""
    return Pieces(
        corner_mm=pieces.corner_mm.T.take(which, axis=2).T,
        face=pieces.face[which],
        normal=pieces.normal[which],
        weight=pieces.weight[which],
    )


def _quarters(corner: Floats) -> Floats:
    """Cut four-cornered pieces (k, 4, Q) into four, (k, 4, 4 Q)."""
    return np.asarray(np.reshape(_QUARTERS @ corner, (len(corner), 4, -1)))


def quartered(pieces: Pieces) -> Pieces:
    """Cut every piece into four."""
    return Pieces(
        corner_mm=_quarters(pieces.corner_mm.T).T,
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


def _close_up(
    onto: Targets,
    *,
    which: Ints,
    at: Floats,
    reach: float,
    large_too: Callable[[Floats, Floats, Ints, int], Bools] | None = None,
) -> Targets:
    """Quarter some of the pieces until they are small for their distance to a lamp."""
    # The area a point stands for goes with the places of the corners, as in ``targets``.
    area = _AT_CORNERS @ onto.area_mm2.take(which, axis=1)
    corner = np.concatenate([onto.pieces.corner_mm.T.take(which, axis=2), area[None]])
    number, far2_wanted = which, onto.size2_mm2[which] / (reach * reach)
    place = at[:, None]
    corners, numbers = [], []
    for depth in range(DEEPEST):
        centre = 0.25 * corner[:3].sum(axis=1)
        away = centre - place
        large = far2_wanted > np.einsum("kq,kq->q", away, away)
        if large_too is not None:
            large |= large_too(centre, far2_wanted * (reach * reach), number, depth)
        (kept,), (split,) = (~large).nonzero(), large.nonzero()
        corners.append(corner.take(kept, axis=2))
        numbers.append(number[kept])
        if not len(split):
            break
        corner, number = _quarters(corner.take(split, axis=2)), _four_times(number[split])
        corner[3] *= 0.25
        far2_wanted = _four_times(0.25 * far2_wanted[split])
    else:
        corners.append(corner)
        numbers.append(number)
    number, pieces = np.concatenate(numbers), onto.pieces
    return _laid_out(
        np.concatenate(corners, axis=2),
        face=pieces.face[number],
        normal=pieces.normal[number],
        weight=pieces.weight[number],
        count=onto.count,
        lobe=onto.lobe,
    )


def _four_times(values: NDArray[Any]) -> NDArray[Any]:
    return np.concatenate([values, values, values, values])


def place_of(lamp: Lamp) -> Floats:
    """Place of a lamp, (3,). [mm]."""
    return np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm])


def axis_of(lamp: Lamp) -> Floats:
    """Axis of a lamp's beam, (3,), of length 1."""
    axis = np.array(lamp.direction)
    return np.asarray(axis / np.sqrt(axis @ axis))


def _weighed(arriving: Floats, *, lobe: Lobe | None) -> Floats:
    """Give what light counts for by the cosine at which it lands."""
    if lobe is None:
        return np.maximum(arriving, 0.0)
    angle = np.arccos(np.clip(arriving, -1.0, 1.0))
    bell = np.exp(-0.5 * (angle / lobe.sigma_rad) ** 2)
    return np.where(angle < lobe.reach_rad, lobe.peak * bell, 0.0)


def _received(onto: Targets, *, lamp: Lamp) -> Floats:
    """Flux on the Gauss points (4, Q) if nothing were in the way. [lm/lm]."""
    (ax, ay, az), (ux, uy, uz) = place_of(lamp), axis_of(lamp)
    x, y, z = onto.x_mm - ax, onto.y_mm - ay, onto.z_mm - az
    far2 = x * x + y * y + z * z
    inverse = 1.0 / np.sqrt(far2)
    nx, ny, nz = onto.pieces.normal.T
    arriving = _weighed(-(x * nx + y * ny + z * nz) * inverse, lobe=onto.lobe)
    leaving = (x * ux + y * uy + z * uz) * inverse
    return np.asarray(intensity(lamp.beam, cosine=leaving) * arriving * onto.area_mm2 / far2)


def falling(
    lamp: Lamp,
    *,
    x_mm: Floats,
    y_mm: Floats,
    z_mm: float,
    faces_up: bool,
    lobe: Lobe | None,
    screens: Screens,
) -> Floats:
    """Light of a lamp of 1 lm at points of a level plane. [1/mm2].

    Parameters
    ----------
    lamp
        Off the plane.
    x_mm, y_mm
        Places that broadcast against one another.
    z_mm, faces_up
        The plane and its lit side.
    lobe
        None for illuminance.
    screens
        What casts shadows.
    """
    (ax, ay, az), (ux, uy, uz) = place_of(lamp), axis_of(lamp)
    x, y, z = x_mm - ax, y_mm - ay, z_mm - az
    far2 = x * x + y * y + z * z
    inverse = 1.0 / np.sqrt(far2)
    arriving = _weighed((-z if faces_up else z) * inverse, lobe=lobe)
    leaving = (x * ux + y * uy + z * uz) * inverse
    light = np.asarray(intensity(lamp.beam, cosine=leaving) * arriving / far2)
    if len(screens.low_mm):
        places = np.broadcast_arrays(x_mm, y_mm, z_mm)
        points = np.stack([place.ravel() for place in places], axis=1)
        light *= lit(points, at=place_of(lamp), screens=screens).reshape(light.shape)
    return light


def seen(onto: Targets, *, lamp: Lamp, which: Ints) -> Bools:
    """Tell which pieces a lamp can light at all: they face it, and lie in its beam."""
    at, axis = place_of(lamp), axis_of(lamp)
    ray = onto.centre_mm[which] - at
    faces = np.einsum("qk,qk->q", ray, onto.pieces.normal[which]) < 0.0
    edge = beam_edge_rad(lamp.beam)
    if edge >= pi / 2.0:
        ahead = ((onto.pieces.corner_mm[which] - at) @ axis).max(axis=1) > 0.0
        return np.asarray(faces & (ahead | (edge > pi / 2.0)))
    far = np.sqrt(np.einsum("qk,qk->q", ray, ray))
    around = np.arcsin(np.minimum(np.sqrt(onto.size2_mm2[which]) / (2.0 * far), 1.0))
    angle = np.arccos(np.clip((ray @ axis) / far, -1.0, 1.0))
    return np.asarray(faces & (angle - around < edge))


def _parts(onto: Targets, *, lamp: Lamp) -> list[tuple[Targets, Floats]]:
    """Flux on the pieces, those near the lamp exchanged for smaller ones."""
    at = place_of(lamp)
    reach = NEAR * fineness(lamp.beam)
    if onto.lobe is not None:
        reach = min(reach, LOBE_STEP * onto.lobe.sigma_rad)
    away = onto.centre_mm - at
    close = onto.size2_mm2 > reach * reach * np.einsum("qk,qk->q", away, away)
    flux = _received(onto, lamp=lamp)
    (which,) = close.nonzero()
    which = which[seen(onto, lamp=lamp, which=which)]
    if not len(which):
        return [(onto, flux)]
    flux[:, which] = 0.0
    fine = _close_up(onto, which=which, at=at, reach=reach)
    return [(onto, flux), (fine, _received(fine, lamp=lamp))]


def _shade(parts: Sequence[tuple[Targets, Floats]], *, at: Floats, screens: Screens) -> None:
    """Take away what screens stop."""
    bright = [np.flatnonzero(flux.sum(axis=0)) for _, flux in parts]
    corner = [
        part.pieces.corner_mm.T.take(own, axis=2)
        for (part, _), own in zip(parts, bright, strict=True)
    ]
    shares = lit_shares(np.concatenate(corner, axis=2), at=at, screens=screens)
    ends = np.cumsum([len(own) for own in bright])[:-1]
    for (_, flux), own, share in zip(parts, bright, np.split(shares, ends, axis=1), strict=True):
        changed = np.flatnonzero((share < 1.0).any(axis=0))
        piece = own[changed]
        whole, lit_flux = flux[:, piece], flux[:, piece] * share[:, changed]
        kept = lit_flux.sum(axis=0) * whole.sum(axis=0) > 0.0
        flux[:, piece] = np.where(kept, lit_flux, 0.0)


def arriving(
    lamp: Lamp,
    *,
    onto: Targets,
    which: Ints,
    near: float,
    screens: Screens,
    large_too: Callable[[Floats, Floats, Ints, int], Bools] | None = None,
) -> tuple[Targets, Floats]:
    """Flux of a lamp of 1 lm on the Gauss points (4, Q) of a few pieces, cut as finely as asked.

    Parameters
    ----------
    lamp
        Off every piece.
    onto, which
        Faces, and which of their pieces.
    near
        A piece is quartered while its diagonal is longer than this times its distance to the lamp.
    screens
        What casts shadows.
    large_too
        Tells which parts to quarter for other reasons, from their centres (3, Q), the squares of
        their diagonals, the pieces they are of, and how often they have been quartered.
    """
    at, reach = place_of(lamp), near * fineness(lamp.beam)
    fine = _close_up(onto, which=which, at=at, reach=reach, large_too=large_too)
    flux = _received(fine, lamp=lamp)
    if len(screens.low_mm):
        _shade([(fine, flux)], at=at, screens=screens)
    return fine, flux


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
    parts = _parts(onto, lamp=lamp)
    if len(screens.low_mm):
        _shade(parts, at=place_of(lamp), screens=screens)
    return summed(parts, count=onto.count)


def summed(parts: Sequence[tuple[Targets, Floats]], *, count: int) -> Landing:
    """Add up over the faces what lands on the Gauss points (4, Q) of their pieces."""
    rows = []
    for part, flux in parts:
        own = np.zeros((5, flux.shape[1]))
        flux.sum(axis=0, out=own[0])
        own[1] = own[0]
        for row, axis in zip(own[2:], (part.x_mm, part.y_mm, part.z_mm), strict=True):
            np.einsum("pq,pq->q", flux, axis, out=row)
        own[1:] *= part.pieces.weight
        rows.append(own)
    face = np.concatenate([part.pieces.face for part, _ in parts])
    every = np.concatenate(rows, axis=1)
    sums = np.zeros((5, count))
    for total, row in zip(sums, every, strict=True):
        total[:] = np.bincount(face, row, minlength=count)
    return Landing(flux=sums[0], weighed=sums[1], moment_mm=sums[2:].T)


def level_pieces(corner_mm: Floats, *, height_mm: float, up: bool, face: Ints) -> Pieces:
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


def upright_pieces(foot_mm: Floats, *, low_mm: Floats, high_mm: Floats, face: Ints) -> Pieces:
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
