"""Faces as they look about: points on them, their layers, and the screens that may be between."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Singles = NDArray[np.float32]

RAYS = 16
"""Rays between two faces, a power of two. A face sees hundreds of others, whose chance errors
cancel; with 8 a slit of 2 mm over a baffle lets 2 percent too much through."""

SAME_LINE_MM = 1e-7
"""Edges at heights this near are one height."""


class Screens(Record):
    """Upright walls that hide things."""

    start_mm: Floats
    """(H, 2)."""
    end_mm: Floats
    """(H, 2)."""
    low_mm: Floats
    """(H,)."""
    high_mm: Floats
    """(H,)."""

    def take(self, which: Sequence[int] | Ints) -> "Screens":
        """Keep some of them."""
        return Screens(
            start_mm=self.start_mm[which],
            end_mm=self.end_mm[which],
            low_mm=self.low_mm[which],
            high_mm=self.high_mm[which],
        )

    def reach_over(self, *, low_mm: float, high_mm: float) -> bool:
        """Whether every screen is as high as a slice of the box."""
        return bool(
            np.all(self.low_mm <= low_mm + SAME_LINE_MM)
            and np.all(self.high_mm >= high_mm - SAME_LINE_MM)
        )


class Viewers(Record):
    """Faces as seen in plan, each with the same layers in height."""

    spot_mm: Floats
    """(I, RAYS, 2) points spread evenly over each face, where rays start and end."""
    low_mm: Floats
    """(L,) lower edges of the layers; level faces have layers of no height."""
    high_mm: Floats
    """(L,)."""


def _hammersley(count: int) -> Floats:
    number = np.arange(count)
    reverse = np.zeros(count)
    digit, rest = 0.5, number.copy()
    while rest.any():
        reverse += digit * (rest & 1)
        rest >>= 1
        digit /= 2.0
    return np.stack([(number + 0.5) / count, reverse + 0.5 / count], axis=1)


_SPREAD = _hammersley(RAYS)


def polygon_spots(corner_mm: Floats, *, spread: Floats = _SPREAD) -> Floats:
    """Spread points evenly over convex polygons (C, v, 2), (C, P, 2).

    Points of a unit square say where: (P, 2) for all polygons, or (C, P, 2).
    """
    origin, one, two = corner_mm[:, :1], corner_mm[:, 1:-1], corner_mm[:, 2:]
    side, next_side = one - origin, two - origin
    area = np.abs(side[..., 0] * next_side[..., 1] - side[..., 1] * next_side[..., 0])
    share = np.cumsum(area, axis=1)
    share /= share[:, -1:]
    u, v = np.moveaxis(spread if spread.ndim == 3 else spread[None], 2, 0)
    pick = np.minimum((u[:, :, None] > share[:, None, :]).sum(axis=2), share.shape[1] - 1)
    rows = np.arange(len(corner_mm))[:, None]
    before = np.where(pick > 0, share[rows, pick - 1], 0.0)
    u = np.sqrt(np.clip((u - before) / np.maximum(share[rows, pick] - before, 1e-12), 0.0, 1.0))
    a, b = one[rows, pick], two[rows, pick]
    inner = (1.0 - v[..., None]) * (a - origin) + v[..., None] * (b - origin)
    return np.asarray(origin + u[..., None] * inner)


def level_viewers(corner_mm: Floats, *, height_mm: Sequence[float]) -> Viewers:
    """Look from or at level faces (I, v, 2) at one height or several."""
    height = np.asarray(height_mm)
    return Viewers(spot_mm=polygon_spots(corner_mm), low_mm=height, high_mm=height)


def wall_viewers(foot_mm: Floats, *, height_mm: Floats) -> Viewers:
    """Look from or at columns, a hair in front of them."""
    start, step = foot_mm[:, 0], foot_mm[:, 1] - foot_mm[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    hair = 1e-6 * np.stack([-step[:, 1], step[:, 0]], axis=1) / length[:, None]
    along = (np.arange(RAYS) + 0.5) / RAYS
    return Viewers(
        spot_mm=(start + hair)[:, None] + along[None, :, None] * step[:, None],
        low_mm=height_mm[:-1],
        high_mm=height_mm[1:],
    )
