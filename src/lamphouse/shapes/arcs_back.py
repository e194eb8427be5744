"""Straight lines and true arcs put back into the rings of chords that an offset comes as.

The polygon library decides what is left, what splits and what closes up, on chords. Every edge of
its answer lies on one of a few known curves: the parallels of the outline's own pieces, and circles
round its corners. Runs of edges on one curve become one piece of it, and neighbouring pieces are
joined where their curves cross or touch. An edge on no known curve stays a chord.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import atan2, cos, dist, hypot, pi, sin, sqrt, tan

from lamphouse.record import Record, replace
from lamphouse.shapes.measure import signed_area_mm2
from lamphouse.shapes.outline import Corners, Piece, Spot, circle, pieces, polygon

ON_LINE_MM = 1e-6
"""Edges farther than this from a straight parallel do not lie on it."""

ON_ARC_MM = 1e-4
"""The same for chords of an arc."""

NEAR_MM = 1e-3
"""Curves are joined where they cross no farther than this and two chords from the chords' corner:
by so much they part where they only touch."""

TIP = 0.02
"""What the chords of an arc may lean against its tangent, beyond which a sharp corner goes on."""

TOUCH_MM = 1e-7
"""A line this near to touching a circle touches it."""


class Line(Record):
    """A straight curve without ends."""

    at: Spot
    way: Spot
    """Unit vector."""


class Ring(Record):
    """A full circle."""

    middle: Spot
    radius_mm: float


Curve = Line | Ring


def parallel(piece: Piece, *, right_mm: float) -> Curve | None:
    """Give the curve at a distance to the right of a piece; None when its arc has shrunk away."""
    if piece.is_straight:
        length = piece.chord_mm
        ux, uy = (piece.end[0] - piece.start[0]) / length, (piece.end[1] - piece.start[1]) / length
        return Line(
            at=(piece.start[0] + uy * right_mm, piece.start[1] - ux * right_mm), way=(ux, uy)
        )
    radius = piece.radius_mm + (right_mm if piece.bulge > 0.0 else -right_mm)
    return Ring(middle=piece.centre, radius_mm=radius) if radius > ON_ARC_MM else None


def crossings(one: Curve, *, other: Curve) -> tuple[Spot, ...]:
    """Give the points two curves share; one where they touch, none where one lies on the other."""
    if isinstance(one, Ring) and isinstance(other, Line):
        one, other = other, one
    if isinstance(one, Line) and isinstance(other, Line):
        turn = one.way[0] * other.way[1] - one.way[1] * other.way[0]
        if abs(turn) < 1e-12:
            return ()
        dx, dy = other.at[0] - one.at[0], other.at[1] - one.at[1]
        along = (dx * other.way[1] - dy * other.way[0]) / turn
        return ((one.at[0] + along * one.way[0], one.at[1] + along * one.way[1]),)
    if isinstance(one, Line) and isinstance(other, Ring):
        return _line_and_ring(one, other)
    if isinstance(one, Ring) and isinstance(other, Ring):
        return _two_rings(one, other)
    return ()


def _line_and_ring(line: Line, ring: Ring) -> tuple[Spot, ...]:
    dx, dy = ring.middle[0] - line.at[0], ring.middle[1] - line.at[1]
    along = dx * line.way[0] + dy * line.way[1]
    foot = (line.at[0] + along * line.way[0], line.at[1] + along * line.way[1])
    away = dist(foot, ring.middle)
    if abs(away - ring.radius_mm) < TOUCH_MM:
        return (foot,)
    if away > ring.radius_mm:
        return ()
    half = sqrt(ring.radius_mm**2 - away**2)
    return tuple(
        (foot[0] + sign * half * line.way[0], foot[1] + sign * half * line.way[1])
        for sign in (-1.0, 1.0)
    )


def _two_rings(one: Ring, other: Ring) -> tuple[Spot, ...]:
    apart = dist(one.middle, other.middle)
    if apart < TOUCH_MM:
        return ()
    ux = (other.middle[0] - one.middle[0]) / apart
    uy = (other.middle[1] - one.middle[1]) / apart
    r, s = one.radius_mm, other.radius_mm
    for reach in (r + s, abs(r - s)):
        if abs(apart - reach) < TOUCH_MM:
            side = 1.0 if reach > max(r, s) or r > s else -1.0
            return ((one.middle[0] + side * r * ux, one.middle[1] + side * r * uy),)
    along = (apart**2 + r**2 - s**2) / (2.0 * apart)
    if abs(along) > r:
        return ()
    half = sqrt(r**2 - along**2)
    x, y = one.middle[0] + along * ux, one.middle[1] + along * uy
    return ((x - half * uy, y + half * ux), (x + half * uy, y - half * ux))


def with_arcs(
    ring: Sequence[Spot], *, source: Corners, by_mm: float, round_corners: bool
) -> Corners:
    """Put lines and arcs back into one ring of an offset.

    Parameters
    ----------
    ring
        Its chords' corners; the first is not repeated at the end.
    source
        The outline that was offset, anticlockwise.
    by_mm
        Distance of the offset, positive outwards.
    round_corners
        Whether it went round corners on circles.

    Returns
    -------
    Corners
        In the direction of the ring; its chords where no curve fits.
    """
    curves = list(_curves(source, by_mm=by_mm, round_corners=round_corners))
    tips = [] if round_corners else list(_tips(source, by_mm=by_mm))
    return on_curves(ring, curves=curves, tips=tips)


def curves_of(corners: Corners) -> Iterator[Curve]:
    """Give the curves on which the pieces of an outline lie."""
    return _curves(corners, by_mm=0.0, round_corners=False)


def passing(curves: Iterable[Curve], *, ring: Sequence[Spot]) -> list[Curve]:
    """Give those curves that pass through the round space about a ring, in a fixed order."""
    xs, ys = zip(*ring, strict=True)
    x, y = (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0
    reach = hypot(max(xs) - x, max(ys) - y) + NEAR_MM
    near: list[Curve] = []
    for curve in curves:
        if isinstance(curve, Line):
            off = abs((x - curve.at[0]) * curve.way[1] - (y - curve.at[1]) * curve.way[0])
        else:
            off = abs(dist(curve.middle, (x, y)) - curve.radius_mm)
        if off <= reach:
            near.append(curve)
    return sorted(near, key=repr)


def on_curves(
    ring: Sequence[Spot], *, curves: Sequence[Curve], tips: Sequence[Line] = ()
) -> Corners:
    """Put lines and arcs back into a ring of chords that lie on known curves.

    Parameters
    ----------
    ring
        The chords' corners; the first is not repeated at the end.
    curves
        On which they may lie.
    tips
        Lines on which the lone chords beside them may lie but for the lean of an arc's chords.

    Returns
    -------
    Corners
        In the direction of the ring; its chords where no curve fits.
    """
    length_mm, area_mm2 = _measured(ring)
    runs = _runs(ring, curves)
    slack_mm2 = ON_ARC_MM * length_mm
    if tips:
        lone = [run.first for run in runs if run.curve is None]
        slack_mm2 += sum(TIP * dist(ring[at], ring[(at + 1) % len(ring)]) ** 2 for at in lone)
        runs = [run if run.curve else _on_tip(run, ring, tips) for run in runs]
    if len(runs) == 1 and isinstance(runs[0].curve, Ring):
        return _whole(runs[0].curve, left=area_mm2 >= 0.0)
    made = _apart(tuple(_rebuilt(ring, runs)))
    if len(made) < 2 or abs(signed_area_mm2(made) - area_mm2) > slack_mm2:
        return polygon(ring)
    return made


def _measured(ring: Sequence[Spot]) -> tuple[float, float]:
    """Give the length of a ring of chords and its area, positive when it runs anticlockwise."""
    import numpy as np

    x, y = (np.array(ring) - ring[0]).T
    next_x, next_y = np.roll(x, -1), np.roll(y, -1)
    length_mm = np.hypot(next_x - x, next_y - y).sum()
    return float(length_mm), float((x * next_y - next_x * y).sum() / 2.0)


def _curves(source: Corners, *, by_mm: float, round_corners: bool) -> Iterator[Curve]:
    for piece in pieces(source):
        curve = parallel(piece, right_mm=by_mm)
        if curve is not None:
            yield curve
        if round_corners and by_mm:
            yield Ring(middle=piece.start, radius_mm=abs(by_mm))


def _tips(source: Corners, *, by_mm: float) -> Iterator[Line]:
    """Give the lines on which the parallels of arcs go on beyond their ends."""
    for piece in pieces(source):
        if piece.is_straight or parallel(piece, right_mm=by_mm) is None:
            continue
        x, y = piece.centre
        side = by_mm if piece.bulge > 0.0 else -by_mm
        for px, py in (piece.start, piece.end):
            ux, uy = (px - x) / piece.radius_mm, (py - y) / piece.radius_mm
            yield Line(at=(px + side * ux, py + side * uy), way=(-uy, ux))


def _on_tip(run: "_Run", ring: Sequence[Spot], tips: Sequence[Line]) -> "_Run":
    """Take a lone edge for the tip it lies on, as nearly as chords lean; else leave it."""
    start, end = ring[run.first], ring[(run.first + 1) % len(ring)]

    def off_mm(line: Line) -> float:
        (x, y), (ux, uy) = line.at, line.way
        return max(abs((px - x) * uy - (py - y) * ux) for px, py in (start, end))

    near = min(tips, key=off_mm, default=None)
    if near is None or off_mm(near) > NEAR_MM + TIP * dist(start, end):
        return run
    return replace(run, curve=near)


def _apart(corners: Corners) -> Corners:
    """Leave out pieces without a length."""
    return tuple(
        corner
        for index, corner in enumerate(corners)
        if dist(corner[:2], corners[(index + 1) % len(corners)][:2]) > ON_ARC_MM
    )


class _Run(Record):
    """Edges of the ring that lie on one curve."""

    first: int
    """The corner it starts at."""
    count: int
    """Edges in it."""
    curve: Curve | None
    """None for a lone edge on no known curve."""


def _runs(ring: Sequence[Spot], curves: Sequence[Curve]) -> list[_Run]:
    """Cut a ring into runs, the longest that one curve allows, from where curves change."""
    on = _on(ring, curves)
    count = len(ring)
    start = next(
        (index for index in range(count) if not (on[index - 1] and on[index] & on[index - 1])), 0
    )
    runs: list[_Run] = []
    at = 0
    while at < count:
        shared, length = on[(start + at) % count], 1
        while shared and at + length < count:
            further = shared & on[(start + at + length) % count]
            if not further:
                break
            shared, length = further, length + 1
        curve = curves[(shared & -shared).bit_length() - 1] if shared else None
        runs.append(_Run(first=(start + at) % count, count=length, curve=curve))
        at += length
    return runs


def _on(ring: Sequence[Spot], curves: Sequence[Curve]) -> list[int]:
    """Tell for each edge on which curves it lies, in bits; on straight ones alone if there are."""
    if not curves:
        return [0] * len(ring)
    import numpy as np

    x, y = np.array(ring).T.copy()
    after = np.roll(np.arange(len(ring)), -1)
    middle_x, middle_y = (x + x[after]) / 2.0, (y + y[after]) / 2.0
    lengths = np.hypot(x[after] - x, y[after] - y)
    held = np.zeros((len(curves), len(ring)), dtype=bool)
    is_straight = np.array([isinstance(curve, Line) for curve in curves], dtype=bool)
    for number, curve in enumerate(curves):
        if isinstance(curve, Line):
            (at_x, at_y), (ux, uy) = curve.at, curve.way
            off = np.abs((x - at_x) * uy - (y - at_y) * ux)
            held[number] = np.maximum(off, off[after]) < ON_LINE_MM
            continue
        (at_x, at_y), radius = curve.middle, curve.radius_mm
        off = np.abs(np.hypot(x - at_x, y - at_y) - radius)
        near = np.maximum(off, off[after]) < ON_ARC_MM
        if near.any():
            sunk = np.abs(np.hypot(middle_x - at_x, middle_y - at_y) - radius)
            held[number] = near & (sunk < 2.0 * ON_ARC_MM) & (lengths < 2.0 * radius)
    held &= is_straight[:, None] | ~held[is_straight].any(axis=0)
    bits = np.packbits(held.T, axis=1, bitorder="little")
    data, wide = bits.tobytes(), bits.shape[1]
    return [int.from_bytes(data[at : at + wide], "little") for at in range(0, len(data), wide)]


def _whole(ring: Ring, *, left: bool) -> Corners:
    made = circle(2.0 * ring.radius_mm, x_mm=ring.middle[0], y_mm=ring.middle[1])
    return made if left else tuple((x, y, -bulge) for x, y, bulge in made)


def _rebuilt(ring: Sequence[Spot], runs: Sequence[_Run]) -> Iterator[tuple[float, float, float]]:
    radii = [run.curve.radius_mm for run in runs if isinstance(run.curve, Ring)]
    near_mm = NEAR_MM + 2.0 * sqrt(8.0 * max(radii, default=0.0) * ON_ARC_MM)
    joints = [
        _joint(ring[run.first], runs[index - 1].curve, run.curve, near_mm=near_mm)
        for index, run in enumerate(runs)
    ]
    for index, run in enumerate(runs):
        start, end = joints[index], joints[(index + 1) % len(runs)]
        if not isinstance(run.curve, Ring):
            yield (*start, 0.0)
            continue
        turn = _turn(ring, run)
        sweep = _sweep(start, end, ring=run.curve, left=turn > 0.0)
        if abs(sweep) > pi:
            x, y = run.curve.middle
            angle = atan2(start[1] - y, start[0] - x) + sweep / 2.0
            half = tan(sweep / 8.0)
            yield (*start, half)
            radius = run.curve.radius_mm
            yield (x + radius * cos(angle), y + radius * sin(angle), half)
        else:
            yield (*start, tan(sweep / 4.0))


def _joint(corner: Spot, before: Curve | None, after: Curve | None, *, near_mm: float) -> Spot:
    """Give the point where two curves meet, near the chords' corner."""
    if before is None or after is None:
        return corner
    found = crossings(before, other=after)
    near = min(found, key=lambda spot: dist(spot, corner), default=corner)
    return near if dist(near, corner) < near_mm else corner


def _turn(ring: Sequence[Spot], run: _Run) -> float:
    """Tell which way a run goes round its circle, left positive."""
    if not isinstance(run.curve, Ring):
        return 0.0
    x, y = run.curve.middle
    total = 0.0
    for step in range(run.count):
        ax, ay = ring[(run.first + step) % len(ring)]
        bx, by = ring[(run.first + step + 1) % len(ring)]
        total += (ax - x) * (by - y) - (ay - y) * (bx - x)
    return total


def _sweep(start: Spot, end: Spot, *, ring: Ring, left: bool) -> float:
    x, y = ring.middle
    first, last = atan2(start[1] - y, start[0] - x), atan2(end[1] - y, end[0] - x)
    sweep = (last - first) % (2.0 * pi) if left else -((first - last) % (2.0 * pi))
    return sweep if abs(sweep) < 2.0 * pi - 1e-9 else 0.0
