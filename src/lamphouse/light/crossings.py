"""Which pairs of faces the foot line of a screen comes between.

How two faces fan out, seen from both ends of a foot line, tells at once whether none of their rays
meets it or all do; only the others are followed singly.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.viewers import RAYS, Screens, Viewers
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Singles = NDArray[np.float32]

GRAZE = 1e-9
"""A ray that ends on a wall is not stopped by it, rounding included."""

SEAM_MM = 1e-5
"""A screen reaches this much farther, so that single precision opens no seam at its ends."""

_PARTNER = (np.arange(RAYS) * 7 + 3) % RAYS
"""Which point of the second face each point of the first looks at: different parts are joined."""


class _Fan(Record):
    """How far faces on one side of a foot line fan out as its two ends see them.

    A point lies at ``t = along / across`` of an end. The ray between points on either side passes
    beyond that end when the one in front has the greater ``t``; so the least and greatest ``t`` of
    two faces tell whether all their rays pass alike.
    """

    face: Ints
    """(P,) the faces with points on this side."""
    least: Floats
    """(2, P) for both ends."""
    most: Floats
    """(2, P)."""
    whole: Bools
    """(P,) whether all points of the face are on this side."""


def _fan(along: Floats, *, across: Floats, half: float, ahead: bool) -> _Fan:
    """Fan out the points (RAYS, I) that lie in front of a foot line, or behind it."""
    own = across > 0.0 if ahead else across < 0.0
    face = np.flatnonzero(own.any(axis=0))
    own, along, over = own[:, face], along[:, face], across[:, face]
    whole = np.asarray(own.all(axis=0))
    some = not whole.all()
    if some:
        over[~own] = 1.0
    np.divide(1.0, over, out=over)
    least, most = np.zeros((2, len(face))), np.zeros((2, len(face)))
    for end, shift in enumerate((half, -half)):
        turn = along + shift
        turn *= over
        if some:
            turn[~own] = np.inf
        turn.min(axis=0, out=least[end])
        if some:
            turn[~own] = -np.inf
        turn.max(axis=0, out=most[end])
    return _Fan(face=face, least=least, most=most, whole=whole)


class Aimed(Record):
    """Points of faces along and across the foot line of a screen, from its middle."""

    along_mm: Singles
    """(I, RAYS)."""
    across_mm: Singles
    """(I, RAYS)."""
    ahead: _Fan
    """The points in front of the line."""
    behind: _Fan

    def partners(self) -> tuple[Singles, Singles]:
        """Give along and across of the points that rays from other faces end on."""
        return self.along_mm[:, _PARTNER], self.across_mm[:, _PARTNER]


def aimed(viewers: Viewers, *, screens: Screens) -> tuple[Aimed, ...]:
    """Lay faces out along the foot line of every screen."""
    spot_x, spot_y = (np.ascontiguousarray(viewers.spot_mm[..., axis].T) for axis in range(2))
    found = []
    for start, end in zip(screens.start_mm, screens.end_mm, strict=True):
        step, (middle_x, middle_y) = end - start, (start + end) / 2.0
        length = float(np.hypot(step[0], step[1]))
        unit_x, unit_y = step / length
        x, y = spot_x - middle_x, spot_y - middle_y
        along, across = x * unit_x + y * unit_y, unit_x * y - unit_y * x
        ahead, behind = (
            _fan(along, across=across, half=length / 2.0, ahead=side) for side in (True, False)
        )
        found.append(
            Aimed(
                along_mm=along.T.astype(np.float32, order="C"),
                across_mm=across.T.astype(np.float32, order="C"),
                ahead=ahead,
                behind=behind,
            )
        )
    return tuple(found)


def _unsettled(front: _Fan, *, behind: _Fan) -> tuple[Bools, Bools]:
    """Tell which pairs have rays that a foot line meets, and which have only such, (P, Q)."""
    low, high = front.least[:, :, None], front.most[:, :, None]
    lower, higher = behind.least[:, None], behind.most[:, None]
    meets = (high[0] >= lower[0]) & (low[1] <= higher[1])
    only = (low[0] >= higher[0]) & (high[1] <= lower[1])
    only &= front.whole[:, None] & behind.whole
    return meets, only


class Crossing(Record):
    """The foot line of a screen and the pairs of faces it comes between, I and J of them."""

    mine: Aimed
    along_mm: Singles
    """(J, RAYS) of the others, where the rays end."""
    across_mm: Singles
    half_mm: float
    pair: Ints
    """(P,) ``i J + j``, with rays that meet the foot line."""
    hidden: Ints
    """(Q,) pairs all of whose rays do."""

    def met(self, *, i: Ints, j: Ints) -> tuple[Bools, Singles]:
        """Whether the rays of pairs meet the foot line, and at which share of their way if so."""
        share, across = self.mine.across_mm.take(i, axis=0), self.across_mm.take(j, axis=0)
        along, place = self.mine.along_mm.take(i, axis=0), self.along_mm.take(j, axis=0)
        apart = share * across < 0.0
        np.subtract(share, across, out=across)
        place -= along
        # Where the ends are not apart a share is out of range or not a number, and means nothing.
        with np.errstate(divide="ignore", invalid="ignore"):
            share /= across
            place *= share
            place += along
            apart &= np.abs(place, out=place) <= self.half_mm + SEAM_MM
        return apart, share


def crossings(
    mine: Sequence[Aimed],
    *,
    theirs: Sequence[Aimed],
    screens: Screens,
    facing: Bools | None = None,
) -> tuple[Crossing, ...]:
    """Find the pairs of faces that the foot line of every screen comes between.

    Those that do not face each other, where that is known (I, J), are left out.
    """
    half_mm = np.hypot(*(screens.end_mm - screens.start_mm).T) / 2.0
    return tuple(
        _crossing(here, theirs=there, half_mm=half, facing=facing)
        for here, there, half in zip(mine, theirs, half_mm.tolist(), strict=True)
    )


def _crossing(mine: Aimed, *, theirs: Aimed, half_mm: float, facing: Bools | None) -> Crossing:
    along, across = theirs.partners()
    count, same = len(along), mine is theirs
    pairs: list[Ints] = []
    hidden: list[Ints] = []
    for ahead in (True,) if same else (True, False):
        front, behind = (mine.ahead, theirs.behind) if ahead else (theirs.ahead, mine.behind)
        for found, kept in zip(_unsettled(front, behind=behind), (pairs, hidden), strict=True):
            row, column = np.nonzero(found)
            i, j = front.face[row], behind.face[column]
            if same:
                i, j = np.maximum(i, j), np.minimum(i, j)
            elif not ahead:
                i, j = j, i
            pair = i * count + j
            kept.append(pair if facing is None else pair[facing.ravel()[pair]])
    return Crossing(
        mine=mine,
        along_mm=along,
        across_mm=across,
        half_mm=half_mm,
        pair=np.concatenate(pairs),
        hidden=np.concatenate(hidden),
    )
