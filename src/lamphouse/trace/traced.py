"""The front door: a picture and its scale in, a traced part out."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.drills import Drill
from lamphouse.shapes import measure
from lamphouse.shapes.outline import Corners, circle, pieces
from lamphouse.shapes.transform import move
from lamphouse.trace import part_rules, scale_rules
from lamphouse.trace.camera import Camera
from lamphouse.trace.edges import Edge, PartEdges, part_edges
from lamphouse.trace.fit import Fitted, Points, fit_outline
from lamphouse.trace.half_level import Mask, Side, tell_apart
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.refused import TraceError
from lamphouse.trace.round_holes import RoundHole, round_hole
from lamphouse.trace.scales import Scale
from lamphouse.trace.side_walls import past_walls

TOLERANCE_MM = 0.03
"""How far lines and arcs may leave the edge, when the maker names nothing."""
FINEST_HOLE_MM = 0.3
"""The smallest hole looked for, when the maker names nothing."""
LEAST_PIXELS_ACROSS = 4.0
"""A hole of fewer pixels cannot be told from grain."""
_KEPT_SHARE = 0.7
"""Holes down to this share of the finest are kept, since what was drilled is not exact."""
_SEEN_SHARE = 0.5
"""Holes down to this share are measured, because blur and shadow make them look smaller."""
_LEVEL_SHARE = 0.25
"""A straight side at least this share of the part's size says how the part lies."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """How far edge points lie from the outline fitted to them. [mm]."""

    rms_mm: float
    p95_mm: float
    """95 of 100 points are nearer."""
    max_mm: float
    points: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut:
    """A hole of any shape."""

    corners: Corners
    round: RoundHole | None
    """When it is round."""

    @property
    def middle_mm(self) -> tuple[float, float]:
        """Give its centroid."""
        return measure.centroid_mm(self.corners)


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedPart:
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
    notes: tuple[str, ...]

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
) -> TracedPart:
    """Trace the largest part in a picture.

    Parameters
    ----------
    picture
        As loaded.
    scale
        From pixels to mm.
    inside
        Where the part may lie, as (rows, columns); everywhere when left out.
    side
        Whether the part is lighter or darker than the ground; found when left out.
    finest_hole_mm
        The smallest hole to find.
    tolerance_mm
        How far lines and arcs may leave the edge.
    drills
        What round holes are snapped to; none when empty.

    Raises
    ------
    TraceError
        If the picture is too coarse for the holes, part and ground cannot be told apart, or the
        part is cut off.
    """
    _refuse_coarse(scale.pixel_mm, finest_hole_mm)
    levels, room, corner = _cropped(picture.levels, inside)
    ground = tell_apart(levels, inside=room, side=side)
    found = part_edges(ground, least_hole_pixels=_SEEN_SHARE * finest_hole_mm / scale.pixel_mm)
    blur_mm = found.blur_pixels * scale.pixel_mm
    rims = [found.outer, *found.holes]
    notes = [*picture.notes, *_notes(found)]
    if isinstance(scale, Camera) and scale.height_mm > 0.0:
        feet = [scale.foot(rim.points + corner) for rim in rims]
        slant_mm = float(np.hypot(*feet[0].T).max()) * scale.pixel_mm
        notes += slant_notes(slant_mm, finest_hole_mm=finest_hole_mm)
        rims = [
            past_walls(rim, ground, foot=foot, blur=found.blur_pixels)
            for rim, foot in zip(rims, feet, strict=True)
        ]
    edges = [_in_mm(rim, scale, corner) for rim in rims]
    turn_deg = _level_turn(_fitted(edges[0], blur_mm, tolerance_mm).corners)
    edges = [_turned(edge, turn_deg) for edge in edges]
    fitted = _fitted(edges[0], blur_mm, tolerance_mm)
    left, bottom, right, top = measure.bounds_mm(fitted.corners)
    edges = [edge - (left, bottom) for edge in edges]
    cuts = [_cut_out(edge, scale, blur_mm, tolerance_mm, drills) for edge in edges[1:]]
    least = _KEPT_SHARE * finest_hole_mm
    cuts = [cut for cut in cuts if measure.area_mm2(cut.hole.corners) > np.pi / 4.0 * least**2]
    off = [fitted.off_mm, *(cut.off_mm for cut in cuts)]
    return TracedPart(
        corners=move(fitted.corners, x_mm=-left, y_mm=-bottom),
        holes=tuple(sorted((cut.hole for cut in cuts), key=_place)),
        deviation=deviation(np.concatenate(off)),
        uncertain_mm=_uncertain(scale, max(right - left, top - bottom), tolerance_mm),
        pixel_mm=scale.pixel_mm,
        blur_mm=blur_mm,
        side=ground.side,
        contrast=ground.contrast,
        scale_words=scale.words,
        turned_deg=turn_deg,
        origin_mm=(left, bottom),
        edges_mm=tuple(edges),
        notes=tuple(notes),
    )


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


