"""The plan of a box cut into convex cells: a grid, halved once, and cut along slanted walls.

Grid lines pass through the corners of walls along the grid, the ends of baffles, beside narrow
slits and, where there is room, the rims of openings. Fine cells and the coarse ones they were
halved from are nested.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import ceil, cos, hypot, inf, radians

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.pillar_cells import Sectors, sectors_of
from lamphouse.light.plan_blocks import Blocks, join
from lamphouse.light.scene import Box, Ring, Spot
from lamphouse.light.slits import cuts_beside, lines_beside
from lamphouse.light.uprights import (
    TOUCH_MM,
    Segment,
    distance_mm,
    inside,
    ring_area_centre,
    segments,
)
from lamphouse.record import Record

Floats = NDArray[np.float64]

Ints = NDArray[np.int64]

Bools = NDArray[np.bool_]

REACH = 1.0
"""About the free end of a baffle the grid stays as fine as it is for so many widths of its gap."""

WANTED_ROOM = 0.4
"""A grid line through the rim of an opening stays this many steps clear of other lines."""

SLIVER_MM = 0.05
"""Lines beside slits keep so far from others."""

ASIDE_MM = 1e3 * TOUCH_MM
"""How far beside a line the next cell is looked for."""

ALONG = 1e-9
"""Sine of the angle to the grid below which a line runs along it."""

SMOOTH = cos(radians(35.0))
"""A corner that turns less than 35 degrees is part of a rounded outline: no grid line."""


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
    for start, end in pairwise(nodes):
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


def wall_spots(box: Box) -> list[Spot]:
    """Corners of walls and ends of baffles and ports that deserve a grid line.

    Where two slanted walls meet, cells are cut along both as it is.
    """
    spots = [end for baffle in box.baffles for end in (baffle.start_mm, baffle.end_mm)]
    spots += [end for port in box.ports for end in (port.start_mm, port.end_mm)]
    for ring in (box.outline, *box.holes):
        for index, (x, y) in enumerate(ring):
            px, py = ring[index - 1]
            nx, ny = ring[(index + 1) % len(ring)]
            ax, ay, bx, by = x - px, y - py, nx - x, ny - y
            sharp = ax * bx + ay * by < SMOOTH * hypot(ax, ay) * hypot(bx, by)
            if sharp and min(abs(ax), abs(ay), abs(bx), abs(by)) < TOUCH_MM:
                spots.append((x, y))
    return spots


def free_ends(box: Box) -> list[tuple[Spot, float]]:
    """List the free ends of baffles, each with the width of the gap beside it."""
    walls = segments(box)
    ends = []
    for baffle in box.baffles:
        for end in (baffle.start_mm, baffle.end_mm):
            gap = min(
                distance_mm(end, foot=(wall.start_mm, wall.end_mm))
                for wall in walls
                if {wall.start_mm, wall.end_mm} != {baffle.start_mm, baffle.end_mm}
            )
            if gap > TOUCH_MM:
                ends.append((end, gap))
    return ends


def _beside_gaps(box: Box, *, step: float) -> list[Spot]:
    """Places a gap's width away from the free ends of baffles: light is uneven there."""
    return [
        (x + side * gap, y + side * gap)
        for (x, y), gap in free_ends(box)
        if gap < step
        for side in (-1.0, 1.0)
    ]


def plan_blocks(
    box: Box, *, step_mm: float, wanted: Sequence[Spot], rims: Sequence[Ring]
) -> Blocks:
    """Cut a plan into coarse cells along a grid, finely only where light is uneven.

    Parameters
    ----------
    box, step_mm, wanted
        As for ``grid_lines``.
    rims
        Openings; no block reaches over a rim that a grid line runs along.
    """
    across, up = grid_lines(box, step_mm=step_mm, wanted=wanted)
    beside = lines_beside(box, step_mm=step_mm)
    lines = [(wall.start_mm, wall.end_mm) for wall in (*segments(box), *beside)]
    lines += [pair for ring in rims for pair in zip(ring, (*ring[1:], ring[0]), strict=True)]
    ends = [(end, REACH * min(gap, step_mm)) for end, gap in free_ends(box)]
    return join(across, up=up, step_mm=step_mm, lines=lines, ends=ends)


