"""The front door: a picture and its scale in, a traced part out."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.drills import Drill
from lamphouse.findings import Finding
from lamphouse.record import Record, replace
from lamphouse.shapes import measure
from lamphouse.shapes.outline import Corners, circle, pieces
from lamphouse.shapes.transform import move
from lamphouse.trace import part_hole_rules
from lamphouse.trace.edge_pieces import Points
from lamphouse.trace.fit import Fitted, fit_circle, fit_outline
from lamphouse.trace.half_level import Mask, Side
from lamphouse.trace.part_sight import SeenEdge, Sight, look
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.refused import finding
from lamphouse.trace.round_holes import RoundHole, round_hole
from lamphouse.trace.scales import Scale

EDGE_RULE = "half level between part and ground, both as they are near the edge"
"""What is taken for the edge."""
TOLERANCE_MM = 0.03
"""How far lines and arcs may leave the edge, when the maker names nothing."""
FINEST_HOLE_MM = 0.3
"""The smallest hole looked for, when the maker names nothing."""
_KEPT_SHARE = 0.7
"""Holes down to this share of the finest are kept, since what was drilled is not exact."""
_ROUND_PIXELS, _ROUND_SHARE = 0.3, 0.02
"""An outer edge is one circle when it leaves it by no more, rms; the share is of the radius."""
_LEVEL_SHARE = 0.25
"""A straight side at least this share of the part's size says how the part lies."""


class Deviation(Record):
    """How far edge points lie from the outline fitted to them. [mm]."""

    rms_mm: float
    p95_mm: float
    """95 of 100 points are nearer."""
    max_mm: float
    points: int


class CutOut(Record):
    """A hole of any shape."""

    corners: Corners
    round: RoundHole | None
    """When it is round."""
    off_mm: NDArray[np.float64]
    """(n,) distance of every edge point from it."""

    @property
    def middle_mm(self) -> tuple[float, float]:
        """Give its centroid."""
        return measure.centroid_mm(self.corners)


class TracedPart(Record):
    """A part as traced, its lower left corner at 0, 0 and its longest straight side level."""

    corners: Corners
    """Anticlockwise, as in :mod:`lamphouse.shapes`."""
    holes: tuple[CutOut, ...]
    """From left to right, then upwards."""
    deviation: Deviation
    uncertain_mm: float
    """Of any place on the outline, against the part's longest side; two standard deviations."""
    pixel_mm: float
    blur_mm: float
    """Standard deviation of the picture's blur."""
    side: Side
    contrast: float
    scale_words: str
    turned_deg: float
    """How far the part was turned to lie level, anticlockwise about 0, 0."""
    origin_mm: tuple[float, float]
    """The lower left corner in the plane of the scale, after the turn."""
    edges_mm: tuple[Points, ...]
    """The edge points as found, outer edge first, each (n, 2), in the frame of ``corners``."""
    views: int
    """Pictures it was seen in."""
    findings: tuple[Finding, ...]

    @property
    def size_mm(self) -> tuple[float, float]:
        """Give its width and height."""
        return measure.size_mm(self.corners)


def trace(
    picture: Picture,
    *,
    scale: Scale,
    inside: Mask | None = None,
    side: Side | None = None,
    finest_hole_mm: float = FINEST_HOLE_MM,
    tolerance_mm: float = TOLERANCE_MM,
    drills: Sequence[Drill] = (),
    is_sketch: bool = False,
) -> TracedPart:
    """Trace the largest part in a picture.

    Parameters
    ----------
    picture, scale, inside, side, finest_hole_mm, is_sketch
        As for :func:`lamphouse.trace.part_sight.look`.
    tolerance_mm
        How far lines and arcs may leave the edge.
    drills
        What round holes are snapped to; none when empty.

    Raises
    ------
    TraceError
        As :func:`lamphouse.trace.part_sight.look`.
    """
    sight = look(
        picture,
        scale=scale,
        inside=inside,
        side=side,
        finest_hole_mm=finest_hole_mm,
        is_sketch=is_sketch,
    )
    return drawn(sight, finest_hole_mm=finest_hole_mm, tolerance_mm=tolerance_mm, drills=drills)


def drawn(
    sight: Sight,
    *,
    finest_hole_mm: float = FINEST_HOLE_MM,
    tolerance_mm: float = TOLERANCE_MM,
    drills: Sequence[Drill] = (),
) -> TracedPart:
    """Draw what one picture, or several together, tell as lines, arcs and round holes."""
    blur_mm, scale = sight.blur_mm, sight.scale
    edges = [sight.outer.points_mm, *(hole.points_mm for hole in sight.holes)]
    turn_deg = _level_turn(_outer(edges[0], sight, tolerance_mm).corners)
    edges = [_turned(edge, turn_deg) for edge in edges]
    fitted = _outer(edges[0], sight, tolerance_mm)
    left, bottom, right, top = measure.bounds_mm(fitted.corners)
    edges = [edge - (left, bottom) for edge in edges]
    cuts = [
        _cut_out(edge, sight, hole=hole, tolerance_mm=tolerance_mm, drills=drills)
        for edge, hole in zip(edges[1:], sight.holes, strict=True)
    ]
    least = np.pi / 4.0 * (_KEPT_SHARE * finest_hole_mm) ** 2
    kept = [number for number, cut in enumerate(cuts) if measure.area_mm2(cut.corners) > least]
    kept.sort(key=lambda number: _place(cuts[number]))
    holes = tuple(cuts[number] for number in kept)
    off = [fitted.off_mm, *(hole.off_mm for hole in holes)]
    return TracedPart(
        corners=move(fitted.corners, x_mm=-left, y_mm=-bottom),
        holes=holes,
        deviation=deviation(np.concatenate(off)),
        uncertain_mm=_uncertain(sight, max(right - left, top - bottom), tolerance_mm),
        pixel_mm=scale.pixel_mm,
        blur_mm=blur_mm,
        side=sight.side,
        contrast=sight.contrast,
        scale_words=scale.words,
        turned_deg=turn_deg,
        origin_mm=(left, bottom),
        edges_mm=(edges[0], *(edges[1:][number] for number in kept)),
        views=sight.views,
        findings=(*sight.findings, *_between_drills(holes)),
    )


