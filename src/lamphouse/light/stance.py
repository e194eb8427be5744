"""How flat pieces stand to a lamp: how far off, before or behind, and whether it may light them."""

from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.emitter import axis_of, beam_edge_rad, place_of
from lamphouse.light.pieces import Targets
from lamphouse.light.scene import Lamp
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


class Stance(Record):
    """A lamp, and how pieces stand to it."""

    lamp: Lamp
    measure: tuple[Floats, Floats]
    """(5,) each: make of ``squared`` places the squares of their distances and the parts of these
    along the axis."""
    place_mm: Floats
    """(3,)."""
    axis: Floats
    """(3,) of length 1."""
    far2_mm2: Floats
    """(Q,) square of the distance of the middle."""
    along_mm: Floats
    """(Q,) of that the part along the axis."""
    ahead_mm: Floats
    """(Q,) how far the lamp lies before the plane."""
    level: Bools
    """(Q,) whether the horizon of a lamp that lights half of all ways may cross a piece."""
    facing: Bools
    """(Q,) whether the lamp may light it."""


def _measure(at: Floats, *, axis: Floats) -> tuple[Floats, Floats]:
    ax, ay, az = at.tolist()
    ux, uy, uz = axis.tolist()
    square = ax * ax + ay * ay + az * az
    return (
        np.array([-2.0 * ax, -2.0 * ay, -2.0 * az, square, 1.0]),
        np.array([ux, uy, uz, -ux * ax - uy * ay - uz * az, 0.0]),
    )


def stance_of(onto: Targets, *, lamp: Lamp) -> Stance:
    """Tell how pieces stand to a lamp."""
    at, axis = place_of(lamp), axis_of(lamp)
    far, way = _measure(at, axis=axis)
    far2, along = far @ onto.middle, way @ onto.middle
    ahead = np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm, 1.0]) @ onto.plane
    facing, level = ahead > 0.0, np.zeros(len(ahead), dtype=np.bool_)
    if beam_edge_rad(lamp.beam) == pi / 2.0:
        upright = axis[0] == 0.0 == axis[1]
        extent = onto.rise_mm if upright else onto.reach_mm
        facing &= along > -extent
        level = (along < extent) & facing
    return Stance(
        lamp=lamp,
        measure=(far, way),
        place_mm=at,
        axis=axis,
        far2_mm2=far2,
        along_mm=along,
        ahead_mm=ahead,
        level=level,
        facing=facing,
    )


def seen(onto: Targets, *, which: Ints, stance: Stance) -> Bools:
    """Tell which pieces a lamp can light at all: they face it, and lie in its beam."""
    faces, axis = stance.facing[which], stance.axis
    edge = beam_edge_rad(stance.lamp.beam)
    if edge > pi / 2.0:
        return np.asarray(faces)
    if edge == pi / 2.0:
        if axis[0] == 0.0 == axis[1]:
            return np.asarray(faces)
        along = np.einsum("k,kcq->cq", axis, onto.corner[:3].take(which, axis=2))
        return np.asarray(faces & (along.max(axis=0) > axis @ stance.place_mm))
    far = np.sqrt(stance.far2_mm2[which])
    around = np.arcsin(np.minimum(np.sqrt(onto.size2_mm2[which]) / (2.0 * far), 1.0))
    angle = np.arccos(np.clip(stance.along_mm[which] / far, -1.0, 1.0))
    return np.asarray(faces & (angle - around < edge))
