"""Small lit pieces of faces, and what of their light lands within polygons close by."""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.landing import Lit
from lamphouse.light.pieces import Targets
from lamphouse.light.polygons import Polygons
from lamphouse.light.sight import lit
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.light.viewers import Screens
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

FAINTEST = 1e-5
"""A piece that sends less than this share of the light is passed over."""

AT_ONCE = 12_000
"""Numbers worked on at once: arrays of a size the allocator keeps at hand, whatever the box."""


class Glints(Record):
    """Small lit pieces of faces, as points."""

    place_mm: Floats
    """(P, 3)."""
    normal: Floats
    """(P, 3)."""
    sent: Floats
    """(P,) what each throws back. [lm/lm]."""


def glints_of(parts: Sequence[Lit], *, onto: Targets, which: Ints, back: Floats) -> Glints:
    """Take every four points of some pieces for one glint, where their light lands.

    Parameters
    ----------
    parts, onto
        Light on pieces.
    which
        The pieces that count.
    back
        (N,) what each face throws back of the weighed light that lands on it.
    """
    pieces = onto.pieces
    mine = np.zeros(len(onto.size2_mm2), dtype=np.bool_)
    mine[which] = True
    places, sents, numbers = [], [], []
    for part in parts:
        number = part.number
        if number is None:
            # Those near the lamp are lit part by part.
            own = number = which[part.flux[0, which] != 0.0]
        else:
            (own,) = mine[number].nonzero()
            number = number[own]
        if not len(own):
            continue
        flux = part.flux.take(own, axis=1).reshape(-1, 4, len(own))
        place = part.place_mm.take(own, axis=2).reshape(3, *flux.shape)
        places.append(np.einsum("gfm,kgfm->kgm", flux, place).reshape(3, -1))
        sents.append(flux.sum(axis=1).ravel())
        numbers.append(np.tile(number, len(flux)))
    if not places:
        return Glints(place_mm=np.zeros((0, 3)), normal=np.zeros((0, 3)), sent=np.zeros(0))
    place, whole, number = (
        each[0] if len(each) == 1 else np.concatenate(each, axis=-1)
        for each in (places, sents, numbers)
    )
    sent = whole * pieces.weight[number] * back[pieces.face[number]]
    (kept,) = (sent > FAINTEST * sent.sum()).nonzero()
    return Glints(
        place_mm=(place[:, kept] / whole[kept]).T,
        normal=pieces.normal[number[kept]],
        sent=sent[kept],
    )


def among(screens: Screens, *, places_mm: Sequence[Floats]) -> Screens:
    """Keep the screens that can come between places (P, 3)."""
    if not len(screens.low_mm):
        return screens
    low = np.min([place[:, :2].min(axis=0) for place in places_mm], axis=0) - TOUCH_MM
    high = np.max([place[:, :2].max(axis=0) for place in places_mm], axis=0) + TOUCH_MM
    one, other = screens.start_mm, screens.end_mm
    kept = ((np.maximum(one, other) > low) & (np.minimum(one, other) < high)).all(axis=1)
    return screens.take(kept.nonzero()[0])


def angles(place_mm: Floats, *, normal: Floats, corner_mm: Floats) -> Floats:
    """Share of the light of a glint that lands within a flat polygon before it, (P,).

    The contour sum over the polygon's edges [STOKES-FF].

    Parameters
    ----------
    place_mm, normal
        (P, 3) each glint.
    corner_mm
        (P, v, 3) the polygon each shines on; corners may be repeated.
    """
    here = corner_mm.T - place_mm.T[:, None]
    normals = np.ascontiguousarray(normal.T)
    plain = np.arange(min(4, here.shape[1]))
    total = _under_edges(here[:, plain - 1], here[:, plain], normals[:, None]).sum(axis=0)
    for edge in range(4, here.shape[1]):
        # Few polygons have so many corners; those of the others are repeated.
        start, end = here[:, edge - 1], here[:, edge]
        rows = (start != end).any(axis=0).nonzero()[0]
        total[rows] += _under_edges(start[:, rows], end[:, rows], normals[:, rows])
    return np.asarray(np.abs(total) / pi)


def _under_edges(start: Floats, end: Floats, normal: Floats) -> Floats:
    """Half of the angle under which edges (3, ...) are seen, times how they lie to the normal."""
    (ax, ay, az), (bx, by, bz), (nx, ny, nz) = start, end, normal
    tx, ty, tz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    cross2 = tx * tx
    cross2 += ty * ty
    cross2 += tz * tz
    dot = ax * bx
    dot += ay * by
    dot += az * bz
    tx *= nx
    tx += ty * ny
    tx += tz * nz
    # The tangent of half the angle is the same expression in all four quadrants.
    long = np.sqrt(cross2 + dot * dot)
    long += dot
    size = np.sqrt(cross2)
    np.maximum(size, 1e-300, out=size)
    np.maximum(long, 1e-300, out=long)
    tx *= np.arctan(size / long)
    tx /= size
    return np.asarray(tx)


def landed_of(glints: Glints, *, onto: Polygons, screens: Screens) -> Floats:
    """Light of glints that lands within flat polygons, (T,). [lm/lm].

    A polygon that lies on the plane of a glint or partly behind it gets nothing of it, nor one that
    turns its back to it, as the far side of a baffle does; what screens hide is told by the middle
    of the polygon.
    """
    landed = np.zeros(len(onto.middle_mm))
    step = max(1, AT_ONCE // (onto.corner_mm.shape[1] * len(glints.sent)))
    for first in range(0, len(landed), step):
        part = slice(first, first + step)
        landed[part] = _landed_on(glints, onto=onto.take(part), screens=screens)
    return landed


def _landed_on(glints: Glints, *, onto: Polygons, screens: Screens) -> Floats:
    level = np.einsum("pk,pk->p", glints.place_mm, glints.normal)
    before = onto.corner_mm @ glints.normal.T - level
    ahead = (before.min(axis=1) > -TOUCH_MM) & (before.max(axis=1) > TOUCH_MM)
    own_level = np.einsum("tk,tk->t", onto.middle_mm, onto.normal) + TOUCH_MM
    ahead &= onto.normal @ glints.place_mm.T > own_level[:, None]
    target, glint = ahead.nonzero()
    place, sent = glints.place_mm[glint], glints.sent[glint]
    if len(screens.low_mm):
        sent = sent * lit(place, at=onto.middle_mm[target], screens=screens)
    corner = onto.corner_mm.T.take(target, axis=2).transpose(2, 1, 0)
    share = angles(place, normal=glints.normal[glint], corner_mm=corner)
    return np.asarray(
        np.bincount(target, sent * share, minlength=len(onto.middle_mm)), dtype=np.float64
    )
