"""Exchange of light between faces of a prism, from closed integrals over their edges.

By Stokes' theorem the exchange area of two diffuse faces that see each other whole is
``S = A_i F_ij = 1 / (2 pi) * sum over edge pairs of (u . u') * integral integral ln r ds dt``
[STOKES-FF]. In a prism edges are level or upright. A level and an upright edge are perpendicular
and give nothing. Parallel edges have the closed form below. Only slanted walls and round openings
leave pairs at an angle: those are integrated once in closed form and once by Gauss's rule.

Two parallel edges at distance ``q`` need ``G`` with ``G'' = ln(s^2 + q^2) / 2``. With the weight
``+1`` at the end of a directed edge and ``-1`` at its start a pair gives ``-sum w w' G``, whichever
way the two edges run; faces are therefore summed over their corners.
"""

from collections.abc import Iterable, Sequence
from itertools import combinations_with_replacement, product
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.grid_sums import GridFaces, grid_faces, grid_sums, twice
from lamphouse.light.turning import Way, straightened
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

GAUSS_POINTS = 3
"""Points along one edge of a pair at an angle."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(GAUSS_POINTS)
_PLACES, _SHARES = 0.5 + 0.5 * _NODES, 0.5 * _WEIGHTS

SQUARE = 1e-9
"""Cosine below which two edges are perpendicular; sine below which they are parallel."""

SAME_MM = 1e-7
"""Corners closer than this are one corner."""

SPREAD = np.int64(-7_046_029_254_386_353_131)
"""2^64 over the golden ratio, odd and wrapped round: powers of it give rows of whole numbers keys
that are alike for different rows once in some 2^64 pairs."""

CHUNK = 8_000
"""Entries worked on at once: every pass stays in the processor's cache, and its arrays below the
128 KiB from which the allocator asks the system for fresh pages each time (four times slower)."""


def _stretch(s: Floats, length: Floats, q2: Floats) -> Floats:
    """Integral of ``ln r`` along an edge, from a point ``s`` past its start, ``q`` beside it."""
    q = np.sqrt(q2)
    rest = s - length
    over = 1.0 / np.maximum(q, 1e-150)
    log = s * np.log(np.maximum(s * s + q2, 1e-300)) - rest * np.log(
        np.maximum(rest * rest + q2, 1e-300)
    )
    return np.asarray(0.5 * log - length + q * (np.arctan(s * over) - np.arctan(rest * over)))


class Family(Record):
    """Edges that run alike, as corners that the faces are summed over."""

    point_mm: Floats
    """(P, 2)."""
    unit: Floats
    """(P, 2) direction of the edges that begin or end at each corner."""
    corner: Ints
    """(F, k) corners of each face, padded."""
    weight: Floats
    """(F, k) +1 at the end of an edge, -1 at its start, 0 for padding."""

    def gather(self, table: Floats) -> Floats:
        """Sum a table over its first axis from corners to faces."""
        return _added_up(table, place=self.corner, weight=self.weight)


class Edges(Record):
    """Edges of faces, those that two faces share, running either way, once."""

    start_mm: Floats
    """(S, 2)."""
    step_mm: Floats
    """(S, 2) from start to end."""
    edge: Ints
    """(F, k) edges of each face, padded."""
    weight: Floats
    """(F, k) 1 where the face's own edge runs the same way, else -1; 0 for padding."""

    def gather(self, table: Floats) -> Floats:
        """Sum a table over its first axis from edges to faces."""
        return _added_up(table, place=self.edge, weight=self.weight)


