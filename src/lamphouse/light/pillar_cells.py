"""What many pillars leave of the squares of a plan, cut along lines out of the middle of each.

The lines of all sides of a round pillar cut the squares about it into as many pieces as they have
meetings, and the larger the squares, the more. Where that comes to more than memory allows, lines
out of its middle through its corners part them, and what they leave before a side is cut along the
lines of the two sides beside it alone.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Box, Ring
from lamphouse.light.uprights import TOUCH_MM, Segment
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

Polygon = list[tuple[float, float]]


class Sectors(Record):
    """A convex pillar, and the sectors in which its middle sees its sides."""

    corner_mm: Floats
    """(N, 2) anticlockwise."""
    middle_mm: Floats
    """(2,)."""

    def meets(self, rect: Floats) -> Bools:
        """Tell which upright rectangles (R, 4), left, bottom, right and top, it stands in."""
        low, high = self.corner_mm.min(axis=0), self.corner_mm.max(axis=0)
        met = np.asarray(
            (rect[:, :2] < high - TOUCH_MM).all(axis=1) & (rect[:, 2:] > low + TOUCH_MM).all(axis=1)
        )
        x, y = rect[:, [0, 2, 2, 0], None], rect[:, [1, 1, 3, 3], None]
        (ax, ay), (ux, uy) = self.corner_mm.T, _sides(self.corner_mm).T
        # How far the corner that lies deepest is inside each side.
        within = (ux * (y - ay) - uy * (x - ax)).max(axis=1)
        return np.asarray(met & (within > TOUCH_MM).all(axis=1))

    def numbers(self, place_mm: Floats) -> Ints:
        """Tell which sector places (P, 2) lie in, (P,)."""
        x, y = (place_mm - self.middle_mm).T
        angle = np.arctan2(y, x)
        first = np.arctan2(*(self.corner_mm - self.middle_mm).T[::-1])
        start = int(first.argmin())
        turned = np.roll(first, -start)
        return np.asarray((np.searchsorted(turned, angle, side="right") - 1 + start) % len(first))

    def around(self, piece: Floats) -> list[Floats]:
        """Cut what it leaves of a convex polygon (v, 2) along the sectors."""
        found, middle = [], (float(self.middle_mm[0]), float(self.middle_mm[1]))
        corners = [(x, y) for x, y in self.corner_mm.tolist()]
        whole: Polygon = [(x, y) for x, y in piece.tolist()]
        count = len(corners)
        for number in range(count):
            before, here, after, beyond = (corners[(number + way) % count] for way in range(-1, 3))
            part = _left_of(whole, start=middle, end=here)
            part = _left_of(part, start=after, end=middle)
            parts = [_left_of(part, start=after, end=here)]
            for start, end in ((before, here), (after, beyond)):
                parts = [
                    half
                    for part in parts
                    for half in (
                        _left_of(part, start=start, end=end),
                        _left_of(part, start=end, end=start),
                    )
                ]
            found += [np.array(part) for part in parts if part]
        return found


def _sides(corner: Floats) -> Floats:
    """Directions of the sides of a polygon (N, 2), of length 1."""
    step = np.roll(corner, -1, axis=0) - corner
    return np.asarray(step / np.hypot(*step.T)[:, None])


def _left_of(piece: Polygon, *, start: tuple[float, float], end: tuple[float, float]) -> Polygon:
    """Give what of a convex polygon lies left of a line; nothing where that is no area."""
    if not piece:
        return piece
    (ax, ay), (bx, by) = start, end
    ux, uy = bx - ax, by - ay
    length = float(np.hypot(ux, uy))
    sides = [(ux * (y - ay) - uy * (x - ax)) / length for x, y in piece]
    if min(sides) > -TOUCH_MM:
        return piece
    if max(sides) < TOUCH_MM:
        return []
    kept: Polygon = []
    for number, ((x, y), side) in enumerate(zip(piece, sides, strict=True)):
        if side >= -TOUCH_MM:
            kept.append((x, y))
        (next_x, next_y), other = piece[number - len(piece) + 1], sides[number - len(piece) + 1]
        if abs(side) > TOUCH_MM and abs(other) > TOUCH_MM and side * other < 0.0:
            share = side / (side - other)
            kept.append((x + share * (next_x - x), y + share * (next_y - y)))
    return kept if len(kept) > 2 else []


def _sectors(ring: Ring) -> Sectors | None:
    """Lay out a ring; None for one that is not convex."""
    corner = np.array(ring)
    middle, after = corner.mean(axis=0), np.roll(corner, -1, axis=0)
    cross = (corner[:, 0] - middle[0]) * (after[:, 1] - middle[1])
    cross -= (corner[:, 1] - middle[1]) * (after[:, 0] - middle[0])
    if cross.sum() < 0.0:
        corner = corner[::-1]
    unit = _sides(corner)
    before = np.roll(unit, 1, axis=0)
    turn = before[:, 0] * unit[:, 1] - before[:, 1] * unit[:, 0]
    return Sectors(corner_mm=corner, middle_mm=middle) if turn.min() > -TOUCH_MM else None


def sectors_of(box: Box, *, cutting: Sequence[Segment]) -> tuple[list[Sectors], list[Segment]]:
    """Lay out the convex pillars of a box with sides that cut cells, and give the other cutters.

    Parameters
    ----------
    box
        Its grid along x and y.
    cutting
        Walls that cut cells.
    """
    sides = {frozenset((wall.start_mm, wall.end_mm)) for wall in cutting if not wall.is_baffle}
    found, done = [], set()
    for ring in box.holes:
        own = {frozenset(pair) for pair in zip(ring, (*ring[1:], ring[0]), strict=True)}
        sectors = _sectors(ring) if own & sides else None
        if sectors is not None:
            found.append(sectors)
            done |= own
    return found, [
        wall
        for wall in cutting
        if wall.is_baffle or frozenset((wall.start_mm, wall.end_mm)) not in done
    ]
