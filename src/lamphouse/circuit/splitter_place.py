"""Where a splitter board goes: near the point of least wire, clear of holes, boards and walls."""

import math
from collections.abc import Sequence
from functools import lru_cache

from lamphouse.record import Record
from lamphouse.shapes.median_point import median_point
from lamphouse.shapes.outline import Spot

PITCH_MM = 2.54
"""Of the holes of perforated board."""
CLEAR_MM = 5.0
"""Kept free around a splitter board for fingers and wires [PRACTICE]."""
MOST_SPOTS = 200
"""More wires' ends than this on one board are not worth a search: a rule tells."""
KEPT = 64
"""Places kept."""
_STEP_MM = 5.0
_RINGS = 24


class Blocked(Record):
    """A rectangle that a board must not lie on, by its middle and half its sides."""

    x_mm: float
    y_mm: float
    half_mm: tuple[float, float]


def board_mm(rows: int, *, pads: int) -> tuple[float, float]:
    """Give width and height of a board with so many rows of so many pads, one hole apart. [mm]."""
    return (pads + 1) * PITCH_MM, (2 * rows + 1) * PITCH_MM


def place_board(
    spots: Sequence[Spot],
    *,
    wires: Sequence[int],
    size_mm: tuple[float, float],
    blocked: Sequence[Blocked],
    room_mm: tuple[float, float] | None,
) -> Spot:
    """Give the middle of a splitter board, in whole mm.

    Parameters
    ----------
    spots
        Where its wires lead: sockets and the supply. [mm]
    wires
        How many go there.
    size_mm
        Its width and height. [mm]
    blocked
        Holes and other boards.
    room_mm
        Width and depth of the floor; None when it is not known. [mm]

    Returns
    -------
    tuple of float
        The geometric median of the wires' other ends, or the place of least wire on a grid of
        5 mm around it where the board lies on nothing and under the floor. Where no place within
        120 mm is free, the median; of more than ``MOST_SPOTS``, the mean. [mm]
    """
    return _placed(
        tuple(spots),
        wires=tuple(wires),
        size_mm=size_mm,
        blocked=tuple(blocked),
        room_mm=room_mm,
    )


@lru_cache(maxsize=KEPT)
def _placed(
    spots: tuple[Spot, ...],
    *,
    wires: tuple[int, ...],
    size_mm: tuple[float, float],
    blocked: tuple[Blocked, ...],
    room_mm: tuple[float, float] | None,
) -> Spot:
    """Place a board once: most changes of a model leave the wires' ends where they are."""
    if len(spots) > MOST_SPOTS:
        across, back = (sum(places) / len(spots) for places in zip(*spots, strict=True))
        return float(round(across)), float(round(back))
    best = median_point(spots, weights=wires)
    middle = (float(round(best[0])), float(round(best[1])))
    if _is_free(middle, size_mm, blocked, room_mm):
        return middle
    steps = range(-_RINGS, _RINGS + 1)
    around = (
        (middle[0] + _STEP_MM * across, middle[1] + _STEP_MM * up)
        for across in steps
        for up in steps
    )
    free = [spot for spot in around if _is_free(spot, size_mm, blocked, room_mm)]
    ends = sorted(zip(spots, wires, strict=True))
    return min(free, key=lambda spot: (_wire_mm(spot, ends), spot), default=middle)


def _wire_mm(spot: Spot, ends: Sequence[tuple[Spot, int]]) -> float:
    """Sum up the wire, to the micrometre so that equal places are equal."""
    return round(sum(count * math.dist(spot, end) for end, count in ends), 3)


def _is_free(
    spot: Spot,
    size_mm: tuple[float, float],
    blocked: Sequence[Blocked],
    room_mm: tuple[float, float] | None,
) -> bool:
    half = (size_mm[0] / 2 + CLEAR_MM, size_mm[1] / 2 + CLEAR_MM)
    if room_mm and not all(
        half[axis] <= spot[axis] <= room_mm[axis] - half[axis] for axis in (0, 1)
    ):
        return False
    return all(
        abs(spot[0] - other.x_mm) >= half[0] + other.half_mm[0]
        or abs(spot[1] - other.y_mm) >= half[1] + other.half_mm[1]
        for other in blocked
    )
