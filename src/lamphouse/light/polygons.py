"""Faces and spots as flat polygons that light is looked for on."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.factors import Cavity, face_normals
from lamphouse.light.pieces import squared
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


class Polygons(Record):
    """Flat polygons."""

    corner_mm: Floats
    """(3, v, T) the last may be repeated."""
    middle: Floats
    """(5, T) place [mm], 1, and the place's square [mm2]."""
    plane: Floats
    """(4, T) makes of a place and 1 how far it lies on the side that the light comes from."""

    @property
    def middle_mm(self) -> Floats:
        """(T, 3)."""
        return self.middle[:3].T

    def take(self, which: Ints | Bools | slice) -> "Polygons":
        """Keep some of them."""
        return Polygons(
            corner_mm=self.corner_mm[:, :, which],
            middle=self.middle[:, which],
            plane=self.plane[:, which],
        )


def faces_of(cavity: Cavity, *, centre_mm: Floats) -> Polygons:
    """Give the faces of a cavity, their centres (N, 3) known."""
    mesh, cells = cavity.mesh, cavity.cell_count
    most = mesh.corner_mm.shape[1]
    corner = np.zeros((cavity.face_count, most, 3))
    corner[:cells, :, :2] = corner[cells : 2 * cells, :, :2] = mesh.corner_mm
    corner[:cells, :, 2], corner[cells : 2 * cells, :, 2] = mesh.height_mm[0], mesh.height_mm[-1]
    column, layer = cavity.patches()
    ends = np.array([0, 1, 1] + [0] * (most - 3))
    corner[2 * cells :, :, :2] = mesh.foot_mm[column[:, None], ends]
    over = np.array([0, 0, 1] + [1] * (most - 3))
    corner[2 * cells :, :, 2] = mesh.height_mm[layer[:, None] + over]
    normal, middle = face_normals(cavity).T, centre_mm.T
    return Polygons(
        corner_mm=np.ascontiguousarray(corner.T),
        middle=squared(middle),
        plane=np.concatenate([normal, -(normal * middle).sum(axis=0)[None]]),
    )
