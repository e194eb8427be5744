"""Level shapes with straight sides, cut into strips whose sides are straight.

A strip lies between two heights; points are drawn from it, and areas added up, in closed form.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.distinct import distinct
from lamphouse.light.scene import Ring

Floats = NDArray[np.float64]
Strips = NDArray[np.float64]
"""(T, 6) y from and to, left and right at the lower end, left and right at the upper end. [mm]."""

NARROW_MM = 1e-9
"""Strips lower than this are left out."""


def bounds(ring: Ring) -> tuple[float, float, float, float]:
    """Give left, bottom, right and top of a ring."""
    corner = np.array(ring)
    left, bottom = corner.min(axis=0).tolist()
    right, top = corner.max(axis=0).tolist()
    return left, bottom, right, top


def strip_areas(strips: Strips) -> Floats:
    """Areas of strips. [mm2]."""
    low, high, left, right, upper_left, upper_right = strips.T
    widths = (right - left) + (upper_right - upper_left)
    return np.asarray((high - low) * widths / 2.0)


def strips_of(rings: Sequence[Ring], *, window: tuple[float, float, float, float]) -> Strips:
    """Cut what rings enclose (a pillar within an outline counts as outside) inside a window.

    Parameters
    ----------
    rings
        Simple rings that do not cross.
    window
        Left, bottom, right and top.
    """
    left, bottom, right, top = window
    start = np.array([corner for ring in rings for corner in ring])
    end = np.array([corner for ring in rings for corner in (*ring[1:], ring[0])])
    heights = [bottom, top, *start[:, 1]]
    rise = end[:, 1] - start[:, 1]
    for x in (left, right):
        crossed = (start[:, 0] < x) != (end[:, 0] < x)
        part = (x - start[crossed, 0]) / (end[crossed, 0] - start[crossed, 0])
        heights.extend(start[crossed, 1] + part * rise[crossed])
    levels = distinct(np.clip(heights, bottom, top))
    strips = []
    for low, high in pairwise(levels):
        middle = (low + high) / 2.0
        if high - low < NARROW_MM:
            continue
        over = np.flatnonzero((start[:, 1] < middle) != (end[:, 1] < middle))
        at = [
            start[over, 0] + (y - start[over, 1]) / rise[over] * (end[over, 0] - start[over, 0])
            for y in (low, high)
        ]
        order = np.argsort(at[0] + at[1])
        low_x, high_x = (np.clip(x[order], left, right) for x in at)
        for one in range(0, len(order) - 1, 2):
            sides = (low_x[one], low_x[one + 1], high_x[one], high_x[one + 1])
            if sides[1] - sides[0] + sides[3] - sides[2] > 1e-12:
                strips.append((low, high, *sides))
    return np.array(strips).reshape(-1, 6)


def equal_cuts(strips: Strips, *, parts: int) -> list[float]:
    """Give the heights between which strips have equal areas, both ends included."""
    area = strip_areas(strips)
    levels = distinct(strips[:, :2])
    below = np.array([area[strips[:, 1] <= level + NARROW_MM].sum() for level in levels])
    cuts = [float(levels[0])]
    for part in range(1, parts):
        wanted = below[-1] * part / parts
        at = int(np.searchsorted(below, wanted, side="right")) - 1
        low, high = levels[at], levels[at + 1]
        here = strips[(strips[:, 0] < high - NARROW_MM) & (strips[:, 1] > low + NARROW_MM)]
        lower = float((here[:, 3] - here[:, 2]).sum())
        upper = float((here[:, 5] - here[:, 4]).sum())
        share = (wanted - below[at]) / (below[at + 1] - below[at])
        root = np.sqrt(lower**2 + share * (upper**2 - lower**2))
        cuts.append(float(low + (high - low) * share * (lower + upper) / (lower + root)))
    return [*cuts, float(levels[-1])]
