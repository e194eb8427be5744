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
    The cell, column or layer of the coarse mesh a fine one was cut from, as a rule by halves. Fine
    and coarse mesh are nested, so the coarse exchange is the fine one added up.
"""

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, inf

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.distinct import distinct
from lamphouse.light.plan_blocks import Blocks
from lamphouse.light.plan_cells import cut_plan, divide, halve, plan_blocks, wall_spots
from lamphouse.light.scene import Box, Ring, Spot
from lamphouse.light.slits import levels_beside
from lamphouse.light.turning import LEVEL, Way, laid_back
from lamphouse.light.uprights import TOUCH_MM, Segment, ring_area_centre, segments
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]

Ints = NDArray[np.int64]

LAYER_SLACK = 1.35
"""Times the fine step that a layer beside a baffle's edge may be high."""

MOST_TRIED = 4
"""Rooms between edges in which one layer more is tried, the highest first."""


class Mesh(Record):
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
    """Walls and baffle sides, also those that do not reach into this slice of the box."""
    way: Way = LEVEL
    """Direction of the grid's first axis."""
    sparing: bool = False
    """Whether cells are cut sparingly about pillars."""


def _columns(
    walls: Sequence[Segment],
    *,
    blocks: Blocks,
    step: float,
    spots: Sequence[Spot],
) -> tuple[Floats, Ints, Ints]:
    """Cut the foot lines: ends (K, 2, 2), parents (K,) and segments (K,)."""
    feet: list[Floats] = []
    owner: list[int] = []
    for number, wall in enumerate(walls):
        a, b = np.array(wall.start_mm), np.array(wall.end_mm)
        length = wall.length_mm
        unit = (b - a) / length
        fixed = [0.0, length]
        for spot in spots:
            offset = np.array(spot) - a
            if (
                abs(offset[0] * unit[1] - offset[1] * unit[0]) < TOUCH_MM
                and TOUCH_MM < offset @ unit < length - TOUCH_MM
            ):
                fixed.append(float(offset @ unit))
        if wall.slants:
            nodes = divide(fixed, step=step)
        else:
            axis = 0 if abs(unit[0]) > 0.5 else 1
            lines = blocks.ends_beside(a, ahead=np.array([-unit[1], unit[0]]))
            along = ((lines - a[axis]) * unit[axis]).tolist()
            nodes = divide(
                [*fixed, *(place for place in along if TOUCH_MM < place < length - TOUCH_MM)],
                step=2.0 * length,
            )
        fine = halve(nodes)
        points = a + fine[:, None] * unit
        feet.append(np.stack([points[:-1], points[1:]], axis=1))
        owner.extend([number] * (len(fine) - 1))
    return np.concatenate(feet), np.arange(len(owner)) // 2, np.array(owner)


def _cut(levels: Sequence[float], *, parts: Sequence[int]) -> Floats:
    """Cut the rooms between levels into equal parts."""
    cuts = [
        low + (high - low) * np.arange(count) / count
        for (low, high), count in zip(pairwise(levels), parts, strict=True)
    ]
    return np.append(np.concatenate(cuts), levels[-1])


def _gap_count(height: Floats) -> int:
    """Count the different distances between heights: the exchange is summed once for each."""
    return len(distinct(np.rint((height[:, None] - height) / TOUCH_MM)))


def _layers(levels: Sequence[float], *, step: float, whole: bool) -> Floats:
    """Cut a slice of the box into fine layers, an even number; every two make a coarse one.

    A baffle's edge may part the two layers of a coarse one: it need not lie midway. With ``whole``
    none does, as ports need it: they pass on what lands between their edges.
    """
    levels = divide(levels, step=2.0 * (levels[-1] - levels[0]))
    if whole or len(levels) == 2:
        return halve(divide(levels, step=step))
    parts = [
        ceil((high - low) / (LAYER_SLACK * step / 2.0) - 1e-9) for low, high in pairwise(levels)
    ]
    if sum(parts) % 2 == 0:
        return _cut(levels, parts=parts)
    highest = sorted(range(len(parts)), key=lambda place: levels[place] - levels[place + 1])
    more = [
        _cut(levels, parts=[count + (place == extra) for place, count in enumerate(parts)])
        for extra in highest[:MOST_TRIED]
    ]
    return min(more, key=lambda height: (_gap_count(height), float(np.diff(height).max())))


def _laid_back(wall: Segment, *, way: Way) -> Segment:
    (start_x, start_y), (end_x, end_y) = laid_back(
        np.array([wall.start_mm, wall.end_mm]), way=way
    ).tolist()
    return replace(wall, start_mm=(start_x, start_y), end_mm=(end_x, end_y))


def make_mesh(
    box: Box,
    *,
    low_mm: float,
    high_mm: float,
    plan_step_mm: float,
    layer_step_mm: float,
    wanted: Sequence[Spot] = (),
    rims: Sequence[Ring] = (),
    way: Way = LEVEL,
    most_cells: float = inf,
) -> Mesh:
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
    rims
        Openings whose rims no cell reaches over where a grid line runs along them.
    way
        Direction of the grid's first axis. The box and the corners come straightened, the mesh is
        laid back.
    most_cells
        Cells beyond which they are cut more sparingly about pillars.
    """
    everything = segments(box)
    walls = tuple(
        wall
        for wall in everything
        if wall.low_mm < high_mm - TOUCH_MM and wall.high_mm > low_mm + TOUCH_MM
    )
    blocks = plan_blocks(box, step_mm=plan_step_mm, wanted=wanted, rims=rims)
    cells = cut_plan(
        box, walls=everything, blocks=blocks, step_mm=plan_step_mm, most_cells=most_cells
    )
    area, centre = ring_area_centre(cells.corner_mm)
    feet, column_parent, owner = _columns(
        everything, blocks=blocks, step=plan_step_mm, spots=wall_spots(box)
    )
    levels = {low_mm, high_mm}
    for wall in walls:
        levels.update(level for level in (wall.low_mm, wall.high_mm) if low_mm < level < high_mm)
    levels |= levels_beside(
        walls, low_mm=low_mm, high_mm=high_mm, depth_mm=box.depth_mm, step_mm=layer_step_mm
    )
    whole = any(wall.port >= 0 for wall in walls)
    height = _layers(sorted(levels), step=layer_step_mm, whole=whole)
    return Mesh(
        corner_mm=laid_back(cells.corner_mm, way=way),
        area_mm2=area,
        centre_mm=laid_back(centre, way=way),
        cell_parent=cells.parent,
        beside=cells.beside,
        foot_mm=laid_back(feet, way=way),
        column_parent=column_parent,
        column_wall=owner,
        height_mm=height,
        layer_parent=np.arange(len(height) - 1) // 2,
        segments=tuple(_laid_back(wall, way=way) for wall in everything),
        way=way,
        sparing=cells.sparing,
    )
