"""Outlines grown and shrunk by a distance, also where they split, close up or vanish.

What is left, what splits and what closes up is decided on chords, within 2e-5 mm of the arcs; then
lines and true arcs are put back in their place.
"""

from collections.abc import Sequence
from enum import StrEnum
from math import acos, ceil, dist, pi
from typing import TYPE_CHECKING

from lamphouse.record import Record
from lamphouse.shapes.arcs_back import with_arcs
from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.flatten import ERROR_MM
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, Spot, arcs, circle, circle_of, polygon

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

OFFSET_ERROR_MM = 2e-5
"""Greatest distance between an arc and its chords before the offset; less where the offset would
magnify it, but not below ``FINEST_MM``."""
FINEST_MM = 1e-8

SHARPEST = 10.0
"""A mitre is cut off square where its tip would lie farther than this many distances away: at
corners sharper than 11.5 degrees."""


class Join(StrEnum):
    """How the offset goes round a corner."""

    MITRE = "mitre"
    ROUND = "round"


class Region(Record):
    """One piece of an offset outline."""

    outside: Corners
    """Anticlockwise."""
    holes: tuple[Corners, ...] = ()
    """Where the outline closed up around a gap; clockwise."""


def offset(corners: Corners, *, by_mm: float, join: Join = Join.MITRE) -> tuple[Region, ...]:
    """Grow an outline by a distance, or shrink it by a negative one.

    Parameters
    ----------
    corners
        A sound outline.
    by_mm
        Positive outwards.
    join
        Corners stay sharp (mitre) or are rounded.

    Returns
    -------
    tuple of Region
        None when the outline vanishes, several when it splits; from left to right.
    """
    ring = circle_of(corners)
    if ring is not None:
        grown = ring.diameter_mm + 2.0 * by_mm
        if grown <= 0.0:
            return ()
        return (Region(outside=circle(grown, x_mm=ring.x_mm, y_mm=ring.y_mm)),)
    import shapely

    around = anticlockwise(corners)
    grown_shape = _grown(around, by_mm=by_mm, join=join)
    parts = [part for part in shapely.get_parts(grown_shape) if not part.is_empty]
    curved = join is Join.ROUND or any(bulge for _, _, bulge in around)

    def made(spots: Sequence[Spot]) -> Corners:
        if not curved:
            return polygon(spots)
        return with_arcs(spots, source=around, by_mm=by_mm, round_corners=join is Join.ROUND)

    regions = [
        Region(
            outside=_from(corners[0], anticlockwise(made(part.exterior.coords[:-1]))),
            holes=tuple(made(hole.coords[:-1]) for hole in part.interiors),
        )
        for part in parts
    ]
    return tuple(sorted(regions, key=lambda region: min(region.outside)))


def vanishes(corners: Corners, *, shrunk_by_mm: float) -> bool:
    """Tell whether nothing is left of a sound outline shrunk by a distance, sharp corners kept."""
    ring = circle_of(corners)
    if ring is not None:
        return ring.diameter_mm <= 2.0 * shrunk_by_mm
    solid = solid_of(corners)
    middle = solid.centroid
    # no mitre cuts farther in than this, and a middle that is left spares making the shape
    farthest = SHARPEST * shrunk_by_mm + ERROR_MM
    if solid.contains(middle) and solid.exterior.distance(middle) > farthest:
        return False
    return bool(_grown(anticlockwise(corners), by_mm=-shrunk_by_mm, join=Join.MITRE).is_empty)


def _grown(corners: Corners, *, by_mm: float, join: Join) -> "BaseGeometry":
    """Grow an outline as chords."""
    half_step = acos(1.0 - min(OFFSET_ERROR_MM / abs(by_mm), 1.0)) if by_mm else pi
    return solid_of(corners, error_mm=_error_mm(corners, by_mm)).buffer(
        by_mm,
        join_style=join.value,
        quad_segs=max(1, ceil(pi / 4.0 / half_step)),
        mitre_limit=SHARPEST,
    )


def _from(first: tuple[float, float, float], corners: Corners) -> Corners:
    """Begin an outline at the corner nearest to a point, so that corners keep their numbers."""
    at = min(range(len(corners)), key=lambda index: dist(corners[index][:2], first[:2]))
    return corners[at:] + corners[:at]


def _error_mm(corners: Corners, by_mm: float) -> float:
    """Give the error of the chords; a small arc grown a long way has that grown too."""
    radii = [arc.radius_mm for arc in arcs(corners)]
    finer = min((min(1.0, radius / abs(by_mm)) for radius in radii), default=1.0) if by_mm else 1.0
    return max(FINEST_MM, OFFSET_ERROR_MM * finer)
