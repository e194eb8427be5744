"""What faces see of one another past baffles and inner corners of the outline.

Walls and baffles are upright, so a ray is hidden when it crosses the foot line of one in plan and
its height there lies between the lower and upper edge. Pairs whose whole bundle of rays stays clear
of every screen, or meets a full-height one, are settled at once; only the others are sampled.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

RAYS = 16
"""Rays between two faces, a power of two. A face sees hundreds of others, whose chance errors
cancel; with 8 a slit of 2 mm over a baffle lets 2 percent too much through."""

CHUNK = 8_000
"""Rays times layers worked on at once: small arrays stay in the processor's cache."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Screens:
    """Upright walls that hide things."""

    start_mm: Floats
    """(H, 2)."""
    end_mm: Floats
    """(H, 2)."""
    low_mm: Floats
    """(H,)."""
    high_mm: Floats
    """(H,)."""

    def reach_over(self, *, low_mm: float, high_mm: float) -> bool:
        """Whether every screen is as high as a slice of the box."""
        return bool(
            np.all(self.low_mm <= low_mm + SAME_LINE_MM)
            and np.all(self.high_mm >= high_mm - SAME_LINE_MM)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewers:
    """Faces as seen in plan, each with the same layers in height."""

    corner_mm: Floats
    """(I, v, 2)."""
    spot_mm: Floats
    """(I, RAYS, 2) points spread evenly over each face, where rays start."""
    partner_mm: Floats
    """(I, RAYS, 2) the same points in the order in which rays from other faces end there."""
    centre_mm: Floats
    """(I, 2)."""
    radius_mm: Floats
    """(I,) every point of the face lies within it of the centre."""
    low_mm: Floats
    """(L,) lower edges of the layers; a level face has one layer of no height."""
    high_mm: Floats
    """(L,)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """Shares of the rays between faces that get through, 0 to 1."""

    plain: bool
    """Whether every screen reaches over the whole cavity, so that height plays no part."""
    plates: Floats
    """(C, C) floor to ceiling."""
    floor: Floats
    """(C, K, Z) floor to wall patches, or with one layer for all."""
    ceiling: Floats
    """(C, K, Z)."""
    walls: Floats
    """(K, Z, K, Z)."""


def _hammersley(count: int) -> Floats:
    number = np.arange(count)
    reverse = np.zeros(count)
    digit, rest = 0.5, number.copy()
    while rest.any():
        reverse += digit * (rest & 1)
        rest >>= 1
        digit /= 2.0
    return np.stack([(number + 0.5) / count, reverse + 0.5 / count], axis=1)


_SPREAD = _hammersley(RAYS)
_PARTNER = (np.arange(RAYS) * 7 + 3) % RAYS
"""Which point of the second face each point of the first looks at: different parts are joined."""


def polygon_spots(corner_mm: Floats) -> Floats:
    """Spread points evenly over convex polygons (C, v, 2), (C, RAYS, 2)."""
    origin, one, two = corner_mm[:, :1], corner_mm[:, 1:-1], corner_mm[:, 2:]
    side, next_side = one - origin, two - origin
    area = np.abs(side[..., 0] * next_side[..., 1] - side[..., 1] * next_side[..., 0])
    share = np.cumsum(area, axis=1)
    share /= share[:, -1:]
    u = _SPREAD[None, :, 0]
    pick = np.minimum((u[:, :, None] > share[:, None, :]).sum(axis=2), share.shape[1] - 1)
    rows = np.arange(len(corner_mm))[:, None]
    before = np.where(pick > 0, share[rows, pick - 1], 0.0)
    u = np.sqrt(np.clip((u - before) / np.maximum(share[rows, pick] - before, 1e-12), 0.0, 1.0))
    v = _SPREAD[None, :, 1]
    a, b = one[rows, pick], two[rows, pick]
    inner = (1.0 - v[..., None]) * (a - origin) + v[..., None] * (b - origin)
    return np.asarray(origin + u[..., None] * inner)


def level_viewers(corner_mm: Floats, *, centre_mm: Floats, height_mm: float) -> Viewers:
    """Look from or at level faces."""
    reach = corner_mm - centre_mm[:, None]
    spots = polygon_spots(corner_mm)
    return Viewers(
        corner_mm=corner_mm,
        spot_mm=spots,
        partner_mm=spots[:, _PARTNER],
        centre_mm=centre_mm,
        radius_mm=np.sqrt((reach**2).sum(axis=2).max(axis=1)),
        low_mm=np.array([height_mm]),
        high_mm=np.array([height_mm]),
    )


def wall_viewers(foot_mm: Floats, *, height_mm: Floats) -> Viewers:
    """Look from or at columns, a hair in front of them."""
    start, step = foot_mm[:, 0], foot_mm[:, 1] - foot_mm[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    hair = 1e-6 * np.stack([-step[:, 1], step[:, 0]], axis=1) / length[:, None]
    along = (np.arange(RAYS) + 0.5) / RAYS
    spots = (start + hair)[:, None] + along[None, :, None] * step[:, None]
    return Viewers(
        corner_mm=foot_mm,
        spot_mm=spots,
        partner_mm=spots[:, _PARTNER],
        centre_mm=start + hair + step / 2.0,
        radius_mm=length / 2.0,
        low_mm=height_mm[:-1],
        high_mm=height_mm[1:],
    )


GRAZE = 1e-9
"""A ray that ends on a wall is not stopped by it, rounding included."""

SAME_LINE_MM = 1e-7
"""A face this near to a foot line still lies on one side of it."""

CLEAR, SOME, HIDDEN = 0, 1, 2


def _bundle(
    one: Viewers, *, i: Ints, other: Viewers, j: Ints, start: Floats, end: Floats
) -> NDArray[np.int8]:
    """Tell how the foot of one screen lies to the bundle of rays of each pair of faces, (P,)."""
    from_x, from_y = one.centre_mm[i].T
    to_x, to_y = other.centre_mm[j].T
    ux, uy = to_x - from_x, to_y - from_y
    length = np.sqrt(ux * ux + uy * uy)
    ux /= np.maximum(length, 1e-12)
    uy /= np.maximum(length, 1e-12)
    wide = np.maximum(one.radius_mm[i], other.radius_mm[j]) + 1e-5
    x, y = start[0] - from_x, start[1] - from_y
    along_a, off_a = x * ux + y * uy, x * uy - y * ux
    x, y = end[0] - from_x, end[1] - from_y
    along_b, off_b = x * ux + y * uy, x * uy - y * ux
    least, most = np.minimum(off_a, off_b), np.maximum(off_a, off_b)
    clear = (least > wide) | (most < -wide)
    clear |= np.maximum(along_a, along_b) < -wide
    clear |= np.minimum(along_a, along_b) > length + wide
    slope = (along_b - along_a) / np.where(most > least, off_a - off_b, 1.0)
    meets = along_a + slope * off_a
    # The crossing moves along the bundle as the ray swings from edge to edge of it.
    slack = wide * (1.0 + np.abs(slope))
    across = (least < -wide) & (most > wide)
    hidden = across & (meets > slack) & (meets < length - slack)
    clear |= across & ((meets < -slack) | (meets > length + slack))
    state = np.full(len(i), SOME, dtype=np.int8)
    state[hidden] = HIDDEN
    state[clear] = CLEAR
    return state


def _states(one: Viewers, *, other: Viewers, start: Floats, end: Floats) -> NDArray[np.int8]:
    """Tell how the foot of one screen lies to the rays between faces, (I, J)."""
    mine, theirs = _sides(one, start=start, end=end), _sides(other, start=start, end=end)
    state = np.full((len(mine), len(theirs)), CLEAR, dtype=np.int8)
    apart = mine[:, None] * theirs[None, :] <= 0
    first, second = np.nonzero(apart)
    found = np.full(len(first), CLEAR, dtype=np.int8)
    for begin in range(0, len(first), CHUNK):
        part = slice(begin, begin + CHUNK)
        found[part] = _bundle(one, i=first[part], other=other, j=second[part], start=start, end=end)
    state[first, second] = found
    return state


def _cross(a: Floats, b: Floats) -> Floats:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Aim:
    """Points of faces as a screen's foot line sees them; what a ray needs to be tested quickly."""

    side: Floats
    """(I, RAYS) distance from the line, times its length."""
    to_start: Floats
    """(I, RAYS) cross product of the point with the line's start."""
    to_end: Floats
    """(I, RAYS) and with its end."""


def _aim(spot_mm: Floats, *, start: Floats, end: Floats) -> _Aim:
    return _Aim(
        side=_cross(spot_mm - start, np.broadcast_to(end - start, spot_mm.shape)),
        to_start=_cross(spot_mm, np.broadcast_to(start, spot_mm.shape)),
        to_end=_cross(spot_mm, np.broadcast_to(end, spot_mm.shape)),
    )


def _heights(viewers: Viewers, *, shift: int) -> Floats:
    """Heights of the rays in every layer, (RAYS, L)."""
    place = ((np.arange(RAYS) * 7 + shift) % RAYS + 0.5) / RAYS
    return np.asarray(
        viewers.low_mm + place[:, None] * (viewers.high_mm - viewers.low_mm), dtype=np.float64
    )


def _sides(viewers: Viewers, *, start: Floats, end: Floats) -> NDArray[np.int8]:
    """Side of a foot line each face lies on as a whole, (I,): 1, -1, or 0 when it straddles."""
    step = end - start
    off = _cross(np.broadcast_to(step, viewers.corner_mm.shape), viewers.corner_mm - start)
    off /= np.hypot(step[0], step[1])
    left, right = off.min(axis=1) > -SAME_LINE_MM, off.max(axis=1) < SAME_LINE_MM
    return np.asarray(left.astype(np.int8) - right.astype(np.int8))


def visible(one: Viewers, *, other: Viewers, screens: Screens) -> Floats:
    """Give the share of rays between faces that no screen stops.

    Parameters
    ----------
    one, other
        I and J faces with L and M layers; the same record for faces that look at one another.
    screens
        Upright walls.

    Returns
    -------
    Floats
        (I, L, J, M), or (I, 1, J, 1) when every screen reaches over all layers.
    """
    lowest = min(one.low_mm.min(), other.low_mm.min())
    highest = max(one.high_mm.max(), other.high_mm.max())
    whole = (screens.low_mm <= lowest + 1e-9) & (screens.high_mm >= highest - 1e-9)
    states = np.stack(
        [
            _states(one, other=other, start=start, end=end)
            for start, end in zip(screens.start_mm, screens.end_mm, strict=True)
        ]
    )
    hidden = ((states == HIDDEN) & whole[:, None, None]).any(axis=0)
    unsettled = (states != CLEAR).any(axis=0) & ~hidden
    if one is other:
        unsettled &= np.tri(len(hidden), k=-1, dtype=np.bool_)
    layers = (1, 1) if whole.all() else (len(one.low_mm), len(other.low_mm))
    shares = np.ones((*hidden.shape, *layers))
    shares[hidden] = 0.0
    first, second = np.nonzero(unsettled)
    aims = [
        (_aim(one.spot_mm, start=start, end=end), _aim(other.partner_mm, start=start, end=end))
        for start, end in zip(screens.start_mm, screens.end_mm, strict=True)
    ]
    step = max(1, CHUNK // RAYS)
    for begin in range(0, len(first), step):
        i, j = first[begin : begin + step], second[begin : begin + step]
        twist = _cross(one.spot_mm[i], other.partner_mm[j])
        passes = np.ones(twist.shape, dtype=np.bool_)
        lower = []
        for number in np.flatnonzero((states[:, i, j] != CLEAR).any(axis=1)):
            met, share = _met(*aims[number], i=i, j=j, twist=twist)
            if whole[number]:
                passes &= ~met
            elif met.any():
                lower.append((met, share, screens.low_mm[number], screens.high_mm[number]))
        shares[i, j] = passes.mean(axis=1)[:, None, None]
        if lower:
            _lower(shares, one=one, i=i, other=other, j=j, passes=passes, meetings=lower)
    if one is other:
        shares[second, first] = shares[first, second].transpose(0, 2, 1)
    return shares.transpose(0, 2, 1, 3)


def _met(mine: _Aim, theirs: _Aim, *, i: Ints, j: Ints, twist: Floats) -> tuple[Bools, Floats]:
    """Whether the rays of pairs cross a foot line, and at which share of their way, (P, RAYS)."""
    from_a, from_b = mine.side[i], theirs.side[j]
    # The screen's ends lie on different sides of the ray; its line has the ray's ends on different
    # sides: (b - a) x (s - a) = a x b + b x s - a x s.
    to_start = twist + theirs.to_start[j] - mine.to_start[i]
    to_end = twist + theirs.to_end[j] - mine.to_end[i]
    met = (from_a * from_b < 0.0) & (to_start * to_end <= 0.0)
    return met, from_a / np.where(met, from_a - from_b, 1.0)


def _lower(
    shares: Floats,
    *,
    one: Viewers,
    i: Ints,
    other: Viewers,
    j: Ints,
    passes: Bools,
    meetings: Sequence[tuple[Bools, Floats, float, float]],
) -> None:
    """Take away, layer by layer, what screens of part height stop."""
    rises, falls = _heights(one, shift=3), _heights(other, shift=9)
    step = max(1, CHUNK // (RAYS * len(one.low_mm) * len(other.low_mm)))
    touched = np.flatnonzero(np.any([met.any(axis=1) for met, _, _, _ in meetings], axis=0))
    for begin in range(0, len(touched), step):
        chosen = touched[begin : begin + step]
        free = passes[chosen][:, :, None, None]
        for met, share, low, high in meetings:
            hit = met[chosen][:, :, None, None]
            if hit.any():
                at = share[chosen][:, :, None, None]
                height = (1.0 - at) * rises[:, :, None] + at * falls[:, None, :]
                free = free & ~(hit & (height > low) & (height < high))
        shares[i[chosen], j[chosen]] = free.mean(axis=1)


def lit(points_mm: Floats, *, at: Floats, screens: Screens) -> Bools:
    """Tell which points (P, 3) are seen from one place past the screens."""
    clear = np.ones(len(points_mm), dtype=np.bool_)
    ray = points_mm[:, :2] - at[:2]
    for start, end, low, high in zip(
        screens.start_mm, screens.end_mm, screens.low_mm, screens.high_mm, strict=True
    ):
        step, offset = end - start, start - at[:2]
        turn = ray[:, 0] * step[1] - ray[:, 1] * step[0]
        reach = offset[0] * step[1] - offset[1] * step[0]
        along = offset[0] * ray[:, 1] - offset[1] * ray[:, 0]
        # Crossed where 0 < reach / turn < 1 and 0 <= along / turn <= 1, without dividing.
        sign = np.where(turn < 0.0, -1.0, 1.0)
        turn *= sign
        met = (sign * reach > 0.0) & (sign * reach < turn * (1.0 - GRAZE))
        met &= (sign * along >= 0.0) & (sign * along <= turn)
        rows = np.flatnonzero(met)
        height = at[2] + sign[rows] * reach / turn[rows] * (points_mm[rows, 2] - at[2])
        clear[rows[(height >= low) & (height <= high)]] = False
    return clear
