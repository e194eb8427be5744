"""Which faces of a cavity lie side by side, and where their middles are."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.factors import Cavity
from lamphouse.light.mesh import Mesh
from lamphouse.light.uprights import TOUCH_MM

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def _goes_on(mesh: Mesh) -> Bools:
    """Tell before each column, and after the last, whether its wall goes on there, (K + 1, Z).

    It does not where a baffle meets it, in the layers that the baffle reaches over.
    """
    wall, middle = mesh.column_wall, (mesh.height_mm[1:] + mesh.height_mm[:-1]) / 2.0
    goes_on = np.zeros((len(wall) + 1, len(middle)), dtype=np.bool_)
    goes_on[1:-1] = (wall[1:] == wall[:-1])[:, None]
    joint = mesh.foot_mm[1:, 0]
    for number, baffle in enumerate(mesh.segments):
        if baffle.is_baffle:
            start = np.array(baffle.start_mm)
            way = (baffle.end_mm - start) / baffle.length_mm
            along, aside = (joint - start) @ way, (joint - start) @ (-way[1], way[0])
            met = (np.abs(aside) < TOUCH_MM) & (wall[1:] != number)
            met &= (along > -TOUCH_MM) & (along < baffle.length_mm + TOUCH_MM)
            goes_on[1:-1] &= ~(met[:, None] & (middle > baffle.low_mm) & (middle < baffle.high_mm))
    return goes_on


def neighbours(cavity: Cavity) -> tuple[Ints, Ints, Floats]:
    """Give lower and upper neighbours (2, n) and centres (n, 3) of the faces of one cavity."""
    made, cells, count = cavity.mesh, cavity.cell_count, cavity.face_count
    own = np.arange(count)
    lower, upper = np.tile(own, (2, 1)), np.tile(own, (2, 1))
    for offset in (0, cells):
        for axis, (before, after) in enumerate(((0, 1), (2, 3))):
            for table, side in ((lower, before), (upper, after)):
                there = made.beside[:, side]
                table[axis, offset : offset + cells] = np.where(
                    there >= 0, there + offset, own[offset : offset + cells]
                )
    column, layer = cavity.patches()
    columns, layers = cavity.wall.shape
    number = np.full((columns + 2, layers + 2), -1)
    number[column + 1, layer + 1] = own[2 * cells :]
    goes_on = _goes_on(made)
    for table, shift in ((lower, -1), (upper, 1)):
        along = np.where(
            goes_on[column + (shift > 0), layer], number[column + 1 + shift, layer + 1], -1
        )
        up = number[column + 1, layer + 1 + shift]
        for axis, there in enumerate((along, up)):
            table[axis, 2 * cells :] = np.where(there >= 0, there, own[2 * cells :])
    middle = (made.height_mm[1:] + made.height_mm[:-1]) / 2.0
    centre = np.zeros((count, 3))
    centre[:cells, :2] = centre[cells : 2 * cells, :2] = made.centre_mm
    centre[:cells, 2], centre[cells : 2 * cells, 2] = made.height_mm[0], made.height_mm[-1]
    centre[2 * cells :, :2] = made.foot_mm.mean(axis=1)[column]
    centre[2 * cells :, 2] = middle[layer]
    return lower, upper, centre