def _refuse_coarse(pixel_mm: float, finest_hole_mm: float) -> None:
    across = finest_hole_mm / pixel_mm
    if across < LEAST_PIXELS_ACROSS:
        finest = LEAST_PIXELS_ACROSS * pixel_mm
        what = (
            f"a hole of {finest_hole_mm:g} mm is {across:.1f} pixels across in this picture; "
            f"at least {LEAST_PIXELS_ACROSS:g} are needed"
        )
        remedy = f"scan finer or come nearer, or look only for holes of --finest {finest:.2f} mm on"
        raise TraceError(part_rules.too_coarse, what, remedy=remedy)


def _cropped(
    levels: NDArray[np.float32], inside: Mask | None
) -> tuple[NDArray[np.float32], Mask, tuple[int, int]]:
    """Cut the picture down to where the part may lie; give the column and row of the cut."""
    if inside is None:
        return levels, np.ones(levels.shape, dtype=bool), (0, 0)
    rows, columns = np.flatnonzero(inside.any(axis=1)), np.flatnonzero(inside.any(axis=0))
    if not rows.size:
        what = "the place for the part lies outside the picture"
        remedy = "take the picture again with the whole card in it"
        raise TraceError(scale_rules.reference_not_found, what, remedy=remedy)
    window = (slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1))
    corner = (int(columns[0]), int(rows[0]))
    return np.ascontiguousarray(levels[window]), inside[window], corner


def _in_mm(edge: Edge, scale: Scale, corner: tuple[int, int]) -> Points:
    """Map an edge into the plane of the part, anticlockwise."""
    points = scale.to_mm(edge.points + corner)
    x, y = points[:, 0], points[:, 1]
    turns_left = np.dot(x, np.roll(y, -1)) > np.dot(y, np.roll(x, -1))
    return points if turns_left else points[::-1]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    hole: CutOut
    off_mm: NDArray[np.float64]


def _cut_out(
    points: Points, scale: Scale, blur_mm: float, tolerance_mm: float, drills: Sequence[Drill]
) -> _Cut:
    found = round_hole(
        points,
        tolerance_mm=tolerance_mm,
        pixel_mm=scale.pixel_mm,
        blur_mm=blur_mm,
        share=scale.share,
        drills=drills,
    )
    if found:
        corners = circle(found.diameter_mm, x_mm=found.x_mm, y_mm=found.y_mm)
        return _Cut(hole=CutOut(corners=corners, round=found), off_mm=found.off_mm)
    fitted = _fitted(points, blur_mm, tolerance_mm)
    return _Cut(hole=CutOut(corners=fitted.corners, round=None), off_mm=fitted.off_mm)


def _fitted(points: Points, blur_mm: float, tolerance_mm: float) -> Fitted:
    return fit_outline(points, tolerance_mm=tolerance_mm, blur_mm=2.0 * blur_mm)


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


def _uncertain(scale: Scale, longest_mm: float, tolerance_mm: float) -> float:
    """Add what is independent: scale over the longest side, places, pixels and the fit."""
    parts = (scale.share * longest_mm, scale.offset_mm, 0.2 * scale.pixel_mm, tolerance_mm)
    return float(np.sqrt(sum(part**2 for part in parts)))


def slant_notes(slant_mm: float, *, finest_hole_mm: float) -> list[str]:
    """Warn of holes that show nothing but their wall, which looks ``slant_mm`` wide."""
    if slant_mm < finest_hole_mm:
        return []
    words = (
        f"seen at a slant, holes under {slant_mm:.1f} mm show their wall and no ground: one with a "
        "bright wall may be missed; take a second picture from straight above"
    )
    return [words]


def _notes(found: PartEdges) -> tuple[str, ...]:
    if not found.others:
        return ()
    return (f"{found.others} smaller pieces in the picture were left out: trace them one by one",)