def grid_lines(
    box: Box, *, step_mm: float, wanted: Sequence[Spot]
) -> tuple[list[float], list[float]]:
    """Place the coarse grid's lines across and up: through corners, and rims if there is room."""
    ring = np.array(box.outline)
    low, high = ring.min(axis=0), ring.max(axis=0)
    spots = wall_spots(box)
    spots += [
        (min(max(x, low[0]), high[0]), min(max(y, low[1]), high[1]))
        for x, y in _beside_gaps(box, step=step_mm)
    ]
    fixed = [[low[axis], high[axis], *(spot[axis] for spot in spots)] for axis in range(2)]
    for line in lines_beside(box, step_mm=step_mm):
        axis = 0 if abs(line.start_mm[0] - line.end_mm[0]) < TOUCH_MM else 1
        place = line.start_mm[axis]
        apart = min(abs(place - other) for other in fixed[axis])
        if low[axis] < place < high[axis] and apart > SLIVER_MM:
            fixed[axis].append(place)
    across, up = (
        divide(
            fixed[axis],
            wanted=[spot[axis] for spot in wanted],
            step=step_mm,
        )
        for axis in range(2)
    )
    return across, up


def _crossing(rect: Floats, *, segment: Segment, extend_mm: float) -> Bools:
    """Tell which upright rectangles (left, bottom, right, top) a segment passes through."""
    (ax, ay), (bx, by) = segment.start_mm, segment.end_mm
    length = segment.length_mm
    x = _passed(rect[:, 0] - ax, rect[:, 2] - ax, way=(bx - ax) / length)
    y = _passed(rect[:, 1] - ay, rect[:, 3] - ay, way=(by - ay) / length)
    enter = np.maximum(np.maximum(x[0], y[0]), -extend_mm)
    leave = np.minimum(np.minimum(x[1], y[1]), length + extend_mm)
    return np.asarray(leave - enter > 1e3 * TOUCH_MM)


def _passed(low: Floats, high: Floats, *, way: float) -> Floats:
    """Give where a line enters and leaves strips (N,), along the line, (2, N)."""
    if abs(way) > ALONG:
        return np.sort(np.stack([low / way, high / way]), axis=0)
    between = (low < -TOUCH_MM) & (high > TOUCH_MM)
    return np.stack([np.where(between, -np.inf, np.inf), np.where(between, np.inf, -np.inf)])


