"""Four straight sides of a sheet or card in a picture, to a fraction of a pixel.

A piece that stands out from what it lies on is found in a small copy of the picture; along each of
its sides the steepest step of brightness is then found in the picture itself, line by line, and a
straight line is laid through the steps so that bent ends and stray steps hardly count [HUBER].
Corners are where the lines cross: rounded and dog-eared ones do no harm.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.trace.picture_file import Levels

Points = NDArray[np.float64]
"""(n, 2): column and row in pixels."""

_COARSE_PIXELS = 500_000
_CUTS = 14
"""Levels at which pieces are looked for."""
_LEAST_AREA, _MOST_AREA = 0.004, 0.97
"""Of the picture, that a piece covers."""
_LEAST_FILL = 0.93
"""Of its four-cornered hull, that a piece covers with its holes."""
_PROBES = 240
"""Places along a side."""
_REACH_SHARE = 0.02
"""How far to both sides the step is looked for, over the length of the shorter side."""
_LEAST_STEPS = 0.5
"""Share of the places along a side at which a step must be seen."""
_SMOOTH_PIXELS = 1.0
_HUBER = 1.5
"""Of the scatter: steps farther off than this count less and less."""
_ROUNDS = 30
_REFINED = 2
_ROUGH_SHARE = 0.08
"""Of a piece's size, that its rough corners may be off."""


class Quadrilateral(Record):
    """Four sides of a piece."""

    corners: Points
    """(4, 2) anticlockwise as the picture is seen, where the sides cross."""
    bow_pixels: float
    """How far the steps lie from the straight sides, rms of the worst side."""
    sides: tuple[Points, ...]
    """Places along each side, from one corner to the next."""
    fill: float
    """Share of the four-cornered hull that the piece covers; rounded corners take some."""


def four_sided(levels: Levels, *, skip_share: float) -> Iterator[Quadrilateral]:
    """Find four-sided pieces in a picture, the largest first.

    Parameters
    ----------
    levels
        The picture.
    skip_share
        Of every side, left out at both ends, where corners are rounded or bent.

    Yields
    ------
    Quadrilateral
        Only pieces of which all four sides are seen.
    """
    seen: list[Points] = []
    for rough, fill in sorted(_pieces(levels), key=lambda one: -_area(one[0])):
        corners = rough
        for _ in range(_REFINED):
            found = _sided(levels, corners, skip_share=skip_share, fill=fill)
            if found is None:
                break
            corners = found.corners
        if found is None or not _is_alike(found.corners, rough, share=_ROUGH_SHARE):
            continue
        if not any(_is_alike(found.corners, one) for one in seen):
            seen.append(found.corners)
            yield found


def _sided(
    levels: Levels, corners: Points, *, skip_share: float, fill: float
) -> Quadrilateral | None:
    """Lay lines along the four sides near some corners, and give where they cross."""
    reach = _reach(corners)
    sides = [_side(levels, corners[i], corners[(i + 1) % 4], skip_share, reach) for i in range(4)]
    lines = [side for side in sides if side is not None]
    if len(lines) < 4:
        return None
    crossed = [_crossing(lines[i - 1][0], lines[i][0]) for i in range(4)]
    if any(one is None for one in crossed):
        return None
    return Quadrilateral(
        corners=np.array(crossed, dtype=float),
        bow_pixels=max(bow for _, bow, _ in lines),
        sides=tuple(spots for _, _, spots in lines),
        fill=fill,
    )


def _area(corners: Points) -> float:
    x, y = corners.T
    return 0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))


def _reach(corners: Points) -> float:
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    return max(5.0, _REACH_SHARE * float(sides.min()))


def _is_alike(one: Points, two: Points, *, share: float = 0.04) -> bool:
    """Tell whether two sets of corners are the same piece."""
    near = share * _area(two) ** 0.5
    gaps = np.hypot(*(one[:, None] - two[None]).transpose(2, 0, 1))
    return bool(gaps.min(axis=1).max() < near)


