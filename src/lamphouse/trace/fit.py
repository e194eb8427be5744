"""Edges as lines and arcs within a stated error.

The edge is cut where the sum of misfit and of a price for every piece is least: among all ways of
cutting, found by dynamic programming [BELLMAN]. A line is fitted by its scatter, an arc by the
circle of least squares [KASA], then again by distance. Neighbours meet where they cross, so that
corners stay sharp although blur rounds them in the picture.
"""

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record
from lamphouse.shapes.outline import Corners, bulge_through

Points = NDArray[np.float64]
"""(n, 2): x and y in mm."""

_MOST_KNOTS = 640
_LEAST_KNOTS = 3
"""A piece shorter than this many knots is not looked for."""
_LINE_PRICE = 8.0
_ARC_PRICE = 13.0
"""Price of a piece, in squares of half the tolerance."""
_LEAST_PIECE_MM = 1e-3
"""Shorter pieces are none."""
_ROUNDS = 3
"""Pieces and joints are found from one another this many times."""
_LONGEST_ARC = 1.6
"""Over the length of the run it was fitted to."""
_LARGEST_RADIUS = 40.0
"""Over the length of the chord; flatter arcs are lines."""


class Line(Record):
    """A straight line without ends."""

    x_mm: float
    y_mm: float
    along: tuple[float, float]


class Circle(Record):
    """A circle, of which an arc is used."""

    x_mm: float
    y_mm: float
    radius_mm: float


Curve = Line | Circle


class Fitted(Record):
    """An edge as an outline."""

    corners: Corners
    off_mm: NDArray[np.float64]
    """(n,) signed distance of every point of the edge from the outline, positive to the left."""


