"""Outlines grown and shrunk by a distance, also where they split, close up or vanish.

Straight pieces and circles are offset exactly. Other arcs are chords within 2e-5 mm, and the
polygon library may drop every second of them, so their offset is right within 1e-4 mm.
"""

from dataclasses import dataclass
from enum import StrEnum
from math import acos, ceil, pi

from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, circle, circle_of, polygon

OFFSET_ERROR_MM = 2e-5
"""Greatest distance between an arc and its chords before the offset."""

SHARPEST = 10.0
"""A mitre is cut off square where its tip would lie farther than this many distances away: at
corners sharper than 11.5 degrees."""


class Join(StrEnum):
    """How the offset goes round a corner."""

    MITRE = "mitre"
    ROUND = "round"


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
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

    half_step = acos(1.0 - min(OFFSET_ERROR_MM / abs(by_mm), 1.0)) if by_mm else pi
    grown_shape = shapely.Polygon(flatten(corners, error_mm=OFFSET_ERROR_MM)).buffer(
        by_mm,
        join_style=join.value,
        quad_segs=max(1, ceil(pi / 4.0 / half_step)),
        mitre_limit=SHARPEST,
    )
    parts = [part for part in shapely.get_parts(grown_shape) if not part.is_empty]
    regions = [
        Region(
            outside=anticlockwise(polygon(part.exterior.coords[:-1])),
            holes=tuple(polygon(hole.coords[:-1]) for hole in part.interiors),
        )
        for part in parts
    ]
    return tuple(sorted(regions, key=lambda region: min(region.outside)))
