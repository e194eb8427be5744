"""How much of the light that leaves one face of a cavity lands on another.

A cavity is a slice of the box between two heights: its floor and ceiling share the cells of the
mesh, its walls are columns times layers. Faces are numbered floor cells, ceiling cells, then wall
patches, layer by layer. The exchange area is ``S_ij = A_i F_ij = A_j F_ji``. [mm2].
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.edge_integrals import PlanFaces, face_sums, plan_faces, upright_sums
from lamphouse.light.mesh import Mesh
from lamphouse.light.sight import Sight
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Singles = NDArray[np.float32]

SAME_GAP_MM = 1e-9
"""Heights that differ by less are one height."""

SAME_PLACE_MM = 1e-9
"""Ends of columns that differ by less are one place."""


class Cavity(Record):
    """The faces of a slice of the box, and which wall patches exist."""

    mesh: Mesh
    cells: PlanFaces
    feet: PlanFaces
    wall: Bools
    """(K, Z) whether the wall or baffle reaches over the layer."""

    @property
    def cell_count(self) -> int:
        """Cells of the floor, and as many of the ceiling."""
        return len(self.mesh.area_mm2)

    @property
    def face_count(self) -> int:
        """Floor, ceiling and wall patches."""
        return 2 * self.cell_count + int(self.wall.sum())

    def patches(self) -> tuple[Ints, Ints]:
        """Column and layer of every wall patch, in their order: layer by layer from below."""
        layer, column = np.nonzero(self.wall.T)
        return column, layer

    @property
    def height_mm(self) -> float:
        """Between floor and ceiling."""
        return float(self.mesh.height_mm[-1] - self.mesh.height_mm[0])


def make_cavity(mesh: Mesh, *, like: Cavity | None = None) -> Cavity:
    """Prepare the contours of a mesh; those of another slice of the box are the same."""
    low = np.array([segment.low_mm for segment in mesh.segments])[mesh.column_wall]
    high = np.array([segment.high_mm for segment in mesh.segments])[mesh.column_wall]
    middle = (mesh.height_mm[1:] + mesh.height_mm[:-1]) / 2.0
    return Cavity(
        mesh=mesh,
        cells=like.cells if like else plan_faces(mesh.corner_mm, way=mesh.way),
        feet=like.feet if like else plan_faces(mesh.foot_mm, way=mesh.way),
        wall=(middle > low[:, None]) & (middle < high[:, None]),
    )


def _gaps(heights: Sequence[Floats]) -> tuple[list[float], list[Ints]]:
    """Different sizes of all entries of some arrays, and for each entry which one it is."""
    every = np.abs(np.concatenate([own.ravel() for own in heights]))
    keys = np.rint(every / SAME_GAP_MM).astype(np.int64)
    _, first, place = np.unique(keys, return_index=True, return_inverse=True)
    ends = np.cumsum([own.size for own in heights])[:-1]
    numbers = np.split(place, ends)
    return every[first].tolist(), [
        number.reshape(own.shape) for number, own in zip(numbers, heights, strict=True)
    ]


def level_to_walls(faces: PlanFaces, *, cavity: Cavity, floor: bool) -> Floats:
    """Exchange of level faces on the floor or the ceiling with wall patches, (Z, I, K). [mm2]."""
    height = cavity.mesh.height_mm
    gaps = height - height[0] if floor else height[-1] - height
    sums = face_sums(faces, other=cavity.feet, gaps_mm=[float(gap) for gap in gaps])
    return np.asarray(np.diff(sums if floor else -sums, axis=0))


def cells_facing(cavity: Cavity) -> Bools:
    """Tell which cells lie before which columns, (C, K)."""
    return np.asarray(ahead_mm(cavity.mesh.centre_mm, cavity=cavity) > 0.0)


def walls_facing(cavity: Cavity) -> Bools:
    """Tell which columns lie before each other, (K, K)."""
    facing = ahead_mm(cavity.mesh.foot_mm.mean(axis=1), cavity=cavity) > TOUCH_MM
    return np.asarray(facing & facing.T)


class _Sums(Record):
    """Sums over the edges of the cells and columns of a box, for all its cavities. [mm2]."""

    plates: Floats
    """(cavities, C, C) of the cells with those opposite."""
    aside: Floats
    """(gaps, C, K) of the cells with columns."""
    aside_number: list[Ints]
    """For each cavity (2, Z + 1) which gap the floor and the ceiling have to each height."""
    walls: Floats
    """(gaps, K, K) of columns among one another."""
    walls_number: list[Ints]
    """For each cavity (Z + 1, Z + 1) which gap there is between two heights."""


def _sums(cavities: Sequence[Cavity]) -> _Sums:
    """Sum over the edges of what the cavities of a box have in common."""
    cells, feet = cavities[0].cells, cavities[0].feet
    heights = [cavity.mesh.height_mm for cavity in cavities]
    gaps, aside = _gaps([np.stack([own - own[0], own[-1] - own]) for own in heights])
    levels, walls = _gaps([own[:, None] - own for own in heights])
    return _Sums(
        plates=face_sums(cells, other=cells, gaps_mm=[cavity.height_mm for cavity in cavities]),
        aside=face_sums(cells, other=feet, gaps_mm=gaps),
        aside_number=aside,
        walls=face_sums(feet, other=feet, gaps_mm=levels) + _upright(cavities[0], gaps_mm=levels),
        walls_number=walls,
    )


def _plates_to_walls(
    cavity: Cavity,
    *,
    sums: Floats,
    number: Ints,
    sight: Sight | None,
    places: Sequence[tuple[slice, Ints]],
    total: Singles,
) -> None:
    """Fill in the exchange of the cells with wall patches, on the floor and under the ceiling."""
    cells, facing = cavity.cell_count, cells_facing(cavity)
    floor, ceiling = total[:cells], total[cells : 2 * cells]
    seen: Sequence[Singles | Bools] = (facing, facing)
    for layer, ((low, rest), (high, less)) in enumerate(pairwise(number.T)):
        if sight is not None and (layer == 0 or not sight.plain):
            seen = sight.floor[layer] * facing, sight.ceiling[layer] * facing
        own, shown = places[layer]
        for table, above, below, share in (
            (floor, high, low, seen[0]),
            (ceiling, rest, less, seen[1]),
        ):
            block = (sums[above] - sums[below]) * share
            table[:, own] = block if len(shown) == len(facing.T) else block[:, shown]


def _upright(cavity: Cavity, *, gaps_mm: Sequence[float]) -> Floats:
    """Sum over the upright edges of columns at differences of height, (gaps, K, K). [mm2]."""
    foot = cavity.mesh.foot_mm.reshape(-1, 2)
    keys = np.rint(foot / SAME_PLACE_MM).astype(np.int64)
    _, first, place = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    ends = upright_sums(foot[first], gaps_mm=gaps_mm)
    start, end = place.reshape(-1, 2).T
    # Upright edges run up at a column's start and down at its end.
    half = ends[:, start] - ends[:, end]
    return np.asarray(half[:, :, start] - half[:, :, end])


def _walls_to_walls(
    cavity: Cavity,
    *,
    sums: Floats,
    number: Ints,
    sight: Sight | None,
    places: Sequence[tuple[slice, Ints]],
    total: Singles,
) -> None:
    """Fill in the exchange between wall patches."""
    facing = walls_facing(cavity)
    done: dict[tuple[int, ...], Singles] = {}
    for low, (rows, mine) in enumerate(places):
        for high, (columns, theirs) in enumerate(places[low:], start=low):
            # The upper edge of a patch counts +1, the lower -1.
            square = number[low : low + 2, high : high + 2].ravel()
            key = tuple(square.tolist())
            if key not in done:
                own = sums[key[3]] - sums[key[2]] - sums[key[1]] + sums[key[0]]
                done[key] = (own * facing).astype(np.float32)
            block = done[key]
            if sight is not None:
                block = block * sight.walls[(0, 0) if sight.plain else (low, high)]
            if len(mine) < len(block) or len(theirs) < len(block):
                block = block[mine[:, None], theirs]
            total[rows, columns] = block
            total[columns, rows] = block.T


def ahead_mm(points_mm: Floats, *, cavity: Cavity) -> Floats:
    """Distance of points (P, 2) in front of the line of every column, (P, K); negative behind."""
    foot = cavity.mesh.foot_mm
    step = foot[:, 1] - foot[:, 0]
    normal = np.column_stack([-step[:, 1], step[:, 0]]) / np.hypot(step[:, 0], step[:, 1])[:, None]
    return np.asarray(points_mm @ normal.T - np.sum(normal * foot[:, 0], axis=1))


def level_to_plate(faces: PlanFaces, *, cavity: Cavity) -> Floats:
    """Exchange of level faces on the floor or ceiling with the cells opposite, (I, C). [mm2]."""
    return np.asarray(-face_sums(faces, other=cavity.cells, gaps_mm=[cavity.height_mm])[0])


def exchanges(cavities: Sequence[Cavity], *, sights: Sequence[Sight | None]) -> tuple[Singles, ...]:
    """Give the exchange areas of all faces of each cavity of a box.

    Parameters
    ----------
    cavities
        The faces, N of them in each.
    sights
        What hides what; None when every face sees all that lie in front of it.

    Returns
    -------
    tuple of Singles
        (N, N), symmetric, not negative; every row adds up to the face's area. [mm2]. Integrals are
        done in double precision; what comes out of them needs no more than single.
    """
    sums = _sums(cavities)
    return tuple(
        _exchange(cavity, number=number, sums=sums, sight=sight)
        for number, (cavity, sight) in enumerate(zip(cavities, sights, strict=True))
    )


def _exchange(cavity: Cavity, *, number: int, sums: _Sums, sight: Sight | None) -> Singles:
    cells, count = cavity.cell_count, cavity.face_count
    total = np.zeros((count, count), dtype=np.float32)
    plates = -sums.plates[number].astype(np.float32)
    if sight is not None:
        plates *= sight.plates
    total[:cells, cells : 2 * cells] = plates
    total[cells : 2 * cells, :cells] = plates.T
    shown = [np.flatnonzero(layer) for layer in cavity.wall.T]
    ends = 2 * cells + np.cumsum([0, *(len(columns) for columns in shown)])
    places = [
        (slice(start, end), columns)
        for (start, end), columns in zip(pairwise(ends.tolist()), shown, strict=True)
    ]
    for fill, table, gaps in (
        (_plates_to_walls, sums.aside, sums.aside_number),
        (_walls_to_walls, sums.walls, sums.walls_number),
    ):
        fill(cavity, sums=table, number=gaps[number], sight=sight, places=places, total=total)
    total[2 * cells :, : 2 * cells] = total[: 2 * cells, 2 * cells :].T
    return np.maximum(total, 0.0, out=total)


def face_areas(cavity: Cavity) -> Floats:
    """Areas of all faces, (N,). [mm2]."""
    foot = cavity.mesh.foot_mm
    length = np.hypot(*(foot[:, 1] - foot[:, 0]).T)
    walls = length[:, None] * np.diff(cavity.mesh.height_mm)[None, :]
    return np.concatenate([cavity.mesh.area_mm2, cavity.mesh.area_mm2, walls[cavity.patches()]])


def face_normals(cavity: Cavity) -> Floats:
    """Directions that all faces look in, (N, 3)."""
    cells, foot = cavity.cell_count, cavity.mesh.foot_mm
    along = foot[:, 1] - foot[:, 0]
    out = np.column_stack([-along[:, 1], along[:, 0]]) / np.hypot(*along.T)[:, None]
    normal = np.zeros((cavity.face_count, 3))
    normal[:cells, 2], normal[cells : 2 * cells, 2] = 1.0, -1.0
    normal[2 * cells :, :2] = out[cavity.patches()[0]]
    return normal
