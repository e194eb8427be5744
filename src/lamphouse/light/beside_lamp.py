"""Which faces a lamp lights in a patch so small that their mesh is too coarse for its light.

A lamp close before a face does so, and a narrow beam wherever it lands.
"""

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.emitter import SPOTTY, is_narrow, spot_slope
from lamphouse.light.glints import AT_ONCE
from lamphouse.light.interior import Interior
from lamphouse.light.near_pieces import Closer
from lamphouse.light.pieces import Targets
from lamphouse.light.scene import Lamp
from lamphouse.light.stance import Stance, seen
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

BESIDE_WHOLLY, BESIDE = 0.35, 0.45
"""A lamp is beside a face that it lights when it lies before its plane by less than the face's
diagonal times the second; nearer than the first, what the mesh misses counts in full."""

NARROW_WHOLLY, NARROW_AT_ALL = 1.05, 1.35
"""The same for the spots of a narrow beam."""

LAMP_NEAR, LAMP_NEAR_BAFFLES = 2.0, 3.0
"""Faces about a lamp beside a face are near when closer than their diagonal times this; the second
in a box with baffles or inner corners: past the edge of one beside the lamp a strip of a face is
lit, and where it lies in the face tells which chamber its light goes to."""

SPOT = 0.78
"""Half the width of a narrow beam's spot counts by this as the distance of a lamp from a face."""

SPOT_FINE = 0.4
"""The longest diagonal of what a glint stands for, in distances to the nearest spot."""

FINEST = 5
"""Quarterings at most for the sake of spots."""


class Beside(Record):
    """What a lamp beside a face lights from near."""

    face: Ints
    """(F,) of its cavity."""
    piece: Ints
    """(Q,) their pieces."""
    narrow: bool
    """Whether its beam is."""
    share: float
    """How far what the mesh misses counts: figures change smoothly as a lamp leaves a wall."""


def beside(
    interior: Interior, *, lamp: Lamp, stance: Stance, follows_spots: bool = True
) -> Beside | None:
    """Find the faces of a lamp's cavity lit from near; None if it is beside none of them.

    Parameters
    ----------
    interior, lamp
        The box and the lamp.
    stance
        How the pieces of the faces stand to the lamp; others may follow them.
    follows_spots
        Whether small lamps may stand for the spots of a narrow beam; without, they are seen to like
        those of a lamp beside a wall, some thirty times sooner.
    """
    home = interior.home(lamp)
    narrow = follows_spots and is_narrow(lamp.beam)
    wholly, at_all = (NARROW_WHOLLY, NARROW_AT_ALL) if narrow else (BESIDE_WHOLLY, BESIDE)
    onto = interior.onto[home]
    size2 = onto.size2_mm2
    ahead, facing = stance.ahead_mm[: len(size2)], stance.facing[: len(size2)]
    patch2 = ahead * ahead
    reach = LAMP_NEAR_BAFFLES if len(interior.screens.low_mm) else LAMP_NEAR
    around = facing & (size2 * reach**2 > stance.far2_mm2[: len(size2)])
    spot = _spot(stance, size2=size2)
    if spot is not None and (small := facing & (spot < size2 * at_all**2)).any():
        np.minimum(patch2, spot, out=patch2, where=small)
        around |= facing & np.isfinite(spot)
    close = around & (patch2 < at_all**2 * size2)
    if not close.any():
        return None
    (which,) = around.nonzero()
    which = which[seen(onto, which=which, stance=stance)]
    if not close[which].any():
        return None
    lit = np.zeros(onto.count, dtype=np.bool_)
    lit[onto.pieces.face[which]] = True
    own = slice(interior.first[home], interior.first[home + 1])
    lit &= (interior.reflectance[own] > 0.0) | (interior.transmittance[own] > 0.0)
    (piece,) = lit[onto.pieces.face].nonzero()
    if not len(piece):
        return None
    nearest = sqrt(float((patch2[piece] / size2[piece]).min()))
    share = min(max((at_all - nearest) / (at_all - wholly), 0.0), 1.0)
    return Beside(face=lit.nonzero()[0], piece=piece, narrow=narrow, share=share)


def _spot(stance: Stance, *, size2: Floats) -> Floats | None:
    """Square of the size of a narrow beam's spot on the pieces it reaches, else inf, (Q,). [mm2].

    It compares with that of how far a lamp lies before a face. None for other beams.
    """
    slope = spot_slope(stance.lamp.beam)
    if slope > SPOTTY:
        return None
    far2, along = stance.far2_mm2[: len(size2)], stance.along_mm[: len(size2)]
    aside = np.sqrt(np.maximum(far2 - along * along, 0.0))
    within = (along > 0.0) & (aside < 2.0 * slope * along + 0.5 * np.sqrt(size2))
    return np.where(within, (SPOT * slope) ** 2 * far2, np.inf)


def closer_for(onto: Targets, *, piece: Ints, spots_mm: Floats) -> Closer | None:
    """Cut some pieces until they are small for their distance to the nearest spot before them."""
    if not len(spots_mm):
        return None
    mine = np.zeros(len(onto.size2_mm2), dtype=np.bool_)
    mine[piece] = True
    normal, spots = onto.plane[:3], np.ascontiguousarray(spots_mm.T)
    spots2 = (spots * spots).sum(axis=0)

    def large(middle: Floats, size2: Floats, number: Ints, depth: int) -> Bools:
        found = np.zeros(len(size2), dtype=np.bool_)
        if depth >= FINEST:
            return found
        (own,) = (number < len(mine)).nonzero()
        own = own[mine[number[own]]]
        step = max(1, AT_ONCE // len(spots_mm))
        for first in range(0, len(own), step):
            part = own[first : first + step]
            at, way = middle[:, part].T, normal[:, number[part]].T
            # |spot - at|^2 and the spot's part along the normal, as products of matrices.
            far2 = (-2.0 * at) @ spots
            far2 += spots2
            near = far2 < (size2[part] / SPOT_FINE**2 - (at * at).sum(axis=1))[:, None]
            near &= way @ spots > (TOUCH_MM + (way * at).sum(axis=1))[:, None]
            found[part] = near.any(axis=1)
        return found

    return Closer(piece=piece, large=large)
