"""Light that goes straight from a lamp to the faces of the box, and where on a face it lands.

The flux on a face is an integral of ``I cos / r^2`` over it, never a value at one point. Pieces far
from the lamp for their size keep their four Gauss points; those near it are quartered until they
are small for their distance, and get sixteen each. Where the edge of a shadow crosses a piece, each
point loses the share that is hidden of what it stands for.
"""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.distinct import distinct
from lamphouse.light.emitter import (
    beam_edge_rad,
    counted,
    fineness,
    intensity,
)
from lamphouse.light.gauss import SIXTEEN
from lamphouse.light.lamp_shadows import (
    STANDS_FOR,
    STANDS_FOR_SIXTEEN,
    hidden,
    met,
    met_all,
    shadows_of,
)
from lamphouse.light.near_pieces import Closer, along_of, cut_near, either, steep_closer
from lamphouse.light.pieces import Lobe, Targets
from lamphouse.light.scene import Beam, CosinePower, Lamp
from lamphouse.light.stance import Stance, seen, stance_of
from lamphouse.light.viewers import Screens
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NEAR = 0.4
"""The longest diagonal of a piece with four Gauss points, in distances to the lamp."""

NEAR_SIXTEEN = 1.2
"""The same with sixteen."""

LEVEL = 0.1
"""Pieces that a lamp's horizon crosses are cut along it unless their diagonal, in distances to the
lamp, is less."""

LOBE_STEP, LOBE_STEP_SIXTEEN = 1.0, 2.0
"""A piece lit through a lobe is quartered while it is wider than this in standard deviations, with
four Gauss points and with sixteen."""


class Landing(Record):
    """What a lamp of 1 lm sends straight to every face."""

    rows: Floats
    """(5, N) flux; the same times the weight where it lands; that times x, y, z. [lm/lm, mm]."""

    @property
    def flux(self) -> Floats:
        """(N,) [lm/lm]."""
        return np.asarray(self.rows[0])

    @property
    def weighed(self) -> Floats:
        """(N,) [lm/lm]."""
        return np.asarray(self.rows[1])


class Lit(Record):
    """Light of a lamp of 1 lm on points of pieces, or of parts of pieces."""

    number: Ints | None
    """(M,) the piece each is of; None for all pieces in their order."""
    place_mm: Floats
    """(3, P, M)."""
    flux: Floats
    """(P, M) [lm/lm]."""


def _close(onto: Targets, *, reach: float, stance: Stance, closer: Closer | None) -> Bools:
    """Tell which pieces are too near a lamp for their own Gauss points, or at its horizon."""
    size2, far2 = onto.size2_mm2, stance.far2_mm2
    near = stance.level & (size2 > LEVEL * LEVEL * far2)
    near |= size2 > reach * reach * far2
    if closer is not None:
        near[closer.piece] = True
    return near


def received(
    beam: Beam, *, far2: Floats, along: Floats, ahead: Floats, area: Floats, lobe: Lobe | None
) -> Floats:
    """Flux on Gauss points (P, M) if nothing were in the way. [lm/lm].

    Parameters
    ----------
    beam, lobe
        What sends the light and what takes it in.
    far2, along
        (P, M), or for several lamps (L, P, M): square of the distance, and its part along the axis
        of the lamp.
    ahead
        (M,) or (L, 1, M): how far the lamp lies before the plane of each.
    area
        (P, M).
    """
    if lobe is None and isinstance(beam, CosinePower) and beam.m == 1.0:
        flux = np.maximum(along, 0.0)
        flux *= np.maximum(ahead, 0.0) / pi
        flux *= area
        flux /= far2 * far2
        return flux
    inverse = 1.0 / np.sqrt(far2)
    light = intensity(beam, cosine=along * inverse) * counted(ahead * inverse, lobe=lobe)
    return np.asarray(light * area * (inverse * inverse))


