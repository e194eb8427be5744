"""The shift of one piece over another that brings pairs of outlines inside each other, all at once.

For one pair the shifts that do form a region: the outer outline shrunk by the margin, laid once
against each corner of the inner one, and what all of these share. What the regions of all pairs
share are the shifts for all; with the margin raised until they just still share something, the one
that leaves most is found.
"""

from collections.abc import Iterator, Sequence
from functools import reduce
from typing import TYPE_CHECKING

from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Corners, Spot, circle_of
from lamphouse.shapes.spacing import margin_mm
from lamphouse.shapes.transform import move

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

CHORD_ERROR_MM = 2e-3
"""Greatest distance between an arc and its chords."""

MOST_SPARE_MM = 1.0
"""More room than this beyond the margin is not looked for."""

HALVINGS = 8
"""By which the greatest room is found."""

STEP_MM = 0.01
"""Shifts are rounded to this, and may fall short of a margin by half of it."""

GRID = 12
"""Places tried each way where an outer outline has inner corners."""


class Pair(Record):
    """An outline that should lie inside another with a margin."""

    inner: Corners
    outer: Corners
    margin_by_mm: float
    moves_inner: bool
    """Whether the inner one is on the piece that is shifted; else the outer one is."""

    def short_mm(self, shift: Spot = (0.0, 0.0)) -> float:
        """How much the margin falls short after a shift; 0 or less where it holds. [mm]."""
        x, y = shift if self.moves_inner else (-shift[0], -shift[1])
        inner = move(self.inner, x_mm=x, y_mm=y)
        return self.margin_by_mm - margin_mm(inner, outer=self.outer)


def _corners(outline: Corners) -> tuple[list[Spot], float]:
    """Give what spans an outline's hull: its corners, or of a circle its middle and the radius."""
    import shapely

    ring = circle_of(outline)
    if ring is not None:
        return [(ring.x_mm, ring.y_mm)], ring.diameter_mm / 2.0
    hull = shapely.MultiPoint(flatten(outline, error_mm=CHORD_ERROR_MM)).convex_hull
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(hull)[:-1]], 0.0


def _regions(pair: Pair, *, spare_mm: float) -> Iterator["BaseGeometry"]:
    """Give regions of shifts, one for each corner of the inner outline, that hold it inside."""
    from shapely import Polygon
    from shapely.affinity import scale, translate

    spots, radius = _corners(pair.inner)
    outer = Polygon(flatten(pair.outer, error_mm=CHORD_ERROR_MM))
    within = outer.buffer(-(pair.margin_by_mm + spare_mm + radius))
    if not pair.moves_inner:
        within = scale(within, -1.0, -1.0, origin=(0.0, 0.0))
    sign = -1.0 if pair.moves_inner else 1.0
    yield from (translate(within, sign * x, sign * y) for x, y in spots)


def _shared(pairs: Sequence[Pair], *, spare_mm: float) -> "BaseGeometry":
    return reduce(
        lambda one, other: one.intersection(other),
        (region for pair in pairs for region in _regions(pair, spare_mm=spare_mm)),
    )


def _rounded(spot: Spot) -> Spot:
    return (round(spot[0] / STEP_MM) * STEP_MM, round(spot[1] / STEP_MM) * STEP_MM)


def _tries(region: "BaseGeometry") -> Iterator[Spot]:
    """Give the middle of a region, then places all over it."""
    middle = region.centroid
    yield _rounded((middle.x, middle.y))
    left, bottom, right, top = region.bounds
    for row in range(GRID + 1):
        for column in range(GRID + 1):
            yield _rounded(
                (left + (right - left) * column / GRID, bottom + (top - bottom) * row / GRID)
            )


def best_shift(pairs: Sequence[Pair]) -> Spot | None:
    """Find the shift after which every pair has its margin, and the most beyond it.

    Parameters
    ----------
    pairs
        At least one, of sound outlines.

    Returns
    -------
    Spot or None
        A shift that was tried, in hundredths of a millimetre. None where there is none; with outer
        outlines that have inner corners a shift in a narrow corner may be missed. [mm].
    """
    region = _shared(pairs, spare_mm=0.0)
    if region.is_empty:
        return None
    low, high = 0.0, MOST_SPARE_MM
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        found = _shared(pairs, spare_mm=middle)
        if found.is_empty:
            high = middle
        else:
            low, region = middle, found
    allowed = STEP_MM / 2.0 + CHORD_ERROR_MM
    return next(
        (shift for shift in _tries(region) if all(one.short_mm(shift) <= allowed for one in pairs)),
        None,
    )
