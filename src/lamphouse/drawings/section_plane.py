"""Where a light box is cut for its section, and what the cut meets.

Terminology
-----------
along
    The direction of the section, ``x`` or ``y`` of the panel plane; ``u`` is measured along it.
level
    The place of the cut, measured across that direction.
span
    A stretch of the cut, from its lesser to its greater ``u``.
"""

from collections.abc import Iterator, Sequence
from math import hypot

from lamphouse.light.scene import Baffle, Box, Ring
from lamphouse.record import Record
from lamphouse.shapes.outline import Spot

SAME_PLANE_MM = 0.6
"""An LED this near to the cut counts as cut: about half the width of a small chip."""
_OFF_CORNERS_MM = 1e-6
"""The cut is moved by so little that it runs through no corner."""

_LEVEL = 1e-6
"""Sine of the angle within which a beam counts as level or as square to the panel."""

Span = tuple[float, float]


class Plane(Record):
    """An upright cut through a box, square to its panel."""

    along: str
    """``x`` or ``y``."""
    level_mm: float

    def turned(self, spot: Spot) -> Spot:
        """Give a place of the panel plane as ``u`` along the cut and the distance across it."""
        x, y = spot
        return (x, y - self.level_mm) if self.along == "x" else (y, x - self.level_mm)

    def turned_axis(self, way: tuple[float, float, float]) -> tuple[float, float, float]:
        """Give a direction of any length as a unit one: along the cut, across it, and up."""
        x, y, z = way
        length = hypot(x, y, z)
        ahead, across = (x, y) if self.along == "x" else (y, x)
        return ahead / length, across / length, z / length

    def meets(self, spot: Spot) -> bool:
        """Tell whether a place counts as cut."""
        return abs(self.turned(spot)[1]) <= SAME_PLANE_MM


class Crossing(Record):
    """Where the cut goes through an upright face."""

    u_mm: float
    slant: float
    """What a sheet's thickness is multiplied by along the cut; 1 where it is cut square."""


def plane_of(box: Box) -> Plane:
    """Choose the cut that goes through most LEDs: along the row they stand in.

    A box without an LED of its own is cut through its middle, the long way. LEDs that are tilted
    turn the cut the way their beams lean, so that the lean is seen.
    """
    across, up = ([spot[axis] for spot in box.outline] for axis in (0, 1))
    xs = [lamp.x_mm for lamp in box.lamps] or [(min(across) + max(across)) / 2.0]
    ys = [lamp.y_mm for lamp in box.lamps] or [(min(up) + max(up)) / 2.0]
    size = (max(across) - min(across), max(up) - min(up))
    spread = (max(xs) - min(xs), max(ys) - min(ys))
    along_x = spread[0] > spread[1] or (spread[0] == spread[1] and size[0] >= size[1])
    leaning = [lamp.direction for lamp in box.lamps if _leans(lamp.direction)]
    lean = [round(sum(abs(way[axis]) for way in leaning), 6) for axis in (0, 1)]
    if lean[0] != lean[1]:
        along_x = lean[0] > lean[1]
    levels = ys if along_x else xs
    middle = sum((min(up), max(up)) if along_x else (min(across), max(across))) / 2.0
    best = min(
        levels,
        key=lambda at: (
            -sum(abs(other - at) <= SAME_PLANE_MM for other in levels),
            abs(at - middle),
            at,
        ),
    )
    return Plane(along="x" if along_x else "y", level_mm=best)


def _leans(way: tuple[float, float, float]) -> bool:
    """Tell whether a way is neither square to the panel nor level."""
    x, y, z = way
    return abs(z) > _LEVEL * hypot(x, y, z) and hypot(x, y) > _LEVEL * hypot(x, y, z)


def clear_spans(plane: Plane, box: Box) -> list[tuple[Crossing, Crossing]]:
    """Give the stretches of the cut in the clear space, each from wall to wall."""
    found = sorted(
        (cross for ring in (box.outline, *box.holes) for cross in _crossings(plane, ring)),
        key=lambda cross: cross.u_mm,
    )
    return list(zip(found[::2], found[1::2], strict=True))


def spans_in(plane: Plane, ring: Sequence[Spot]) -> list[Span]:
    """Give the stretches of the cut that run inside a ring, such as an opening."""
    found = sorted(cross.u_mm for cross in _crossings(plane, tuple(ring)))
    return list(zip(found[::2], found[1::2], strict=True))


def baffle_crossing(plane: Plane, baffle: Baffle) -> Crossing | None:
    """Give where the cut goes through a baffle; None when it does not."""
    return edge_crossing(plane, (baffle.start_mm, baffle.end_mm))


def edge_crossing(plane: Plane, ends: tuple[Spot, Spot]) -> Crossing | None:
    """Give where the cut goes through an upright face between two ends; None when it does not."""
    return next(_edge(*map(plane.turned, ends)), None)


def _crossings(plane: Plane, ring: Ring) -> Iterator[Crossing]:
    spots = [plane.turned(spot) for spot in ring]
    for start, end in zip(spots, (*spots[1:], spots[0]), strict=True):
        yield from _edge(start, end)


def _edge(start: Spot, end: Spot) -> Iterator[Crossing]:
    (u0, v0), (u1, v1) = start, end
    v0, v1 = v0 - _OFF_CORNERS_MM, v1 - _OFF_CORNERS_MM
    if (v0 > 0.0) != (v1 > 0.0):
        share = v0 / (v0 - v1)
        yield Crossing(u_mm=u0 + share * (u1 - u0), slant=hypot(u1 - u0, v1 - v0) / abs(v1 - v0))