def fit_circle(points: Points) -> tuple[Circle, NDArray[np.float64]]:
    """Fit a circle by distance.

    Parameters
    ----------
    points
        At least three, not on one line.

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
    for _ in range(8):
        way = local - (x, y)
        far = np.hypot(way[:, 0], way[:, 1])
        far = np.maximum(far, 1e-12)
        off = far - radius
        slopes = np.column_stack((way / far[:, None], np.ones(len(far))))
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
    knots, bins = _knots(points)
    start = _sharpest(knots)
    breaks = _cut(knots, start=start, tolerance_mm=tolerance_mm)
    if len(breaks) > 2:  # once more from a sure break
        breaks = _cut(knots, start=breaks[len(breaks) // 2], tolerance_mm=tolerance_mm)
    marks = [bins[one] for one in sorted(breaks)]
    slack = 4.0 * blur_mm + tolerance_mm + 3.0 * _pitch(points) * len(points) / len(knots)
    for _ in range(_ROUNDS):
        runs = [_run(points, a, b) for a, b in zip(marks, [*marks[1:], marks[0]], strict=True)]
        curves = [_curve(run, tolerance_mm=tolerance_mm, blur_mm=blur_mm) for run in runs]
        joints = [
            _joint(curves[i - 1], curves[i], near=points[marks[i]], slack=slack)
            for i in range(len(curves))
        ]
        reach = 3 * len(points) // len(knots) + 2
        marks = _moved_marks(points, marks, joints, reach)
    corners = _corners(curves, joints, runs)
    if len(corners) < 2 or (len(corners) == 2 and not any(bulge for _, _, bulge in corners)):
        corners = tuple((float(x), float(y), 0.0) for x, y in knots)  # too small for pieces
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
        every = np.stack([_off(run, curve) for curve in near])
        found.append(every[np.abs(every).argmin(axis=0), np.arange(len(run))])
    return np.concatenate(found)


def _knots(points: Points) -> tuple[Points, list[int]]:
    """Average neighbours, so that there are no more than the search can bear."""
    count = min(_MOST_KNOTS, len(points))
    bins = [round(i * len(points) / count) for i in range(count)]
    sums = np.add.reduceat(points, bins, axis=0)
    sizes = np.diff([*bins, len(points)])
    return sums / sizes[:, None], bins


def _sharpest(knots: Points) -> int:
    """Find the knot where the edge turns most."""
    reach = max(2, len(knots) // 160)
    before, after = knots - np.roll(knots, reach, axis=0), np.roll(knots, -reach, axis=0) - knots
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    dot = (before * after).sum(axis=1)
    return int(np.abs(np.arctan2(turn, dot)).argmax())


def _cut(knots: Points, *, start: int, tolerance_mm: float) -> list[int]:
    """Find the cheapest cutting of a closed edge that begins at a knot."""
    count = len(knots)
    ring = np.roll(knots, -start, axis=0)
    ring = np.vstack((ring, ring[:1])) - knots.mean(axis=0)
    sums = _sums(ring)
    price = np.full(count + 1, np.inf)
    price[0] = 0.0
    back = np.zeros(count + 1, dtype=int)
    unit = (tolerance_mm / 2.0) ** 2
    for end in range(_LEAST_KNOTS, count + 1):
        begins = np.arange(0, end - _LEAST_KNOTS + 1)
        total = price[begins] + _price(sums, ring, begins, end, unit=unit)
        best = int(total.argmin())
        price[end], back[end] = total[best], best
    breaks, place = [], count
    while place > 0:
        place = int(back[place])
        breaks.append((place + start) % count)
    return breaks


def _sums(ring: Points) -> NDArray[np.float64]:
    """Sum powers up to every knot, so that any run is fitted in one step."""
    x, y = ring[:, 0], ring[:, 1]
    z = x * x + y * y
    columns = (np.ones_like(x), x, y, x * x, x * y, y * y, x * z, y * z, z * z)
    return np.vstack((np.zeros(9), np.cumsum(np.stack(columns, axis=1), axis=0)))


def _price(
    sums: NDArray[np.float64], ring: Points, begins: NDArray[np.int_], end: int, *, unit: float
) -> NDArray[np.float64]:
    """Give the price of one piece from each beginning to one end: the cheaper of line and arc.

    The knots at both ends are left out where there are enough: blur has rounded them.
    """
    lengths = end - begins
    trim = np.minimum(lengths // 4, 1)
    run = sums[end + 1 - trim] - sums[begins + trim]
    n = run[:, 0]
    mx, my = run[:, 1] / n, run[:, 2] / n
    sxx = run[:, 3] / n - mx * mx
    sxy = run[:, 4] / n - mx * my
    syy = run[:, 5] / n - my * my
    half = (sxx + syy) / 2.0
    apart = np.sqrt(((sxx - syy) / 2.0) ** 2 + sxy**2)
    line = np.maximum(half - apart, 0.0) * n / unit + _LINE_PRICE
    chord = np.hypot(*(ring[end] - ring[begins]).T)
    misfit = _arc_misfit(run, means=(mx, my), scatter=(sxx, sxy, syy), chord=chord)
    return np.asarray(np.minimum(line, misfit * n / unit + _ARC_PRICE))


def _arc_misfit(
    run: NDArray[np.float64],
    *,
    means: tuple[NDArray[np.float64], NDArray[np.float64]],
    scatter: tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]],
    chord: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Give the mean square distance from the circle of least squares; infinite where it is none."""
    n = run[:, 0]
    (mx, my), (sxx, sxy, syy) = means, scatter
    mz = (run[:, 3] + run[:, 5]) / n
    # covariances of x and y with z = x^2 + y^2, and the variance of z
    sxz = run[:, 6] / n - mx * mz
    syz = run[:, 7] / n - my * mz
    szz = run[:, 8] / n - mz * mz
    det = sxx * syy - sxy * sxy
    safe = np.maximum(det, 1e-30)
    a = (sxz * syy - syz * sxy) / safe
    b = (syz * sxx - sxz * sxy) / safe
    misfit = np.maximum(szz - a * sxz - b * syz, 0.0)
    radius2 = (mz - a * mx - b * my) + (a * a + b * b) / 4.0
    good = (det > 1e-18) & (radius2 > 0.0)
    good &= radius2 < (_LARGEST_RADIUS * np.maximum(chord, 1e-3)) ** 2
    return np.where(good & (n >= 5), misfit / (4.0 * np.maximum(radius2, 1e-12)), np.inf)


def _run(points: Points, begin: int, end: int) -> Points:
    """Give the points from one mark to the next, round the end of the list if need be."""
    return points[begin:end] if begin < end else np.vstack((points[begin:], points[:end]))


def _curve(run: Points, *, tolerance_mm: float, blur_mm: float) -> Curve:
    """Fit the better of line and circle to a run, but for its ends."""
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(run, axis=0).T))))
    trim = min(blur_mm, 0.2 * along[-1])
    inner = run[(along >= trim) & (along <= along[-1] - trim)]
    if len(inner) < 4:
        inner = run
    line = fit_line(inner)
    off = _off(inner, line)
    if len(inner) < 6:
        return line
    circle, away = fit_circle(inner)
    chord = float(np.hypot(*(inner[-1] - inner[0])))
    flat = circle.radius_mm > _LARGEST_RADIUS * max(chord, 1e-3)
    gain = float((off**2).sum() - (away**2).sum()) * min(1.0, _MOST_KNOTS / len(inner))
    worth = (_ARC_PRICE - _LINE_PRICE) * (tolerance_mm / 2.0) ** 2
    return circle if not flat and gain > worth and np.isfinite(away).all() else line


