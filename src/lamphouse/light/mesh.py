"""The faces of a box cut into cells: a grid in plan, columns along walls, layers in height.

Terminology
-----------
cell
    A convex piece of the plan. Back, panel and inner sheet share one set of cells.
column
    A piece of a wall's foot line. A baffle has columns on both of its sides.
layer
    An interval of height. Column times layer is a wall patch.
parent
    The cell, column or layer of the coarse mesh a fine one was halved from. Fine and coarse mesh
    are nested, so the coarse exchange is the fine one added up.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, cos, hypot, radians

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Baffle, Box, Ring, Spot

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

WANTED_ROOM = 0.4
"""A grid line through the rim of an opening stays this many steps clear of other lines."""

TOUCH_MM = 1e-6
"""Closer than this, points and lines coincide."""

SMOOTH = cos(radians(35.0))
"""A corner that turns less than 35 degrees belongs to a rounded outline: no grid line through it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """A piece of outline or one side of a baffle, its front to the left of start to end."""

    start_mm: Spot
    end_mm: Spot
    low_mm: float
    high_mm: float
    reflectance: float
    is_baffle: bool

    @property
    def length_mm(self) -> float:
        """Length."""
        return hypot(self.end_mm[0] - self.start_mm[0], self.end_mm[1] - self.start_mm[1])

    @property
    def slants(self) -> bool:
        """Whether it runs along neither axis."""
        dx, dy = self.end_mm[0] - self.start_mm[0], self.end_mm[1] - self.start_mm[1]
        return min(abs(dx), abs(dy)) > 1e-9 * hypot(dx, dy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mesh:
    """Cells, columns and layers of a box, fine and coarse."""

    corner_mm: Floats
    """(C, v, 2) corners of each cell, anticlockwise, the last repeated as padding."""
    area_mm2: Floats
    """(C,)."""
    centre_mm: Floats
    """(C, 2)."""
    cell_parent: Ints
    """(C,)."""
    beside: Ints
    """(C, 4) the cells left, right, below and above in the grid; -1 where there is none."""
    foot_mm: Floats
    """(K, 2, 2) ends of each column, front to the left."""
    column_parent: Ints
    """(K,)."""
    column_wall: Ints
    """(K,) number of the segment it is part of."""
    height_mm: Floats
    """(Z + 1,) heights of the layers' edges."""
    layer_parent: Ints
    """(Z,)."""
    segments: tuple[Segment, ...]
    """Walls and baffle sides."""


def direction(ring: Ring) -> float:
    """Twice the signed area of a ring; positive when it runs anticlockwise. [mm2]."""
    return sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    )


def edges(ring: Ring, *, hole: bool) -> Iterable[tuple[Spot, Spot]]:
    """Go round a ring so that the inside of the box lies to the left."""
    if (direction(ring) < 0.0) is not hole:
        ring = ring[::-1]
    return zip(ring, (*ring[1:], ring[0]), strict=True)


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
        Segment(
            start_mm=start,
            end_mm=end,
            low_mm=0.0,
            high_mm=box.depth_mm,
            reflectance=paint,
            is_baffle=False,
        )
        for (start, end), paint in zip(feet, paints, strict=True)
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
    """Distance of a point from a foot line. [mm]."""
    (ax, ay), (bx, by) = foot
    ux, uy, x, y = bx - ax, by - ay, spot[0] - ax, spot[1] - ay
    share = min(max((x * ux + y * uy) / (ux * ux + uy * uy), 0.0), 1.0)
    return hypot(x - share * ux, y - share * uy)


def divide(fixed: Iterable[float], *, wanted: Iterable[float] = (), step: float) -> list[float]:
    """Divide a line: through every fixed place, through wanted places where there is room.

    Parameters
    ----------
    fixed
        Places that must be nodes; the outermost are the ends.
    wanted
        Places taken when no node lies within 0.4 steps.
    step
        Greatest distance between nodes.
    """
    nodes: list[float] = []
    for place in sorted(fixed):
        if not nodes or place - nodes[-1] > TOUCH_MM:
            nodes.append(place)
    first, last = nodes[0], nodes[-1]
    for place in sorted(wanted):
        if first < place < last and min(abs(place - node) for node in nodes) > WANTED_ROOM * step:
            nodes.append(place)
    nodes.sort()
    divided = [nodes[0]]
    for start, end in zip(nodes, nodes[1:], strict=False):
        parts = max(1, ceil((end - start) / step - 1e-9))
        divided.extend(start + (end - start) * part / parts for part in range(1, parts + 1))
    return divided


