"""Small lit pieces of faces, and what of their light lands within polygons close by."""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.landing import Lit
from lamphouse.light.pieces import Targets
from lamphouse.light.sight import lit
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.light.viewers import Screens
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

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


def glints_of(parts: Sequence[Lit], *, onto: Targets, which: Bools, back: Floats) -> Glints:
    """Take every four points of some pieces (Q,) for one glint, where their light lands.

    Parameters
    ----------
    parts, onto
        Light on pieces.
    which
        (Q,) the pieces that count.
    back
        (N,) what each face throws back of the weighed light that lands on it.
    """
    pieces = onto.pieces
    every = np.arange(len(which))
    places, sents, numbers = [], [], []
    for part in parts:
        number = every if part.number is None else part.number
        (own,) = which[number].nonzero()
        number = number[own]
        flux = part.flux[:, own].reshape(len(part.flux) // 4, 4, len(own))
        moment = np.einsum("gfm,kgfm->kgm", flux, part.place_mm[:, :, own].reshape(3, *flux.shape))
        whole = flux.sum(axis=1)
        number = np.tile(number, len(whole))
        whole = whole.ravel()
        lit_at = whole.nonzero()[0]
        number, whole = number[lit_at], whole[lit_at]
        places.append(moment.reshape(3, -1)[:, lit_at] / whole)
        sents.append(whole * pieces.weight[number] * back[pieces.face[number]])
        numbers.append(number)
    sent = np.concatenate(sents)
    (kept,) = (sent > FAINTEST * sent.sum()).nonzero()
    return Glints(
        place_mm=np.concatenate(places, axis=1)[:, kept].T,
        normal=pieces.normal[np.concatenate(numbers)[kept]],
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


class Marks(Record):
    """Flat polygons that light is looked for on."""

    number: Ints
    """(T,) of each among the spots or faces it is one of."""
    corner_mm: Floats
    """(T, v, 3)."""
    middle_mm: Floats
    """(T, 3)."""
    normal: Floats
    """(T, 3) towards the side that the light comes from."""


def landed_of(glints: Glints, *, onto: Marks, screens: Screens) -> Floats:
    """Light of glints that lands within flat polygons, (T,). [lm/lm].

    A polygon that lies on the plane of a glint or partly behind it gets nothing of it, nor one that
    turns its back to it, as the far side of a baffle does; what screens hide is told by the middle
    of the polygon.
    """
    landed = np.zeros(len(onto.number))
    step = max(1, AT_ONCE // (onto.corner_mm.shape[1] * len(glints.sent)))
    for first in range(0, len(landed), step):
        part = slice(first, first + step)
        landed[part] = _landed_on(
            glints,
            corner_mm=onto.corner_mm[part],
            middle_mm=onto.middle_mm[part],
            normal=onto.normal[part],
            screens=screens,
        )
    return landed


def _landed_on(
    glints: Glints, *, corner_mm: Floats, middle_mm: Floats, normal: Floats, screens: Screens
) -> Floats:
    level = np.einsum("pk,pk->p", glints.place_mm, glints.normal)
    before = corner_mm @ glints.normal.T - level
    ahead = (before.min(axis=1) > -TOUCH_MM) & (before.max(axis=1) > TOUCH_MM)
    own_level = np.einsum("tk,tk->t", middle_mm, normal)
    ahead &= normal @ glints.place_mm.T > own_level[:, None] + TOUCH_MM
    target, glint = ahead.nonzero()
    place, sent = glints.place_mm[glint], glints.sent[glint]
    if len(screens.low_mm):
        sent = sent * lit(place, at=middle_mm[target], screens=screens)
    corner = corner_mm.T.take(target, axis=2).transpose(2, 1, 0)
    share = angles(place, normal=glints.normal[glint], corner_mm=corner)
    return np.asarray(np.bincount(target, sent * share, minlength=len(corner_mm)), dtype=np.float64)
