"""Areas of a plane joined, cut and grown, with lines and true arcs in what comes out.

An area may be of several parts, and the parts may have holes. It remembers the curves its edges lie
on, so that after any number of steps straight edges are straight and arcs are arcs.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from lamphouse.shapes.arcs_back import Curve, Line, Ring, curves_of, on_curves, passing
from lamphouse.shapes.chords import chords_of, solid_of
from lamphouse.shapes.flatten import ERROR_MM
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.offset import Region
from lamphouse.shapes.outline import Corners, Spot, polygon

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

CHORD_MM = ERROR_MM
"""Greatest distance between an arc and its chords."""

LEAST_MM2 = 1e-3
"""Smaller scraps are nothing."""

_ROUND_QUARTER = 16
"""Chords of a quarter circle: their middles lie an eighth of a percent inside it."""

_MITRE = 2.5
"""A sharp corner that grows is cut off square beyond this many distances."""


class Area:
    """Part of a plane."""

    __slots__ = ("_curves", "_shape")

    def __init__(self, shape: "BaseGeometry", curves: frozenset[Curve]) -> None:
        """Hold a shape of the polygon library; made by ``area_of`` and by the steps below."""
        self._shape = shape
        self._curves = curves

    def joined(self, other: "Area") -> "Area":
        """Give both together."""
        return Area(self._shape.union(other._shape), self._curves | other._curves)

    def without(self, other: "Area") -> "Area":
        """Give what the other does not cover."""
        return Area(self._shape.difference(other._shape), self._curves | other._curves)

    def within(self, other: "Area") -> "Area":
        """Give what both cover."""
        return Area(self._shape.intersection(other._shape), self._curves | other._curves)

    def grown(self, by_mm: float) -> "Area":
        """Grow it all round by a distance; corners stay sharp. Negative to shrink."""
        if not by_mm:
            return self
        shape = self._shape.buffer(by_mm, join_style="mitre", mitre_limit=_MITRE)
        beside = {one for curve in self._curves for one in _beside(curve, by_mm)}
        return Area(shape, self._curves | beside)

    @property
    def area_mm2(self) -> float:
        """How large it is. [mm2]."""
        return float(self._shape.area)

    @property
    def is_nothing(self) -> bool:
        """Whether no part of it is worth the name."""
        return self.area_mm2 < LEAST_MM2

    def surrounded(self, others: "Area") -> "Area":
        """Give those parts of another area whose whole edge lies in it or on its own edge."""
        grown = self._shape.buffer(1e-3)
        return all_of(part for part in others.parts() if grown.covers(part._shape.exterior))

    def meets(self, corners: Corners) -> bool:
        """Tell whether an outline's edge touches it."""
        ring = chords_of(corners, error_mm=CHORD_MM)
        return bool(self._shape.distance(ring) < 1e-3)

    def parts(self) -> tuple["Area", ...]:
        """Give its parts, from left to right."""
        import shapely

        solid = [part for part in shapely.get_parts(self._shape) if part.area >= LEAST_MM2]
        return tuple(
            Area(part, self._curves) for part in sorted(solid, key=lambda part: part.bounds)
        )

    def regions(self) -> tuple[Region, ...]:
        """Give its parts as outlines with holes."""
        return tuple(_region(part._shape, self._curves) for part in self.parts())

    def spot(self) -> Spot:
        """Give a point well inside."""
        import shapely

        point = shapely.point_on_surface(self._shape)
        return float(point.x), float(point.y)

    def has_room(self, width_mm: float) -> bool:
        """Tell, on the safe side by an eighth of a percent, whether a circle fits into it."""
        return not self._shape.buffer(-width_mm / 2.0, quad_segs=_ROUND_QUARTER).is_empty

    def width_mm(self) -> float:
        """Diameter of the largest circle in it, within a thousandth. [mm]."""
        import shapely

        least = max(1e-4, 1e-3 * self.area_mm2**0.5)
        return 2.0 * float(shapely.maximum_inscribed_circle(self._shape, tolerance=least).length)


def area_of(corners: Corners, *, holes: Iterable[Corners] = ()) -> Area:
    """Make an area of a sound outline without holes in it."""
    made = Area(solid_of(corners, error_mm=CHORD_MM), frozenset(curves_of(corners)))
    for hole in holes:
        made = made.without(area_of(hole))
    return made


def nothing() -> Area:
    """Give an empty area."""
    import shapely

    return Area(shapely.Polygon(), frozenset())


def all_of(areas: Iterable[Area]) -> Area:
    """Join areas."""
    import shapely

    held = list(areas)
    curves = frozenset(curve for area in held for curve in area._curves)
    return Area(shapely.union_all([area._shape for area in held]), curves)


def _beside(curve: Curve, by_mm: float) -> Iterable[Curve]:
    for side in (by_mm, -by_mm):
        if isinstance(curve, Line):
            x, y = curve.at
            yield Line(at=(x + side * curve.way[1], y - side * curve.way[0]), way=curve.way)
        elif curve.radius_mm + side > CHORD_MM:
            yield Ring(middle=curve.middle, radius_mm=curve.radius_mm + side)


def _region(shape: "BaseGeometry", curves: frozenset[Curve]) -> Region:
    import shapely

    bent = any(isinstance(curve, Ring) for curve in curves)

    def made(spots: list[Spot]) -> Corners:
        return on_curves(spots, curves=passing(curves, ring=spots)) if bent else polygon(spots)

    def clean(ring: "BaseGeometry") -> list[Spot]:
        return [(x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist()]

    tidy = shape.simplify(1e-7)
    return Region(
        outside=anticlockwise(made(clean(tidy.exterior))),
        holes=tuple(made(clean(hole)) for hole in tidy.interiors if _solid(hole)),
    )


def _solid(ring: "BaseGeometry") -> bool:
    import shapely

    return bool(shapely.Polygon(ring).area >= LEAST_MM2)
