"""What one picture tells of a part: its edges in mm, and how far each can be trusted."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.findings import Finding
from lamphouse.record import Record, replace
from lamphouse.trace import (
    line_drawing_rules,
    part_hole_rules,
    part_rules,
    picture_rules,
    scale_rules,
)
from lamphouse.trace.camera import Camera
from lamphouse.trace.dents import dents
from lamphouse.trace.edge_checks import burnt_out_share, weak_share
from lamphouse.trace.edges import Edge, PartEdges, part_edges, signed_area
from lamphouse.trace.half_level import Ground, Mask, Side, tell_apart
from lamphouse.trace.pen_line import line_edges
from lamphouse.trace.picture_file import Levels, Picture
from lamphouse.trace.refused import TraceError, finding, of_file
from lamphouse.trace.round_rim import round_rim
from lamphouse.trace.scales import Places, Scale
from lamphouse.trace.side_walls import past_walls

LEAST_PIXELS_ACROSS = 4.0
"""A hole of fewer pixels cannot be told from grain."""
_SEEN_SHARE = 0.5
"""Holes down to this share are measured, because blur and shadow make them look smaller."""
_PLACED_PIXELS = 0.1
"""How exactly an edge is placed where nothing stands in the way."""
_TWIN_SHARE = 0.5
"""A second piece of at least this share of the largest may be the one that is meant."""
_LEAST_LIGHT = 40.0
"""Of 255, that the brightest hundredth reaches."""
_BURNT_SHARE = 0.2
_LOST_SHARE, _FAINT_SHARE = 0.25, 0.02
_MOST_BLUR = 8.0
"""In pixels; an edge is as good as passed two of them to either side [PRACTICE]."""
_HOLLOW_SHARE = 0.9
_CLEARER = 0.5
"""An edge without the shadow is taken when no more than this share of its faint places is left."""
_TANGENT = 3
"""Points on each side between which the way along an edge is taken."""


class SeenEdge(Record):
    """A closed edge as one picture, or several together, tell it."""

    points_mm: Places
    """(n, 2) on the plane of the scale, anticlockwise."""
    sigma_mm: NDArray[np.float64]
    """(n,) standard deviation of each, across the edge."""
    shows_ground: bool = True
    """False for a hole that shows its wall alone."""

    @property
    def outward(self) -> Places:
        """Give (n, 2) unit vectors to the right of the way along the edge."""
        way = np.roll(self.points_mm, -_TANGENT, axis=0) - np.roll(self.points_mm, _TANGENT, axis=0)
        far = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-12)
        return np.stack((way[:, 1] / far, -way[:, 0] / far), axis=1)

    @property
    def middle_mm(self) -> Places:
        """Give the middle of its points."""
        return np.asarray(self.points_mm.mean(axis=0))


class Sight(Record):
    """A part as one picture, or several together, show it."""

    outer: SeenEdge
    holes: tuple[SeenEdge, ...]
    scale: Scale
    blur_mm: float
    """Standard deviation of the picture's blur."""
    corner_mm: float
    """How far from a corner its edges are rounded."""
    pixel_mm: float
    side: Side
    contrast: float
    doubt_mm: float
    """What walls that look like face or ground, and views that disagree, leave open; two sigma."""
    views: int
    findings: tuple[Finding, ...]


