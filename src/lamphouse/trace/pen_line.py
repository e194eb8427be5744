"""A line drawing on paper, followed along the middle of its lines.

Every closed line is two edges with ink between them. From each point of its outer edge the picture
is read inwards across the line, and the middle is where the darkness has its centre of mass: so the
line may be pencil or ink, wide or narrow, and darker on one side than on the other.
"""

import numpy as np
from numpy.typing import NDArray

from lamphouse.findings import Finding
from lamphouse.trace import line_drawing_rules, part_rules
from lamphouse.trace.edges import Edge, PartEdges, sample, signed_area
from lamphouse.trace.half_level import Mask
from lamphouse.trace.picture_file import Levels
from lamphouse.trace.refused import TraceError, finding

LEAST_DARKNESS = 10.0
"""Grey levels of 255 by which a line is darker than the paper beside it."""
_OVER_GRAIN = 5.0
_PAPER_SHARE = 0.04
"""Of the picture's shorter side: paper is the lighter level within this reach."""
_LEAST_PAPER_PIXELS = 15
_SMALL_PIXELS = 1_000_000
_GAP_WIDTHS = 1.6
"""Gaps of up to this many widths of the line are closed."""
_OPEN_SHARE = 0.5
"""A closed line has a hole that covers at least this much of what its outer edge encloses."""
_MARK_WIDTHS = 3.0
"""A line shorter than this many widths is a dot of dirt."""
_STEP = 0.5
_SMOOTH_PIXELS = 1.2
_FAINT_SHARE, _FAINT_OVER_GRAIN = 0.25, 2.5
"""Of the usual darkness of a line, and over the grain of the paper: what is fainter than both is
paper; what is darker belongs to a line when it hangs together with a dark place."""
_LEAST_LINE_PIXELS = 20
_MOST_WIDTH = 0.125
"""Of the drawing's smaller side, that a line is wide."""
_SIDE_ONLY = False