def _off(points: Points, curve: Curve) -> NDArray[np.float64]:
    """Give the distance of points from a curve; of a line, positive to its left."""
    way = points - (curve.x_mm, curve.y_mm)
    if isinstance(curve, Line):
        return curve.along[0] * way[:, 1] - curve.along[1] * way[:, 0]
    return curve.radius_mm - np.hypot(way[:, 0], way[:, 1])


def _nearest(curve: Curve, spot: NDArray[np.float64]) -> NDArray[np.float64]:
    middle = np.array((curve.x_mm, curve.y_mm))
    if isinstance(curve, Line):
        along = np.array(curve.along)
        return np.asarray(middle + along * np.dot(spot - middle, along))
    way = spot - middle
    return np.asarray(middle + way * (curve.radius_mm / max(float(np.hypot(*way)), 1e-12)))


def _joint(
    before: Curve, after: Curve, *, near: NDArray[np.float64], slack: float
) -> NDArray[np.float64]:
    """Find where two neighbours meet: their crossing nearest to the break, else between them."""
    between = (_nearest(before, near) + _nearest(after, near)) / 2.0
    crossings = _crossings(before, after)
    if crossings:
        best = min(crossings, key=lambda spot: float(np.hypot(*(spot - near))))
        if np.hypot(*(best - near)) <= slack:
            return best
    return np.asarray(between)


def _crossings(one: Curve, two: Curve) -> list[NDArray[np.float64]]:
    if isinstance(one, Line) and isinstance(two, Line):
        (ax, ay), (bx, by) = one.along, two.along
        cross = ax * by - ay * bx
        if abs(cross) < 0.02:
            return []
        far = ((two.x_mm - one.x_mm) * by - (two.y_mm - one.y_mm) * bx) / cross
        return [np.array((one.x_mm + far * ax, one.y_mm + far * ay))]
    if isinstance(one, Circle) and isinstance(two, Circle):
        return _of_circles(one, two)
    line, circle = (one, two) if isinstance(one, Line) else (two, one)
    return _of_line(line, circle) if isinstance(line, Line) and isinstance(circle, Circle) else []


def _of_line(line: Line, circle: Circle) -> list[NDArray[np.float64]]:
    middle = np.array((circle.x_mm, circle.y_mm))
    foot = _nearest(line, middle)
    rest = circle.radius_mm**2 - float(((foot - middle) ** 2).sum())
    if rest < 0.0:
        return []
    step = np.sqrt(rest) * np.array(line.along)
    return [foot - step, foot + step]


def _of_circles(one: Circle, two: Circle) -> list[NDArray[np.float64]]:
    first = np.array((one.x_mm, one.y_mm))
    way = np.array((two.x_mm, two.y_mm)) - first
    apart = float(np.hypot(*way))
    if apart < 1e-9:
        return []
    along = (apart**2 + one.radius_mm**2 - two.radius_mm**2) / (2.0 * apart)
    rest = one.radius_mm**2 - along**2
    if rest < 0.0:
        return []
    unit = way / apart
    side = np.sqrt(rest) * np.array((-unit[1], unit[0]))
    return [first + along * unit + side, first + along * unit - side]


def _corners(curves: list[Curve], joints: list[NDArray[np.float64]], runs: list[Points]) -> Corners:
    """Join the pieces; an arc passes through the middle of its run."""
    corners = []
    for index, (curve, run) in enumerate(zip(curves, runs, strict=True)):
        start, end = joints[index], joints[(index + 1) % len(joints)]
        if len(joints) > 1 and np.hypot(*(end - start)) < _LEAST_PIECE_MM:
            continue
        bulge = 0.0
        via = _nearest(curve, run[len(run) // 2])
        apart = min(np.hypot(*(via - start)), np.hypot(*(via - end)))
        if isinstance(curve, Circle) and apart > _LEAST_PIECE_MM and _spot(start) != _spot(end):
            bulge = bulge_through(_spot(start), via=_spot(via), end=_spot(end))
            if _arc_mm(start, end, bulge) > _LONGEST_ARC * _length(run) + _LEAST_PIECE_MM:
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
