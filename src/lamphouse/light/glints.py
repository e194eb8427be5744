"""Small lit pieces of faces, and what of their light lands within polygons close by."""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.landing import Lit
from lamphouse.light.pieces import Targets
from lamphouse.light.polygons import Polygons
from lamphouse.light.sight import seen_between
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.light.viewers import Screens
from lamphouse.record import Record

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int64]

FAINTEST = 1e-5
"""A piece that sends less than this share of the light is passed over."""

AT_ONCE = 40_000
"""Numbers worked on at once: arrays of a size the allocator keeps at hand, whatever the box."""


class Glints(Record):
    """Small lit pieces of faces, as points."""

    place_mm: Floats
    """(3, P)."""
    sent: Floats
    """(P,) what each throws back. [lm/lm]."""
    on: Ints
    """(P,) which plane each lies on."""
    plane: Floats
    """(4, F) makes of a place and 1 how far it lies before each plane."""


def glints_of(parts: Sequence[Lit], *, onto: Targets, which: Ints, back: Floats) -> Glints:
    """Take every four points of some pieces for one glint, where their light lands.

    Parameters
    ----------
    parts, onto
        Light on pieces.
    which
        The pieces that count, rising.
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
            own = number = which[part.flux.take(which, axis=1).any(axis=0)]
        else:
            (own,) = mine[number].nonzero()
            number = number[own]
        if not len(own):
            continue
        flux = part.flux.take(own, axis=1).reshape(-1, 4, len(own))
        place = part.place_mm.take(own, axis=2).reshape(3, *flux.shape)
        places.append(np.einsum("gfm,kgfm->kgm", flux, place).reshape(3, -1))
        sents.append(flux.sum(axis=1).ravel())
        numbers.append(np.concatenate([number] * len(flux)))
    plane = onto.plane.take(which, axis=1)
    if not places:
        nothing = np.zeros(0)
        return Glints(place_mm=np.zeros((3, 0)), sent=nothing, on=nothing.astype(int), plane=plane)
    place, whole, number = (
        each[0] if len(each) == 1 else np.concatenate(each, axis=-1)
        for each in (places, sents, numbers)
    )
    sent = whole * pieces.weight[number] * back[pieces.face[number]]
    (kept,) = (sent > FAINTEST * sent.sum()).nonzero()
    return Glints(
        place_mm=place.take(kept, axis=1) / whole[kept],
        sent=sent[kept],
        on=np.searchsorted(which, number[kept]),
        plane=plane,
    )


def among(screens: Screens, *, places_mm: Sequence[Floats]) -> Screens:
    """Keep the screens that can come between places (3, ...)."""
    if not len(screens.low_mm) or not all(place.size for place in places_mm):
        return screens
    flat = [place[:2].reshape(2, -1) for place in places_mm]
    low = np.min([place.min(axis=1) for place in flat], axis=0) - TOUCH_MM
    high = np.max([place.max(axis=1) for place in flat], axis=0) + TOUCH_MM
    one, other = screens.start_mm, screens.end_mm
    kept = ((np.maximum(one, other) > low) & (np.minimum(one, other) < high)).all(axis=1)
    return screens.take(kept.nonzero()[0])


def angles(corner_mm: Singles | Floats, *, normal: Singles | Floats) -> Singles | Floats:
    """Share of the light of a glint that lands within a flat polygon before it, (P,).

    The contour sum over the polygon's edges [STOKES-FF].

    Parameters
    ----------
    corner_mm
        (3, v, P) of the polygon each shines on, seen from it; they may be repeated.
    normal
        (3, P) of the face each glint lies on, level or upright.
    """
    plain = np.arange(-1, min(4, corner_mm.shape[1]))
    total = _under_edges(corner_mm[:, plain], normal=normal).sum(axis=0)
    for edge in range(4, corner_mm.shape[1]):
        # Few polygons have so many corners; those of the others are repeated.
        two = corner_mm[:, edge - 1 : edge + 1]
        (rows,) = (two[:, 0] != two[:, 1]).any(axis=0).nonzero()
        total[rows] += _under_edges(two[:, :, rows], normal=normal[:, rows])[0]
    return np.asarray(np.abs(total) / pi)


def _under_edges(corner: Singles | Floats, *, normal: Singles | Floats) -> Singles | Floats:
    """Half of the angles under which edges are seen, times how they lie to the normal, (k, P).

    The edges run from each corner (3, k + 1, P) to the next.
    """
    (x, y, z), (nx, ny, nz) = corner, normal
    tiny = np.finfo(corner.dtype).tiny
    level = np.abs(nz)
    # Two directions square to the normal and to each other.
    right, up = x * (level - ny), z * (1.0 - level)
    right += y * nx
    up += y * nz
    turn = right[:-1] * up[1:]
    turn -= up[:-1] * right[1:]
    square = np.einsum("kcp,kcp->cp", corner, corner)
    dot = np.einsum("kcp,kcp->cp", corner[:, :-1], corner[:, 1:])
    product = square[:-1] * square[1:]
    size = product - dot * dot
    np.maximum(size, tiny, out=size)
    np.sqrt(size, out=size)
    # The tangent of half the angle is the same expression in all four quadrants.
    np.sqrt(product, out=product)
    product += dot
    np.maximum(product, tiny, out=product)
    turn *= np.arctan(size / product)
    turn /= size
    return np.asarray(turn)


def landed_of(glints: Glints, *, onto: Polygons, screens: Screens) -> Floats:
    """Light of glints that lands within flat polygons, (T,). [lm/lm].

    A polygon that lies on the plane of a glint or partly behind it gets nothing of it, nor one that
    turns its back to it, as the far side of a baffle does; what screens hide is told by the middle
    of the polygon.
    """
    landed = np.zeros(onto.plane.shape[1])
    if not len(landed):
        return landed
    step = max(1, AT_ONCE // (onto.corner_mm.shape[1] * len(glints.sent)))
    if step >= len(landed):
        return _landed_on(glints, onto=onto, screens=screens)
    for first in range(0, len(landed), step):
        part = slice(first, first + step)
        landed[part] = _landed_on(glints, onto=onto.take(part), screens=screens)
    return landed


def _landed_on(glints: Glints, *, onto: Polygons, screens: Screens) -> Floats:
    _, most, count = onto.corner_mm.shape
    before = glints.plane[:3].T @ onto.corner_mm.reshape(3, -1)
    before += glints.plane[3][:, None]
    before = before.reshape(-1, most, count)
    ahead = before.min(axis=1) > -TOUCH_MM
    ahead &= before.max(axis=1) > TOUCH_MM
    ahead = ahead.take(glints.on, axis=0)
    ahead &= glints.place_mm.T @ onto.plane[:3] > TOUCH_MM - onto.plane[3]
    glint, target = (
        seen_between(glints.place_mm, others_mm=onto.middle[:3], asked=ahead, screens=screens)
        if len(screens.low_mm)
        else ahead.nonzero()
    )
    place, sent = glints.place_mm.take(glint, axis=1), glints.sent[glint]
    here = onto.corner_mm.take(target, axis=2)
    here -= place[:, None]
    normal = glints.plane[:3].astype(np.float32)
    share = angles(here.astype(np.float32), normal=normal.take(glints.on[glint], axis=1))
    return np.bincount(target, sent * share, minlength=count).astype(np.float64, copy=False)