def look(
    picture: Picture,
    *,
    scale: Scale,
    inside: Mask | None = None,
    side: Side | None = None,
    finest_hole_mm: float,
    is_sketch: bool = False,
) -> Sight:
    """Find the edges of the largest part in a picture.

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
    is_sketch
        Whether it is a line drawing, to be followed along the middle of its lines.

    Raises
    ------
    TraceError
        If the picture is too coarse for the holes, part and ground cannot be told apart, the part
        is cut off, several parts could be meant, or its edge is lost.
    """
    _refuse_coarse(scale.pixel_mm, finest_hole_mm)
    levels, room, corner = _cropped(picture.levels, inside)
    _refuse_dark(levels, room)
    least = _SEEN_SHARE * finest_hole_mm / scale.pixel_mm
    if is_sketch:
        found, told = line_edges(levels, inside=room, least_hole_pixels=least)
        ground = None
    else:
        ground, found = _told_apart(levels, room, side, least)
        wall = _wall_pixels(scale, levels.shape, corner)
        found = replace(
            found,
            holes=(
                *found.holes,
                *dents(found, ground, least_hole_pixels=least, wall_pixels=wall),
            ),
        )
        told = _checked(levels, found, ground)
    told = [*picture.findings, *told, *_others(found)]
    rims, sigmas = [found.outer, *found.holes], []
    slant_mm = 0.0
    tall = isinstance(scale, Camera) and scale.height_mm > scale.base_mm
    if isinstance(scale, Camera) and tall and ground is not None:
        feet = [scale.foot(rim.points + corner) for rim in rims]
        slant_mm = float(np.hypot(*feet[0].T).max()) * scale.pixel_mm
        told += slant_findings(slant_mm, finest_hole_mm=finest_hole_mm)
        told += _only_walls(found.holes, corner)
        moved = [
            past_walls(rim, ground, foot=foot, blur=found.blur_pixels)
            for rim, foot in zip(rims, feet, strict=True)
        ]
        rims, sigmas = [one for one, _ in moved], [doubt * scale.pixel_mm for _, doubt in moved]
        round_ = round_rim(found.outer, scale, corner=corner)
        if round_ is not None:
            rims[0], sigmas[0] = round_, np.zeros(len(round_.points))
    edges = [
        _in_mm(rim, scale, corner, sigmas[number] if sigmas else None)
        for number, rim in enumerate(rims)
    ]
    doubt_mm = float(2.0 * np.percentile(sigmas[0], 95.0)) if sigmas else 0.0
    if doubt_mm > max(0.05, 2.0 * scale.pixel_mm, 0.5 * slant_mm):
        what = f"a wall looks {doubt_mm:.2f} mm wide and cannot be told from the face or the ground"
        remedy = "take pictures from two or three sides without moving the part, and name them all"
        told.append(finding(part_hole_rules.wall_in_doubt, what, remedy=remedy))
    return Sight(
        outer=edges[0],
        holes=tuple(edges[1:]),
        scale=scale,
        blur_mm=found.blur_pixels * scale.pixel_mm,
        corner_mm=found.corner_pixels * scale.pixel_mm,
        pixel_mm=scale.pixel_mm,
        side=ground.side if ground else Side.DARKER,
        contrast=ground.contrast if ground else found.contrast,
        doubt_mm=doubt_mm,
        views=1,
        findings=tuple(of_file(one, picture.name) for one in told),
    )


def _told_apart(
    levels: Levels, room: Mask, side: Side | None, least: float
) -> tuple[Ground, PartEdges]:
    """Tell part from ground; when a dark part's edge is faint, its shadow may pass for part of it.

    Then it is told apart once more with the shadow left out, and the clearer edge is kept.
    """
    ground = tell_apart(levels, inside=room, side=side)
    found = part_edges(ground, least_hole_pixels=least)
    weak = weak_share(found.outer, ground, blur=found.blur_pixels)
    if ground.side is Side.LIGHTER or weak <= _FAINT_SHARE:
        return ground, found
    try:
        other = tell_apart(levels, inside=room, side=ground.side, is_shaded=True)
        again = part_edges(other, least_hole_pixels=least)
    except TraceError:
        return ground, found
    less = weak_share(again.outer, other, blur=again.blur_pixels)
    return (other, again) if less < _CLEARER * weak else (ground, found)


def _refuse_coarse(pixel_mm: float, finest_hole_mm: float) -> None:
    across = finest_hole_mm / pixel_mm
    if across < LEAST_PIXELS_ACROSS:
        finest = LEAST_PIXELS_ACROSS * pixel_mm
        what = (
            f"a hole of {finest_hole_mm:g} mm is {across:.1f} pixels across in this picture; "
            f"at least {LEAST_PIXELS_ACROSS:g} are needed"
        )
        remedy = f"scan finer or come nearer, or look only for holes of --finest {finest:.2f} mm on"
        raise TraceError(part_hole_rules.too_coarse, what, remedy=remedy)


def _refuse_dark(levels: Levels, room: Mask) -> None:
    some = levels[::4, ::4][room[::4, ::4]]
    bright = float(np.percentile(some, 99.0)) if some.size else 255.0
    if bright < _LEAST_LIGHT:
        what = (
            f"the brightest hundredth reaches {bright:.0f} of 255 grey levels; {_LEAST_LIGHT:.0f} "
            "are needed"
        )
        remedy = "take it again with more light from two sides, or a longer exposure"
        raise TraceError(picture_rules.too_dark_a_picture, what, remedy=remedy)


def _cropped(levels: Levels, inside: Mask | None) -> tuple[Levels, Mask, tuple[int, int]]:
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