def halve(nodes: Sequence[float]) -> Floats:
    """Put a node midway between every two."""
    coarse = np.asarray(nodes)
    fine = np.zeros(2 * len(coarse) - 1)
    fine[::2] = coarse
    fine[1::2] = (coarse[1:] + coarse[:-1]) / 2.0
    return fine


def _corners(box: Box) -> list[Spot]:
    """Corners of walls and ends of baffles that deserve a grid line."""
    spots = [end for baffle in box.baffles for end in (baffle.start_mm, baffle.end_mm)]
    for ring in (box.outline, *box.holes):
        for index, (x, y) in enumerate(ring):
            px, py = ring[index - 1]
            nx, ny = ring[(index + 1) % len(ring)]
            ax, ay, bx, by = x - px, y - py, nx - x, ny - y
            if ax * bx + ay * by < SMOOTH * hypot(ax, ay) * hypot(bx, by):
                spots.append((x, y))
    return spots


def _beside_gaps(box: Box, *, step: float) -> list[Spot]:
    """Places a gap's width away from baffle ends near other walls: light is uneven there."""
    feet = [(wall.start_mm, wall.end_mm) for wall in segments(box)]
    spots = []
    for baffle in box.baffles:
        for x, y in (baffle.start_mm, baffle.end_mm):
            widths = (distance_mm((x, y), foot=foot) for foot in feet)
            gap = min((width for width in widths if width > TOUCH_MM), default=step)
            if gap < step:
                spots.extend([(x - gap, y - gap), (x + gap, y + gap)])
    return spots


def _crossing(rect: Floats, *, segment: Segment, extend_mm: float) -> Bools:
    """Tell which upright rectangles (left, bottom, right, top) a segment passes through."""
    (ax, ay), (bx, by) = segment.start_mm, segment.end_mm
    length = segment.length_mm
    ux, uy = (bx - ax) / length, (by - ay) / length
    x = np.sort(np.stack([(rect[:, 0] - ax) / ux, (rect[:, 2] - ax) / ux]), axis=0)
    y = np.sort(np.stack([(rect[:, 1] - ay) / uy, (rect[:, 3] - ay) / uy]), axis=0)
    enter = np.maximum(np.maximum(x[0], y[0]), -extend_mm)
    leave = np.minimum(np.minimum(x[1], y[1]), length + extend_mm)
    return leave - enter > 1e3 * TOUCH_MM


def _split(piece: Floats, *, segment: Segment) -> list[Floats]:
    """Cut a convex polygon along the line of a segment."""
    (ax, ay), (bx, by) = segment.start_mm, segment.end_mm
    side = ((bx - ax) * (piece[:, 1] - ay) - (by - ay) * (piece[:, 0] - ax)) / segment.length_mm
    if side.min() > -TOUCH_MM or side.max() < TOUCH_MM:
        return [piece]
    halves: tuple[list[Floats], list[Floats]] = ([], [])
    for index, here in enumerate(side):
        after = (index + 1) % len(piece)
        there = side[after]
        for half, sign in zip(halves, (1.0, -1.0), strict=True):
            if sign * here >= -TOUCH_MM:
                half.append(piece[index])
        if abs(here) > TOUCH_MM and abs(there) > TOUCH_MM and here * there < 0.0:
            meeting = piece[index] + (piece[after] - piece[index]) * here / (here - there)
            halves[0].append(meeting)
            halves[1].append(meeting)
    return [np.array(half) for half in halves if len(half) > 2]


def cut_along(piece: Floats, *, segment: Segment) -> list[Floats]:
    """Cut a convex polygon in two along the line of a segment that passes through it."""
    start, end = np.array(segment.start_mm), np.array(segment.end_mm)
    unit = (end - start) / segment.length_mm
    after = np.roll(piece, -1, axis=0)
    side, next_side = (
        unit[0] * (points[:, 1] - start[1]) - unit[1] * (points[:, 0] - start[0])
        for points in (piece, after)
    )
    crossed = side * next_side < 0.0
    share = side[crossed] / (side[crossed] - next_side[crossed])
    meeting = piece[crossed] + share[:, None] * (after[crossed] - piece[crossed])
    ends = (np.concatenate([meeting, piece[np.abs(side) <= TOUCH_MM]]) - start) @ unit
    if len(ends) < 2 or min(ends.max(), segment.length_mm) - max(ends.min(), 0.0) < TOUCH_MM:
        return [piece]
    return _split(piece, segment=segment)


def ring_area_centre(corner_mm: Floats) -> tuple[Floats, Floats]:
    """Areas (C,) and centroids (C, 2) of polygons (C, v, 2)."""
    origin = corner_mm[:, :1]
    here = corner_mm - origin
    after = np.roll(here, -1, axis=1)
    cross = here[..., 0] * after[..., 1] - after[..., 0] * here[..., 1]
    area = cross.sum(axis=1) / 2.0
    moment = ((here + after) * cross[..., None]).sum(axis=1) / 6.0
    return area, origin[:, 0] + moment / area[:, None]


