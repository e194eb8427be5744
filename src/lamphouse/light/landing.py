"""Light that goes straight from a lamp to the faces of the box, and where on a face it lands.

The flux on a face is an integral of ``I cos / r^2`` over it, never a value at one point. Pieces far
from the lamp for their size keep their four Gauss points; those near it are quartered until they
are small for their distance, and get sixteen each. A piece crossed by the edge of a shadow keeps
to four, in which what is hidden of it is told, and is quartered further instead.
"""

from collections.abc import Callable, Sequence
from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.distinct import distinct
from lamphouse.light.emitter import (
    axis_of,
    beam_edge_rad,
    counted,
    fineness,
    intensity,
    place_of,
)
from lamphouse.light.lamp_shadows import hidden_shares, met, met_all, shadows_of
from lamphouse.light.pieces import BLEND, Lobe, Targets, blend, quarters
from lamphouse.light.scene import Beam, CosinePower, Lamp
from lamphouse.light.viewers import Screens
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NEAR = 0.4
"""The longest diagonal of a piece with four Gauss points, in distances to the lamp."""

NEAR_SIXTEEN = 1.4
"""The same with sixteen."""

LEVEL = 0.1
"""Pieces that a lamp's horizon crosses are cut along it unless their diagonal, in distances to the
lamp, is less."""

DEEPEST = 10
"""Quarterings at most; a lamp 0.02 mm from a face still finds pieces of its own size."""

LOBE_STEP, LOBE_STEP_SIXTEEN = 1.0, 2.0
"""A piece lit through a lobe is quartered while it is wider than this in standard deviations, with
four Gauss points and with sixteen."""


class Rule(Record):
    """Gauss points of a piece, and how much of its area each stands for."""

    blend: Floats
    """(P, 4) shares of its corners in the place of each; every four are those of a quarter."""
    weight: Floats
    """(P, 1) to multiply the area by; adds up to 4."""