def _wall_pixels(scale: Scale, shape: tuple[int, ...], corner: tuple[int, int]) -> float:
    """Tell how wide the walls of the part look at most. [pixel]."""
    if not isinstance(scale, Camera) or scale.height_mm <= scale.base_mm:
        return 0.0
    rows, columns = shape[:2]
    ends = np.array(
        [(x, y) for x in (0.0, columns / 2.0, columns) for y in (0.0, rows / 2.0, rows)]
    )
    return float(np.hypot(*scale.foot(ends + corner).T).max())


def _others(found: PartEdges) -> list[Finding]:
    """Tell of further pieces, and refuse when one of them may be the one that is meant."""
    if found.twin_share >= _TWIN_SHARE:
        what = f"another piece covers {found.twin_share:.0%} of what the largest covers"
        remedy = "trace them one by one, each with --window round it"
        raise TraceError(part_rules.several_parts, what, remedy=remedy)
    if not found.others:
        return []
    what = f"{found.others} smaller pieces in the picture were left out"
    remedy = "trace them one by one, each with --window round it, if they are parts"
    return [finding(part_rules.pieces_left_out, what, remedy=remedy)]


def _checked(levels: Levels, found: PartEdges, ground: Ground) -> list[Finding]:
    """Look whether edges are really seen, and whether the light was cut off beside them."""
    told = []
    rim = abs(signed_area(found.outer.points))
    hollow = max((abs(signed_area(hole.points)) for hole in found.holes), default=0.0)
    if hollow > _HOLLOW_SHARE * rim:
        what = f"an opening takes {hollow / rim:.0%} of the part, so it may be a line drawing"
        remedy = "if it is one add --sketch"
        told.append(finding(line_drawing_rules.may_be_drawing, what, remedy=remedy))
    if found.blur_pixels > _MOST_BLUR:
        what = (
            f"from part to ground the brightness changes over {4.0 * _MOST_BLUR:.0f} pixels or more"
        )
        remedy = "take it again, sharp and in even light, or scan it"
        raise TraceError(part_rules.edge_lost, what, remedy=remedy)
    weak = weak_share(found.outer, ground, blur=found.blur_pixels)
    remedy = "light it evenly from all sides through drafting film, dull shiny metal, or scan it"
    if weak > _LOST_SHARE:
        what = f"along {weak:.0%} of the edge hardly any change of brightness is seen"
        raise TraceError(part_rules.edge_lost, what, remedy=remedy)
    if weak > _FAINT_SHARE:
        what = f"along {weak:.0%} of the edge hardly any change of brightness is seen"
        told.append(finding(part_rules.edge_faint, what, remedy=f"look there; {remedy}"))
    burnt = burnt_out_share(levels, found.outer, blur=found.blur_pixels)
    if burnt > _BURNT_SHARE:
        what = (
            f"along {burnt:.0%} of the edge the light side is pure white, cut off by the camera: "
            "the dark side looks up to half a pixel too small there"
        )
        remedy = "take it again with a shorter exposure, so that the paper is light grey"
        told.append(finding(picture_rules.burnt_out, what, remedy=remedy))
    return told


def slant_findings(slant_mm: float, *, finest_hole_mm: float) -> list[Finding]:
    """Warn of holes that show nothing but their wall, which looks ``slant_mm`` wide."""
    if slant_mm < finest_hole_mm:
        return []
    what = f"seen at a slant, holes under {slant_mm:.1f} mm show their wall and no ground"
    remedy = "take a second picture from straight above, and name both"
    return [finding(part_hole_rules.slant_hides, what, remedy=remedy)]


def _only_walls(holes: Sequence[Edge], corner: tuple[int, int]) -> list[Finding]:
    told = []
    for hole in holes:
        if hole.shows_ground:
            continue
        column, row = hole.points.mean(axis=0) + corner
        what = f"the hole at pixel {column:.0f}, {row:.0f} shows its wall and not the ground"
        remedy = "take a picture from straight above and name both"
        told.append(finding(part_hole_rules.only_wall_seen, what, remedy=remedy))
    return told


def _in_mm(
    edge: Edge, scale: Scale, corner: tuple[int, int], doubt_mm: NDArray[np.float64] | None
) -> SeenEdge:
    """Map an edge into the plane of the part, anticlockwise."""
    points = scale.to_mm(edge.points + corner)
    placed = np.full(len(points), _PLACED_PIXELS * scale.pixel_mm)
    sigma = placed if doubt_mm is None else np.hypot(placed, doubt_mm)
    x, y = points[:, 0], points[:, 1]
    turns_left = np.dot(x, np.roll(y, -1)) > np.dot(y, np.roll(x, -1))
    if not turns_left:
        points, sigma = points[::-1], sigma[::-1]
    return SeenEdge(points_mm=points, sigma_mm=sigma, shows_ground=edge.shows_ground)
