"""Small holes of a thick part seen at a slant, which show their wall and hardly any ground.

Such a hole is a dent of brightness in the face, shallower than the half level between face and
ground. It is told from grain by how far it lies below the face, against how far the face itself
wanders; its edge lies halfway between the face and the darkest place in the dent.
"""

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import replace
from lamphouse.trace.edges import Edge, PartEdges, refined
from lamphouse.trace.half_level import Ground

_SEEN_WALL_SHARE = 0.3
"""Walls that look narrower than this share of the smallest hole leave its ground in sight."""
_SMOOTH_SHARE = 0.2
"""Of the smallest hole's diameter: standard deviation of the smoothing before dents are sought."""
_LEAST_DEPTH = 0.25
"""Of half the difference between face and ground."""
_OVER_GRAIN = 5.5
"""Depth over the standard deviation of the face; at 5 a picture of 12 million pixels has a dent by
chance now and then."""
_MOST_BLURS = 6.0
"""A hole wider than its wall by more blurs shows its ground."""
_LEAST_ROUND = 0.55
"""Area of a dent over that of the circle round it."""
_MOST = 40
"""More dents than this are the relief or the grain of the face."""
_APART_PIXELS = 3
"""From every other edge."""


def dents(
    found: PartEdges, ground: Ground, *, least_hole_pixels: float, wall_pixels: float
) -> list[Edge]:
    """Find holes that show their wall alone.

    Parameters
    ----------
    found
        The edges that are sure.
    ground
        Part and ground told apart.
    least_hole_pixels
        Diameter of the smallest hole to keep.
    wall_pixels
        How wide the part's walls look at most.
    """
    import cv2

    if wall_pixels < _SEEN_WALL_SHARE * least_hole_pixels:
        return []
    face = _bare_face(found, ground)
    if not face.any():
        return []
    smoothing = max(0.8, _SMOOTH_SHARE * 2.0 * least_hole_pixels)
    depth = 1.0 - ground.over_half / np.maximum(ground.half_span, 1.0)
    smooth = cv2.GaussianBlur(depth, (0, 0), smoothing)
    some = smooth[::3, ::3][face[::3, ::3]]
    middle = float(np.median(some))
    spread = 1.4826 * float(np.median(np.abs(some - middle)))
    least = max(_LEAST_DEPTH, _OVER_GRAIN * spread)
    mask = ((smooth - middle > least) & face).astype(np.uint8)
    lines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    most = wall_pixels + _MOST_BLURS * max(found.blur_pixels, 0.5) + 2.0 * least_hole_pixels
    holes: list[Edge] = []
    for line in lines:
        edge = _dent(line, smooth, face, middle=middle, most_pixels=most)
        if edge is None or np.ptp(edge.points, axis=0).min() < least_hole_pixels:
            continue
        apart = [np.hypot(*(edge.points.mean(axis=0) - one.points.mean(axis=0))) for one in holes]
        if min(apart, default=np.inf) > least_hole_pixels:
            holes.append(edge)
    return holes if len(holes) <= _MOST else []


def _bare_face(found: PartEdges, ground: Ground) -> NDArray[np.bool_]:
    """Give the part's face away from its edges."""
    import cv2

    mask = np.zeros(ground.inside.shape, np.uint8)
    cv2.fillPoly(mask, [np.round(found.outer.points).astype(np.int32)], 1)
    for hole in found.holes:
        cv2.fillPoly(mask, [np.round(hole.points).astype(np.int32)], 0)
    reach = 2 * round(_APART_PIXELS + 2.0 * found.blur_pixels) + 1
    return np.asarray(cv2.erode(mask, np.ones((reach, reach), np.uint8)) > 0)


def _dent(
    line: NDArray[np.int32],
    smooth: NDArray[np.float32],
    face: NDArray[np.bool_],
    *,
    middle: float,
    most_pixels: float,
) -> Edge | None:
    """Follow the edge of one dent at half of its depth."""
    import cv2

    spots = line[:, 0]
    (left, top), (right, bottom) = spots.min(axis=0), spots.max(axis=0)
    if max(right - left, bottom - top) > most_pixels:
        return None
    room = int(most_pixels) + 4
    x0, y0 = max(0, int(left) - room), max(0, int(top) - room)
    x1, y1 = int(right) + room + 1, int(bottom) + room + 1
    crop = smooth[y0:y1, x0:x1] - np.float32(middle)
    at = np.unravel_index(int(np.argmax(np.where(face[y0:y1, x0:x1], crop, -1.0))), crop.shape)
    half = np.float32(0.5 * crop[at])
    count, pieces = cv2.connectedComponents((crop > half).astype(np.uint8))
    if count < 2:
        return None
    own = (pieces == pieces[at]).astype(np.uint8)
    if not (face[y0:y1, x0:x1] | (own == 0)).all():
        return None
    rims, _ = cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    rim = max(rims, key=cv2.contourArea)
    _, radius = cv2.minEnclosingCircle(rim)
    if own.sum() < _LEAST_ROUND * np.pi * (radius + 0.5) ** 2:
        return None
    over = half - crop  # positive on the face, as everywhere
    gradient = (
        cv2.Sobel(over, cv2.CV_32F, 1, 0, ksize=3),
        cv2.Sobel(over, cv2.CV_32F, 0, 1, ksize=3),
    )
    edge = refined(rim, over, gradient, is_hole=True)
    if edge is None:
        return None
    return replace(edge, points=edge.points + np.array((x0, y0)), shows_ground=False)
