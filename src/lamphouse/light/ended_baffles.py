"""Baffles of a light box ended where their pieces end: at the wall or the pillar they come to."""

from collections.abc import Sequence
from math import dist

from lamphouse.light.scene import Baffle, Ring, Spot
from lamphouse.light.shared_walls import SNAP_MM
from lamphouse.record import replace
from lamphouse.shapes.stopping import LEAST_MM, crossings_mm, reached, stopped_mm


def ended(baffle: Baffle, *, walls: Ring, pillars: Sequence[Ring]) -> Baffle:
    """End a baffle at the walls and pillars it comes near to or runs into at either end.

    Parameters
    ----------
    baffle
        As drawn; one that runs through a pillar, or far out of the box, stays as it is.
    walls
        The outline of the inside. Its chords lie within a round wall, on which the end was drawn.
    pillars
        The pillars.
    """
    start, end = baffle.start_mm, baffle.end_mm
    if start == end:
        return baffle
    return replace(
        baffle,
        start_mm=_met(end, start, walls=walls, pillars=pillars),
        end_mm=_met(start, end, walls=walls, pillars=pillars),
    )


def _met(start: Spot, end: Spot, *, walls: Ring, pillars: Sequence[Ring]) -> Spot:
    stops = (stopped_mm(start, end=end, ring=ring, within_mm=SNAP_MM) for ring in pillars)
    along = min((one for one in stops if one is not None), default=None)
    if along is None:
        length = dist(start, end)
        beside = [one for one in crossings_mm(start, end=end, ring=walls) if one > LEAST_MM]
        along = min(beside, key=lambda one: abs(one - length), default=length)
        if not LEAST_MM < abs(along - length) <= SNAP_MM:
            return end
    return reached(start, end=end, run_mm=along)