def lit_near(
    corner: Floats, *, beam: Beam, axis: Floats, ahead_mm: Floats, lobe: Lobe | None
) -> tuple[Floats, Floats]:
    """Light pieces (4, 4, M) seen from their lamp by sixteen points each.

    Parameters
    ----------
    beam, axis
        Of the lamp; the axis (3,), or (3, M) where each piece has a lamp of its own.
    ahead_mm
        (M,) how far it lies before the plane of each.
    lobe
        What takes the light in.

    Returns
    -------
    tuple
        Places seen from the lamp (3, 16, M), and the flux on them (16, M). [mm, lm/lm].
    """
    points = SIXTEEN.blend @ corner
    place = points[:3]
    points[3] *= SIXTEEN.weight
    flux = received(
        beam,
        far2=np.einsum("kpq,kpq->pq", place, place),
        along=along_of(place, axis=axis),
        ahead=ahead_mm,
        area=points[3],
        lobe=lobe,
    )
    return place, flux


def _lit(corner: Floats, *, number: Ints, onto: Targets, stance: Stance) -> Lit:
    """Light pieces (4, 4, M) of targets seen from the lamp."""
    place, flux = lit_near(
        corner,
        beam=stance.lamp.beam,
        axis=stance.axis,
        ahead_mm=stance.ahead_mm[number],
        lobe=onto.lobe,
    )
    place += stance.place_mm[:, None, None]
    return Lit(number=number, place_mm=place, flux=flux)


def _from_afar(onto: Targets, *, near: Bools, stance: Stance) -> Lit:
    """Light all pieces by their own Gauss points, but for those near the lamp."""
    points, shape = onto.point.reshape(5, -1), onto.area_mm2.shape
    far2, along = ((way @ points).reshape(shape) for way in stance.measure)
    far2[:, near] = np.inf
    flux = received(
        stance.lamp.beam,
        far2=far2,
        along=along,
        ahead=stance.ahead_mm,
        area=onto.area_mm2,
        lobe=onto.lobe,
    )
    return Lit(number=None, place_mm=onto.point[:3], flux=flux)


def _reach(lamp: Lamp, *, onto: Targets, near: float, step: float) -> float:
    reach = near * fineness(lamp.beam)
    return reach if onto.lobe is None else min(reach, step * onto.lobe.sigma_rad)


def light_on(
    lamp: Lamp,
    *,
    onto: Targets,
    screens: Screens,
    stance: Stance | None = None,
    only: Ints | None = None,
    closer: Closer | None = None,
) -> tuple[Lit, ...]:
    """Light of a lamp of 1 lm on the points of pieces, cut where it is near.

    Parameters
    ----------
    lamp
        Off every face.
    onto
        The faces of the lamp's own cavity.
    screens
        What casts shadows.
    stance
        How the pieces stand to the lamp, where that is known already.
    only
        The pieces asked for, all of them near the lamp. None: all there are.
    closer
        Other reasons to cut pieces near the lamp.
    """
    stance = stance or stance_of(onto, lamp=lamp)
    steep = steep_closer(onto, stance=stance, reach=NEAR_SIXTEEN)
    closer = either(closer, other=steep)
    parts: list[Lit] = []
    if only is None:
        reach = _reach(lamp, onto=onto, near=NEAR, step=LOBE_STEP)
        close = _close(onto, reach=reach, stance=stance, closer=closer)
        parts.append(_from_afar(onto, near=close, stance=stance))
        (far,) = (stance.facing & ~close).nonzero()
        if beam_edge_rad(lamp.beam) < pi / 2.0:
            far = far[parts[0].flux.take(far, axis=1).any(axis=0)]
        (only,) = (stance.facing & close).nonzero()
    else:
        far = only[:0]
    only = only[seen(onto, which=only, stance=stance)]
    if len(screens.low_mm):
        flux = parts[0].flux if parts else np.zeros((4, 0))
        return (
            *parts,
            _past(
                screens,
                far=flux,
                bright=far,
                onto=onto,
                near=only,
                stance=stance,
                closer=closer,
            ),
        )
    reach = _reach(lamp, onto=onto, near=NEAR_SIXTEEN, step=LOBE_STEP_SIXTEEN)
    corner, number = cut_near(
        onto, which=only, stance=stance, reach=reach, shaded=None, closer=closer
    )
    return (*parts, _lit(corner, number=number, onto=onto, stance=stance))


