"""How much of the light that leaves one face of a cavity lands on another.

A cavity is a slice of the box between two heights: its floor and ceiling share the cells of the
mesh, its walls are columns times layers. Faces are numbered floor cells, ceiling cells, then wall
patches, column by column. The exchange area is ``S_ij = A_i F_ij = A_j F_ji``. [mm2].
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.edge_integrals import PlanFaces, face_sums, plan_faces, upright_sums
from lamphouse.light.mesh import Mesh
from lamphouse.light.sight import Sight
from lamphouse.light.uprights import TOUCH_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SAME_GAP_MM = 1e-9
"""Heights that differ by less are one height."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cavity:
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

    @property
    def height_mm(self) -> float:
        """Between floor and ceiling."""
        return float(self.mesh.height_mm[-1] - self.mesh.height_mm[0])


def make_cavity(mesh: Mesh) -> Cavity:
    """Prepare the contours of a mesh."""
    low = np.array([segment.low_mm for segment in mesh.segments])[mesh.column_wall]
    high = np.array([segment.high_mm for segment in mesh.segments])[mesh.column_wall]
    middle = (mesh.height_mm[1:] + mesh.height_mm[:-1]) / 2.0
    return Cavity(
        mesh=mesh,
        cells=plan_faces(mesh.corner_mm, way=mesh.way),
        feet=plan_faces(mesh.foot_mm, way=mesh.way),
        wall=(middle > low[:, None]) & (middle < high[:, None]),
    )


def _gaps(heights: Floats) -> tuple[Floats, Ints]:
    """Different values of an array, and for each entry which one it is."""
    keys = np.rint(np.abs(heights) / SAME_GAP_MM).astype(np.int64)
    _, first, place = np.unique(keys, return_index=True, return_inverse=True)
    return np.abs(heights).ravel()[first], place.reshape(heights.shape)


def level_to_walls(faces: PlanFaces, *, cavity: Cavity) -> tuple[Floats, Floats]:
    """Exchange of level faces on the floor, and on the ceiling, with wall patches.

    Returns
    -------
    tuple of Floats
        Two arrays (I, K, Z). [mm2].
    """
    height = cavity.mesh.height_mm - cavity.mesh.height_mm[0]
    gaps, place = _gaps(np.stack([height, height[-1] - height]))
    sums = face_sums(faces, other=cavity.feet, gaps_mm=[float(gap) for gap in gaps])
    rising = np.moveaxis(np.diff(sums[place[0]], axis=0), 0, -1)
    falling = -np.moveaxis(np.diff(sums[place[1]], axis=0), 0, -1)
    return rising, falling


def walls_to_walls(cavity: Cavity) -> Floats:
    """Exchange between wall patches that see each other whole, (K, Z, K, Z). [mm2]."""
    height = cavity.mesh.height_mm
    gaps, place = _gaps(height[:, None] - height[None, :])
    across = face_sums(cavity.feet, other=cavity.feet, gaps_mm=[float(gap) for gap in gaps])
    foot = cavity.mesh.foot_mm
    count = len(foot)
    ends = upright_sums(foot.reshape(-1, 2), gaps_mm=[float(gap) for gap in gaps])
    ends = ends.reshape(len(gaps), count, 2, count, 2)
    # Upright edges run up at a column's start and down at its end.
    up = ends[:, :, 0, :, 0] + ends[:, :, 1, :, 1] - ends[:, :, 0, :, 1] - ends[:, :, 1, :, 0]
    table = across + up
    # The upper edge of a patch counts +1, the lower -1.
    rows = table[place]
    twice = rows[1:, 1:] - rows[1:, :-1] - rows[:-1, 1:] + rows[:-1, :-1]
    return twice.transpose(2, 0, 3, 1)


def ahead_mm(points_mm: Floats, *, cavity: Cavity) -> Floats:
    """Distance of points (P, 2) in front of the line of every column, (P, K); negative behind."""
    foot = cavity.mesh.foot_mm
    step = foot[:, 1] - foot[:, 0]
    normal = np.column_stack([-step[:, 1], step[:, 0]]) / np.hypot(step[:, 0], step[:, 1])[:, None]
    return np.asarray(points_mm @ normal.T - np.sum(normal * foot[:, 0], axis=1))


def level_to_plate(faces: PlanFaces, *, cavity: Cavity) -> Floats:
    """Exchange of level faces on the floor or ceiling with the cells opposite, (I, C). [mm2]."""
    return np.asarray(-face_sums(faces, other=cavity.cells, gaps_mm=[cavity.height_mm])[0])


def exchange(cavity: Cavity, *, sight: Sight | None) -> Floats:
    """Give the exchange areas of all faces of a cavity.

    Parameters
    ----------
    cavity
        The faces, N of them.
    sight
        What hides what; None when every face sees all that lie in front of it.

    Returns
    -------
    Floats
        (N, N), symmetric, not negative; every row adds up to the face's area. [mm2].
    """
    cells = cavity.cell_count
    shown = cavity.wall.ravel()
    facing_cells = ahead_mm(cavity.mesh.centre_mm, cavity=cavity) > 0.0
    facing_columns = ahead_mm(cavity.mesh.foot_mm.mean(axis=1), cavity=cavity) > TOUCH_MM
    facing_columns &= facing_columns.T
    plates = level_to_plate(cavity.cells, cavity=cavity)
    floor, ceiling = level_to_walls(cavity.cells, cavity=cavity)
    floor *= facing_cells[:, :, None]
    ceiling *= facing_cells[:, :, None]
    walls = walls_to_walls(cavity)
    walls *= facing_columns[:, None, :, None]
    if sight is not None:
        plates *= sight.plates
        floor *= sight.floor
        ceiling *= sight.ceiling
        walls *= sight.walls
    for part in (plates, floor, ceiling, walls):
        np.maximum(part, 0.0, out=part)
    count = cavity.face_count
    total = np.zeros((count, count))
    total[:cells, cells : 2 * cells] = plates
    total[:cells, 2 * cells :] = floor.reshape(cells, -1)[:, shown]
    total[cells : 2 * cells, 2 * cells :] = ceiling.reshape(cells, -1)[:, shown]
    total[cells : 2 * cells, :cells] = plates.T
    total[2 * cells :, : 2 * cells] = total[: 2 * cells, 2 * cells :].T
    size = len(shown)
    total[2 * cells :, 2 * cells :] = walls.reshape(size, size)[np.ix_(shown, shown)]
    return total


def face_areas(cavity: Cavity) -> Floats:
    """Areas of all faces, (N,). [mm2]."""
    foot = cavity.mesh.foot_mm
    length = np.hypot(*(foot[:, 1] - foot[:, 0]).T)
    walls = length[:, None] * np.diff(cavity.mesh.height_mm)[None, :]
    return np.concatenate([cavity.mesh.area_mm2, cavity.mesh.area_mm2, walls[cavity.wall]])
