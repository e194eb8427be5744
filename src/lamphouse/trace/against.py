"""A traced part laid over the outline it should have, and how far it is off.

The part is turned and shifted, never stretched or mirrored, until its edge lies on the outline as
well as it can, in least squares of the distance; what remains is the deviation.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.shapes import measure
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.outline import Corners, circle_of
from lamphouse.trace import part_rules
from lamphouse.trace.overlay import encoded, window
from lamphouse.trace.picture_file import Picture
from lamphouse.trace.refused import TraceError
from lamphouse.trace.scales import Scale
from lamphouse.trace.traced import Deviation, TracedPart, deviation, in_pixels

Points = NDArray[np.float64]

_PITCH_MM = 0.05
_STARTS = 24
_ROUNDS = 40
_SAME_HOLE_MM = 1.0
"""A hole counts as the same one when its centre is no farther off."""
_LEAST_SHARE = 0.5
"""Sizes that differ by more than this factor are different parts."""


class HoleOff(Record):
    """A hole of the part against the one it should be."""

    x_mm: float
    """Where it should be."""
    y_mm: float
    right_mm: float
    """How far the part's hole lies to the right of it."""
    up_mm: float
    larger_mm: float | None
    """How much larger its diameter is; None when either is not round."""


class Comparison(Record):
    """A part against its outline."""

    deviation: Deviation
    """Of the outer edge."""
    worst_mm: tuple[float, float]
    """Where the largest deviation is, on the outline's plane."""
    holes: tuple[HoleOff, ...]
    missing: int
    """Holes that the part has not."""
    extra: int
    """Holes that only the part has."""
    off_mm: NDArray[np.float64]
    """(n,) signed, at every point of the part's edge: positive where there is too much material."""


def compare(part: TracedPart, *, outline: Corners, holes: Sequence[Corners]) -> Comparison:
    """Lay a traced part over an outline.

    Parameters
    ----------
    part
        As traced.
    outline, holes
        What it should be, anticlockwise.

    Raises
    ------
    TraceError
        If their sizes have nothing in common.
    """
    area, wanted = measure.area_mm2(part.corners), measure.area_mm2(outline)
    if not _LEAST_SHARE < area / wanted < 1.0 / _LEAST_SHARE:
        what = f"the part covers {area:.0f} mm2 and the outline {wanted:.0f} mm2"
        remedy = "compare a part with its own outline, or trace it again"
        raise TraceError(part_rules.another_part, what, remedy=remedy)
    rim, outward = _dense(outline)
    centres = np.array([measure.centroid_mm(hole) for hole in holes]).reshape(-1, 2)
    ours = np.array([hole.middle_mm for hole in part.holes]).reshape(-1, 2)
    edge = part.edges_mm[0]
    turn, shift = _laid(edge, rim, outward, pairs=(ours, centres))
    placed = edge @ turn + shift
    off = _signed(placed, rim, outward)
    worst = placed[int(np.abs(off).argmax())]
    matched, taken = [], set()
    for number, spot in enumerate(centres):
        gaps = np.hypot(*(ours @ turn + shift - spot).T) if len(ours) else np.array([np.inf])
        near = int(gaps.argmin())
        if gaps[near] > _SAME_HOLE_MM or near in taken:
            continue
        taken.add(near)
        right, up = ours[near] @ turn + shift - spot
        should, is_ = circle_of(holes[number]), part.holes[near].round
        larger = is_.measured_mm - should.diameter_mm if should and is_ else None
        matched.append(
            HoleOff(
                x_mm=float(spot[0]),
                y_mm=float(spot[1]),
                right_mm=float(right),
                up_mm=float(up),
                larger_mm=larger,
            )
        )
    return Comparison(
        deviation=deviation(off),
        worst_mm=(float(worst[0]), float(worst[1])),
        holes=tuple(matched),
        missing=len(centres) - len(matched),
        extra=len(ours) - len(taken),
        off_mm=off,
    )


def off_outline(points: Points, *, outline: Corners) -> NDArray[np.float64]:
    """Measure places against an outline where both lie: positive outside it. [mm]."""
    return _signed(points, *_dense(outline))


def _dense(outline: Corners) -> tuple[Points, Points]:
    """Give places close together along an outline, with the way out of the part at each."""
    flat = np.array(flatten(outline, error_mm=_PITCH_MM / 100.0))
    ends = np.roll(flat, -1, axis=0)
    spots, ways = [], []
    for start, end in zip(flat, ends, strict=True):
        length = float(np.hypot(*(end - start)))
        if length == 0.0:
            continue
        count = max(1, int(np.ceil(length / _PITCH_MM)))
        share = ((np.arange(count) + 0.5) / count)[:, None]
        spots.append(start + share * (end - start))
        along = (end - start) / length
        ways.append(np.tile((along[1], -along[0]), (count, 1)))
    return np.concatenate(spots), np.concatenate(ways)