def _added_up(table: Floats, *, place: Ints, weight: Floats) -> Floats:
    total = np.zeros((len(place), table.shape[1]))
    step = max(1, CHUNK // max(table.shape[1], 1))
    for first in range(0, len(total), step):
        part = slice(first, first + step)
        for row, share in zip(place[part].T, weight[part].T, strict=True):
            found = table.take(row, axis=0)
            found *= share[:, None]
            total[part] += found
    return total


class Contour(Record):
    """Faces in plan, given by their directed edges."""

    count: int
    """Number of faces."""
    families: tuple[Family, Family]
    """Edges along x and along y."""
    skew: Family
    """Edges along neither."""
    straight: Edges
    """Edges along the axes."""
    slanted: Edges
    """Edges along neither."""


def _numbers(rows: Floats) -> tuple[Ints, Ints]:
    """Give near rows (E, v) one number: where each number first stands, and the numbers."""
    grid = np.rint(rows / SAME_MM).astype(np.int64)
    keys = grid @ SPREAD ** np.arange(grid.shape[1])
    _, first, number = np.unique(keys, return_index=True, return_inverse=True)
    return first, number


def _slots(face: Ints, *, count: int) -> tuple[Ints, int]:
    """Count the edges of each face on, (E,), and give how many a face has at most."""
    edges = np.bincount(face, minlength=count)
    return np.arange(len(face)) - (np.cumsum(edges) - edges)[face], int(edges.max(initial=1))


def _family(start: Floats, *, end: Floats, unit: Floats, face: Ints, count: int) -> Family:
    points, units = np.concatenate([start, end]), np.concatenate([unit, unit])
    first, place = _numbers(np.hstack([points, units]))
    slot, most = _slots(face, count=count)
    corner = np.zeros((count, 2 * most), dtype=np.int64)
    weight = np.zeros((count, 2 * most))
    corner[face, 2 * slot] = place[: len(face)]
    corner[face, 2 * slot + 1] = place[len(face) :]
    weight[face, 2 * slot] = -1.0
    weight[face, 2 * slot + 1] = 1.0
    return Family(point_mm=points[first], unit=units[first], corner=corner, weight=weight)


def _edges(start: Floats, *, end: Floats, face: Ints, count: int) -> Edges:
    _, corner = _numbers(np.concatenate([start, end]))
    ends = corner.reshape(2, -1).T
    key = ends.min(axis=1) * (ends.max(initial=0) + 1) + ends.max(axis=1)
    _, first, place = np.unique(key, return_index=True, return_inverse=True)
    up = ends[:, 0] < ends[:, 1]
    slot, most = _slots(face, count=count)
    edge, weight = np.zeros((count, most), dtype=np.int64), np.zeros((count, most))
    edge[face, slot] = place
    weight[face, slot] = np.where(up == up[first][place], 1.0, -1.0)
    return Edges(start_mm=start[first], step_mm=(end - start)[first], edge=edge, weight=weight)


def contour(start_mm: Floats, *, end_mm: Floats, face: Ints, count: int) -> Contour:
    """Sort the edges of faces by direction.

    Parameters
    ----------
    start_mm, end_mm
        (E, 2) ends of the directed edges; edges of no length are dropped.
    face
        (E,) face of each edge, rising.
    count
        Number of faces.
    """
    step = end_mm - start_mm
    length = np.hypot(step[:, 0], step[:, 1])
    real = length > SAME_MM
    start, end, face = start_mm[real], end_mm[real], face[real]
    unit = step[real] / length[real, None]
    level, steep = np.abs(unit[:, 1]) <= SQUARE, np.abs(unit[:, 0]) <= SQUARE
    skew = ~level & ~steep
    unit = np.where(unit[:, :1] + 1e-3 * unit[:, 1:] < 0.0, -unit, unit)
    unit[level], unit[steep] = (1.0, 0.0), (0.0, 1.0)
    families = [
        _family(start[own], end=end[own], unit=unit[own], face=face[own], count=count)
        for own in (level, steep, skew)
    ]
    straight, slanted = (
        _edges(start[own], end=end[own], face=face[own], count=count) for own in (~skew, skew)
    )
    return Contour(
        count=count,
        families=(families[0], families[1]),
        skew=families[2],
        straight=straight,
        slanted=slanted,
    )


def _parallel(one: Family, *, other: Family, axis: int, gaps_mm: Sequence[float]) -> list[Floats]:
    """Sum over the edges of two sets of faces along an axis at differences of height. [mm2]."""
    (along, across), (place, aside) = (
        (family.point_mm[:, axis], family.point_mm[:, 1 - axis]) for family in (one, other)
    )
    tables = np.zeros((len(gaps_mm), len(along), len(place)))
    step = max(1, CHUNK // max(len(place), 1))
    for first in range(0, len(along), step):
        part = slice(first, first + step)
        apart = along[part, None] - place
        q2 = across[part, None] - aside
        q2 *= q2
        for table, gap in zip(tables, gaps_mm, strict=True):
            table[part] = twice(apart, q2 + gap * gap)
    return [-other.gather(_turned(one.gather(table))).T for table in tables]


def _half(s: Floats, s2: Floats, q2: Floats) -> Floats:
    """Integral of ``ln r`` along an axis from 0 to ``s``, for a point ``q`` beside it."""
    q = np.sqrt(q2)
    angle = s / np.maximum(q, 1e-150)
    np.arctan(angle, out=angle)
    angle *= q
    log = s2 + q2
    np.maximum(log, 1e-300, out=log)
    np.log(log, out=log)
    log *= 0.5
    log -= 1.0
    log *= s
    angle += log
    return angle


def _askew(edges: Edges, *, other: Family, gaps_mm: Sequence[float]) -> Floats:
    """Integrals of ``u . u' ln r`` along edges up to corners of edges at an angle, (K, S, P).

    By Gauss's rule along the first, in closed form along the other.
    """
    start, step = edges.start_mm, edges.step_mm
    total = np.zeros((len(gaps_mm), len(start), len(other.point_mm)))
    rows = max(1, CHUNK // max(total.shape[2], 1))
    (x, y), (across, up) = other.point_mm.T, other.unit.T
    for first in range(0, len(start), rows):
        part = slice(first, first + rows)
        for at, weight in zip(_PLACES, _SHARES, strict=True):
            point = start[part] + at * step[part]
            dx, dy = x - point[:, 0, None], y - point[:, 1, None]
            q2 = dx * up
            q2 -= dy * across
            q2 *= q2
            dx *= across
            dy *= up
            dx += dy
            s2 = dx * dx
            for table, gap in zip(total, gaps_mm, strict=True):
                half = _half(dx, s2, q2 + gap * gap)
                half *= weight
                table[part] += half
        total[:, part] *= step[part] @ other.unit.T
    return total


def _pairs(one: Edges, *, other: Edges, gaps_mm: Sequence[float]) -> Floats:
    """Integrals of ``u . u' ln r`` for every pair of edges, (K, S, T).

    By Gauss's rule along the first.
    """
    a, first, c, second = one.start_mm, one.step_mm, other.start_mm, other.step_mm
    long_1, long_2 = np.hypot(first[:, 0], first[:, 1]), np.hypot(second[:, 0], second[:, 1])
    unit_1, unit_2 = first / long_1[:, None], second / long_2[:, None]
    gap2 = np.square(gaps_mm)[:, None]
    total = np.zeros((len(gap2), len(a), len(c)))
    step = max(1, CHUNK // (len(gap2) * len(c)))
    for begin in range(0, len(a), step):
        part = slice(begin, begin + step)
        for at, weight in zip(_PLACES, _SHARES, strict=True):
            point = a[part] + at * first[part]
            x = point[:, 0, None] - c[None, :, 0]
            y = point[:, 1, None] - c[None, :, 1]
            along = x * unit_2[None, :, 0] + y * unit_2[None, :, 1]
            across = x * unit_2[None, :, 1] - y * unit_2[None, :, 0]
            distance2 = across * across + gap2[:, None]
            total[:, part] += weight * _stretch(along, long_2[None, :], distance2)
    total *= long_1[:, None] * (unit_1 @ unit_2.T)
    turn = unit_1[:, 0, None] * unit_2[None, :, 1] - unit_1[:, 1, None] * unit_2[None, :, 0]
    row, column = np.nonzero(np.abs(turn) <= SQUARE)
    along_1, along_2 = unit_1[row], np.sum(unit_1[row] * unit_2[column], axis=1)
    offset = a[row] - c[column]
    across = offset[:, 0] * along_1[:, 1] - offset[:, 1] * along_1[:, 0]
    start = np.sum(offset * along_1, axis=1)
    end, other_end = start + long_1[row], along_2 * long_2[column]
    q2 = across * across + gap2
    # Parallel edges may touch, where Gauss's rule fails; they take the closed form.
    total[:, row, column] = (
        twice(end, q2)
        + twice(start - other_end, q2)
        - twice(end - other_end, q2)
        - twice(start, q2)
    )
    return total


def _turned(table: Floats) -> Floats:
    return np.ascontiguousarray(table.T)


def _to_faces(table: Floats, *, edges: Edges, other: Edges | Family) -> Floats:
    """Sum a table over its first axis from edges to faces, and over its second."""
    if len(table) > len(edges.edge):
        return other.gather(_turned(edges.gather(table))).T
    return edges.gather(_turned(other.gather(_turned(table))))


def _slanted(one: Contour, *, other: Contour, gaps_mm: Sequence[float]) -> Floats:
    """Sum over the pairs of edges that are neither both along x nor both along y, (K, I, J)."""
    total = np.zeros((len(gaps_mm), one.count, other.count))
    ways = [(one.slanted, family) for family in other.families]
    if one is not other:
        ways.append((one.straight, other.skew))
    for edges, family in ways:
        if len(edges.start_mm) and len(family.point_mm):
            tables = _askew(edges, other=family, gaps_mm=gaps_mm)
            for found, table in zip(total, tables, strict=True):
                found += _to_faces(table, edges=edges, other=family)
    if one is other:
        total += total.transpose(0, 2, 1).copy()
    if len(one.slanted.start_mm) and len(other.slanted.start_mm):
        tables = _pairs(one.slanted, other=other.slanted, gaps_mm=gaps_mm)
        for found, table in zip(total, tables, strict=True):
            found += _to_faces(table, edges=one.slanted, other=other.slanted)
    return total


def level_sums(one: Contour, *, other: Contour, gaps_mm: Sequence[float]) -> Floats:
    """Sum ``(u . u') integral integral ln r`` over the level edges of faces, over ``2 pi``.

    Parameters
    ----------
    one, other
        Two sets of faces, I and J of them; the same record for faces among one another.
    gaps_mm
        Differences of height between them, K of them.

    Returns
    -------
    Floats
        (K, I, J). [mm2]. For an upright face with its lower and upper edge at two heights, and for
        faces that look down, the sums are differences and negatives of these.
    """
    sums = np.zeros((len(gaps_mm), one.count, other.count))
    if len(one.slanted.start_mm) or len(other.slanted.start_mm):
        sums = _slanted(one, other=other, gaps_mm=gaps_mm)
    for axis, (mine, theirs) in enumerate(zip(one.families, other.families, strict=True)):
        if len(mine.point_mm) and len(theirs.point_mm):
            tables = _parallel(mine, other=theirs, axis=axis, gaps_mm=gaps_mm)
            for total, table in zip(sums, tables, strict=True):
                total += table
    sums /= 2.0 * pi
    return sums


class PlanFaces(Record):
    """Faces in plan, those that lie in a grid sorted out."""

    corner_mm: Floats
    """(C, v, 2) polygons that run anticlockwise, corners repeated as padding, or foot lines; along
    and across the grid."""
    grid: tuple[GridFaces, ...]
    odd: Ints
    """Numbers of the other faces."""
    plain: Ints
    """Numbers of those in the grid."""
    edges: tuple[Contour, Contour] | None
    """Of the odd and of the plain faces; None where none is odd."""

    def contour(self, which: Ints) -> Contour:
        """Give the edges of some of the faces."""
        if self.edges is not None and (which is self.odd or which is self.plain):
            return self.edges[which is self.plain]
        return _contour_of(self.corner_mm[which])


def plan_faces(corner_mm: Floats, *, way: Way) -> PlanFaces:
    """Sort faces (C, v, 2) by how they lie to a grid whose first axis has a direction."""
    straight = straightened(corner_mm, way=way)
    grid, odd = grid_faces(straight)
    plain = np.setdiff1d(np.arange(len(straight)), odd, assume_unique=True)
    edges = None
    if len(odd):
        edges = _contour_of(straight[odd]), _contour_of(straight[plain])
    return PlanFaces(corner_mm=straight, grid=grid, odd=odd, plain=plain, edges=edges)


def _contour_of(corner: Floats) -> Contour:
    after = np.roll(corner, -1, axis=1)
    if corner.shape[1] == 2:
        corner, after = corner[:, :1], after[:, :1]
    return contour(
        corner.reshape(-1, 2),
        end_mm=after.reshape(-1, 2),
        face=np.repeat(np.arange(len(corner)), corner.shape[1]),
        count=len(corner),
    )


def face_sums(one: PlanFaces, *, other: PlanFaces, gaps_mm: Sequence[float]) -> Floats:
    """Give ``level_sums`` of faces, (K, I, J). [mm2]."""
    sums = np.zeros((len(gaps_mm), len(one.corner_mm), len(other.corner_mm)))
    singly = [(one.odd, other.odd), (one.odd, other.plain)]
    kinds: Iterable[tuple[GridFaces, GridFaces]] = combinations_with_replacement(one.grid, 2)
    if one is not other:
        singly.append((one.plain, other.odd))
        kinds = product(one.grid, other.grid)
    for kind, their_kind in kinds:
        found = grid_sums(kind, other=their_kind, gaps_mm=gaps_mm)
        if found is None:
            singly.append((kind.face, their_kind.face))
            continue
        for number, part, table in found:
            sums[number, kind.face[part, None], their_kind.face] = table
            if one is other and kind is not their_kind:
                sums[number, their_kind.face[:, None], kind.face[part]] = table.T
    for which, those in singly:
        if len(which) and len(those):
            mine = one.contour(which)
            theirs = mine if one is other and which is those else other.contour(those)
            table = level_sums(mine, other=theirs, gaps_mm=gaps_mm)
            sums[:, which[:, None], those] = table
            if one is other and which is not those:
                sums[:, those[:, None], which] = table.transpose(0, 2, 1)
    return sums


def upright_sums(places_mm: Floats, *, gaps_mm: Sequence[float]) -> Floats:
    """Give ``-G`` of the upright edges at places in plan, over ``2 pi``.

    Parameters
    ----------
    places_mm
        (P, 2).
    gaps_mm
        Differences of height between edge ends, K of them.

    Returns
    -------
    Floats
        (K, P, P). [mm2].
    """
    x = places_mm[:, 0, None] - places_mm[None, :, 0]
    y = places_mm[:, 1, None] - places_mm[None, :, 1]
    distance2 = x * x + y * y
    return np.stack([-twice(np.full_like(distance2, gap), distance2) for gap in gaps_mm]) / (
        2.0 * pi
    )