def _past(
    screens: Screens,
    *,
    far: Floats,
    bright: Ints,
    onto: Targets,
    near: Ints,
    stance: Stance,
    closer: Closer | None,
) -> Lit:
    """Light near pieces past screens, and take away in place what they stop of light from afar.

    Parameters
    ----------
    screens
        What casts shadows.
    far, bright
        Light on all pieces by their own Gauss points (4, Q), and which of them it counts on.
    near
        The others that the lamp may light.
    onto, stance, closer
        As for ``light_on``.
    """
    at, count = stance.place_mm, len(bright)
    shadows = shadows_of(screens, at=at)
    asked = np.concatenate([bright, near])
    dark, crossed = met(
        onto.corner[:3],
        which=asked,
        middle_mm=onto.middle[:4].take(asked, axis=1),
        reach_mm=onto.reach_mm[asked],
        shadows=shadows,
    )
    far[:, bright[dark[:count]]] = 0.0
    first = int(crossed.piece.searchsorted(count))
    partly = distinct(crossed.piece[first:])
    shaded = np.zeros(len(onto.size2_mm2), dtype=np.bool_)
    shaded[asked[partly]] = True
    corner, number = cut_near(
        onto,
        which=near[~dark[count:]],
        stance=stance,
        reach=_reach(stance.lamp, onto=onto, near=NEAR_SIXTEEN, step=LOBE_STEP_SIXTEEN),
        shaded=shaded,
        closer=closer,
    )
    part = _lit(corner, number=number, onto=onto, stance=stance)
    (parted,) = shaded[number].nonzero()
    if len(parted) == len(partly):
        # None was quartered, so all is known of them.
        parted = parted[number[parted].argsort()]
        rest = replace(
            crossed.take(slice(first, None)), piece=partly.searchsorted(crossed.piece[first:])
        )
    else:
        place = corner[:3].take(parted, axis=2) + at[:, None, None]
        dark, rest = met_all(place, shadows=shadows)
        part.flux[:, parted[dark]] = 0.0
    own, marks = hidden(crossed.take(slice(first)).then(rest, after=count))
    first = int(own.searchsorted(count))
    for light, which, shares in (
        (far, bright[own[:first]], marks[:first] @ STANDS_FOR),
        (part.flux, parted[own[first:] - count], marks[first:] @ STANDS_FOR_SIXTEEN),
    ):
        light[:, which] = kept(light[:, which], shares=shares)
    return part


def kept(whole: Floats, *, shares: Floats) -> Floats:
    """Light that is left on Gauss points (P, M), shares of it hidden (M, P).

    What would turn about is none.
    """
    left = whole - whole * shares.T
    return np.where(left.sum(axis=0) * whole.sum(axis=0) > 0.0, left, 0.0)


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
    return summed(light_on(lamp, onto=onto, screens=screens), onto=onto)


def summed(parts: Sequence[Lit], *, onto: Targets) -> Landing:
    """Add up over the faces what lands on the points of their pieces."""
    pieces, count = onto.pieces, onto.count
    sums = np.zeros(5 * count)
    for part in parts:
        rows, number = np.zeros((5, part.flux.shape[1])), part.number
        part.flux.sum(axis=0, out=rows[0])
        np.einsum("pm,kpm->km", part.flux, part.place_mm, out=rows[2:])
        rows[1] = rows[0]
        rows[1:] *= pieces.weight if number is None else pieces.weight[number]
        row = onto.row if number is None else onto.row.take(number, axis=1)
        sums += np.bincount(row.ravel(), rows.ravel(), minlength=5 * count)
    return Landing(rows=sums.reshape(5, count))