def line_edges(
    levels: Levels, *, inside: Mask, least_hole_pixels: float
) -> tuple[PartEdges, list[Finding]]:
    """Follow the outermost closed line of a drawing and those inside it.

    Parameters
    ----------
    levels
        The picture.
    inside
        Where the drawing may lie.
    least_hole_pixels
        Diameter of the smallest hole to keep, in pixels.

    Raises
    ------
    TraceError
        If there is no line, or the outermost does not close.
    """
    import cv2

    dark = _darkness(levels, inside)
    smooth = cv2.GaussianBlur(dark, (0, 0), _SMOOTH_PIXELS)
    grain = 1.4826 * float(np.median(np.abs(smooth[inside] - np.median(smooth[inside]))))
    cut = max(LEAST_DARKNESS, _OVER_GRAIN * grain)
    ink = (smooth > cut) & inside
    if ink.sum() < 50:
        what = f"no line is darker than the paper by {cut:.0f} of 255 grey levels"
        raise TraceError(part_rules.no_part, what, remedy="draw it over with a black pen")
    contrast = float(np.percentile(dark[ink], 75.0))
    faint = max(_FAINT_OVER_GRAIN * grain, _FAINT_SHARE * contrast)
    ink = _reached((smooth > faint) & inside, ink)
    width = _width(ink)
    closed = _bridged(ink, width)
    lines, tree = cv2.findContours(closed.astype(np.uint8), cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    areas = [cv2.contourArea(line) for line in lines]
    tops = [i for i, node in enumerate(tree[0]) if node[3] < 0]
    outer = max(tops, key=lambda i: cv2.contourArea(cv2.convexHull(lines[i])))
    _refuse_solid(lines[outer], width)
    inner = [i for i, node in enumerate(tree[0]) if node[3] == outer]
    if max((areas[i] for i in inner), default=0.0) < _OPEN_SHARE * areas[outer] or not inner:
        raise _open_line(lines[outer], width)
    rim = _middle_of(lines[outer], dark, width=width, is_hole=False)
    if rim is None:
        raise _open_line(lines[outer], width)
    _refuse_one_sided(levels, rim, width=width, contrast=contrast)
    _refuse_near_rim(lines[outer], inside)
    holes, left_out = [], 0
    for index in tops:
        x, y = map(float, lines[index][0, 0])
        within = cv2.pointPolygonTest(lines[outer], (x, y), _SIDE_ONLY)
        if index == outer or within <= 0:
            continue
        if areas[index] < (_MARK_WIDTHS * width) ** 2 / 2.0 and not _has_hole(tree[0], index):
            continue
        hollow = max((areas[i] for i, n in enumerate(tree[0]) if n[3] == index), default=0.0)
        least = np.pi / 4.0 * least_hole_pixels**2
        is_closed = hollow > 0.1 * areas[index] and areas[index] > least
        edge = _middle_of(lines[index], dark, width=width, is_hole=True) if is_closed else None
        if edge is None:
            left_out += 1
        else:
            holes.append(edge)
    told = []
    if left_out or len(inner) > 1:
        count = left_out + max(0, len(inner) - 1)
        what = f"{count} lines inside the outline do not close round a hole of their own"
        remedy = "draw holes as closed lines that touch no other; rub out what is no edge"
        told.append(finding(line_drawing_rules.marks_left_out, what, remedy=remedy))
    found = PartEdges(
        outer=rim,
        holes=tuple(holes),
        others=0,
        twin_share=0.0,
        blur_pixels=0.0,
        corner_pixels=width,
        contrast=contrast,
    )
    return found, told


def _darkness(levels: Levels, inside: Mask) -> Levels:
    """Give how much darker every place is than the paper round it."""
    import cv2

    zoom = min(1.0, (_SMALL_PIXELS / levels.size) ** 0.5)
    size = (max(8, round(levels.shape[1] * zoom)), max(8, round(levels.shape[0] * zoom)))
    filled = np.where(inside, levels, np.float32(np.median(levels[inside])))
    small = cv2.resize(filled, size, interpolation=cv2.INTER_AREA)
    reach = max(_LEAST_PAPER_PIXELS, int(_PAPER_SHARE * min(size))) | 1
    around = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach))
    light = cv2.morphologyEx(cv2.GaussianBlur(small, (0, 0), 1.5), cv2.MORPH_CLOSE, around)
    light = cv2.GaussianBlur(light, (0, 0), reach / 4.0)
    paper = cv2.resize(light, (levels.shape[1], levels.shape[0]), interpolation=cv2.INTER_LINEAR)
    dark = paper - filled
    return np.asarray(dark - np.float32(np.median(dark[inside])), dtype=np.float32)


def _reached(faint: Mask, sure: Mask) -> Mask:
    """Keep of the faint places those that hang together with sure ones, and are long."""
    import cv2

    count, pieces, figures, _ = cv2.connectedComponentsWithStats(faint.astype(np.uint8))
    has_sure = np.bincount(pieces[sure], minlength=count) > 0
    long_ = np.hypot(figures[:, cv2.CC_STAT_WIDTH], figures[:, cv2.CC_STAT_HEIGHT])
    keep = has_sure & (long_ > _LEAST_LINE_PIXELS)
    keep[0] = False
    return np.asarray(keep[pieces])


def _width(ink: Mask) -> float:
    """Find the usual width of the lines: four times the mean depth of their ink."""
    import cv2

    depth = cv2.distanceTransform(np.pad(ink.astype(np.uint8), 1), cv2.DIST_L2, 5)[1:-1, 1:-1]
    ridge = depth[(depth >= cv2.dilate(depth, np.ones((3, 3), np.uint8)) - 1e-6) & (depth > 0.0)]
    return float(max(2.0, 2.0 * np.median(ridge) if ridge.size else 2.0))


def _bridged(ink: Mask, width: float) -> Mask:
    """Close small gaps, and keep only lines of some length."""
    import cv2

    reach = max(3, round(_GAP_WIDTHS * width)) | 1
    round_ = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (reach, reach))
    padded = np.pad(ink.astype(np.uint8), reach)
    whole = cv2.morphologyEx(padded, cv2.MORPH_CLOSE, round_)
    return np.asarray(whole[reach:-reach, reach:-reach] > 0)