def _off_the_grid(wall: Segment, *, blocks: Blocks) -> bool:
    """Tell whether a wall runs along the grid, but on none of its lines.

    So do chords of round pillars, whose corners are too gentle for lines of their own.
    """
    (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
    place, lines = (ax, blocks.across_mm) if abs(bx - ax) < abs(by - ay) else (ay, blocks.up_mm)
    return bool(np.abs(np.asarray(lines) - place).min() > TOUCH_MM)


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
    side = unit[0] * (piece[:, 1] - start[1]) - unit[1] * (piece[:, 0] - start[0])
    if side.min() > -TOUCH_MM or side.max() < TOUCH_MM:
        return [piece]
    after, next_side = np.roll(piece, -1, axis=0), np.roll(side, -1)
    crossed = side * next_side < 0.0
    share = side[crossed] / (side[crossed] - next_side[crossed])
    meeting = piece[crossed] + share[:, None] * (after[crossed] - piece[crossed])
    ends = (np.concatenate([meeting, piece[np.abs(side) <= TOUCH_MM]]) - start) @ unit
    if len(ends) < 2 or min(ends.max(), segment.length_mm) - max(ends.min(), 0.0) < TOUCH_MM:
        return [piece]
    return _split(piece, segment=segment)


def padded(pieces: Sequence[Floats]) -> Floats:
    """Put polygons with different numbers of corners into one array by repeating the last."""
    most = max(len(piece) for piece in pieces)
    return np.stack(
        [
            np.concatenate([piece, np.repeat(piece[-1:], most - len(piece), axis=0)])
            for piece in pieces
        ]
    )


class PlanCells(Record):
    """Cells, the coarse cells they come from, and their neighbours; see ``mesh.Mesh``."""

    corner_mm: Floats
    parent: Ints
    beside: Ints
    sparing: bool
    """Whether cells are cut sparingly about pillars."""


def _cuts(rect: Floats, *, cutting: Sequence[Segment], reach: float, holes: int) -> Bools:
    """Tell which upright rectangles each of some walls passes through, (W, R).

    Baffles reach on by so much, and all walls where there are holes.
    """
    cut = np.zeros((len(cutting), len(rect)), dtype=np.bool_)
    for row, wall in enumerate(cutting):
        extend = reach if wall.is_baffle or holes else 0.0
        cut[row] = _crossing(rect, segment=wall, extend_mm=extend)
    return cut


def cut_plan(
    box: Box,
    *,
    walls: Sequence[Segment],
    blocks: Blocks,
    step_mm: float,
    most_cells: float = inf,
) -> PlanCells:
    """Cut the plan along halved blocks, the slanted segments, and lines beside slanted slits.

    Where more cells than ``most_cells`` would come of it, convex pillars are cut about sparingly.
    """
    across = blocks.across_mm
    rect, coarse_rect = blocks.quarters(), blocks.rect_mm
    rings = (box.outline, *box.holes)
    slanted = [wall for wall in walls if wall.slants or _off_the_grid(wall, blocks=blocks)]
    whole, midway = cuts_beside(box, step_mm=step_mm)
    slanted += [*whole, *midway]
    reach, holes = float(across[1] - across[0]), len(box.holes)
    cut = _cuts(rect, cutting=slanted, reach=reach, holes=holes)
    pillars: list[Sectors] = []
    if holes and most_cells < inf:
        within = inside((rect[:, :2] + rect[:, 2:]) / 2.0, rings=rings) | cut.any(axis=0)
        # Every line adds a piece at least.
        if np.count_nonzero(within) + np.count_nonzero(cut) > most_cells:
            pillars, slanted = sectors_of(box, cutting=slanted)
            holes -= len(pillars)
            cut = _cuts(rect, cutting=slanted, reach=reach, holes=holes)
    coarse = np.arange(len(rect)) // 4
    coarse_cut = _cuts(coarse_rect, cutting=slanted, reach=reach, holes=holes)
    coarse_cut[len(slanted) - len(midway) :] = False
    about = np.array([pillar.meets(rect) for pillar in pillars]).reshape(-1, len(rect))
    touched = cut.any(axis=0) | about.any(axis=0)
    plain = np.flatnonzero(~touched)
    plain = plain[inside((rect[plain, :2] + rect[plain, 2:]) / 2.0, rings=rings)]
    pieces: list[Floats] = []
    origin: list[int] = []
    for index in np.flatnonzero(touched).tolist():
        left, bottom, right, top = rect[index]
        parts = [np.array([(left, bottom), (right, bottom), (right, top), (left, top)])]
        for number in np.flatnonzero(about[:, index]).tolist():
            parts = [rest for part in parts for rest in pillars[number].around(part)]
        for cutter in np.flatnonzero(cut[:, index]).tolist():
            parts = [half for part in parts for half in _split(part, segment=slanted[cutter])]
        pieces.extend(parts)
        origin.extend([index] * len(parts))
    corner = np.stack(
        [
            rect[plain][:, [0, 1]],
            rect[plain][:, [2, 1]],
            rect[plain][:, [2, 3]],
            rect[plain][:, [0, 3]],
        ],
        axis=1,
    )
    home = plain
    if pieces:
        ragged = padded(pieces)
        area, centre = ring_area_centre(ragged)
        kept = (area > 1e-6) & inside(centre, rings=rings)
        ragged = ragged[kept]
        most = max(ragged.shape[1], 4)
        corner = np.concatenate(
            [
                corner[:, [*range(4), *[3] * (most - 4)]],
                ragged[:, [*range(ragged.shape[1]), *[-1] * (most - ragged.shape[1])]],
            ]
        )
        home = np.concatenate([plain, np.array(origin, dtype=np.int64)[kept]])
    _, centre = ring_area_centre(corner)
    key = coarse[home].astype(np.int64)
    for row, wall in enumerate(slanted):
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        left_of = (bx - ax) * (centre[:, 1] - ay) - (by - ay) * (centre[:, 0] - ax) > 0.0
        key = key * 2 + (left_of & coarse_cut[row, coarse[home]])
        _, key = np.unique(key, return_inverse=True)
    for pillar in pillars:
        beside = pillar.meets(coarse_rect)[coarse[home]]
        key = key * (len(pillar.corner_mm) + 1)
        key[beside] += 1 + pillar.numbers(centre[beside])
        _, key = np.unique(key, return_inverse=True)
    _, parent = np.unique(key, return_inverse=True)
    return PlanCells(
        corner_mm=corner,
        parent=parent,
        beside=_beside(corner, home=home, plain=len(plain), blocks=blocks, walls=walls),
        sparing=bool(pillars),
    )


def _on_side(corner: Floats, *, at: Floats, axis: int) -> tuple[Floats, Floats]:
    """Give the middles of the edges of cells (C, v, 2) that lie on a line each, NaN where none."""
    after = np.roll(corner, -1, axis=1)
    length = np.abs(after - corner)[..., 1 - axis]
    on = np.abs(corner[..., axis] - at[:, None]) < TOUCH_MM
    on &= np.abs(after[..., axis] - at[:, None]) < TOUCH_MM
    edge = np.argmax(np.where(on, length, 0.0), axis=1)
    rows = np.arange(len(corner))
    middle = (corner[rows, edge] + after[rows, edge]) / 2.0
    middle[~(on & (length > TOUCH_MM)).any(axis=1)] = np.nan
    return middle[:, 0], middle[:, 1]


def _beside(
    corner: Floats, *, home: Ints, plain: int, blocks: Blocks, walls: Sequence[Segment]
) -> Ints:
    """Find the neighbours of cells in the grid that no wall cuts, none across a baffle.

    The first cells are such themselves; the others are what slanted walls leave of a square.
    """
    rect = blocks.quarters()
    where = np.full(len(rect) + 1, -1)
    where[home[:plain]] = np.arange(plain)
    beside = np.full((len(home), 4), -1)
    left, bottom, right, top = rect[home].T
    # A hair beyond the middle of each side, and off it where the other side has a line there.
    for slot, (at, axis, way) in enumerate(
        ((left, 0, -1.0), (right, 0, 1.0), (bottom, 1, -1.0), (top, 1, 1.0))
    ):
        x, y = _on_side(corner, at=at, axis=axis)
        aside = [ASIDE_MM, ASIDE_MM]
        aside[axis] *= way
        open_ = np.isfinite(x)
        found = np.where(
            open_,
            where[
                blocks.quarter_at(
                    np.where(open_, x, 0.0) + aside[0], np.where(open_, y, 0.0) + aside[1]
                )
            ],
            -1,
        )
        for wall in walls:
            if wall.is_baffle and not wall.slants:
                (ax, ay), (bx, by) = sorted((wall.start_mm, wall.end_mm))
                found = np.where(
                    (x > ax - TOUCH_MM)
                    & (x < bx + TOUCH_MM)
                    & (y > ay - TOUCH_MM)
                    & (y < by + TOUCH_MM),
                    -1,
                    found,
                )
        beside[:, slot] = found
    return beside
