"""Baffles of a light box ended where their pieces end, at what they come to."""

from collections.abc import Sequence
from math import dist

from lamphouse.light.scene import Baffle, Ring, Spot
from lamphouse.light.shared_walls import SNAP_MM
from lamphouse.record import replace
from lamphouse.shapes.stopping import LEAST_MM, crossings_mm, reached, stopped_mm


def all_ended(
    baffles: Sequence[Baffle], *, walls: Ring, pillars: Sequence[Ring]
) -> tuple[Baffle, ...]:
    """End the baffles of a box at its walls, its pillars, and one another where heights overlap."""
    return tuple(
        ended(
            baffle,
            walls=walls,
            pillars=pillars,
            others=[
                (other.start_mm, other.end_mm)
                for other in (*baffles[:number], *baffles[number + 1 :])
                if min(baffle.high_mm, other.high_mm) > max(baffle.low_mm, other.low_mm)
            ],
        )
        for number, baffle in enumerate(baffles)
    )


def ended(
    baffle: Baffle,
    *,
    walls: Ring,
    pillars: Sequence[Ring] = (),
    others: Sequence[tuple[Spot, Spot]] = (),
) -> Baffle:
    """End a baffle at the walls, pillars and baffles it comes near to or runs into at either end.

    Parameters
    ----------
    baffle
        As drawn; one that runs through a pillar, or far out of the box, stays as it is.
    walls
        The outline of the inside. Its chords lie within a round wall, on which the end was drawn.
    pillars
        The pillars.
    others
        Foot lines of the other baffles it may end at.
    """
    start, end = baffle.start_mm, baffle.end_mm
    if start == end:
        return baffle
    return replace(
        baffle,
        start_mm=_met(end, start, lines=(walls, *others), pillars=pillars),
        end_mm=_met(start, end, lines=(walls, *others), pillars=pillars),
    )


def _met(start: Spot, end: Spot, *, lines: Sequence[Ring], pillars: Sequence[Ring]) -> Spot:
    stops = (stopped_mm(start, end=end, ring=ring, within_mm=SNAP_MM) for ring in pillars)
    along = min((one for one in stops if one is not None), default=None)
    if along is None:
        length = dist(start, end)
        met = (one for line in lines for one in crossings_mm(start, end=end, ring=line))
        along = min(
            (one for one in met if one > LEAST_MM),
            key=lambda one: abs(one - length),
            default=length,
        )
        if not LEAST_MM < abs(along - length) <= SNAP_MM:
            return end
    return reached(start, end=end, run_mm=along)