def _pieces(levels: Levels) -> Iterator[tuple[Points, float]]:
    """Find pieces by their brightness alone; give rough corners and how far they are filled."""
    import cv2

    zoom = min(1.0, (_COARSE_PIXELS / levels.size) ** 0.5)
    size = (max(8, round(levels.shape[1] * zoom)), max(8, round(levels.shape[0] * zoom)))
    small = cv2.resize(levels, size, interpolation=cv2.INTER_AREA)
    small = cv2.GaussianBlur(small, (0, 0), 1.2)
    whole = float(small.size)
    for cut in np.unique(np.percentile(small, np.linspace(4.0, 96.0, _CUTS))):
        for mask in (small > cut, small < cut):
            shapes, _ = cv2.findContours(
                mask.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE
            )
            for shape in shapes:
                area = cv2.contourArea(shape)
                if not _LEAST_AREA * whole < area < _MOST_AREA * whole:
                    continue
                hull = cv2.convexHull(shape)
                if len(hull) < 4 or area < 0.9 * cv2.contourArea(hull):
                    continue
                left, top, width, height = cv2.boundingRect(hull)
                right, bottom = left + width, top + height
                if min(left, top) < 1 or right > size[0] - 1 or bottom > size[1] - 1:
                    continue
                four = cv2.approxPolyN(hull, 4).reshape(-1, 2).astype(float)
                fill = area / max(_area(four), 1.0)
                if len(four) == 4 and fill > _LEAST_FILL:
                    back = np.array((levels.shape[1] / size[0], levels.shape[0] / size[1]))
                    yield _anticlockwise((four + 0.5) * back - 0.5), float(fill)


def _anticlockwise(corners: Points) -> Points:
    """Order corners anticlockwise as the picture is seen: rows run downwards."""
    x, y = corners.T
    turns = np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))
    return corners if turns < 0.0 else corners[::-1]


def _side(
    levels: Levels, begin: Points, end: Points, skip_share: float, reach: float
) -> tuple[tuple[Points, Points], float, Points] | None:
    """Lay a line along the steps of one side; None when too few are seen."""
    import cv2

    way = end - begin
    along = way / np.hypot(*way)
    across = np.array((along[1], -along[0]))
    shares = np.linspace(skip_share, 1.0 - skip_share, _PROBES)
    offsets = np.arange(-reach, reach + 0.25, 0.5)
    places = begin + shares[:, None, None] * way + offsets[None, :, None] * across
    grid = places.astype(np.float32)
    read = cv2.remap(
        levels, grid[..., 0], grid[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    step = cv2.GaussianBlur(read, (0, 0), sigmaX=2.0 * _SMOOTH_PIXELS, sigmaY=1.5)
    slope = np.gradient(step, axis=1).astype(float)
    if np.median(step[:, 0]) > np.median(step[:, -1]):
        slope = -slope
    best = slope[:, 1:-1].argmax(axis=1) + 1
    rows = np.arange(len(best))
    left, middle, right = (slope[rows, best + shift] for shift in (-1, 0, 1))
    bend = np.minimum(left - 2.0 * middle + right, -1e-9)
    fine = offsets[best] + 0.5 * np.clip((left - right) / (2.0 * bend), -1.0, 1.0)
    strong = middle > max(0.35 * float(np.median(middle)), 0.25)
    strong &= (best > 1) & (best < len(offsets) - 2)
    if strong.mean() < _LEAST_STEPS:
        return None
    spots = begin + shares[strong, None] * way + fine[strong, None] * across
    return _straight(spots, along, across)


def _straight(
    spots: Points, along: Points, across: Points
) -> tuple[tuple[Points, Points], float, Points] | None:
    """Fit a line that outliers hardly move; give it, the rms about it, and the places near it."""
    middle = spots.mean(axis=0)
    far, off = (spots - middle) @ along, (spots - middle) @ across
    terms = np.column_stack((np.ones(len(far)), far))
    weights = np.ones(len(far))
    factors = np.array((float(np.median(off)), 0.0))
    for turn in range(_ROUNDS):
        if turn:
            root = np.sqrt(weights)
            factors = np.linalg.lstsq(terms * root[:, None], off * root, rcond=None)[0]
        rest = off - terms @ factors
        scatter = max(1.4826 * float(np.median(np.abs(rest))), 0.05)
        weights = 1.0 / np.maximum(1.0, np.abs(rest) / (_HUBER * scatter)) ** 2
    near = np.abs(rest) < 4.0 * scatter
    if near.mean() < _LEAST_STEPS:
        return None
    bow = float(np.sqrt(np.mean(rest[near] ** 2)))
    way = along + factors[1] * across
    return (middle + factors[0] * across, way / np.hypot(*way)), bow, spots[near]


def _crossing(one: tuple[Points, Points], two: tuple[Points, Points]) -> Points | None:
    (ax, ay), (bx, by) = one[1], two[1]
    cross = ax * by - ay * bx
    if abs(cross) < 0.05:
        return None
    gap = two[0] - one[0]
    return np.asarray(one[0] + one[1] * ((gap[0] * by - gap[1] * bx) / cross))
