"""Walls and baffles of a box as directed foot lines, and plane sums over rings."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import hypot

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Box, Ring, Spot
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]

Bools = NDArray[np.bool_]

TOUCH_MM = 1e-6
"""Closer than this, points and lines coincide."""


class Segment(Record):
    """A piece of outline or one side of a baffle, its front to the left of start to end."""

    start_mm: Spot
    end_mm: Spot
    low_mm: float
    high_mm: float
    reflectance: float
    is_baffle: bool
    port: int = -1
    """Number of the port it is; -1 for wall and baffle."""

    @property
    def length_mm(self) -> float:
        """Length."""
        return hypot(self.end_mm[0] - self.start_mm[0], self.end_mm[1] - self.start_mm[1])

    @property
    def slants(self) -> bool:
        """Whether it runs along neither axis."""
        dx, dy = self.end_mm[0] - self.start_mm[0], self.end_mm[1] - self.start_mm[1]
        return min(abs(dx), abs(dy)) > 1e-9 * hypot(dx, dy)


def direction(ring: Ring) -> float:
    """Twice the signed area of a ring; positive when it runs anticlockwise. [mm2]."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True))


def edges(ring: Ring, *, hole: bool) -> Iterable[tuple[Spot, Spot]]:
    """List the edges of a ring in its own order, each with the inside of the box to its left."""
    after = (*ring[1:], ring[0])
    if (direction(ring) < 0.0) != hole:
        return zip(after, ring, strict=True)
    return zip(ring, after, strict=True)


def _parted(wall: Segment, *, box: Box) -> list[Segment]:
    """Cut a wall round its ports."""
    (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
    ux, uy = (bx - ax) / wall.length_mm, (by - ay) / wall.length_mm
    spans: list[tuple[int, float, float]] = []
    for number, port in enumerate(box.ports):
        feet = [(x - ax, y - ay) for x, y in (port.start_mm, port.end_mm)]
        along = sorted(x * ux + y * uy for x, y in feet)
        on_wall = max(abs(x * uy - y * ux) for x, y in feet) < TOUCH_MM
        if on_wall and along[0] > -TOUCH_MM and along[1] < wall.length_mm + TOUCH_MM:
            spans.append((number, along[0], along[1]))
    if not spans:
        return [wall]
    parts = []
    cuts = sorted({0.0, wall.length_mm, *(end for span in spans for end in span[1:])})
    for left, right in pairwise(cuts):
        if right - left < TOUCH_MM:
            continue
        start, end = ((ax + place * ux, ay + place * uy) for place in (left, right))
        foot = replace(wall, start_mm=start, end_mm=end)
        low = wall.low_mm
        here = [
            n for n, first, last in spans if first < right - TOUCH_MM and last > left + TOUCH_MM
        ]
        for number in sorted(here, key=lambda each: box.ports[each].low_mm):
            port = box.ports[number]
            parts.append(replace(foot, low_mm=low, high_mm=port.low_mm))
            low = port.high_mm
            parts.append(
                replace(
                    foot,
                    low_mm=port.low_mm,
                    high_mm=low,
                    reflectance=port.reflectance,
                    port=number,
                )
            )
        parts.append(replace(foot, low_mm=low))
    return [part for part in parts if part.high_mm > part.low_mm + TOUCH_MM]


def segments(box: Box) -> tuple[Segment, ...]:
    """List walls, then baffle sides."""
    feet = [
        pair
        for ring, hole in ((box.outline, False), *((hole, True) for hole in box.holes))
        for pair in edges(ring, hole=hole)
    ]
    paints = box.wall_reflectances
    if len(paints) == 1:
        paints = paints * len(feet)
    listed = [
        piece
        for (start, end), paint in zip(feet, paints, strict=True)
        for piece in _parted(
            Segment(
                start_mm=start,
                end_mm=end,
                low_mm=0.0,
                high_mm=box.depth_mm,
                reflectance=paint,
                is_baffle=False,
            ),
            box=box,
        )
    ]
    for baffle in box.baffles:
        for start, end in (
            (baffle.start_mm, baffle.end_mm),
            (baffle.end_mm, baffle.start_mm),
        ):
            listed.append(
                Segment(
                    start_mm=start,
                    end_mm=end,
                    low_mm=baffle.low_mm,
                    high_mm=baffle.high_mm,
                    reflectance=baffle.reflectance,
                    is_baffle=True,
                )
            )
    return tuple(listed)


def inside(points_mm: Floats, *, rings: Sequence[Ring]) -> Bools:
    """Tell which points lie inside the first ring and outside the others (even-odd rule)."""
    odd = np.zeros(len(points_mm), dtype=np.bool_)
    x, y = points_mm[:, 0], points_mm[:, 1]
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if ay != by:
                crossed = (ay > y) != (by > y)
                odd ^= crossed & (x < ax + (y - ay) * (bx - ax) / (by - ay))
    return odd


def distance_mm(spot: Spot, *, foot: tuple[Spot, Spot]) -> float:
    """Distance of a point from a foot line, which may be a point. [mm]."""
    (ax, ay), (bx, by) = foot
    ux, uy, x, y = bx - ax, by - ay, spot[0] - ax, spot[1] - ay
    square = ux * ux + uy * uy
    share = min(max((x * ux + y * uy) / square, 0.0), 1.0) if square > 0.0 else 0.0
    return hypot(x - share * ux, y - share * uy)


def ring_area_centre(corner_mm: Floats) -> tuple[Floats, Floats]:
    """Areas (C,) and centroids (C, 2) of polygons (C, v, 2)."""
    origin = corner_mm[:, :1]
    here = corner_mm - origin
    after = np.roll(here, -1, axis=1)
    cross = here[..., 0] * after[..., 1] - after[..., 0] * here[..., 1]
    area = cross.sum(axis=1) / 2.0
    moment = ((here + after) * cross[..., None]).sum(axis=1) / 6.0
    return area, origin[:, 0] + moment / area[:, None]
