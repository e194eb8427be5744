"""Flat pieces of faces, laid out once for the light of any lamp."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.gauss import FOUR, blend
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

EMPTY_MM2 = 1e-10
"""Pieces of less area are left out."""

_U, _V = np.array([0.0, 1.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0, 1.0])
_QUARTERS = blend(np.add.outer(_U, _U).ravel() / 2.0, v=np.add.outer(_V, _V).ravel() / 2.0)
"""Corners of the four quarters of a piece from its own, (16, 4), corner by corner."""


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
    """Pieces laid out for use with many lamps."""

    pieces: Pieces
    size2_mm2: Floats
    """(Q,) the longer diagonal squared."""
    reach_mm: Floats
    """(Q,) from the middle to the farthest corner."""
    rise_mm: Floats
    """(Q,) the same upwards alone."""
    corner: Floats
    """(4, 4, Q) place of each corner [mm], and the quarter of its piece's area it stands for
    [mm2]: what is linear along both sides of a piece is known by its corners."""
    middle: Floats
    """(5, Q) place of the middle [mm], 1, and the place's square [mm2]: what squares of distances
    are made of."""
    plane: Floats
    """(4, Q) makes of a place and 1 how far it lies before the piece."""
    point: Floats
    """(5, 4, Q) the same as ``middle`` for the Gauss points."""
    area_mm2: Floats
    """(4, Q) the area each Gauss point stands for; negative where a piece is folded over."""
    row: Ints
    """(5, Q) where five sums over the faces, one after the other, take each piece in."""
    count: int
    """Number of faces."""
    lobe: Lobe | None = None
    """None: light counts by the cosine at which it lands, as illuminance does."""


def squared(place: Floats) -> Floats:
    """Add 1 and the square to places (3, ...)."""
    whole = np.ones((5, *place.shape[1:]))
    whole[:3] = place
    np.einsum("k...,k...->...", place, place, out=whole[4])
    return whole


def targets(pieces: Pieces, *, count: int, lobe: Lobe | None = None) -> Targets:
    """Lay out the pieces of ``count`` faces."""
    place = pieces.corner_mm.T
    corner = np.zeros((4, *place.shape[1:]))
    corner[:3] = place
    # Level faces run anticlockwise seen from above, walls seen from their front.
    facing = np.where(pieces.normal[:, 2] < 0.0, -0.25, 0.25) * pieces.normal.T
    # The area a point stands for is linear in u and v, so the corners' own areas are blended.
    x, y, z = ahead = corner[:3, [1, 2, 3, 0]] - corner[:3]
    back_x, back_y, back_z = -ahead[:, [3, 0, 1, 2]]
    turn = corner[3]
    turn += (y * back_z - z * back_y) * facing[0]
    turn += (z * back_x - x * back_z) * facing[1]
    turn += (x * back_y - y * back_x) * facing[2]
    points = FOUR.blend @ corner
    middle = 0.25 * corner[:3].sum(axis=1)
    aside = corner[:3] - middle[:, None]
    diagonal = corner[:3, 2:] - corner[:3, :2]
    normal = pieces.normal.T
    return Targets(
        pieces=pieces,
        size2_mm2=np.einsum("kcq,kcq->cq", diagonal, diagonal).max(axis=0),
        reach_mm=np.sqrt(np.einsum("kcq,kcq->cq", aside, aside).max(axis=0)),
        rise_mm=np.abs(aside[2]).max(axis=0),
        corner=corner,
        middle=squared(middle),
        plane=np.concatenate([normal, -np.einsum("kq,kq->q", normal, middle)[None]]),
        point=squared(points[:3]),
        area_mm2=points[3],
        row=pieces.face + count * np.arange(5)[:, None],
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


def quarters(corner: Floats) -> Floats:
    """Cut four-cornered pieces (k, 4, Q) into four, (k, 4, 4 Q)."""
    return np.asarray(np.reshape(_QUARTERS @ corner, (len(corner), 4, -1)))


def quartered(pieces: Pieces) -> Pieces:
    """Cut every piece into four."""
    return Pieces(
        corner_mm=quarters(pieces.corner_mm.T).T,
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
