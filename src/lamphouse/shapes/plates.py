"""Plates with cut-outs measured exactly against one another: what they share, how far apart."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from lamphouse.record import Record
from lamphouse.shapes.chords import solid_of
from lamphouse.shapes.clearing import Plate

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry


class Nearness(Record):
    """Two plates of a list that lie nearer than was asked."""

    earlier: int
    later: int
    gap_mm: float
    """Least distance between their materials; 0 where they touch or overlap."""
    shared_mm2: float
    """Area they both cover."""


def too_near(plates: Sequence[Plate], *, gap_mm: float) -> tuple[Nearness, ...]:
    """Find plates that overlap or lie nearer than a gap; a plate may lie in another's cut-out.

    Parameters
    ----------
    plates
        Sound outlines and cut-outs; arcs are chords within 5e-5 mm.
    gap_mm
        Distances below this count, and areas shared whatever the gap.
    """
    import numpy as np
    import shapely

    solids = np.array([_solid(plate) for plate in plates], dtype=object)
    if len(solids) < 2:
        return ()
    tree = shapely.STRtree(solids)
    pairs = tree.query(solids, predicate="dwithin", distance=gap_mm)
    earlier, later = pairs[:, pairs[0] < pairs[1]]
    gaps = shapely.distance(solids[earlier], solids[later])
    shared = shapely.area(shapely.intersection(solids[earlier], solids[later]))
    return tuple(
        Nearness(earlier=int(one), later=int(other), gap_mm=float(gap), shared_mm2=float(area))
        for one, other, gap, area in sorted(zip(earlier, later, gaps, shared, strict=True))
        if gap < gap_mm or area > 0.0
    )


def _solid(plate: Plate) -> "BaseGeometry":
    import shapely

    edge, cutouts = plate
    solid = solid_of(edge)
    if not cutouts:
        return solid
    return solid.difference(shapely.union_all([solid_of(one) for one in cutouts]))
