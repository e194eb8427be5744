"""Sums over the level edges of faces in a grid: upright rectangles and straight foot lines.

In a grid few differences of place come back again and again, so each is worked out once and looked
up for every pair of faces.
"""

from collections.abc import Iterator, Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ALIKE_MM = 1e-9
"""Places and differences this near are one."""

AT_ONCE = 8_000
"""Entries worked on at once: every pass stays in the processor's cache."""

WORTH = 2
"""Differences worked out per pair of faces from which a grid saves nothing."""


def twice(s: Floats, q2: Floats) -> Floats:
    """Give ``G`` with ``G'' = ln(s^2 + q^2) / 2``, for parallel edges at distance ``q``. [mm2]."""
    s2 = s * s
    q = np.sqrt(q2)
    log = np.log(np.maximum(s2 + q2, 1e-300))
    angle = np.arctan(s / np.maximum(q, 1e-150))
    return np.asarray(0.25 * (s2 - q2) * log + q * s * angle - 0.75 * s2)


class Extents(Record):
    """Where faces begin and end along one axis, every different extent once."""

    low_mm: Floats
    """(U,)."""
    high_mm: Floats
    """(U,)."""
    long: Ints
    """(U,) which of the different lengths each has."""
    place: Ints
    """(P,) extent of each face."""


class GridFaces(Record):
    """Faces of one kind: upright rectangles, or foot lines along one axis."""

    face: Ints
    """(P,) their numbers."""
    extents: tuple[Extents, Extents]
    """In x and y."""
    along: int | None
    """Axis of a foot line; None for rectangles."""
    way: Floats
    """(P,) 1 for a foot line that runs up its axis, -1 for one that runs down; 1 for rectangles."""

    def levels(self, axis: int) -> list[tuple[int, float]]:
        """List the edges along an axis: whether at the low or high side, and their direction."""
        if self.along is not None:
            return [(0, 1.0)] if self.along == axis else []
        # Anticlockwise: the lower edge runs up the axis x, the left one down the axis y.
        turn = 1.0 if axis == 0 else -1.0
        return [(0, turn), (1, -turn)]


def grid_faces(corner_mm: Floats) -> tuple[tuple[GridFaces, ...], Ints]:
    """Sort out the faces that lie in a grid from polygons (C, v, 2); give the others' numbers.

    Polygons run anticlockwise, repeated corners allowed; two corners are a directed foot line.
    """
    low, high = corner_mm.min(axis=1), corner_mm.max(axis=1)
    wide = (high - low) > ALIKE_MM
    step = np.roll(corner_mm, -1, axis=1) - corner_mm
    straight = np.all(np.any(np.abs(step) <= ALIKE_MM, axis=2), axis=1)
    kinds: list[tuple[int | None, Bools]]
    if corner_mm.shape[1] == 2:
        kinds = [(axis, straight & wide[:, axis]) for axis in (0, 1)]
    else:
        # Straight sides and four of them: an L has more, and a repeated corner is no side.
        sides = (np.abs(step).max(axis=2) > ALIKE_MM).sum(axis=1)
        kinds = [(None, straight & (sides == 4))]
    groups = []
    for along, own in kinds:
        face = np.flatnonzero(own)
        way = np.ones(len(face)) if along is None else np.sign(step[face, 0, along])
        if len(face):
            groups.append(
                GridFaces(
                    face=face,
                    extents=(
                        _extents(low[face, 0], high=high[face, 0]),
                        _extents(low[face, 1], high=high[face, 1]),
                    ),
                    along=along,
                    way=way,
                )
            )
    rest = np.ones(len(corner_mm), dtype=np.bool_)
    for group in groups:
        rest[group.face] = False
    return tuple(groups), np.flatnonzero(rest)


class _Pairs(Record):
    """How the extents of two sets of faces lie to one another along one axis."""

    kind: Ints
    """(U, V) which arrangement two extents have."""
    mine: Ints
    """(P,) extent of each face."""
    theirs: Ints
    """(Q,)."""
    apart_mm: Floats
    """(D,) distances between ends that occur."""
    ends: Ints
    """(2, 2, T) for each arrangement the distance between either end of both."""


def _alike(values: Floats) -> tuple[Ints, Ints]:
    """Give where each different value first stands, and which one each is."""
    _, first, place = np.unique(
        np.rint(values / ALIKE_MM).astype(np.int64), return_index=True, return_inverse=True
    )
    return first, place


def _extents(low: Floats, *, high: Floats) -> Extents:
    _, begin = _alike(low)
    _, long = _alike(high - low)
    key = begin * (long.max() + 1) + long
    _, first, place = np.unique(key, return_index=True, return_inverse=True)
    return Extents(low_mm=low[first], high_mm=high[first], long=long[first], place=place)


