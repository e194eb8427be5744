"""Outlines carried through a smooth map of the plane, piece by piece, as few lines and arcs."""

from collections.abc import Callable, Iterator
from math import atan, atan2, cos, hypot, sin, tan

from lamphouse.shapes.outline import Corners, Piece, Spot, bulge_through, pieces

MOST_HALVINGS = 10
"""A piece is cut into at most 2 to this power."""

Map = Callable[[Spot], Spot]


def warped(corners: Corners, *, by: Map, error_mm: float) -> Corners:
    """Carry an outline through a map.

    A piece stays one line or becomes one arc where its quarter points are then within the error
    of where they belong; else it is halved. Lines and arcs that stay such under the map are
    therefore exact at their ends and keep their number.

    Parameters
    ----------
    corners
        The outline.
    by
        Smooth, one to one, and not mirroring.
    error_mm
        Greatest distance of quarter points from the lines and arcs given.
    """
    return tuple(
        corner
        for piece in pieces(corners)
        for corner in _carried(piece, by, error_mm, MOST_HALVINGS)
    )


def spot_on(piece: Piece, *, share: float) -> Spot:
    """Give the point some share of the way along a piece."""
    (ax, ay), (bx, by) = piece.start, piece.end
    if piece.is_straight:
        return ax + share * (bx - ax), ay + share * (by - ay)
    (x, y), radius = piece.centre, piece.radius_mm
    angle = atan2(ay - y, ax - x) + share * piece.sweep_rad
    return x + radius * cos(angle), y + radius * sin(angle)


def _carried(
    piece: Piece, by: Map, error_mm: float, halvings: int
) -> Iterator[tuple[float, float, float]]:
    start, end = by(piece.start), by(piece.end)
    near, middle, far = (by(spot_on(piece, share=share)) for share in (0.25, 0.5, 0.75))
    if all(_off_line(spot, start, end) <= error_mm for spot in (near, middle, far)):
        yield *start, 0.0
        return
    if start != end and middle not in (start, end):
        arc = Piece(start=start, end=end, bulge=bulge_through(start, via=middle, end=end))
        if not arc.is_straight and all(_off_arc(s, arc) <= error_mm for s in (near, far)):
            yield *start, arc.bulge
            return
    if not halvings:
        yield *start, 0.0
        return
    half = spot_on(piece, share=0.5)
    bulge = 0.0 if piece.is_straight else tan(atan(piece.bulge) / 2.0)
    yield from _carried(Piece(start=piece.start, end=half, bulge=bulge), by, error_mm, halvings - 1)
    yield from _carried(Piece(start=half, end=piece.end, bulge=bulge), by, error_mm, halvings - 1)


def _off_line(spot: Spot, start: Spot, end: Spot) -> float:
    """Give the distance of a point from the line between two others; from a point if they meet."""
    right, up = end[0] - start[0], end[1] - start[1]
    long = hypot(right, up)
    away = spot[0] - start[0], spot[1] - start[1]
    return abs(right * away[1] - up * away[0]) / long if long else hypot(*away)


def _off_arc(spot: Spot, arc: Piece) -> float:
    x, y = arc.centre
    return abs(hypot(spot[0] - x, spot[1] - y) - arc.radius_mm)
