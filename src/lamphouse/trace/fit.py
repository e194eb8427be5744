"""Edges as lines and arcs within a stated error.

A line is fitted by its scatter, an arc by the circle of least squares [KASA], then again by
distance. Neighbours meet where they cross, so that corners stay sharp although blur rounds them in
the picture; an arc that runs into a line smoothly is fitted so that it touches the line.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.shapes.outline import Corners, bulge_through
from lamphouse.trace.edge_pieces import (
    ARC_PRICE,
    LARGEST_RADIUS,
    LINE_PRICE,
    MOST_KNOTS,
    Points,
    best_cut,
)
from lamphouse.trace.joints import (
    LEAST_PIECE_MM,
    Circle,
    Curve,
    Line,
    crossings,
    joint_of,
    nearest,
    off_mm,
)

_ROUNDS = 3
"""Pieces and joints are found from one another this many times."""
_LONGEST_ARC = 1.6
"""Over the length of the run it was fitted to."""
_SMOOTH_DEG = 25.0
"""An arc that meets a line at a smaller angle may touch it: where such a short arc ends is hardly
known, and a joint halfway between the two would draw the line aside."""
_SHARP = 0.4
"""Of two blurs over the tangent of half its angle: how far blur draws in a sharp tip. A strip comes
to half its depth when its half width is 0.674 blurs, for erf(0.674 / 2 ** 0.5) is a half."""
_TOUCHING = 1000.0
"""How much more a touch counts than all points together."""


class Fitted(Record):
    """An edge as an outline."""

    corners: Corners
    off_mm: NDArray[np.float64]
    """(n,) signed distance of every point of the edge from the outline, positive to the left."""


def fit_circle(
    points: Points, *, beside: Sequence[Line] = ()
) -> tuple[Circle, NDArray[np.float64]]:
    """Fit a circle by distance.

    Parameters
    ----------
    points
        At least three, not on one line.
    beside
        Up to two lines that the circle touches.

    Returns
    -------
    Circle, array
        The circle, and (n,) how much farther from its centre each point lies than its radius.
    """
    middle = points.mean(axis=0)
    local = points - middle
    squares = (local**2).sum(axis=1)
    terms = np.column_stack((local, np.ones(len(local))))
    a, b, c = np.linalg.lstsq(terms, squares, rcond=None)[0]
    x, y = a / 2.0, b / 2.0
    radius = float(np.sqrt(max(c + x * x + y * y, 0.0)))
    normals = [np.array((-line.along[1], line.along[0])) for line in beside]
    reaches = [
        normal @ (middle - _start(line)) for normal, line in zip(normals, beside, strict=True)
    ]
    signs = [
        np.sign(normal @ (x, y) + reach) for normal, reach in zip(normals, reaches, strict=True)
    ]
    weight = _TOUCHING * len(points) ** 0.5
    for _ in range(8):
        way = local - (x, y)
        far = np.hypot(way[:, 0], way[:, 1])
        far = np.maximum(far, 1e-12)
        off = far - radius
        slopes = np.column_stack((way / far[:, None], np.ones(len(far))))
        for normal, reach, sign in zip(normals, reaches, signs, strict=True):
            apart = sign * (normal @ (x, y) + reach) - radius
            slopes = np.vstack((slopes, weight * np.append(-sign * normal, 1.0)))
            off = np.append(off, weight * apart)
        step = np.linalg.lstsq(slopes, off, rcond=None)[0]
        x, y, radius = x + step[0], y + step[1], radius + step[2]
        if np.abs(step).max() < 1e-9 * max(radius, 1e-3):
            break
    off = np.hypot(*(local - (x, y)).T) - radius
    return Circle(x_mm=float(middle[0] + x), y_mm=float(middle[1] + y), radius_mm=radius), off


def fit_line(points: Points) -> Line:
    """Fit a line by distance, along the way the points run."""
    middle = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points - middle, full_matrices=False)
    along = axes[0] if np.dot(axes[0], points[-1] - points[0]) >= 0.0 else -axes[0]
    return Line(
        x_mm=float(middle[0]), y_mm=float(middle[1]), along=(float(along[0]), float(along[1]))
    )


def fit_outline(points: Points, *, tolerance_mm: float, blur_mm: float) -> Fitted:
    """Fit lines and arcs to a closed edge.

    Parameters
    ----------
    points
        In order, anticlockwise.
    tolerance_mm
        How far the outline may be from the edge.
    blur_mm
        How far from a corner the picture's blur rounds it off; such points are not fitted.

    Returns
    -------
    Fitted
        Its pieces meet at their crossings.
    """
    circle, off = fit_circle(points)
    if np.sqrt(np.mean(off**2)) < tolerance_mm / 4.0:
        left, right = circle.x_mm - circle.radius_mm, circle.x_mm + circle.radius_mm
        return Fitted(corners=((left, circle.y_mm, 1.0), (right, circle.y_mm, 1.0)), off_mm=-off)
    marks, knots = best_cut(points, tolerance_mm=tolerance_mm)
    slack = 4.0 * blur_mm + tolerance_mm + 3.0 * _pitch(points) * len(points) / knots
    for _ in range(_ROUNDS):
        marks = _without_blurred(points, marks, tolerance_mm=tolerance_mm, blur_mm=blur_mm)
        marks = _with_rounded(points, marks, tolerance_mm=tolerance_mm, blur_mm=blur_mm)
        runs, inner = _runs(points, marks, blur_mm)
        free = [_curve(run, tolerance_mm=tolerance_mm) for run in inner]
        curves = [
            _touching(inner[i], free[i], (free[i - 1], free[(i + 1) % len(free)]), tolerance_mm)
            for i in range(len(free))
        ]
        joints = [
            joint_of(
                curves[i - 1],
                curves[i],
                near=points[marks[i]],
                slack=slack,
                sizes=(len(runs[i - 1]), len(runs[i])),
            )
            for i in range(len(curves))
        ]
        reach = 3 * len(points) // knots + 2
        marks = _moved_marks(points, marks, joints, reach)
    corners = _corners(curves, joints, runs)
    if len(corners) < 2 or (len(corners) == 2 and not any(bulge for _, _, bulge in corners)):
        some = points[:: max(1, len(points) // knots)]
        corners = tuple((float(x), float(y), 0.0) for x, y in some)  # too small for pieces
    return Fitted(corners=corners, off_mm=_distances(runs, curves))


def _pitch(points: Points) -> float:
    return float(np.median(np.hypot(*np.diff(points, axis=0).T)))


def _moved_marks(
    points: Points, marks: list[int], joints: list[NDArray[np.float64]], reach: int
) -> list[int]:
    """Put every mark on the point nearest to its joint, when no mark passes another."""
    count = len(points)
    moved = []
    for mark, joint in zip(marks, joints, strict=True):
        near = np.arange(mark - reach, mark + reach + 1) % count
        moved.append(int(near[np.hypot(*(points[near] - joint).T).argmin()]))
    steps = [(b - a) % count for a, b in zip(moved, [*moved[1:], moved[0]], strict=True)]
    is_sound = sum(steps) == count and min(steps) >= 4
    return moved if len(moved) > 1 and is_sound else marks


def _distances(runs: list[Points], curves: list[Curve]) -> NDArray[np.float64]:
    """Measure every point against its own piece and the neighbours, and keep the nearest."""
    found = []
    for index, run in enumerate(runs):
        near = (curves[index], curves[index - 1], curves[(index + 1) % len(curves)])
        every = np.stack([off_mm(run, curve) for curve in near])
        found.append(every[np.abs(every).argmin(axis=0), np.arange(len(run))])
    return np.concatenate(found)


def _run(points: Points, begin: int, end: int) -> Points:
    """Give the points from one mark to the next, round the end of the list if need be."""
    return points[begin:end] if begin < end else np.vstack((points[begin:], points[:end]))


def _runs(points: Points, marks: list[int], blur_mm: float) -> tuple[list[Points], list[Points]]:
    """Give the points from each mark to the next, with and without the ends that blur rounds."""
    runs = [_run(points, a, b) for a, b in zip(marks, [*marks[1:], marks[0]], strict=True)]
    return runs, [_inner(run, blur_mm) for run in runs]


def _without_blurred(
    points: Points, marks: list[int], *, tolerance_mm: float, blur_mm: float
) -> list[int]:
    """Leave out pieces that are but a corner rounded by blur: there the neighbours cross."""
    if len(marks) < 4:
        return marks
    runs, inner = _runs(points, marks, blur_mm)
    for index, run in enumerate(runs):
        if _length(run) > 2.0 * blur_mm:
            continue
        after = (index + 1) % len(runs)
        one, two = (_curve(inner[i], tolerance_mm=tolerance_mm) for i in (index - 1, after))
        for spot in crossings(one, two):
            far = np.hypot(*(points - spot).T)
            if np.hypot(*(run - spot).T).min() < blur_mm:
                kept = [mark for i, mark in enumerate(marks) if i not in (index, after)]
                left = sorted([*kept, int(far.argmin())])
                return _without_blurred(points, left, tolerance_mm=tolerance_mm, blur_mm=blur_mm)
    return marks


def _with_rounded(
    points: Points, marks: list[int], *, tolerance_mm: float, blur_mm: float
) -> list[int]:
    """Add pieces at corners that are rounded by more than blur, though too short to be cut off."""
    if len(marks) < 3:
        return marks
    _, inner = _runs(points, marks, blur_mm)
    curves = [_curve(run, tolerance_mm=tolerance_mm) for run in inner]
    found = []
    for index, mark in enumerate(marks):
        before, after = curves[index - 1], curves[index]
        crossed = crossings(before, after)
        if not (isinstance(before, Line) and isinstance(after, Line) and crossed):
            found.append(mark)
            continue
        gap = float(np.hypot(*(points - crossed[0]).T).min())
        back, ahead = -np.array(before.along), np.array(after.along)
        sine = np.sqrt(max(0.0, (1.0 - back @ ahead) / 2.0))  # of half the angle between the sides
        cosine = np.sqrt(1.0 - sine**2)
        reach = gap * cosine / max(1.0 - sine, 1e-9)
        ends = [crossed[0] + reach * way for way in (back, ahead)]
        blurred = blur_mm * max(1.0, _SHARP * cosine / max(sine, 1e-9))
        if gap > blurred + tolerance_mm:
            found += [int(np.hypot(*(points - end).T).argmin()) for end in ends]
        else:
            found.append(mark)
    steps = [(b - a) % len(points) for a, b in zip(found, [*found[1:], found[0]], strict=True)]
    return found if sum(steps) == len(points) and min(steps) >= 4 else marks


def _inner(run: Points, blur_mm: float) -> Points:
    """Leave out both ends of a run, where blur has rounded a corner."""
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(run, axis=0).T))))
    trim = min(blur_mm, 0.2 * along[-1])
    inner = run[(along >= trim) & (along <= along[-1] - trim)]
    return run if len(inner) < 4 else inner


def _curve(inner: Points, *, tolerance_mm: float) -> Curve:
    """Fit the better of line and circle."""
    line = fit_line(inner)
    off = off_mm(inner, line)
    if len(inner) < 6:
        return line
    circle, away = fit_circle(inner)
    chord = float(np.hypot(*(inner[-1] - inner[0])))
    flat = circle.radius_mm > LARGEST_RADIUS * max(chord, 1e-3)
    gain = _misfit(off) - _misfit(away)
    return circle if not flat and gain > _worth(tolerance_mm) and np.isfinite(away).all() else line


def _fillet(inner: Points, before: Line, after: Line) -> Circle | None:
    """Fit the circle that touches two lines; None when it would not reach as far as the points."""
    crossed = crossings(before, after)
    if not crossed:
        return None
    corner = crossed[0]
    back, ahead = -np.array(before.along), np.array(after.along)
    way = (back + ahead) / np.hypot(*(back + ahead))
    sine, cosine = np.sqrt(1.0 - (back @ way) ** 2), back @ way
    far = float((inner[len(inner) // 2] - corner) @ way) / (1.0 - sine)
    for _ in range(8):
        arm = inner - corner - far * way
        apart = np.hypot(*arm.T)
        slope = arm @ way / apart + sine
        far += float(slope @ (apart - far * sine)) / float(slope @ slope)
    x, y = corner + far * way
    reached = max(float((inner[0] - corner) @ back), float((inner[-1] - corner) @ ahead))
    if not (cosine > 0.0 and reached < far * cosine):
        return None
    return Circle(x_mm=float(x), y_mm=float(y), radius_mm=float(far * sine))


def _misfit(off: NDArray[np.float64]) -> float:
    """Sum squares, as over knots."""
    return float((off**2).sum()) * min(1.0, MOST_KNOTS / len(off))


def _worth(tolerance_mm: float) -> float:
    """Give what an arc must gain over a line, which has one value less."""
    return (ARC_PRICE - LINE_PRICE) * (tolerance_mm / 2.0) ** 2


def _touching(
    inner: Points, curve: Curve, neighbours: tuple[Curve, Curve], tolerance_mm: float
) -> Curve:
    """Let an arc touch the lines it runs into, where it fits its points hardly worse for it."""
    before, after = neighbours
    if isinstance(curve, Line):
        round_ = None
        if isinstance(before, Line) and isinstance(after, Line):
            round_ = _fillet(inner, before, after)
        is_better = round_ and _misfit(off_mm(inner, round_)) < _misfit(off_mm(inner, curve))
        return round_ if round_ and is_better else curve
    middle = np.array((curve.x_mm, curve.y_mm))
    least = np.cos(np.radians(_SMOOTH_DEG)) * curve.radius_mm
    smooth = [
        line
        for line in neighbours
        if isinstance(line, Line) and abs(off_mm(middle[None], line)[0]) > least
    ]
    free = _misfit(off_mm(inner, curve))
    for beside in (smooth, smooth[:1], smooth[1:]):
        if not beside:
            continue
        circle, off = fit_circle(inner, beside=beside)
        if _misfit(off) - free < len(beside) * _worth(tolerance_mm) and circle.radius_mm > 0.0:
            return circle
    return curve


def _start(line: Line) -> NDArray[np.float64]:
    return np.array((line.x_mm, line.y_mm))


def _corners(curves: list[Curve], joints: list[NDArray[np.float64]], runs: list[Points]) -> Corners:
    """Join the pieces; an arc passes through the middle of its run."""
    corners = []
    for index, (curve, run) in enumerate(zip(curves, runs, strict=True)):
        start, end = joints[index], joints[(index + 1) % len(joints)]
        if len(joints) > 1 and np.hypot(*(end - start)) < LEAST_PIECE_MM:
            continue
        bulge = 0.0
        via = nearest(curve, run[len(run) // 2])
        apart = min(np.hypot(*(via - start)), np.hypot(*(via - end)))
        if isinstance(curve, Circle) and apart > LEAST_PIECE_MM and _spot(start) != _spot(end):
            bulge = bulge_through(_spot(start), via=_spot(via), end=_spot(end))
            if _arc_mm(start, end, bulge) > _LONGEST_ARC * _length(run) + LEAST_PIECE_MM:
                bulge = 0.0  # the wrong way round: blur at a corner was taken for an arc
        corners.append((float(start[0]), float(start[1]), bulge))
    return tuple(corners)


def _length(run: Points) -> float:
    return float(np.hypot(*np.diff(run, axis=0).T).sum())


def _arc_mm(start: NDArray[np.float64], end: NDArray[np.float64], bulge: float) -> float:
    """Give the length of an arc from its chord and bulge."""
    steep = max(abs(bulge), 1e-9)
    chord = float(np.hypot(*(end - start)))
    return chord * (1.0 + steep**2) / steep * float(np.arctan(steep))


def _spot(place: NDArray[np.float64]) -> tuple[float, float]:
    return float(place[0]), float(place[1])
