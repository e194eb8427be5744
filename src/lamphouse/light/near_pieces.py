"""Pieces near a lamp, cut until they are small for their distance and end at its horizon."""

from collections.abc import Callable
from math import pi
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
    onto: Targets,
    *,
    which: Ints,
    stance: Stance,
    reach: float,
    shaded: Bools | None,
    closer: Closer | None,
) -> tuple[Floats, Ints]:
    """Cut pieces along a lamp's horizon, and quarter them until they are small for their distance.

    Parameters
    ----------
    onto, which
        The pieces, and those asked for.
    stance
        The lamp.
    reach
        The longest diagonal, in distances to the lamp.
    shaded
        (Q,) the pieces that shadows cross: they are not cut along the horizon. None: none.
    closer
        Other reasons to quarter.

    Returns
    -------
    tuple
        Corners as in the targets, but seen from the lamp (4, 4, M), and the pieces they are of.
    """
    at = stance.place_mm
    corner, number = onto.corner.take(which, axis=2), which
    corner[:3] -= at[:, None, None]
    # The sum over the corners is four times the middle.
    wanted = onto.size2_mm2[which] * (16.0 / (reach * reach))
    level = beam_edge_rad(stance.lamp.beam) == pi / 2.0
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
            size2 = wanted * (reach * reach / 64.0)  # a quarter's
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
