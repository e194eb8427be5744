"""Edges to a fraction of a pixel: where the brightness passes the local half level."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.trace import part_rules
from lamphouse.trace.half_level import OTHER_GROUND, Ground
from lamphouse.trace.refused import TraceError

Points = NDArray[np.float64]
"""(n, 2): column and row in pixels, the middle of the upper left pixel at 0, 0."""

_SMOOTH_PIXELS = 0.8
_REACH_PIXELS = 2.5
_STEP_PIXELS = 0.25
_PROBE_PIXELS = 0.75
_NEAR_BLURS, _FAR_BLURS = 2.5, 5.0
"""Part and ground are read this many blurs away from an edge."""
_ALONG = 15
"""Points along an edge over which the two levels are averaged."""
_ROUNDS = 3
_CORNER_BLURS = 2.0
_OTHER_SHARE = 0.02
"""Of the part's area: smaller pieces are dirt."""
_LARGE_BLURS = 12.0
_SMALL_BLURS = 7.0
"""In a hole of fewer blurs across, the ground is found from its depth."""
_SEEN_LEVEL, _SHADED_LEVEL = 0.2, 0.5
"""Edges are first sought this share of the half span nearer to the part than the half level, so
that a small hole in deep shadow is seen; the second where the shadow of a dark part would be taken
for part of it. They are then moved to the half level."""
_DEEP_LEVEL, _SHADED_DEEP = 0.1, 0.3
"""A hole goes down at least to this share of the half span over the half level."""


class Edge(Record):
    """One closed edge."""

    points: Points
    outward: NDArray[np.float64]
    """(n, 2): unit vectors across the edge, from part to ground."""
    is_hole: bool
    shows_ground: bool = True
    """False for a hole that shows its wall alone."""


class PartEdges(Record):
    """The edges of the largest part in the region."""

    outer: Edge
    holes: tuple[Edge, ...]
    others: int
    """Further pieces that were left out."""
    twin_share: float
    """What the second largest piece covers, over what the largest does."""
    blur_pixels: float
    """Standard deviation of the picture's blur."""
    corner_pixels: float
    """How far from a corner its edges are rounded."""
    contrast: float
    """Median difference between part and ground, in grey levels."""