def _between_drills(holes: Sequence[CutOut]) -> tuple[Finding, ...]:
    """Ask about the first hole that two drills fit; one question, with how many more there are."""
    open_ = [(n, one.round) for n, one in enumerate(holes, start=1) if one.round and one.round.near]
    if not open_:
        return ()
    number, hole = open_[0]
    others = ", ".join(f"hole {n}" for n, _ in open_[1:])
    what = (
        f"hole {number} measures {hole.measured_mm:.2f} mm within {hole.uncertain_mm:.2f} mm, and "
        f"{' or '.join(hole.near)} would fit" + (f"; so with {others}" if others else "")
    )
    remedy = "try the drills in the hole and write the one that fits into the opening"
    return (finding(part_hole_rules.between_drills, what, remedy=remedy),)


def in_pixels(part: TracedPart, scale: Scale, places_mm: Points) -> Points:
    """Find where places on a traced part lie in its picture."""
    return scale.to_pixels(_turned(places_mm + part.origin_mm, -part.turned_deg))


def deviation(off_mm: NDArray[np.float64]) -> Deviation:
    """Sum up signed distances."""
    far = np.abs(off_mm)
    return Deviation(
        rms_mm=float(np.sqrt(np.mean(far**2))),
        p95_mm=float(np.percentile(far, 95.0)),
        max_mm=float(far.max()),
        points=len(far),
    )


def _cut_out(
    points: Points, sight: Sight, *, hole: SeenEdge, tolerance_mm: float, drills: Sequence[Drill]
) -> CutOut:
    found = round_hole(
        points,
        tolerance_mm=tolerance_mm,
        pixel_mm=sight.scale.pixel_mm,
        blur_mm=sight.blur_mm,
        share=sight.scale.share,
        drills=drills if hole.shows_ground else (),
    )
    if found and not hole.shows_ground:
        found = replace(found, uncertain_mm=0.5 * found.measured_mm)
    if found:
        corners = circle(found.diameter_mm, x_mm=found.x_mm, y_mm=found.y_mm)
        return CutOut(corners=corners, round=found, off_mm=found.off_mm)
    fitted = _fitted(points, sight.corner_mm, tolerance_mm)
    return CutOut(corners=fitted.corners, round=None, off_mm=fitted.off_mm)


def _outer(points: Points, sight: Sight, tolerance_mm: float) -> Fitted:
    """Fit the outer edge: one circle when it is round to a fraction of a pixel."""
    found, off = fit_circle(points)
    most = min(_ROUND_PIXELS * sight.scale.pixel_mm, _ROUND_SHARE * found.radius_mm)
    if np.sqrt(np.mean(off**2)) > most:
        return _fitted(points, sight.corner_mm, tolerance_mm)
    left, right = found.x_mm - found.radius_mm, found.x_mm + found.radius_mm
    return Fitted(corners=((left, found.y_mm, 1.0), (right, found.y_mm, 1.0)), off_mm=-off)


def _fitted(points: Points, corner_mm: float, tolerance_mm: float) -> Fitted:
    return fit_outline(points, tolerance_mm=tolerance_mm, blur_mm=corner_mm)


def _level_turn(corners: Corners) -> float:
    """Find the smallest turn that lays the longest straight side along x or y; 0 without one."""
    sides = [piece for piece in pieces(corners) if piece.is_straight]
    longest = max(sides, key=lambda side: side.chord_mm, default=None)
    if longest is None or longest.chord_mm < _LEVEL_SHARE * max(measure.size_mm(corners)):
        return 0.0
    (ax, ay), (bx, by) = longest.start, longest.end
    lies_deg = float(np.degrees(np.arctan2(by - ay, bx - ax)))
    return -((lies_deg + 45.0) % 90.0 - 45.0)


def _turned(places: Points, angle_deg: float) -> Points:
    angle = np.radians(angle_deg)
    cosine, sine = np.cos(angle), np.sin(angle)
    return np.asarray(places @ np.array(((cosine, sine), (-sine, cosine))))


def _place(cut: CutOut) -> tuple[float, float]:
    x, y = cut.middle_mm
    return round(x, 1), y


def _uncertain(sight: Sight, longest_mm: float, tolerance_mm: float) -> float:
    """Add what is independent: scale over the longest side, places, pixels, walls and the fit."""
    scale = sight.scale
    pixels = 0.2 * sight.pixel_mm
    placed = scale.offset_mm * min(1.0, longest_mm / max(scale.reach_mm, 1.0))
    parts = (scale.share * longest_mm, placed, pixels, sight.doubt_mm, tolerance_mm)
    return float(np.sqrt(sum(part**2 for part in parts)))
