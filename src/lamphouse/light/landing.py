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
from lamphouse.light.gauss import SIXTEEN
from lamphouse.light.lamp_shadows import (
    STANDS_FOR,
    STANDS_FOR_SIXTEEN,
    hidden,
    met,
    met_all,
    shadows_of,
)
from lamphouse.light.pieces import Lobe, Targets, quarters
from lamphouse.light.scene import Beam, CosinePower, Lamp
from lamphouse.light.viewers import Screens
from lamphouse.record import Record, replace

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

ODD = 12.0
"""Pieces that the horizon does not leave four corners are cut while they are larger than others
may be by the root of this."""

DEEPEST = 10
"""Quarterings at most; a lamp 0.02 mm from a face still finds pieces of its own size."""

LOBE_STEP, LOBE_STEP_SIXTEEN = 1.0, 2.0
"""A piece lit through a lobe is quartered while it is wider than this in standard deviations, with
four Gauss points and with sixteen."""


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


class Stance(Record):
    """A lamp, and how pieces stand to it."""

    lamp: Lamp
    measure: tuple[Floats, Floats]
    """(5,) each: make of ``squared`` places the squares of their distances and the parts of these
    along the axis."""
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


def _measure(at: Floats, *, axis: Floats) -> tuple[Floats, Floats]:
    ax, ay, az = at.tolist()
    ux, uy, uz = axis.tolist()
    square = ax * ax + ay * ay + az * az
    return (
        np.array([-2.0 * ax, -2.0 * ay, -2.0 * az, square, 1.0]),
        np.array([ux, uy, uz, -ux * ax - uy * ay - uz * az, 0.0]),
    )


def stance_of(onto: Targets, *, lamp: Lamp) -> Stance:
    """Tell how pieces stand to a lamp."""
    at, axis = place_of(lamp), axis_of(lamp)
    far, way = _measure(at, axis=axis)
    far2, along = far @ onto.middle, way @ onto.middle
    ahead = np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm, 1.0]) @ onto.plane
    facing, level = ahead > 0.0, np.zeros(len(ahead), dtype=np.bool_)
    if beam_edge_rad(lamp.beam) == pi / 2.0:
        upright = axis[0] == 0.0 == axis[1]
        extent = onto.rise_mm if upright else onto.reach_mm
        facing &= along > -extent
        level = (along < extent) & facing
    return Stance(
        lamp=lamp,
        measure=(far, way),
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
        if axis[0] == 0.0 == axis[1]:
            return np.asarray(faces)
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


def _raised(corner: Floats, *, axis: Floats, but: Bools | None) -> Ints | None:
    """Cut off what of pieces (4, 4, M) lies behind a lamp's horizon, in place, but of some (M,).

    Gives those from which a cut would not leave four corners, which are left as they are; None
    where there are none.
    """
    along = (axis @ corner[:3].reshape(3, -1)).reshape(4, -1)
    behind = along.min(axis=0) < 0.0
    if but is not None:
        behind &= ~but
    (own,) = behind.nonzero()
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
    onto: Targets, *, which: Ints, stance: Stance, shaded: Bools | None, closer: Closer | None
) -> tuple[Floats, Ints]:
    """Quarter pieces until they are small for their distance to a lamp.

    Corners as in the targets, but seen from the lamp (4, 4, M), and the pieces they are of. Pieces
    (Q,) that shadows cross are not cut along the horizon.
    """
    at, lamp = stance.place_mm, stance.lamp
    reach = _reach(lamp, onto=onto, near=NEAR_SIXTEEN, step=LOBE_STEP_SIXTEEN)
    corner, number = onto.corner.take(which, axis=2), which
    corner[:3] -= at[:, None, None]
    # The sum over the corners is four times the middle.
    wanted = onto.size2_mm2[which] * (16.0 / (reach * reach))
    level = beam_edge_rad(lamp.beam) == pi / 2.0
    corners, numbers = [], []
    for depth in range(DEEPEST):
        odd = None
        if level:
            but = None if shaded is None else shaded[number]
            odd = _raised(corner, axis=stance.axis, but=but)
            level = odd is not None
        middle = corner[:3].sum(axis=1)
        far2 = (middle * middle).sum(axis=0)
        large = wanted > far2
        if odd is not None:
            large[odd] |= ODD * wanted[odd] > far2[odd]
        if closer is not None:
            size2 = wanted * (reach * reach / 64.0)
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


def _lit(corner: Floats, *, number: Ints, onto: Targets, stance: Stance) -> Lit:
    """Light pieces (4, 4, M) seen from the lamp by sixteen points each."""
    points = SIXTEEN.blend @ corner
    place = points[:3]
    points[3] *= SIXTEEN.weight
    flux = _received(
        stance.lamp.beam,
        far2=np.einsum("kpq,kpq->pq", place, place),
        along=(stance.axis @ place.reshape(3, -1)).reshape(place.shape[1:]),
        ahead=stance.ahead_mm[number],
        area=points[3],
        lobe=onto.lobe,
    )
    place += stance.place_mm[:, None, None]
    return Lit(number=number, place_mm=place, flux=flux)


def _from_afar(onto: Targets, *, near: Bools, stance: Stance) -> Lit:
    """Light all pieces by their own Gauss points, but for those near the lamp."""
    points, shape = onto.point.reshape(5, -1), onto.area_mm2.shape
    far2, along = ((way @ points).reshape(shape) for way in stance.measure)
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
    parts: list[Lit] = []
    if only is None:
        reach = _reach(lamp, onto=onto, near=NEAR, step=LOBE_STEP)
        close = _near(onto, reach=reach, stance=stance, closer=closer)
        parts.append(_from_afar(onto, near=close, stance=stance))
        (far,) = (stance.facing & ~close).nonzero()
        (only,) = (stance.facing & close).nonzero()
    else:
        far = only[:0]
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
    corner, number = _cut(onto, which=only, stance=stance, shaded=None, closer=closer)
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
    corner, number = _cut(
        onto, which=near[~dark[count:]], stance=stance, shaded=shaded, closer=closer
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
        light[:, which] = _kept(light[:, which], shares=shares)
    return part


def _kept(whole: Floats, *, shares: Floats) -> Floats:
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
