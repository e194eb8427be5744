"""The rim of a thick round part, such as a coin: the arcs on which no wall shows.

On the side of the camera's foot the wall of a coin, its lower rim and its shadow blur into one
another. On all other sides the rim of the face stands against the ground, at half level; those arcs
are kept when one circle passes through all of them.
"""

import numpy as np

from lamphouse.record import replace
from lamphouse.trace.camera import Camera
from lamphouse.trace.edges import Edge
from lamphouse.trace.fit import fit_circle

FACING = 0.5
"""Cosine of the angle to the camera's foot from which on a wall is taken to show."""
_ROUND_PIXELS = 0.45
_ROUND_SHARE = 0.015
"""Arcs are round when they leave the circle by no more than both, rms; the share is of the radius.
A twelve-sided part is off by 1 percent of its radius and more than this many pixels when it is 100
pixels across."""
_LEAST_POINTS = 24


def round_rim(edge: Edge, scale: Camera, *, corner: tuple[int, int]) -> Edge | None:
    """Keep the arcs of a round part that turn away from the camera.

    Parameters
    ----------
    edge
        Outer edge at the half level.
    scale
        With the height of the part's face.
    corner
        Column and row of the cut the edge was found in.

    Returns
    -------
    Edge or None
        None when the part is not round, or its wall is too narrow to be seen.
    """
    points = scale.to_mm(edge.points + corner)
    whole, _ = fit_circle(points)
    middle = np.array((whole.x_mm, whole.y_mm))
    to_eye = scale.eye_mm[:2] - middle
    far = float(np.hypot(*to_eye))
    wall_mm = (scale.height_mm - scale.base_mm) * far / max(scale.eye_mm[2], 1.0)
    if not scale.pixel_mm < wall_mm < whole.radius_mm:
        return None
    way = (points - middle) / np.maximum(np.hypot(*(points - middle).T), 1e-9)[:, None]
    away = way @ (to_eye / far) < FACING
    if away.sum() < _LEAST_POINTS:
        return None
    found, off = fit_circle(points[away])
    most = min(_ROUND_PIXELS * scale.pixel_mm, _ROUND_SHARE * found.radius_mm)
    if np.sqrt(np.mean(off**2)) > most:
        return None
    return replace(edge, points=edge.points[away], outward=edge.outward[away])
