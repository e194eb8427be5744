"""The straight and round pieces of a path, the points along them, and parts of them.

A *share* is a place on a piece: 0 at its start, 1 at its end, even in length.
"""

import math
from collections.abc import Iterator, Sequence

from lamphouse.drawings.drawing import Path
from lamphouse.shapes.outline import Corners, Piece, Spot, pieces


def strokes_of(path: Path) -> Iterator[Piece]:
    """Go along a path piece by piece; a closed one ends where it began."""
    whole = list(pieces(path.corners))
    yield from whole if path.closed else whole[:-1]


def spot_at(piece: Piece, *, share: float) -> Spot:
    """Give the point at a share of a piece; both ends exactly."""
    if share <= 0:
        return piece.start
    if share >= 1:
        return piece.end
    if piece.is_straight:
        (x0, y0), (x1, y1) = piece.start, piece.end
        return x0 + share * (x1 - x0), y0 + share * (y1 - y0)
    x, y = piece.centre
    angle = _start_rad(piece) + share * piece.sweep_rad
    return x + piece.radius_mm * math.cos(angle), y + piece.radius_mm * math.sin(angle)


def part_of(piece: Piece, *, first: float, last: float) -> Piece:
    """Give what lies between two shares."""
    bulge = piece.bulge
    if not piece.is_straight:
        bulge = math.tan(math.atan(piece.bulge) * (last - first))
    return Piece(start=spot_at(piece, share=first), end=spot_at(piece, share=last), bulge=bulge)


def crossings(piece: Piece, *, axis: int, level_mm: float) -> list[float]:
    """List the shares where a piece crosses a line across an axis.

    Parameters
    ----------
    piece
        Straight or round.
    axis
        0 for the upright line ``x = level``, 1 for the level line ``y = level``.
    level_mm
        Where the line stands.
    """
    if piece.is_straight:
        low, high = piece.start[axis], piece.end[axis]
        shares = [(level_mm - low) / (high - low)] if low != high else []
    else:
        reach = (level_mm - piece.centre[axis]) / piece.radius_mm
        if abs(reach) > 1:
            return []
        angle = math.acos(reach) if axis == 0 else math.asin(reach)
        both = (angle, -angle) if axis == 0 else (angle, math.pi - angle)
        way = math.copysign(1, piece.sweep_rad)
        turns = [(angle - _start_rad(piece)) * way % math.tau for angle in both]
        shares = [turn / abs(piece.sweep_rad) for turn in turns]
    return [share for share in shares if 0 <= share <= 1]


def chained(strokes: Sequence[Piece]) -> Corners:
    """Give the corners of an open path that runs through pieces laid end to end."""
    corners = [(*stroke.start, stroke.bulge) for stroke in strokes]
    return (*corners, (*strokes[-1].end, 0.0))


def _start_rad(piece: Piece) -> float:
    x, y = piece.centre
    return math.atan2(piece.start[1] - y, piece.start[0] - x)
