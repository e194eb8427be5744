"""Places in patterns: rows, staggered grids, rings, and even steps along a line or an outline."""

from bisect import bisect_right
from itertools import accumulate
from math import cos, radians, sin

from lamphouse.shapes.outline import Corners, Piece, Spot, pieces


def grid(
    columns: int, *, rows: int, step: Spot, row_step: Spot, staggered: bool = False
) -> tuple[Spot, ...]:
    """Give the places of a grid row by row, the first at 0, 0.

    Parameters
    ----------
    columns
        Places in each row.
    rows
        How many rows.
    step
        From one place of a row to the next. [mm].
    row_step
        From one row to the next. [mm].
    staggered
        Every second row is shifted by half a step.
    """
    return tuple(
        (
            (column + shift) * step[0] + row * row_step[0],
            (column + shift) * step[1] + row * row_step[1],
        )
        for row in range(rows)
        for shift in (0.5 if staggered and row % 2 else 0.0,)
        for column in range(columns)
    )


def ring(count: int, *, diameter_mm: float, start_deg: float = 0.0) -> tuple[Spot, ...]:
    """Give places evenly round a circle about 0, 0.

    Parameters
    ----------
    count
        How many.
    diameter_mm
        Of the circle through them.
    start_deg
        Where the first lies, anticlockwise from the right; the others follow anticlockwise.
    """
    angles = (radians(start_deg + 360.0 * number / count) for number in range(count))
    return tuple(
        (diameter_mm / 2.0 * cos(angle), diameter_mm / 2.0 * sin(angle)) for angle in angles
    )


def between(count: int, *, start: Spot, end: Spot) -> tuple[Spot, ...]:
    """Give places evenly from one point to another, both included; one alone lies on the first."""
    gaps = max(1, count - 1)
    return tuple(
        (
            start[0] + (end[0] - start[0]) * number / gaps,
            start[1] + (end[1] - start[1]) * number / gaps,
        )
        for number in range(count)
    )


def along(corners: Corners, *, count: int) -> tuple[Spot, ...]:
    """Give places at an even pitch along an outline, measured on its line, arcs included.

    Parameters
    ----------
    corners
        A sound outline; the first place is its first corner.
    count
        How many; the pitch is its length over this.
    """
    ring_ = list(pieces(corners))
    ends = list(accumulate(map(_long_mm, ring_)))
    places = []
    for number in range(count):
        way = ends[-1] * number / count
        index = min(bisect_right(ends, way), len(ring_) - 1)
        piece = ring_[index]
        places.append(_point_on(piece, way_mm=way - (ends[index - 1] if index else 0.0)))
    return tuple(places)


def _long_mm(piece: Piece) -> float:
    return piece.chord_mm if piece.is_straight else piece.radius_mm * abs(piece.sweep_rad)


def _point_on(piece: Piece, *, way_mm: float) -> Spot:
    """Give the point of a piece so far from its start, measured along it."""
    (ax, ay), (bx, by) = piece.start, piece.end
    if piece.is_straight:
        share = way_mm / piece.chord_mm
        return ax + share * (bx - ax), ay + share * (by - ay)
    angle = way_mm / piece.radius_mm * (1.0 if piece.bulge > 0.0 else -1.0)
    x, y = piece.centre
    cosine, sine = cos(angle), sin(angle)
    return x + cosine * (ax - x) - sine * (ay - y), y + sine * (ax - x) + cosine * (ay - y)