def padded(pieces: Sequence[Floats]) -> Floats:
    """Put polygons with different numbers of corners into one array by repeating the last."""
    most = max(len(piece) for piece in pieces)
    return np.stack(
        [np.concatenate([piece, np.repeat(piece[-1:], most - len(piece), axis=0)]) for piece in pieces]
    )


def _rectangles(x: Floats, *, y: Floats) -> Floats:
    """(nx * ny, 4) left, bottom, right, top; x runs fastest."""
    left, bottom = np.meshgrid(x[:-1], y[:-1])
    right, top = np.meshgrid(x[1:], y[1:])
    return np.stack([left.ravel(), bottom.ravel(), right.ravel(), top.ravel()], axis=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cells:
    corner_mm: Floats
    parent: Ints
    beside: Ints


def _cells(
    box: Box, *, walls: Sequence[Segment], across: Sequence[float], up: Sequence[float]
) -> _Cells:
    """Cut the plan along the halved grid and the slanted segments."""
    x, y = halve(across), halve(up)
    rect = _rectangles(x, y=y)
    wide, coarse_wide = len(x) - 1, len(across) - 1
    rings = (box.outline, *box.holes)
    slanted = [wall for wall in walls if wall.slants]
    coarse_rect = _rectangles(np.asarray(across), y=np.asarray(up))
    number = np.arange(len(rect))
    coarse = (number // wide // 2) * coarse_wide + (number % wide) // 2
    cut = np.zeros((len(slanted), len(rect)), dtype=np.bool_)
    coarse_cut = np.zeros((len(slanted), len(coarse_rect)), dtype=np.bool_)
    for row, wall in enumerate(slanted):
        extend = float(across[1] - across[0]) if wall.is_baffle or len(rings) > 1 else 0.0
        cut[row] = _crossing(rect, segment=wall, extend_mm=extend)
        coarse_cut[row] = _crossing(coarse_rect, segment=wall, extend_mm=extend)
    touched = cut.any(axis=0)
    plain = np.flatnonzero(~touched)
    plain = plain[inside((rect[plain, :2] + rect[plain, 2:]) / 2.0, rings=rings)]
    pieces: list[Floats] = []
    origin: list[int] = []
    for index in np.flatnonzero(touched):
        left, bottom, right, top = rect[index]
        parts = [np.array([(left, bottom), (right, bottom), (right, top), (left, top)])]
        for row in np.flatnonzero(cut[:, index]):
            parts = [half for part in parts for half in _split(part, segment=slanted[row])]
        pieces.extend(parts)
        origin.extend([int(index)] * len(parts))
    corner = np.stack(
        [rect[plain][:, [0, 1]], rect[plain][:, [2, 1]], rect[plain][:, [2, 3]], rect[plain][:, [0, 3]]],
        axis=1,
    )
    home = plain
    if pieces:
        ragged = padded(pieces)
        area, centre = ring_area_centre(ragged)
        kept = (area > 1e-6) & inside(centre, rings=rings)
        ragged = ragged[kept]
        most = max(ragged.shape[1], 4)
        corner = np.concatenate([corner[:, [*range(4), *[3] * (most - 4)]], ragged[:, [*range(ragged.shape[1]), *[-1] * (most - ragged.shape[1])]]])
        home = np.concatenate([plain, np.array(origin, dtype=np.int64)[kept]])
    _, centre = ring_area_centre(corner)
    key = coarse[home].astype(np.int64)
    for row, wall in enumerate(slanted):
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        left_of = (bx - ax) * (centre[:, 1] - ay) - (by - ay) * (centre[:, 0] - ax) > 0.0
        key = key * 2 + (left_of & coarse_cut[row, coarse[home]])
        _, key = np.unique(key, return_inverse=True)
    _, parent = np.unique(key, return_inverse=True)
    return _Cells(
        corner_mm=corner,
        parent=parent,
        beside=_beside(home[: len(plain)], wide=wide, high=len(y) - 1, total=len(home), rect=rect, walls=walls),
    )


def _beside(
    plain: Ints, *, wide: int, high: int, total: int, rect: Floats, walls: Sequence[Segment]
) -> Ints:
    """Find the neighbours of uncut cells, none across a baffle."""
    where = np.full((high + 2, wide + 2), -1)
    where[plain // wide + 1, plain % wide + 1] = np.arange(len(plain))
    row, column = plain // wide + 1, plain % wide + 1
    beside = np.full((total, 4), -1)
    left, bottom, right, top = rect[plain].T
    middle_x, middle_y = (left + right) / 2.0, (bottom + top) / 2.0
    sides = (
        (row, column - 1, left, middle_y),
        (row, column + 1, right, middle_y),
        (row - 1, column, middle_x, bottom),
        (row + 1, column, middle_x, top),
    )
    for slot, (up, along, x, y) in enumerate(sides):
        found = where[up, along]
        for wall in walls:
            if wall.is_baffle and not wall.slants:
                (ax, ay), (bx, by) = sorted((wall.start_mm, wall.end_mm))
                found = np.where(
                    (x > ax - TOUCH_MM) & (x < bx + TOUCH_MM) & (y > ay - TOUCH_MM) & (y < by + TOUCH_MM),
                    -1,
                    found,
                )
        beside[: len(plain), slot] = found
    return beside


def _columns(
    walls: Sequence[Segment], *, across: Sequence[float], up: Sequence[float], step: float, spots: Sequence[Spot]
) -> tuple[Floats, Ints, Ints]:
    """Cut the foot lines: ends (K, 2, 2), parents (K,) and segments (K,)."""
    feet: list[Floats] = []
    owner: list[int] = []
    for number, wall in enumerate(walls):
        a, b = np.array(wall.start_mm), np.array(wall.end_mm)
        length = wall.length_mm
        unit = (b - a) / length
        if wall.slants:
            fixed = [0.0, length]
            for spot in spots:
                offset = np.array(spot) - a
                if abs(offset[0] * unit[1] - offset[1] * unit[0]) < TOUCH_MM and 0.0 < offset @ unit < length:
                    fixed.append(float(offset @ unit))
            nodes = divide(fixed, step=step)
        else:
            axis = 0 if abs(unit[0]) > 0.5 else 1
            lines = across if axis == 0 else up
            along = [(line - a[axis]) * unit[axis] for line in lines]
            nodes = divide(
                [0.0, length, *(place for place in along if TOUCH_MM < place < length - TOUCH_MM)], step=2.0 * length
            )
        fine = halve(nodes)
        points = a + fine[:, None] * unit
        feet.append(np.stack([points[:-1], points[1:]], axis=1))
        owner.extend([number] * (len(fine) - 1))
    return np.concatenate(feet), np.arange(len(owner)) // 2, np.array(owner)


def grid_lines(
    box: Box, *, step_mm: float, wanted: Sequence[Spot]
) -> tuple[list[float], list[float]]:
    """Place the coarse grid's lines across and up: through corners, and rims where there is room."""
    ring = np.array(box.outline)
    low, high = ring.min(axis=0), ring.max(axis=0)
    spots = _corners(box)
    spots += [
        (min(max(x, low[0]), high[0]), min(max(y, low[1]), high[1]))
        for x, y in _beside_gaps(box, step=step_mm)
    ]
    across, up = (
        divide(
            [low[axis], high[axis], *(spot[axis] for spot in spots)],
            wanted=[spot[axis] for spot in wanted],
            step=step_mm,
        )
        for axis in range(2)
    )
    return across, up


def make_mesh(box: Box, *, low_mm: float, high_mm: float, plan_step_mm: float, layer_step_mm: float, wanted: Sequence[Spot] = ()) -> Mesh:
    """Cut a box between two heights into fine cells half a coarse step wide.

    Parameters
    ----------
    box
        A sound box.
    low_mm, high_mm
        The slice of it that is meshed.
    plan_step_mm, layer_step_mm
        Greatest coarse step in plan and in height; fine steps are half as large.
    wanted
        Corners of openings: grid lines pass through them where there is room.
    """
    everything = segments(box)
    walls = tuple(
        wall for wall in everything if wall.low_mm < high_mm - TOUCH_MM and wall.high_mm > low_mm + TOUCH_MM
    )
    across, up = grid_lines(box, step_mm=plan_step_mm, wanted=wanted)
    cells = _cells(box, walls=everything, across=across, up=up)
    area, centre = ring_area_centre(cells.corner_mm)
    feet, column_parent, owner = _columns(walls, across=across, up=up, step=plan_step_mm, spots=_corners(box))
    levels = {low_mm, high_mm}
    for wall in walls:
        levels.update(level for level in (wall.low_mm, wall.high_mm) if low_mm < level < high_mm)
    height = halve(divide(levels, step=layer_step_mm))
    return Mesh(
        corner_mm=cells.corner_mm,
        area_mm2=area,
        centre_mm=centre,
        cell_parent=cells.parent,
        beside=cells.beside,
        foot_mm=feet,
        column_parent=column_parent,
        column_wall=owner,
        height_mm=height,
        layer_parent=np.arange(len(height) - 1) // 2,
        segments=walls,
    )
