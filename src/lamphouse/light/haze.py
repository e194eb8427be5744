"""Diffusers that do not spread light evenly: what shows through them besides the even part.

Seen along the normal a hazy diffuser shows ``tau (d E / pi + l L_lobe + s L_below)``: ``d``, ``l``
and ``s`` are the shares of the haze, ``L_below`` is the luminance straight below, and ``L_lobe``
the mean luminance of the inside weighted by a Gaussian of the angle from the normal. By the
reversal of light that weight on each face is the flux a lamp in the opening, whose beam is the
Gaussian, would send to it: a sum over the edges of the face of the flux between the lobe's axis and
each edge. A lamp's own image in the lobe is its intensity
over the distance squared, times the Gaussian. The naked lamp seen through the straight part is not
a luminance of the opening and is left out.
"""

from math import pi, radians

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.factors import ahead_mm
from lamphouse.light.interior import Interior
from lamphouse.light.pieces import Lobe
from lamphouse.light.scene import Haze
from lamphouse.light.sight import looked_at
from lamphouse.light.uprights import TOUCH_MM, ring_area_centre
from lamphouse.light.viewers import level_viewers
from lamphouse.record import Record

Floats = NDArray[np.float64]

REACH = 4.5
"""The Gaussian is cut off at this many standard deviations, or at 90 degrees."""

WIDE_RAD = 0.4
"""Edges that span more than this, seen from the eye, take more points."""

POINTS, MORE_POINTS = 5, 20

LEVEL_RAD = pi / 2.0 - 1e-9
"""A direction this far from the axis is level."""

ROWS = 48
"""Spots worked on at once."""

CHUNK = 1_000
"""Pairs of spot and edge worked on at once: every pass stays in the processor's cache."""


def lobe_of(haze: Haze) -> Lobe:
    """Give the lobe, its mean weight over all directions being 1."""
    sigma = radians(haze.lobe_deg)
    reach = min(REACH * sigma, pi / 2.0)
    angle = np.linspace(0.0, reach, 4001)
    height = 2.0 * pi * np.sin(angle) * np.exp(-0.5 * (angle / sigma) ** 2)
    whole = float(np.sum(height[1:] + height[:-1])) * (angle[1] - angle[0]) / 2.0
    return Lobe(sigma_rad=sigma, reach_rad=reach, peak=1.0 / whole)


class _Cone(Record):
    """Weight of the lobe within an angle from its axis, per angle about it."""

    angle_rad: Floats
    """(T,) rising from 0."""
    weight: Floats
    """(T,)."""


def _cone(lobe: Lobe) -> _Cone:
    angle = np.linspace(0.0, lobe.reach_rad, 2001)
    height = np.sin(angle) * np.exp(-0.5 * (angle / lobe.sigma_rad) ** 2)
    weight = np.cumsum(height[1:] + height[:-1]) * angle[1] / 2.0
    return _Cone(angle_rad=angle, weight=np.concatenate([[0.0], weight]))


def _under_edges(start: Floats, *, end: Floats, drop_mm: float, cone: _Cone) -> Floats:
    """Weight of the lobe between its axis and level edges below the eye, (S, E).

    Parameters
    ----------
    start, end
        (S, E, 2) from the point straight below the eye.
    drop_mm
        Height of the eye over the edges.
    cone
        The lobe.
    """
    step = end - start
    length = np.hypot(step[..., 0], step[..., 1])
    across = (start[..., 0] * end[..., 1] - start[..., 1] * end[..., 0]) / length
    along = (start * step).sum(axis=2) / length
    beside = np.maximum(np.abs(across), 1e-12)
    first, last = np.arctan2(along, beside), np.arctan2(along + length, beside)
    sign = np.where(across < 0.0, -1.0, 1.0)
    nearest = np.hypot(beside, np.maximum(np.maximum(along, -along - length), 0.0))
    total = cone.weight[-1] * (last - first)
    within = nearest < drop_mm * np.tan(min(cone.angle_rad[-1], LEVEL_RAD))
    for wide, count in ((False, POINTS), (True, MORE_POINTS)):
        which = np.flatnonzero(within & ((last - first > WIDE_RAD) == wide))
        node, share = np.polynomial.legendre.leggauss(count)
        for begin in range(0, len(which), CHUNK):
            part = which[begin : begin + CHUNK]
            middle = (first.flat[part] + last.flat[part]) / 2.0
            half = (last.flat[part] - first.flat[part]) / 2.0
            turn = middle[:, None] + half[:, None] * node
            tangent = beside.flat[part][:, None] / (np.cos(turn) * max(drop_mm, 1e-12))
            weight = np.interp(np.arctan(tangent), cone.angle_rad, cone.weight)
            total.flat[part] = half * (weight @ share)
    return np.asarray(sign * total)


def lobe_rows(interior: Interior, *, spots: Floats, haze: Haze) -> Floats:
    """Luminance in the lobe per light sent out by each face, spots (S, v, 2): (S, N). [1/sr]."""
    cone = _cone(lobe_of(haze))
    blocks = np.split(spots, range(ROWS, len(spots), ROWS))
    return np.concatenate([_rows(interior, spots=block, cone=cone) for block in blocks])


def _rows(interior: Interior, *, spots: Floats, cone: _Cone) -> Floats:
    _, centre = ring_area_centre(spots)
    home = interior.cavities[-1]
    made, cells = home.mesh, home.cell_count
    drop = made.height_mm[-1] - made.height_mm
    corner, after = made.corner_mm, np.roll(made.corner_mm, -1, axis=1)
    real = np.abs(after - corner).max(axis=2) > TOUCH_MM
    owner = np.nonzero(real)[0]
    start, end = (points[real] - centre[:, None] for points in (corner, after))
    edges = _under_edges(start, end=end, drop_mm=float(drop[0]), cone=cone)
    plate = np.add.reduceat(edges, np.flatnonzero(np.diff(owner, prepend=-1)), axis=1)
    start, end = (made.foot_mm[:, side] - centre[:, None] for side in (0, 1))
    levels = [_under_edges(start, end=end, drop_mm=float(height), cone=cone) for height in drop]
    walls = np.diff(np.stack(levels), axis=0)
    facing = ahead_mm(centre, cavity=home) > 0.0
    walls *= facing
    low, high = float(made.height_mm[0]), float(made.height_mm[-1])
    plan = interior.plan.take(interior.plan.reaching(low_mm=low, high_mm=high))
    if len(plan.cells):
        eyes = level_viewers(spots, height_mm=[high])
        seen_plate, seen_walls = looked_at(
            eyes, plan=plan, level_mm=low, height_mm=made.height_mm, facing=facing
        )
        plate *= seen_plate
        walls *= seen_walls
    rows = np.zeros((len(spots), interior.face_count))
    own = rows[:, interior.first[-2] : interior.first[-1]]
    column, layer = home.patches()
    own[:, :cells], own[:, 2 * cells :] = plate, walls[layer, :, column].T
    np.maximum(rows, 0.0, out=rows)
    rows /= pi * rows.sum(axis=1, keepdims=True)
    return rows