def part_edges(ground: Ground, *, least_hole_pixels: float) -> PartEdges:
    """Follow the edges of the largest part and of its holes.

    Parameters
    ----------
    ground
        Part and ground told apart.
    least_hole_pixels
        Diameter of the smallest hole to keep, in pixels.

    Raises
    ------
    TraceError
        If the part is cut off by the rim of the region.
    """
    import cv2

    seen_level = _SHADED_LEVEL if ground.is_shaded else _SEEN_LEVEL
    over_seen = ground.over_half - seen_level * ground.half_span
    smooth = cv2.GaussianBlur(over_seen, (0, 0), _SMOOTH_PIXELS)
    mask = ((smooth > 0.0) & ground.inside).astype(np.uint8)
    lines, tree = cv2.findContours(mask, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    if tree is None or not lines:
        what = "no part was found"
        raise TraceError(part_rules.no_part, what, remedy=OTHER_GROUND)
    areas = [cv2.contourArea(line) for line in lines]
    outer = max((i for i, node in enumerate(tree[0]) if node[3] < 0), key=lambda i: areas[i])
    _refuse_cut_off(lines[outer], ground)
    least_area = np.pi / 4.0 * least_hole_pixels**2
    gradient = (
        cv2.Sobel(smooth, cv2.CV_32F, 1, 0, ksize=3),
        cv2.Sobel(smooth, cv2.CV_32F, 0, 1, ksize=3),
    )
    holes = []
    for index, node in enumerate(tree[0]):
        # the line of a hole runs on the part's pixels, so its area is that of a larger circle
        if node[3] != outer or areas[index] < least_area:
            continue
        if not _is_deep(lines[index], smooth, ground):
            continue
        edge = refined(lines[index], over_seen, gradient, is_hole=True)
        if edge is not None:
            holes.append(edge)
    rim = refined(lines[outer], over_seen, gradient, is_hole=False)
    if rim is None or abs(signed_area(rim.points)) < 4.0 * least_area:
        what = "the part is only a few pixels large"
        remedy = "come nearer, or scan at a higher resolution"
        raise TraceError(part_rules.too_small_a_part, what, remedy=remedy)
    further = [
        areas[i] / areas[outer] for i, node in enumerate(tree[0]) if node[3] < 0 and i != outer
    ]
    blur = blur_pixels(rim, ground)
    return PartEdges(
        outer=at_local_level(rim, ground, blur=blur),
        holes=tuple(at_local_level(hole, ground, blur=blur) for hole in holes),
        others=sum(share > _OTHER_SHARE for share in further),
        twin_share=max(further, default=0.0),
        blur_pixels=blur,
        corner_pixels=_CORNER_BLURS * blur,
        contrast=ground.contrast,
    )


def signed_area(points: Points) -> float:
    """Give the area within closed points, by the sense they run in."""
    x, y = points[:, 0], points[:, 1]
    return 0.5 * float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


def _refuse_cut_off(line: NDArray[np.int32], ground: Ground) -> None:
    import cv2

    room = np.pad(ground.inside.astype(np.uint8), 1)
    core = cv2.erode(room, np.ones((7, 7), np.uint8))[1:-1, 1:-1]
    spots = line[:, 0]
    outside = core[spots[:, 1], spots[:, 0]] == 0
    if outside.mean() > 0.002 and outside.sum() > 3:
        what = "the part reaches the rim of the place it should lie in, so it may be cut off"
        remedy = "lay the whole part well inside, with ground all round"
        raise TraceError(part_rules.part_cut_off, what, remedy=remedy)


def _is_deep(line: NDArray[np.int32], smooth: NDArray[np.float32], ground: Ground) -> bool:
    """Tell whether a hole shows the ground, and is no scratch or grain."""
    left, top = line[:, 0].min(axis=0)
    right, bottom = line[:, 0].max(axis=0) + 1
    lowest = float(smooth[top:bottom, left:right].min())
    levels = (_SHADED_LEVEL, _SHADED_DEEP) if ground.is_shaded else (_SEEN_LEVEL, _DEEP_LEVEL)
    deep = levels[0] - levels[1]
    return lowest < -deep * float(ground.half_span[top, left])


def refined(
    line: NDArray[np.int32],
    over_seen: NDArray[np.float32],
    gradient: tuple[NDArray[np.float32], NDArray[np.float32]],
    *,
    is_hole: bool,
) -> Edge | None:
    """Move every point of a line of pixels across the edge to where the level is passed."""
    spots = line[:, 0].astype(np.float32)
    if len(spots) < 4:
        return None
    across = -np.stack([sample(one, spots) for one in gradient], axis=1)
    length = np.hypot(across[:, 0], across[:, 1])
    across /= np.maximum(length, 1e-9)[:, None]
    offsets = np.arange(-_REACH_PIXELS, _REACH_PIXELS + 1e-9, _STEP_PIXELS)
    places = spots[:, None, :] + offsets[None, :, None] * across[:, None, :]
    shift, good = _crossing(sample(over_seen, places), offsets)
    good &= length > 1e-6
    if good.sum() < 4:
        return None
    points = spots + shift[:, None] * across
    return Edge(
        points=points[good].astype(np.float64),
        outward=across[good].astype(np.float64),
        is_hole=is_hole,
    )


def blur_pixels(edge: Edge, ground: Ground) -> float:
    """Find the standard deviation of the blur from how steep an edge is."""
    from scipy.special import erfinv

    ahead = edge.points + _PROBE_PIXELS * edge.outward
    behind = edge.points - _PROBE_PIXELS * edge.outward
    drop = sample(ground.over_half, behind) - sample(ground.over_half, ahead)
    share = np.median(drop / (2.0 * np.maximum(sample(ground.half_span, ahead), 1.0)))
    return float(_PROBE_PIXELS / (np.sqrt(2.0) * erfinv(np.clip(share, 0.05, 0.95))))


def at_local_level(edge: Edge, ground: Ground, *, blur: float) -> Edge:
    """Move an edge to the half level of what lies just inside and just outside of it.

    A shadow darkens the ground next to the part, and most of all the ground in a hole. In a small
    hole blur hides the ground; it follows from the depth at the middle, for a disc of radius r
    under a Gaussian of standard deviation s comes to ``1 - exp(-r^2 / (2 s^2))`` of its depth.

    Parameters
    ----------
    edge
        As found.
    ground
        Part and ground told apart.
    blur
        Standard deviation of the picture's blur, in pixels.
    """
    radius = float(np.sqrt(abs(signed_area(edge.points)) / np.pi))
    if not (edge.is_hole and 2.0 * radius < _SMALL_BLURS * blur):
        return _moved(edge, ground, blur=blur, hole_radius=None)
    for _ in range(_ROUNDS):
        radius = float(np.sqrt(abs(signed_area(edge.points)) / np.pi))
        edge = _moved(edge, ground, blur=blur, hole_radius=true_radius(radius, blur))
    return edge


def true_radius(radius: float, blur: float) -> float:
    """Find the radius of a disc from that of its half level after a Gaussian blur.

    At a distance a from its middle the blurred disc has the value of the noncentral chi-square
    distribution of two degrees of freedom and noncentrality ``(a / s)^2`` at ``(r / s)^2``; the
    half level lies where that is the median. The correction is ``s^2 / (2 a)`` for a large disc.

    Parameters
    ----------
    radius
        Of the half level.
    blur
        Standard deviation s of the blur, in the same unit.
    """
    from scipy.special import chndtrix

    if radius > _LARGE_BLURS * blur:
        return radius + blur**2 / (2.0 * radius)
    return float(blur * np.sqrt(chndtrix(0.5, 2.0, (radius / blur) ** 2)))


def _moved(edge: Edge, ground: Ground, *, blur: float, hole_radius: float | None) -> Edge:
    """Move an edge to its own half level; ``hole_radius`` is that of a small hole."""
    steps = np.linspace(_NEAR_BLURS * blur, _FAR_BLURS * blur, 5)
    part = np.median(_beside(edge, ground, -steps), axis=1)
    if hole_radius is not None:
        part = np.full(len(edge.points), np.median(part))
        level = float(part[0])
        half = _small_hole_level(edge, ground, part_level=level, blur=blur, radius=hole_radius)
    else:
        bare = np.median(_beside(edge, ground, steps), axis=1)
        half = _averaged((part + bare) / 2.0)
    # the half level must stay between what is surely part and surely ground
    span = sample(ground.half_span, edge.points)
    half = np.clip(half, -0.6 * span, 0.6 * span)
    offsets = np.arange(-_REACH_PIXELS, _REACH_PIXELS + 1e-9, _STEP_PIXELS)
    shift, good = _crossing(_beside(edge, ground, offsets) - half[:, None], offsets)
    if good.sum() < 4:
        return edge
    return Edge(
        points=(edge.points + shift[:, None] * edge.outward)[good],
        outward=edge.outward[good],
        is_hole=edge.is_hole,
    )


def _beside(edge: Edge, ground: Ground, offsets: NDArray[np.float64]) -> NDArray[np.float64]:
    """Read the picture across an edge; give (points, offsets)."""
    places = edge.points[:, None, :] + offsets[None, :, None] * edge.outward[:, None, :]
    return sample(ground.over_half, places).astype(np.float64)


def _small_hole_level(
    edge: Edge, ground: Ground, *, part_level: float, blur: float, radius: float
) -> NDArray[np.float64]:
    middle = edge.points.mean(axis=0)
    around = np.array([(x, y) for x in (-0.5, 0.0, 0.5) for y in (-0.5, 0.0, 0.5)])
    lowest = float(sample(ground.over_half, middle + around).mean())
    reached = 1.0 - np.exp(-((radius / blur) ** 2) / 2.0)
    bare = part_level - (part_level - lowest) / reached
    return np.full(len(edge.points), (part_level + bare) / 2.0)


def _averaged(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Average along a closed edge."""
    reach = min(_ALONG, (len(values) - 1) // 2)
    ring = np.concatenate((values[-reach:], values, values[:reach])) if reach else values
    return np.convolve(ring, np.ones(2 * reach + 1) / (2 * reach + 1), mode="valid")


def _crossing(
    values: NDArray[np.floating], offsets: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Find where each row of values falls through 0, nearest to offset 0; and whether it does."""
    falls = (values[:, :-1] > 0.0) & (values[:, 1:] <= 0.0)
    distance = np.where(falls, np.abs(offsets[:-1] + _STEP_PIXELS / 2.0), np.inf)
    best = distance.argmin(axis=1)
    rows = np.arange(len(values))
    good = np.isfinite(distance[rows, best])
    before, after = values[rows, best], values[rows, best + 1]
    share = before / np.where(good, before - after, 1.0)
    return offsets[best] + _STEP_PIXELS * share, good


def sample(levels: NDArray[np.float32], places: NDArray[np.floating]) -> NDArray[np.float32]:
    """Read brightness between pixels, by cubic interpolation.

    Parameters
    ----------
    levels
        The picture.
    places
        (..., 2): column and row.
    """
    import cv2

    flat = places.reshape(-1, 2).astype(np.float32)
    wide = 16384  # the library maps no more in one row than 32767
    count = len(flat)
    padded = np.zeros((-(-count // wide) * wide, 2), dtype=np.float32)
    padded[:count] = flat
    grid = padded.reshape(-1, wide, 2)
    read = cv2.remap(
        levels, grid[..., 0], grid[..., 1], cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(read.ravel()[:count].reshape(places.shape[:-1]), dtype=np.float32)
