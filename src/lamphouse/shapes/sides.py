"""Which side of a ring of straight sides lies nearest to a point."""

from collections.abc import Sequence
from math import dist

from lamphouse.record import Record
from lamphouse.shapes.outline import Spot


class Side(Record):
    """A side of a ring, as a point beside it sees it."""

    index: int
    """The side starts at the corner of this number."""
    along_mm: float
    """Place of the point along it from that corner; below 0 or beyond its length past its ends."""
    foot: Spot
    """The point of the side that lies nearest. [mm]."""
    gap_mm: float
    """Distance to it."""
    normal: Spot
    """Unit vector to the left of the side: inwards when the ring runs anticlockwise."""


def nearest_side(spot: Spot, *, ring: Sequence[Spot], way: Spot | None = None) -> Side:
    """Find the side of a ring nearest to a point; the first of several as near.

    Parameters
    ----------
    spot
        Inside or outside. [mm].
    ring
        Corners in order, the last joined to the first; sides without length are passed over. [mm].
    way
        Sides that do not run, in part, in this direction are passed over too. None: none are.

    Raises
    ------
    ValueError
        If no side is left.
    """
    sides = []
    for index, (ax, ay) in enumerate(ring):
        bx, by = ring[(index + 1) % len(ring)]
        length = dist((ax, ay), (bx, by))
        if not length:
            continue
        ux, uy = (bx - ax) / length, (by - ay) / length
        if way is not None and ux * way[0] + uy * way[1] <= 0.0:
            continue
        along = (spot[0] - ax) * ux + (spot[1] - ay) * uy
        held = min(max(along, 0.0), length)
        foot = (ax + held * ux, ay + held * uy)
        gap = dist(foot, spot)
        sides.append(Side(index=index, along_mm=along, foot=foot, gap_mm=gap, normal=(-uy, ux)))
    return min(sides, key=lambda side: side.gap_mm)
