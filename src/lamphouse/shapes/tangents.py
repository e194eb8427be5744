"""Outlines with arcs: where they go on smoothly, and straight sides that stand round them."""

from collections.abc import Iterator
from math import atan2, ceil, cos, degrees, hypot, sin

from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, Piece, Spot, pieces

STEP_DEG = 30.0
"""Greatest turn from one straight side to the next round an arc."""

SMOOTH_DEG = 0.5
"""A corner that turns less is smooth."""

_SAME_MM = 1e-9


def _heading(piece: Piece, *, at_end: bool) -> float:
    """Give the direction of a piece where it begins or ends. [rad]."""
    (ax, ay), (bx, by) = piece.start, piece.end
    half = piece.sweep_rad / 2.0
    return atan2(by - ay, bx - ax) + (half if at_end else -half)


def kinks_deg(corners: Corners) -> tuple[float, ...]:
    """Give the turn from piece to piece at each corner, left positive, -180 to 180. [deg]."""
    line = list(pieces(corners))
    found = []
    for before, after in zip(line[-1:] + line[:-1], line, strict=True):
        turn = _heading(after, at_end=False) - _heading(before, at_end=True)
        found.append(degrees(atan2(sin(turn), cos(turn))))
    return tuple(found)


def _outside_arc(piece: Piece) -> Iterator[Spot]:
    """Give the tips of the tangents round an arc; chords of one that turns right."""
    (x, y), radius, sweep = piece.centre, piece.radius_mm, piece.sweep_rad
    first = atan2(piece.start[1] - y, piece.start[0] - x)
    count = max(2, ceil(degrees(abs(sweep)) / STEP_DEG - 1e-9))
    step = sweep / count
    if sweep > 0.0:
        reach = radius / cos(step / 2.0)
        yield from (
            (
                x + reach * cos(first + (number + 0.5) * step),
                y + reach * sin(first + (number + 0.5) * step),
            )
            for number in range(count)
        )
        return
    yield from (
        (x + radius * cos(first + number * step), y + radius * sin(first + number * step))
        for number in range(1, count)
    )


def straight_around(corners: Corners) -> tuple[Spot, ...]:
    """Give straight sides that leave all of an outline inside and touch its arcs.

    Parameters
    ----------
    corners
        A sound outline.

    Returns
    -------
    tuple of Spot
        Anticlockwise. An arc that turns left is met by tangents, one that turns right by chords,
        in steps of at most 30 degrees. A full circle gets sides of equal length, one level below.
    """
    line = list(pieces(anticlockwise(corners)))
    found: list[Spot] = []
    turns = kinks_deg(anticlockwise(corners))
    for piece, turn in zip(line, turns, strict=True):
        if piece.is_straight or abs(turn) > SMOOTH_DEG or piece.sweep_rad < 0.0:
            found.append(piece.start)
        if not piece.is_straight:
            found.extend(_outside_arc(piece))
    return tuple(
        spot
        for spot, after in zip(found, found[1:] + found[:1], strict=True)
        if hypot(spot[0] - after[0], spot[1] - after[1]) > _SAME_MM
    )
