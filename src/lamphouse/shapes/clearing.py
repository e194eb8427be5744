"""What of an outline stays free under pieces that lie on it, as rings without holes."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.measure import anticlockwise, area_mm2
from lamphouse.shapes.outline import Corners, circle_of, polygon
from lamphouse.shapes.spacing import Enclosure

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

Plate = tuple[Corners, tuple[Corners, ...]]
"""Outline and cut-outs of a piece that lies on another."""

LEAST_MM2 = 1e-3
"""Smaller scraps are nothing."""


def free_parts(
    outline: Corners, *, under: Sequence[Plate], error_mm: float
) -> tuple[Corners, ...] | None:
    """Cut out of an outline what plates on it cover.

    Parameters
    ----------
    outline
        Sound.
    under
        The plates; sound outlines and cut-outs.
    error_mm
        Greatest distance between an arc and the chords it becomes.

    Returns
    -------
    tuple of Corners or None
        Free parts from left to right, anticlockwise, none with a hole: where a plate stands free
        inside, the part round it is cut in two. Empty when all is covered; None when nothing is. A
        circle that one cut-out leaves free stays a circle.
    """
    if not under:
        return None
    import shapely

    def solid(corners: Corners) -> "BaseGeometry":
        return solid_of(corners, error_mm=error_mm)

    whole = solid(outline)
    left = whole
    for edge, cutouts in under:
        holes = shapely.union_all([solid(cutout) for cutout in cutouts])
        left = left.difference(solid(edge).difference(holes))
    if whole.area - left.area < LEAST_MM2:
        return None
    round_one = _whole_circle(outline, left=left.area, under=under)
    if round_one is not None:
        return (round_one,)
    parts = [anticlockwise(polygon(part.exterior.coords[:-1])) for part in _simple(left)]
    return tuple(sorted(parts))


def _whole_circle(outline: Corners, *, left: float, under: Sequence[Plate]) -> Corners | None:
    """Give the round cut-out that is all that stays free; None when it is not so."""
    around = Enclosure(outline)
    for _, cutouts in under:
        for cutout in cutouts:
            alike = abs(area_mm2(cutout) - left) < 0.01 * left
            if circle_of(cutout) and alike and around.margin_mm(cutout) >= 0.0:
                return cutout
    return None


def _simple(shape: "BaseGeometry") -> Iterator["Polygon"]:
    """Give the parts of a shape, those with holes cut through them from top to bottom."""
    import shapely

    for part in shapely.get_parts(shape):
        if part.geom_type != "Polygon" or part.area < LEAST_MM2:
            continue
        if not part.interiors:
            yield part
            continue
        low_x, low_y, high_x, high_y = part.bounds
        middle = part.interiors[0].centroid.x
        for start, end in ((low_x, middle), (middle, high_x)):
            yield from _simple(part.intersection(shapely.box(start, low_y, end, high_y)))
