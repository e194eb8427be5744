"""Draws a packing of circles tighter, step by step, without ever letting two overlap.

Notes
-----
Two circles stay apart when their middles are far enough apart along any one direction. Taking the
direction in which they lie now makes the condition linear and stricter than the true one, so every
step of the linear program is a packing again, and no larger than the one before.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MOST_STEPS = 60
GAIN = 1e-7
"""A step that gains less of the radius than this is the last."""
_RIM_WAYS = (-0.5, -0.25, 0.0, 0.25, 0.5)
"""Directions beside a circle's own in which the rim holds it, in strides over its distance."""


def radius_of(spots: Floats, *, radii: Floats) -> float:
    """Radius of the circle around the origin that holds all circles."""
    return float((np.hypot(spots[:, 0], spots[:, 1]) + radii).max())


def parted(spots: Floats, *, radii: Floats) -> Floats:
    """Spread middles about the origin until no two circles overlap."""
    if len(spots) < 2:
        return spots
    first, second = np.triu_indices(len(spots), 1)
    apart = np.hypot(*(spots[first] - spots[second]).T)
    if apart.min() <= 0.0:
        stacked = "two circles have one middle"
        raise ValueError(stacked)
    return spots * max(1.0, float(((radii[first] + radii[second]) / apart).max()))


def tightened(spots: Floats, *, radii: Floats, most_steps: int = MOST_STEPS) -> Floats:
    """Move circles so that the circle around them becomes as small as it gets from here.

    Parameters
    ----------
    spots, radii
        (N, 2) middles of circles that do not overlap, and their (N,) radii. [any length]
    most_steps
        Linear programs solved at the most.

    Returns
    -------
    Floats
        (N, 2) middles about the origin; a local optimum where the steps sufficed.
    """
    outer = radius_of(spots, radii=radii)
    stride = 0.5 * float(radii.min())
    for _ in range(most_steps):
        moved = _step(spots, radii=radii, stride=stride)
        if moved is None:
            break
        moved = parted(moved, radii=radii)
        reached = radius_of(moved, radii=radii)
        gain = (outer - reached) / outer
        if reached < outer:
            spots, outer = moved, reached
        if gain < GAIN:
            if stride < 1e-4 * radii.min():
                break
            stride *= 0.3
    return spots


def _step(spots: Floats, *, radii: Floats, stride: float) -> Floats | None:
    """Solve one linear program: the unknowns are the moves of all middles and the outer radius."""
    count = len(spots)
    first, second = np.triu_indices(count, 1)
    between = spots[first] - spots[second]
    apart = np.hypot(*between.T)
    room = apart - radii[first] - radii[second]
    near = room < 2.0 * np.sqrt(2.0) * stride
    first, second, room = first[near], second[near], room[near]
    way = between[near] / apart[near, None]
    rows = np.arange(len(first))
    # way . (move of second - move of first) <= room
    entries = [
        (rows, 2 * first, -way[:, 0]),
        (rows, 2 * first + 1, -way[:, 1]),
        (rows, 2 * second, way[:, 0]),
        (rows, 2 * second + 1, way[:, 1]),
    ]
    limits = [room]
    outwards = np.hypot(*spots.T)
    turn = np.arctan2(spots[:, 1], spots[:, 0])
    swing = np.minimum(2.0 * stride / np.maximum(outwards, 1e-12), np.pi / 2.0)
    each, start = np.arange(count), len(first)
    for share in _RIM_WAYS:
        towards = np.stack((np.cos(turn + share * swing), np.sin(turn + share * swing)), axis=1)
        here = start + each
        entries += [
            (here, 2 * each, towards[:, 0]),
            (here, 2 * each + 1, towards[:, 1]),
            (here, np.full(count, 2 * count), -np.ones(count)),
        ]
        limits.append(-(towards * spots).sum(axis=1) - radii)
        start += count
    row, column, value = (np.concatenate(part) for part in zip(*entries, strict=True))
    from scipy.optimize import linprog
    from scipy.sparse import coo_array

    solved = linprog(
        np.append(np.zeros(2 * count), 1.0),
        A_ub=coo_array((value, (row, column)), shape=(start, 2 * count + 1)).tocsr(),
        b_ub=np.concatenate(limits),
        bounds=[(-stride, stride)] * (2 * count) + [(0.0, None)],
        method="highs",
    )
    return spots + solved.x[:-1].reshape(-1, 2) if solved.success else None
