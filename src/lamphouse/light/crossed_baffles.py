"""Baffles that cross, parted where they do: cells of the mesh then end at the crossing."""

from collections.abc import Sequence
from itertools import pairwise

from lamphouse.light.scene import Baffle, Spot
from lamphouse.light.sound_box import MOST_BAFFLES
from lamphouse.record import replace

INNER = 1e-6
"""A crossing this near to an end, as a share of the length, is a touch and parts nothing."""


def parted(baffles: Sequence[Baffle]) -> tuple[tuple[int, Baffle], ...]:
    """Part baffles where two cross, each well within its length.

    Uncut, a slanted crossing lies within cells that are taken as lit or hidden whole, and the error
    bar of the box grows tenfold. Two that lie along the axes cross on lines of the grid anyhow. All
    stay whole where the pieces would be more baffles than a box may have.

    Parameters
    ----------
    baffles
        In plan. [mm].

    Returns
    -------
    tuple of (int, Baffle)
        The pieces along each baffle, with its number, in the order given.
    """
    pieces = []
    for number, baffle in enumerate(baffles):
        others = (*baffles[:number], *baffles[number + 1 :])
        met = (_met(baffle, by=other) for other in others)
        cuts = sorted({0.0, 1.0, *(share for share in met if share is not None)})
        spots = [_at(baffle, share) for share in cuts]
        pieces += [
            (number, replace(baffle, start_mm=start, end_mm=end)) for start, end in pairwise(spots)
        ]
    return tuple(pieces if len(pieces) <= MOST_BAFFLES else enumerate(baffles))


def _at(baffle: Baffle, share: float) -> Spot:
    if share in (0.0, 1.0):
        return baffle.end_mm if share else baffle.start_mm
    (ax, ay), (bx, by) = baffle.start_mm, baffle.end_mm
    return ax + share * (bx - ax), ay + share * (by - ay)


def _met(baffle: Baffle, *, by: Baffle) -> float | None:
    """Share of a baffle's length at which another crosses it; None where none does."""
    (ax, ay), (bx, by_y) = baffle.start_mm, baffle.end_mm
    (cx, cy), (dx, dy) = by.start_mm, by.end_mm
    ux, uy, vx, vy = bx - ax, by_y - ay, dx - cx, dy - cy
    turn = ux * vy - uy * vx
    if turn == 0.0 or (ux * uy == 0.0 and vx * vy == 0.0):
        return None
    own = ((cx - ax) * vy - (cy - ay) * vx) / turn
    other = ((cx - ax) * uy - (cy - ay) * ux) / turn
    within = all(INNER < share < 1.0 - INNER for share in (own, other))
    return round(own, 9) if within else None