def _has_hole(tree: NDArray[np.int32], index: int) -> bool:
    return bool(tree[index][2] >= 0)


def _open_line(line: NDArray[np.int32], width: float) -> TraceError:
    (left, top), (right, bottom) = line[:, 0].min(axis=0), line[:, 0].max(axis=0)
    what = (
        f"the outermost line, between pixels {left}, {top} and {right}, {bottom}, does not close "
        f"(gaps of up to {_GAP_WIDTHS * width:.0f} pixels would)"
    )
    return TraceError(line_drawing_rules.open_line, what, remedy="close the line with the pen")


def _refuse_solid(line: NDArray[np.int32], width: float) -> None:
    smaller = float(np.ptp(line[:, 0], axis=0).min())
    if width > _MOST_WIDTH * smaller:
        what = f"the lines are {width:.0f} pixels wide in a drawing of {smaller:.0f}"
        remedy = "leave --sketch out for a part; for a drawing fill nothing in"
        raise TraceError(line_drawing_rules.no_line_drawing, what, remedy=remedy)


def _refuse_one_sided(levels: Levels, rim: Edge, *, width: float, contrast: float) -> None:
    """Refuse a line with paper on one side alone: it is the edge of a part."""
    reach = 1.2 * width + 3.0
    outer, inner = (
        float(np.median(sample(levels, rim.points + sign * reach * rim.outward)))
        for sign in (1.0, -1.0)
    )
    if abs(outer - inner) > 0.5 * contrast:
        what = f"the picture is {abs(outer - inner):.0f} grey levels darker on one side of the line"
        remedy = "leave --sketch out for a part; for a drawing fill nothing in"
        raise TraceError(line_drawing_rules.no_line_drawing, what, remedy=remedy)


def _refuse_near_rim(line: NDArray[np.int32], inside: Mask) -> None:
    import cv2

    core = cv2.erode(np.pad(inside.astype(np.uint8), 1), np.ones((7, 7), np.uint8))[1:-1, 1:-1]
    spots = line[:, 0]
    if (core[spots[:, 1], spots[:, 0]] == 0).sum() > 3:
        what = "the outermost line reaches the rim of the picture, so it may be cut off"
        remedy = "have the whole drawing in the picture, with paper all round"
        raise TraceError(part_rules.part_cut_off, what, remedy=remedy)


def _middle_of(
    line: NDArray[np.int32], dark: Levels, *, width: float, is_hole: bool
) -> Edge | None:
    """Go along the outer edge of a line and find its middle from there."""
    spots = line[:, 0].astype(np.float64)
    if len(spots) < 12:
        return None
    reach = max(3, int(width / 2.0))
    way = np.roll(spots, -reach, axis=0) - np.roll(spots, reach, axis=0)
    far = np.hypot(way[:, 0], way[:, 1])
    sign = 1.0 if signed_area(spots) > 0.0 else -1.0
    inward = sign * np.stack((-way[:, 1], way[:, 0]), axis=1) / np.maximum(far, 1e-9)[:, None]
    offsets = np.arange(-0.75 * width - 1.0, 1.75 * width + 1.0, _STEP)
    places = spots[:, None] + offsets[None, :, None] * inward[:, None]
    read = np.maximum(sample(dark, places).astype(np.float64), 0.0)
    read[read < 0.25 * read.max(axis=1, keepdims=True)] = 0.0
    for _ in range(2):  # only the stroke itself, not the next one
        middle = (read * offsets).sum(axis=1) / np.maximum(read.sum(axis=1), 1e-9)
        read[np.abs(offsets[None] - middle[:, None]) > 0.9 * width] = 0.0
    good = (far > 1e-6) & (read.sum(axis=1) * _STEP > 0.1 * width * LEAST_DARKNESS)
    if good.sum() < max(12, 0.5 * len(good)):
        return None
    points = (spots + middle[:, None] * inward)[good]
    outward = (inward if is_hole else -inward)[good]
    return Edge(points=points, outward=outward, is_hole=is_hole)
