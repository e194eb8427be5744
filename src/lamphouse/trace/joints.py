"""Lines and circles that pieces of an edge are fitted with, and where two of them meet."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.trace.edge_pieces import Points

LEAST_PIECE_MM = 1e-3
"""Shorter pieces are none."""


class Line(Record):
    """A straight line without ends."""

    x_mm: float
    y_mm: float
    along: tuple[float, float]


class Circle(Record):
    """A circle, of which an arc is used."""

    x_mm: float
    y_mm: float
    radius_mm: float


Curve = Line | Circle


def off_mm(points: Points, curve: Curve) -> NDArray[np.float64]:
    """Give the distance of points from a curve; of a line, positive to its left."""
    way = points - (curve.x_mm, curve.y_mm)
    if isinstance(curve, Line):
        return curve.along[0] * way[:, 1] - curve.along[1] * way[:, 0]
    return curve.radius_mm - np.hypot(way[:, 0], way[:, 1])


def nearest(curve: Curve, spot: NDArray[np.float64]) -> NDArray[np.float64]:
    """Give the place on a curve nearest to a spot, (2,)."""
    middle = np.array((curve.x_mm, curve.y_mm))
    if isinstance(curve, Line):
        along = np.array(curve.along)
        return np.asarray(middle + along * np.dot(spot - middle, along))
    way = spot - middle
    return np.asarray(middle + way * (curve.radius_mm / max(float(np.hypot(*way)), 1e-12)))


def joint_of(
    before: Curve,
    after: Curve,
    *,
    near: NDArray[np.float64],
    slack: float,
    sizes: tuple[int, int],
) -> NDArray[np.float64]:
    """Find where two neighbours meet: their crossing nearest to the break, else between them.

    The longer one is better known, and gives way less.
    """
    share = sizes[0] / sum(sizes)
    between = share * nearest(before, near) + (1.0 - share) * nearest(after, near)
    met = crossings(before, after)
    if met:
        best = min(met, key=lambda spot: float(np.hypot(*(spot - near))))
        if np.hypot(*(best - near)) <= slack:
            return best
    return np.asarray(between)


def crossings(one: Curve, two: Curve) -> list[NDArray[np.float64]]:
    """List the places (2,) where two curves meet; none for lines that are nearly parallel."""
    if isinstance(one, Line) and isinstance(two, Line):
        (ax, ay), (bx, by) = one.along, two.along
        cross = ax * by - ay * bx
        if abs(cross) < 0.02:
            return []
        far = ((two.x_mm - one.x_mm) * by - (two.y_mm - one.y_mm) * bx) / cross
        return [np.array((one.x_mm + far * ax, one.y_mm + far * ay))]
    if isinstance(one, Circle) and isinstance(two, Circle):
        return _of_circles(one, two)
    line, circle = (one, two) if isinstance(one, Line) else (two, one)
    return _of_line(line, circle) if isinstance(line, Line) and isinstance(circle, Circle) else []


def _of_line(line: Line, circle: Circle) -> list[NDArray[np.float64]]:
    middle = np.array((circle.x_mm, circle.y_mm))
    foot = nearest(line, middle)
    apart = float(np.hypot(*(foot - middle)))
    if abs(apart - circle.radius_mm) < LEAST_PIECE_MM:
        return [foot]
    rest = circle.radius_mm**2 - apart**2
    if rest < 0.0:
        return []
    step = np.sqrt(rest) * np.array(line.along)
    return [foot - step, foot + step]


def _of_circles(one: Circle, two: Circle) -> list[NDArray[np.float64]]:
    first = np.array((one.x_mm, one.y_mm))
    way = np.array((two.x_mm, two.y_mm)) - first
    apart = float(np.hypot(*way))
    if apart < 1e-9:
        return []
    along = (apart**2 + one.radius_mm**2 - two.radius_mm**2) / (2.0 * apart)
    rest = one.radius_mm**2 - along**2
    if rest < 0.0:
        return []
    unit = way / apart
    side = np.sqrt(rest) * np.array((-unit[1], unit[0]))
    return [first + along * unit + side, first + along * unit - side]
