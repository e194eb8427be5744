"""How finely a box is cut, and which of its walls hide things.

The step follows from depth, narrowest part and what hides what; on the reference scenes it gives
lit openings within 0.3 percent and dark chambers within 1.1 percent.
"""

from functools import lru_cache
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.box_mesh import MOST_ROWS, rows_of
from lamphouse.light.scene import Box
from lamphouse.light.uprights import TOUCH_MM, direction, segments
from lamphouse.light.viewers import Screens
from lamphouse.record import replace

Floats = NDArray[np.float64]

STEPS_PER_DEPTH = 3.0
"""Fine steps in the depth of a cavity, and across the narrowest part of the box."""

STEPS_WITH_SHEET, STEPS_WITH_SCREENS, STEPS_WITH_BOTH = 2.5, 2.25, 2.0
"""The same in a box with an inner sheet, where inner corners or baffles hide things, and with
both."""

BAFFLE_GAP_STEP = 0.75
"""Largest fine step between baffles that face each other, in widths of the gap."""

SHALLOW_STEP = 0.8
"""Largest fine step in the shallower of two cavities, in depths of it."""

STEP_WEIGHT = 0.38
"""Weight of the difference of fine and coarse mesh in the extrapolated figure. A third would suit
an error of order two; the edges of shadows leave one of order 1.86. Found on the stored references,
held by boxes drawn by lot afterwards."""

MOST_FACES = 2000
"""The step is no finer than would cut a plain box into about this many faces."""

LEAST_FACES = 400
"""Where something hides things, the step cuts a plain box into about this many faces at least: with
fewer the coarse mesh is so rough that it errs as the fine one does, and the bar knows of nothing.
Boxes so small are solved fast all the same."""

COARSER = 1.15
"""Growth of the step at a time, until the rows are few enough."""

COARSEST = 1.0
"""Largest fine step in depths; wider boxes than the memory allows at that step are refused."""


def narrowest_mm(box: Box, *, baffles: bool = False) -> float:
    """Width of the narrowest part between walls, or baffles, that face each other. [mm]."""
    walls = [wall for wall in segments(box) if wall.is_baffle == baffles]
    start = np.array([wall.start_mm for wall in walls])
    end = np.array([wall.end_mm for wall in walls])
    unit = (end - start) / np.hypot(*(end - start).T)[:, None]
    normal = np.column_stack([-unit[:, 1], unit[:, 0]])
    middle = (start + end) / 2.0
    opposed = unit @ unit.T < -0.7
    offset = middle[None] - middle[:, None]
    ahead = np.einsum("ijk,ik->ij", offset, normal)
    low = np.einsum("ijk,ik->ij", start[None] - start[:, None], unit)
    high = np.einsum("ijk,ik->ij", end[None] - start[:, None], unit)
    length = np.hypot(*(end - start).T)[:, None]
    beside = np.minimum(np.maximum(low, high), length) - np.maximum(np.minimum(low, high), 0.0)
    facing = opposed & (ahead > TOUCH_MM) & (beside > 0.3 * ahead)
    return float(np.min(ahead, where=facing, initial=np.ptp(np.array(box.outline), axis=0).min()))


def screens_of(box: Box) -> Screens:
    """List baffles, and the walls that are not part of the outline's hull."""
    outline = np.array(box.outline)
    rows = []
    for wall in segments(box):
        if wall.is_baffle:
            continue
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        side = (bx - ax) * (outline[:, 1] - ay) - (by - ay) * (outline[:, 0] - ax)
        if side.min() < -TOUCH_MM * wall.length_mm:
            rows.append((*wall.start_mm, *wall.end_mm, 0.0, box.depth_mm))
    rows.extend(
        (*baffle.start_mm, *baffle.end_mm, baffle.low_mm, baffle.high_mm) for baffle in box.baffles
    )
    table = np.array(rows, dtype=np.float64).reshape(-1, 6)
    return Screens(
        start_mm=table[:, :2], end_mm=table[:, 2:4], low_mm=table[:, 4], high_mm=table[:, 5]
    )


def _even_step_mm(box: Box) -> float:
    """Choose the fine step by the sizes of a box, as if nothing but the step cut it. [mm]."""
    if len(screens_of(box).low_mm):
        parts = STEPS_WITH_SCREENS if box.sheet is None else STEPS_WITH_BOTH
    else:
        parts = STEPS_PER_DEPTH if box.sheet is None else STEPS_WITH_SHEET
    wanted = narrowest_mm(box) / parts
    if box.sheet is None:
        wanted = min(wanted, box.depth_mm / parts)
    else:
        below, above = box.sheet.height_mm, box.depth_mm - box.sheet.height_mm
        wanted = min(wanted, max(below, above) / parts, min(below, above) * SHALLOW_STEP)
    if len(box.baffles) > 1:
        wanted = min(wanted, narrowest_mm(box, baffles=True) * BAFFLE_GAP_STEP)
    levels = 2.0 if box.sheet is None else 4.0
    area = abs(direction(box.outline)) / 2.0
    around = sum(wall.length_mm for wall in segments(box))
    faces_mm2 = levels * area + around * box.depth_mm
    if len(screens_of(box).low_mm):
        wanted = min(wanted, sqrt(faces_mm2 / LEAST_FACES))
    return max(wanted, sqrt(faces_mm2 / MOST_FACES))


@lru_cache(maxsize=64)
def _fitting_step_mm(box: Box) -> float:
    """Try ever larger steps; give the first, and the box to be refused, where none will do."""
    first = step = _even_step_mm(box)
    while rows_of(box, step_mm=step, most=MOST_ROWS) > MOST_ROWS:
        step *= COARSER
        if step > COARSEST * box.depth_mm:
            return first
    return step


def step_mm(box: Box) -> float:
    """Choose the fine step for a box. [mm].

    Where slanted walls and the grid lines of baffles and openings cut it into more pieces than
    memory allows, the step grows; a box for which that does not help is refused by ``sound_box``.
    """
    return _fitting_step_mm(replace(box, lamps=()))