def _sixteen() -> Rule:
    node, weight = np.polynomial.legendre.leggauss(4)
    order = [row + column for row in (0, 8) for column in (0, 2)]
    number = np.array([[first, first + 1, first + 4, first + 5] for first in order]).ravel()
    u, v = (1.0 + node[number // 4]) / 2.0, (1.0 + node[number % 4]) / 2.0
    shares = weight[number // 4] * weight[number % 4]
    return Rule(blend=blend(u, v=v), weight=shares[:, None])


FOUR, SIXTEEN = Rule(blend=BLEND, weight=np.ones((4, 1))), _sixteen()


BEHIND = 0b11110000
"""All corners of a piece behind the lamp's horizon, the first corner the highest of eight bits."""

_CUTS = {
    0b11000000: (slice(0, 2), slice(3, 1, -1)),
    0b01100000: (slice(1, 3), slice(0, 4, 3)),
    0b00110000: (slice(2, 4), slice(1, None, -1)),
    0b10010000: (slice(0, 4, 3), slice(1, 3)),
}
"""Two neighbours behind it: they are drawn along the sides to the two others."""

_ODDS = set(range(0x10, BEHIND, 0x10)) - _CUTS.keys()
_ODD = np.array([code in _ODDS for code in range(256)])

_FIVE = np.arange(5)[:, None]


class Landing(Record):
    """What a lamp of 1 lm sends straight to every face."""

    rows: Floats
    """(5, N) flux; the same times the weight where it lands; that times x, y, z. [lm/lm, mm]."""

    @property
    def flux(self) -> Floats:
        """(N,) [lm/lm]."""
        return self.rows[0]

    @property
    def weighed(self) -> Floats:
        """(N,) [lm/lm]."""
        return self.rows[1]


class Lit(Record):
    """Light of a lamp of 1 lm on points of pieces, or of parts of pieces."""

    number: Ints | None
    """(M,) the piece each is of; None for all pieces in their order."""
    place_mm: Floats
    """(3, P, M)."""
    flux: Floats
    """(P, M) [lm/lm]."""


class Stance(Record):
    """A lamp, and how pieces stand to it."""

    lamp: Lamp
    place_mm: Floats
    """(3,)."""
    axis: Floats
    """(3,) of length 1."""
    far2_mm2: Floats
    """(Q,) square of the distance of the middle."""
    along_mm: Floats
    """(Q,) of that the part along the axis."""
    ahead_mm: Floats
    """(Q,) how far the lamp lies before the plane."""
    level: Bools
    """(Q,) whether the horizon of a lamp that lights half of all ways may cross a piece."""
    facing: Bools
    """(Q,) whether the lamp may light it."""


class Closer(Record):
    """Reasons to cut pieces other than the lamp's distance."""

    piece: Ints
    """Pieces to look at."""
    large: Callable[[Floats, Floats, Ints, int], Bools]
    """Tells which parts of pieces to quarter, from their middles (3, M), the squares of their
    diagonals, the pieces they are of, and how often they have been quartered."""


def _from(at: Floats, *, axis: Floats) -> Floats:
    """Make the square of the distance to a place and the way along an axis, of ``squared``."""
    ax, ay, az = at.tolist()
    ux, uy, uz = axis.tolist()
    return np.array(
        [
            (-2.0 * ax, -2.0 * ay, -2.0 * az, ax * ax + ay * ay + az * az, 1.0),
            (ux, uy, uz, -ux * ax - uy * ay - uz * az, 0.0),
        ]
    )


def stance_of(onto: Targets, *, lamp: Lamp) -> Stance:
    """Tell how pieces stand to a lamp."""
    at, axis = place_of(lamp), axis_of(lamp)
    far2, along = _from(at, axis=axis) @ onto.middle
    ahead = np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm, 1.0]) @ onto.plane
    facing, level = ahead > 0.0, np.zeros(len(ahead), dtype=np.bool_)
    if beam_edge_rad(lamp.beam) == pi / 2.0:
        upright = axis[0] == 0.0 == axis[1]
        extent = onto.rise_mm if upright else onto.reach_mm
        facing &= along > -extent
        level = (along < extent) & facing
    return Stance(
        lamp=lamp,
        place_mm=at,
        axis=axis,
        far2_mm2=far2,
        along_mm=along,
        ahead_mm=ahead,
        level=level,
        facing=facing,
    )


def seen(onto: Targets, *, which: Ints, stance: Stance) -> Bools:
    """Tell which pieces a lamp can light at all: they face it, and lie in its beam."""
    faces, axis = stance.facing[which], stance.axis
    edge = beam_edge_rad(stance.lamp.beam)
    if edge > pi / 2.0:
        return np.asarray(faces)
    if edge == pi / 2.0:
        along = np.einsum("k,kcq->cq", axis, onto.corner[:3].take(which, axis=2))
        return np.asarray(faces & (along.max(axis=0) > axis @ stance.place_mm))
    far = np.sqrt(stance.far2_mm2[which])
    around = np.arcsin(np.minimum(np.sqrt(onto.size2_mm2[which]) / (2.0 * far), 1.0))
    angle = np.arccos(np.clip(stance.along_mm[which] / far, -1.0, 1.0))
    return np.asarray(faces & (angle - around < edge))


def _near(onto: Targets, *, reach: float, stance: Stance, closer: Closer | None) -> Bools:
    """Tell which pieces are too near a lamp for their own Gauss points, or at its horizon."""
    size2, far2 = onto.size2_mm2, stance.far2_mm2
    near = stance.level & (size2 > LEVEL * LEVEL * far2)
    near |= size2 > reach * reach * far2
    if closer is not None:
        near[closer.piece] = True
    return near


def _received(
    beam: Beam, *, far2: Floats, along: Floats, ahead: Floats, area: Floats, lobe: Lobe | None
) -> Floats:
    """Flux on Gauss points (P, M) if nothing were in the way. [lm/lm].

    Parameters
    ----------
    beam, lobe
        What sends the light and what takes it in.
    far2, along
        (P, M) square of the distance, and its part along the axis of the lamp.
    ahead
        (M,) how far the lamp lies before the plane of each.
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


def _four_times(values: NDArray[Any]) -> NDArray[Any]:
    return np.concatenate([values, values, values, values])


def _raised(corner: Floats, *, axis: Floats) -> Ints | None:
    """Cut off what of pieces (4, 4, M) lies behind a lamp's horizon, in place.

    Gives those from which a cut would not leave four corners, which are left as they are; None
    where there are none.
    """
    along = np.einsum("k,kcq->cq", axis, corner[:3])
    (own,) = (along.min(axis=0) < 0.0).nonzero()
    if not len(own):
        return None
    along = along.take(own, axis=1)
    code = np.packbits(along < 0.0, axis=0)[0]
    present = set(code.tobytes())
    for pattern in present & _CUTS.keys():
        gone, left = _CUTS[pattern]
        piece, way = own, along
        if len(present) > 1:
            (which,) = (code == pattern).nonzero()
            piece, way = own[which], along[:, which]
        part = corner.take(piece, axis=2)
        stays = way[left]
        share = stays / (stays - way[gone])
        here, there = part[:, gone], part[:, left]
        here -= there
        here *= share
        here += there
        # The area that a corner stands for shrinks with the side.
        part[3, gone] *= share
        part[3, left] *= share
        corner[:, :, piece] = part
    if BEHIND in present:
        corner[3][:, own[code == BEHIND]] = 0.0
    return own[_ODD[code]] if present & _ODDS else None


def _cut(
    onto: Targets,
    *,
    which: Ints,
    stance: Stance,
    sixteen: bool,
    closer: Closer | None,
) -> tuple[Floats, Ints]:
    """Quarter pieces until they are small for their distance to a lamp.

    Corners as in the targets, but seen from the lamp (4, 4, M), and the pieces they are of.
    """
    at, lamp = stance.place_mm, stance.lamp
    reach = _reach(lamp, onto=onto, sixteen=sixteen)
    corner, number = onto.corner.take(which, axis=2), which
    corner[:3] -= at[:, None, None]
    # The sum over the corners is four times the middle.
    wanted = onto.size2_mm2[which] * (16.0 / (reach * reach))
    finer = (_reach(lamp, onto=onto, sixteen=False) / reach) ** 2
    level = beam_edge_rad(lamp.beam) == pi / 2.0
    corners, numbers = [], []
    for depth in range(DEEPEST):
        odd = _raised(corner, axis=stance.axis) if level else None
        middle = corner[:3].sum(axis=1)
        far2 = np.einsum("kq,kq->q", middle, middle)
        large = wanted > far2
        level = odd is not None
        if odd is not None:
            large[odd] |= wanted[odd] > finer * far2[odd]
        if closer is not None:
            size2 = wanted * (reach * reach / (64.0 if sixteen else 16.0))
            large |= closer.large(0.25 * middle + at[:, None], size2, number, depth)
        (split,) = large.nonzero()
        if not len(split):
            break
        (kept,) = (~large).nonzero()
        corners.append(corner.take(kept, axis=2))
        numbers.append(number[kept])
        corner, number = quarters(corner.take(split, axis=2)), _four_times(number[split])
        corner[3] *= 0.25
        wanted = _four_times(0.25 * wanted[split])
    if not corners:
        return corner, number
    return np.concatenate([*corners, corner], axis=2), np.concatenate([*numbers, number])


def _lit(corner: Floats, *, number: Ints, sixteen: bool, onto: Targets, stance: Stance) -> Lit:
    """Light pieces (4, 4, M) seen from the lamp."""
    rule = SIXTEEN if sixteen else FOUR
    points = rule.blend @ corner
    place = points[:3]
    points[3] *= rule.weight
    flux = _received(
        stance.lamp.beam,
        far2=np.einsum("kpq,kpq->pq", place, place),
        along=np.einsum("k,kpq->pq", stance.axis, place),
        ahead=stance.ahead_mm[number],
        area=points[3],
        lobe=onto.lobe,
    )
    place += stance.place_mm[:, None, None]
    return Lit(number=number, place_mm=place, flux=flux)


def _from_afar(onto: Targets, *, near: Bools, stance: Stance) -> Lit:
    """Light all pieces by their own Gauss points, but for those near the lamp."""
    way = _from(stance.place_mm, axis=stance.axis) @ onto.point.reshape(5, -1)
    far2, along = way.reshape(2, *onto.area_mm2.shape)
    far2[:, near] = np.inf
    flux = _received(
        stance.lamp.beam,
        far2=far2,
        along=along,
        ahead=stance.ahead_mm,
        area=onto.area_mm2,
        lobe=onto.lobe,
    )
    return Lit(number=None, place_mm=onto.point[:3], flux=flux)


def _reach(lamp: Lamp, *, onto: Targets, sixteen: bool) -> float:
    reach = (NEAR_SIXTEEN if sixteen else NEAR) * fineness(lamp.beam)
    if onto.lobe is None:
        return reach
    return min(reach, (LOBE_STEP_SIXTEEN if sixteen else LOBE_STEP) * onto.lobe.sigma_rad)


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
    parts: list[Lit] = []
    if only is None:
        reach = _reach(lamp, onto=onto, sixteen=False)
        close = _near(onto, reach=reach, stance=stance, closer=closer)
        parts.append(_from_afar(onto, near=close, stance=stance))
        close &= stance.facing
        (only,) = close.nonzero()
    if len(screens.low_mm):
        only = _shade(parts, onto=onto, screens=screens, near=only, stance=stance, closer=closer)
    if len(only) or not parts:
        corner, number = _cut(onto, which=only, stance=stance, sixteen=True, closer=closer)
        parts.append(_lit(corner, number=number, sixteen=True, onto=onto, stance=stance))
    return tuple(parts)


def _shade(
    parts: list[Lit],
    *,
    onto: Targets,
    screens: Screens,
    near: Ints,
    stance: Stance,
    closer: Closer | None,
) -> Ints:
    """Take away from what is lit from afar what screens stop, and light near pieces they cross.

    Gives the near pieces that no screen hides in part or wholly.
    """
    at = stance.place_mm
    shadows = shadows_of(screens, at=at)
    far = parts[0].flux if parts else np.zeros((4, 0))
    (bright,) = far.any(axis=0).nonzero()
    asked, count = np.concatenate([bright, near]), len(bright)
    dark, crossed = met(
        onto.corner[:3],
        which=asked,
        middle_mm=onto.middle[:4].take(asked, axis=1),
        reach_mm=onto.reach_mm[asked],
        shadows=shadows,
    )
    far[:, bright[dark[:count]]] = 0.0
    clear = ~dark[count:]
    first = int(crossed.piece.searchsorted(count))
    cut = crossed.piece[first:] - count
    own, hidden = hidden_shares(crossed.take(slice(first)))
    own = bright[own]
    far[:, own] = _kept(far[:, own], hidden=hidden)
    if len(cut):
        clear[cut] = False
        cut = near[distinct(cut)]
        corner, number = _cut(onto, which=cut, stance=stance, sixteen=False, closer=closer)
        part = _lit(corner, number=number, sixteen=False, onto=onto, stance=stance)
        corner[:3] += at[:, None, None]
        dark, crossed = met_all(corner[:3], shadows=shadows)
        part.flux[:, dark] = 0.0
        own, hidden = hidden_shares(crossed)
        part.flux[:, own] = _kept(part.flux[:, own], hidden=hidden)
        parts.append(part)
    return near[clear]


def _kept(whole: Floats, *, hidden: Floats) -> Floats:
    """Light that is left on Gauss points (4, M); what would turn about is none."""
    left = whole - whole * hidden
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
    sizes = [part.flux.shape[1] for part in parts]
    rows, face = np.zeros((5, sum(sizes))), np.zeros((5, sum(sizes)), dtype=np.int64)
    start = 0
    for part, size in zip(parts, sizes, strict=True):
        own, number = rows[:, start : start + size], part.number
        part.flux.sum(axis=0, out=own[0])
        np.einsum("pm,kpm->km", part.flux, part.place_mm, out=own[2:])
        own[1] = own[0]
        own[1:] *= pieces.weight if number is None else pieces.weight[number]
        face[:, start : start + size] = pieces.face if number is None else pieces.face[number]
        start += size
    face += count * _FIVE
    sums = np.bincount(face.ravel(), rows.ravel(), minlength=5 * count)
    return Landing(rows=sums.reshape(5, count))
