"""Pieces near a lamp, cut until they are small for their distance and end at its horizon."""

from collections.abc import Callable
from math import cos, pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.emitter import beam_edge_rad, steep_part
from lamphouse.light.pieces import Targets, quarters
from lamphouse.light.stance import Stance
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ODD = 12.0
"""Pieces that the horizon does not leave four corners are cut while they are larger than others
may be by the root of this."""

DEEPEST = 10
"""Quarterings at most; a lamp 0.02 mm from a face still finds pieces of its own size."""

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


class Closer(Record):
    """Reasons to cut pieces other than the lamp's distance."""

    piece: Ints
    """Pieces to look at."""
    large: Callable[[Floats, Floats, Ints, int], Bools]
    """Tells which parts of pieces to quarter, from their middles (3, M), the squares of their
    quarters' diagonals, the pieces they are of, and how often they have been quartered."""


def _four_times(values: NDArray[Any]) -> NDArray[Any]:
    return np.concatenate([values, values, values, values])


def along_of(place: Floats, *, axis: Floats) -> Floats:
    """Give the parts along an axis of places (3, P, M), (P, M); the axis one, or one for each M."""
    if axis.ndim > 1:
        return np.asarray(np.einsum("km,kpm->pm", axis, place))
    return np.asarray((axis @ place.reshape(3, -1)).reshape(place.shape[1:]))


def _raised(corner: Floats, *, axis: Floats, but: Bools | None) -> Ints | None:
    """Cut off what of pieces (4, 4, M) lies behind a lamp's horizon, in place, but of some (M,).

    Gives those from which a cut would not leave four corners, which are left as they are; None
    where there are none.
    """
    along = along_of(corner[:3], axis=axis)
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


def either(one: Closer | None, *, other: Closer | None) -> Closer | None:
    """Cut pieces for either of two reasons."""
    if one is None or other is None:
        return one or other
    first, second = one.large, other.large

    def large(middle: Floats, size2: Floats, number: Ints, depth: int) -> Bools:
        return first(middle, size2, number, depth) | second(middle, size2, number, depth)

    return Closer(piece=np.union1d(one.piece, other.piece), large=large)


def steep_closer(onto: Targets, *, stance: Stance, reach: float) -> Closer | None:
    """Cut pieces finely where a narrow beam by a table falls off steeply.

    Parameters
    ----------
    onto, stance
        The pieces and the lamp.
    reach
        The longest diagonal for a Lambertian one, in distances to the lamp.
    """
    steep = steep_part(stance.lamp.beam)
    if steep is None:
        return None
    fine, edge = steep[0] * reach, steep[1]
    at, axis = stance.place_mm[:, None], stance.axis

    def within(way: Floats, size2: Floats) -> Bools:
        far2 = np.einsum("km,km->m", way, way)
        small = size2 <= fine * fine * far2
        angle = np.arccos(np.clip(axis @ way / np.sqrt(far2), -1.0, 1.0))
        around = np.arcsin(np.minimum(0.5 * np.sqrt(size2 / far2), 1.0))
        return np.asarray(~small & (angle - around < edge))

    def large(middle: Floats, size2: Floats, number: Ints, depth: int) -> Bools:
        del number, depth
        return within(middle - at, 4.0 * size2)

    (piece,) = (stance.facing & within(onto.middle[:3] - at, onto.size2_mm2)).nonzero()
    return Closer(piece=piece, large=large)


def cut(
    corner: Floats,
    *,
    size2_mm2: Floats,
    axis: Floats,
    level: bool,
    reach: float,
    edge_cos: float = 0.0,
    shaded: Bools | None = None,
    large: Callable[[Floats, Floats, Ints, int], Bools] | None = None,
) -> tuple[Floats, Ints]:
    """Cut pieces along a lamp's horizon, and quarter them until they are small for their distance.

    Parts beside a beam that ends before its horizon are left out.

    Parameters
    ----------
    corner
        Corners as in the targets, but seen from the lamp (4, 4, M); they are changed.
    size2_mm2
        (M,) the longer diagonal squared.
    axis
        (3,) of the lamp, or (3, M) where each piece has a lamp of its own.
    level
        Whether it shines as far as its horizon.
    reach
        The longest diagonal, in distances to the lamp.
    edge_cos
        Cosine of the angle at which its beam ends.
    shaded
        (M,) the pieces that shadows cross: they are not cut along the horizon, and no part of them
        is left out. None: none.
    large
        Other reasons to quarter, as in ``Closer``, but from middles seen from the lamp.

    Returns
    -------
    tuple
        The corners of the parts, and the pieces they are of.
    """
    # The sum over the corners is four times the middle.
    wanted = size2_mm2 * (16.0 / (reach * reach))
    number = np.arange(len(wanted))
    corners, numbers = [], []
    for depth in range(DEEPEST):
        odd = None
        if level:
            but = None if shaded is None else shaded[number]
            own = axis if axis.ndim == 1 else axis.take(number, axis=1)
            odd = _raised(corner, axis=own, but=but)
            level = odd is not None
        middle = corner[:3].sum(axis=1)
        far2 = (middle * middle).sum(axis=0)
        split_up = wanted > far2
        if odd is not None:
            split_up[odd] |= ODD * wanted[odd] > far2[odd]
        if large is not None:
            size2 = wanted * (reach * reach / 64.0)  # a quarter's
            split_up |= large(0.25 * middle, size2, number, depth)
        if edge_cos > 0.0:
            # How far a part is within the cone changes by no more than two of its half diagonals.
            beam = axis @ middle - edge_cos * np.sqrt(far2) > -reach * np.sqrt(wanted)
            if shaded is not None:
                beam |= shaded[number]
            split_up &= beam
        (split,) = split_up.nonzero()
        if not len(split):
            break
        (kept,) = (~split_up if edge_cos <= 0.0 else beam & ~split_up).nonzero()
        corners.append(corner.take(kept, axis=2))
        numbers.append(number[kept])
        corner, number = quarters(corner.take(split, axis=2)), _four_times(number[split])
        corner[3] *= 0.25
        wanted = _four_times(0.25 * wanted[split])
    if not corners:
        return corner, number
    return np.concatenate([*corners, corner], axis=2), np.concatenate([*numbers, number])


def cut_near(
    onto: Targets,
    *,
    which: Ints,
    stance: Stance,
    reach: float,
    shaded: Bools | None,
    closer: Closer | None,
) -> tuple[Floats, Ints]:
    """Give ``cut`` for some pieces of targets and one lamp: parts, and the pieces they are of.

    ``shaded`` is by all pieces (Q,).
    """
    at = stance.place_mm[:, None]
    corner = onto.corner.take(which, axis=2)
    corner[:3] -= at[:, None]
    large, edge = None, beam_edge_rad(stance.lamp.beam)
    if closer is not None:
        asked = closer.large

        def large(middle: Floats, size2: Floats, number: Ints, depth: int) -> Bools:
            return asked(middle + at, size2, which[number], depth)

    corner, number = cut(
        corner,
        size2_mm2=onto.size2_mm2[which],
        axis=stance.axis,
        level=edge == pi / 2.0,
        reach=reach,
        edge_cos=0.0 if edge >= pi / 2.0 else cos(edge),
        shaded=None if shaded is None else shaded[which],
        large=large,
    )
    return corner, which[number]
