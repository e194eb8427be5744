"""Corners of an outline rounded by an arc that touches both pieces beside them.

The middle of the arc lies where the parallels of the two pieces cross, a radius away on the side
the outline turns to; it touches each piece at the foot of that point.
"""

from collections.abc import Sequence
from math import atan2, ceil, dist, hypot, pi, tan

from lamphouse.record import Record
from lamphouse.shapes.arcs_back import crossings, parallel
from lamphouse.shapes.outline import Corners, Piece, Spot, pieces

SMOOTH_RAD = 1e-3
"""A corner that turns less than this has nothing to round."""

STEP_MM = 0.01
"""The largest radius is given in whole steps."""

SAME_MM = 1e-6
"""Less than this left of a piece between two arcs is nothing."""


class _Arc(Record):
    """What takes the place of a corner."""

    start: Spot
    end: Spot
    bulge: float
    before: float
    """Share of the piece before the corner that is left when the arc begins."""
    after: float
    """Share of the piece behind it at which the arc ends."""


def turn_rad(corners: Corners, *, index: int) -> float:
    """Angle by which an outline turns at a corner, left positive, -pi to pi."""
    ring = list(pieces(corners))
    into, out = _heading(ring[index - 1], at_end=True), _heading(ring[index], at_end=False)
    return (out - into + pi) % (2.0 * pi) - pi


def sharp_corners(corners: Corners) -> tuple[int, ...]:
    """Give the corners that turn; those where pieces run smoothly into one another are left out."""
    return tuple(
        index for index in range(len(corners)) if abs(turn_rad(corners, index=index)) > SMOOTH_RAD
    )


def rounded(corners: Corners, *, radius_mm: float, at: Sequence[int]) -> Corners | None:
    """Round corners of a sound outline.

    Parameters
    ----------
    corners
        In either direction.
    radius_mm
        Above 0.
    at
        Corners to round, counted from 0; each must turn.

    Returns
    -------
    Corners or None
        In the same direction; None where an arc of this radius does not fit between its pieces, or
        two arcs would need the same stretch of a piece. Whether the outline then meets itself
        elsewhere is not looked at.
    """
    ring = list(pieces(corners))
    arcs: dict[int, _Arc] = {}
    for index in set(at):
        arc = _arc(ring[index - 1], ring[index], radius_mm=radius_mm)
        if arc is None:
            return None
        arcs[index] = arc
    made: list[tuple[float, float, float]] = []
    for index, piece in enumerate(ring):
        here, beyond = arcs.get(index), arcs.get((index + 1) % len(ring))
        first, last = here.after if here else 0.0, beyond.before if beyond else 1.0
        left_mm = (last - first) * _long_mm(piece)
        if left_mm < -SAME_MM:
            return None
        if here:
            made.append((*here.start, here.bulge))
        if left_mm > SAME_MM:
            start = here.end if here else piece.start
            made.append((*start, tan(piece.sweep_rad * (last - first) / 4.0)))
    return tuple(made)


def largest_radius_mm(corners: Corners, *, at: Sequence[int], most_mm: float) -> float:
    """Find the largest radius, in whole steps, that fits at all the corners. [mm].

    Parameters
    ----------
    most_mm
        No larger one is looked for.
    """
    low, high = 0, ceil(most_mm / STEP_MM)
    while low < high:
        middle = (low + high + 1) // 2
        fits = rounded(corners, radius_mm=middle * STEP_MM, at=at) is not None
        low, high = (middle, high) if fits else (low, middle - 1)
    return low * STEP_MM


def _heading(piece: Piece, *, at_end: bool) -> float:
    """Direction of an outline at the end or the start of a piece. [rad]."""
    (ax, ay), (bx, by) = piece.start, piece.end
    chord = atan2(by - ay, bx - ax)
    return chord + piece.sweep_rad / 2.0 * (1.0 if at_end else -1.0)


def _long_mm(piece: Piece) -> float:
    return piece.chord_mm if piece.is_straight else piece.radius_mm * abs(piece.sweep_rad)


def _arc(before: Piece, after: Piece, *, radius_mm: float) -> _Arc | None:
    turn = _heading(after, at_end=False) - _heading(before, at_end=True)
    turn = (turn + pi) % (2.0 * pi) - pi
    side = 1.0 if turn > 0.0 else -1.0
    curves = [parallel(piece, right_mm=-side * radius_mm) for piece in (before, after)]
    if curves[0] is None or curves[1] is None:
        return None
    found = sorted(crossings(curves[0], other=curves[1]), key=lambda spot: dist(spot, before.end))
    for middle in found:
        shares = _share(before, middle), _share(after, middle)
        if not (-1e-9 <= shares[0] <= 1.0 and 0.0 <= shares[1] <= 1.0 + 1e-9):
            continue
        start, end = _foot(before, middle), _foot(after, middle)
        first = atan2(start[1] - middle[1], start[0] - middle[0])
        last = atan2(end[1] - middle[1], end[0] - middle[0])
        sweep = (last - first) % (2.0 * pi) if side > 0.0 else -((first - last) % (2.0 * pi))
        return _Arc(start=start, end=end, bulge=tan(sweep / 4.0), before=shares[0], after=shares[1])
    return None


def _foot(piece: Piece, middle: Spot) -> Spot:
    """Give the point of a piece's curve that lies nearest to the middle of an arc touching it."""
    if piece.is_straight:
        (ax, ay), share = piece.start, _share(piece, middle)
        return (
            ax + share * (piece.end[0] - ax),
            ay + share * (piece.end[1] - ay),
        )
    (x, y), radius = piece.centre, piece.radius_mm
    dx, dy = middle[0] - x, middle[1] - y
    reach = hypot(dx, dy)
    return x + radius * dx / reach, y + radius * dy / reach


def _share(piece: Piece, middle: Spot) -> float:
    """Tell how far along a piece that point lies, 0 at its start and 1 at its end."""
    (ax, ay), (bx, by) = piece.start, piece.end
    if piece.is_straight:
        along = (middle[0] - ax) * (bx - ax) + (middle[1] - ay) * (by - ay)
        return along / piece.chord_mm**2
    x, y = piece.centre
    first = atan2(ay - y, ax - x)
    angle = atan2(middle[1] - y, middle[0] - x)
    sweep = piece.sweep_rad
    way = (angle - first) % (2.0 * pi) if sweep > 0.0 else (first - angle) % (2.0 * pi)
    share = way / abs(sweep)
    return share - 2.0 * pi / abs(sweep) if way > (2.0 * pi + abs(sweep)) / 2.0 else share