def _pairs(one: Extents, *, other: Extents, mirrored: bool) -> _Pairs:
    """Sort out the arrangements, those that mirror each other as one where they have one sum."""
    apart = np.stack(
        [[a[:, None] - b for b in (other.low_mm, other.high_mm)] for a in (one.low_mm, one.high_mm)]
    ).reshape(4, -1)
    lengths = (one.long[:, None] * (other.long.max() + 1) + other.long).ravel()
    middles = apart[0] + apart[3]
    if mirrored:
        np.abs(middles, out=middles)
    key = np.rint(middles / ALIKE_MM).astype(np.int64) * (lengths.max() + 1) + lengths
    _, first, kind = np.unique(key, return_index=True, return_inverse=True)
    distance = np.abs(apart[:, first]).ravel()
    at, ends = _alike(distance)
    return _Pairs(
        kind=kind.reshape(len(one.low_mm), len(other.low_mm)),
        mine=one.place,
        theirs=other.place,
        apart_mm=distance[at],
        ends=ends.reshape(2, 2, len(first)),
    )


def _table(
    one: GridFaces, *, other: GridFaces, axis: int, pairs: Sequence[_Pairs], gap_mm: float
) -> Floats | None:
    """Sum over the edges along an axis: arrangement across it by arrangement along it."""
    along, across = pairs[axis], pairs[1 - axis]
    levels = [
        (across.ends[mine, theirs], way * their_way)
        for mine, way in one.levels(axis)
        for theirs, their_way in other.levels(axis)
    ]
    if not levels:
        return None
    q2 = across.apart_mm**2 + gap_mm * gap_mm
    table = np.zeros((len(along.apart_mm), len(q2)))
    step = max(1, AT_ONCE // len(q2))
    for first in range(0, len(table), step):
        part = slice(first, first + step)
        table[part] = twice(along.apart_mm[part, None], q2)
    # The end of an edge counts +1, its start -1.
    starts, ends = along.ends
    summed = table.take(ends[0], axis=0)
    summed += table.take(starts[1], axis=0)
    summed -= table.take(ends[1], axis=0)
    summed -= table.take(starts[0], axis=0)
    rows = np.ascontiguousarray(summed.T)
    total = np.zeros((across.ends.shape[2], rows.shape[1]))
    for level, way in levels:
        (np.add if way > 0.0 else np.subtract)(total, rows.take(level, axis=0), out=total)
    return total


def grid_sums(
    one: GridFaces, *, other: GridFaces, gaps_mm: Sequence[float]
) -> Iterator[tuple[int, slice, Floats]] | None:
    """Sum ``-w w' G`` over the parallel edges of two sets of faces in a grid, over ``2 pi``.

    None where too few differences come back.

    Returns
    -------
    iterator of tuple
        Number of the gap, which faces of the first set, and their sums with the second. [mm2].
    """
    # The front of a foot line tells the lower side of a rectangle from its upper one.
    mirrored = (one.along is None) == (other.along is None)
    pairs = [
        _pairs(mine, other=theirs, mirrored=mirrored)
        for mine, theirs in zip(one.extents, other.extents, strict=True)
    ]
    if len(pairs[0].apart_mm) * len(pairs[1].apart_mm) > WORTH * len(one.face) * len(other.face):
        return None
    return _sums(one, other=other, pairs=pairs, gaps_mm=gaps_mm)


def _sums(
    one: GridFaces, *, other: GridFaces, pairs: Sequence[_Pairs], gaps_mm: Sequence[float]
) -> Iterator[tuple[int, slice, Floats]]:
    tables = []
    for gap in gaps_mm:
        steep = _table(one, other=other, axis=1, pairs=pairs, gap_mm=gap)
        level = _table(one, other=other, axis=0, pairs=pairs, gap_mm=gap)
        if steep is not None:
            level = steep.T if level is None else level + steep.T
        if level is None:
            return
        tables.append(level.ravel() / (2.0 * pi))
    width = pairs[0].ends.shape[2]
    kind_x, kind_y = (own.kind.take(own.theirs, axis=1) for own in pairs)
    kind_y *= width
    signed = one.along is not None or other.along is not None
    step = max(1, AT_ONCE // len(other.face))
    for first in range(0, len(one.face), step):
        part = slice(first, first + step)
        place = kind_y.take(pairs[1].mine[part], axis=0)
        place += kind_x.take(pairs[0].mine[part], axis=0)
        for number, table in enumerate(tables):
            found = table.take(place)
            if signed:
                found *= one.way[part, None] * other.way
            yield number, part, found