def _signed(points: Points, rim: Points, outward: Points) -> NDArray[np.float64]:
    """Measure points against an outline, positive outside.

    Beside a corner the nearest place may look another way; there the distance itself counts.
    """
    from scipy.spatial import cKDTree

    far, near = cKDTree(rim).query(points)
    across = ((points - rim[near]) * outward[near]).sum(axis=1)
    along = np.sqrt(np.maximum(far**2 - across**2, 0.0))
    past_a_corner = along > _PITCH_MM
    return np.asarray(np.where(past_a_corner, np.sign(across) * far, across))


def _laid(
    edge: Points, rim: Points, outward: Points, *, pairs: tuple[Points, Points]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Find the turn and shift that lay an edge on an outline best, from starts all round."""
    from scipy.spatial import cKDTree

    tree = cKDTree(rim)
    some = edge[:: max(1, len(edge) // 1500)]
    best: tuple[float, NDArray[np.float64], NDArray[np.float64]] | None = None
    for start in range(_STARTS):
        turn = _turn(2.0 * np.pi * start / _STARTS)
        shift = rim.mean(axis=0) - (some @ turn).mean(axis=0)
        for _ in range(_ROUNDS):
            placed = some @ turn + shift
            _, near = tree.query(placed)
            normal, middle = outward[near], placed.mean(axis=0)
            off = ((placed - rim[near]) * normal).sum(axis=1)
            arm = placed - middle
            spin = normal[:, 1] * arm[:, 0] - normal[:, 0] * arm[:, 1]
            step = np.linalg.lstsq(np.column_stack((normal, spin)), -off, rcond=None)[0]
            change = _turn(step[2])
            turn, shift = turn @ change, (shift - middle) @ change + middle + step[:2]
            if np.abs(step).max() < 1e-7:
                break
        far, _ = tree.query(some @ turn + shift)
        score = float(np.sqrt(np.mean(far**2))) + 0.1 * _hole_misfit(pairs, turn, shift)
        if best is None or score < best[0]:
            best = (score, turn, shift)
    if best is None:  # there is always a start
        raise AssertionError
    return best[1], best[2]


def _hole_misfit(
    pairs: tuple[Points, Points], turn: NDArray[np.float64], shift: NDArray[np.float64]
) -> float:
    """Tell alike ways to lie apart by where the holes come to lie; never more than 1 mm."""
    ours, theirs = pairs
    if not len(ours) or not len(theirs):
        return 0.0
    gaps = np.hypot(*((ours @ turn + shift)[:, None] - theirs[None]).transpose(2, 0, 1))
    return float(np.minimum(gaps.min(axis=1), _SAME_HOLE_MM).mean())


def _turn(angle: float) -> NDArray[np.float64]:
    """Give the matrix that turns rows of places anticlockwise."""
    cosine, sine = np.cos(angle), np.sin(angle)
    return np.array(((cosine, sine), (-sine, cosine)))


def deviation_map(
    picture: Picture, part: TracedPart, scale: Scale, *, comparison: Comparison
) -> bytes:
    """Draw the part's edge over its picture, coloured by how far it is off.

    Returns
    -------
    bytes
        A PNG file: white where the edge is right, red where there is too much material, blue where
        there is too little, full colour from the figure written on it.
    """
    import cv2

    canvas, corner, zoom = window(picture, part, scale)
    canvas = (canvas // 2 + 40).astype(np.uint8)
    full = max(0.05, comparison.deviation.p95_mm)
    spots = (in_pixels(part, scale, part.edges_mm[0]) - corner + 0.5) * zoom - 0.5
    for (column, row), off in zip(spots, comparison.off_mm, strict=True):
        pale = int(255 * (1.0 - min(1.0, abs(off) / full)))
        colour = (pale, pale, 255) if off > 0.0 else (255, pale, pale)
        cv2.circle(canvas, (round(column), round(row)), 2, colour, -1, cv2.LINE_AA)
    size = max(canvas.shape) / 1600.0
    words = f"red {full:.2f} mm too much, blue {full:.2f} mm too little"
    where = (int(12 * size), canvas.shape[0] - int(14 * size))
    cv2.putText(canvas, words, where, cv2.FONT_HERSHEY_SIMPLEX, 0.9 * size, (255, 255, 255), 1)
    return encoded(canvas)
