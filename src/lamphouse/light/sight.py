"""What faces see of one another past baffles and inner corners of the outline.

Walls and baffles are upright, so a ray is hidden when it crosses the foot line of one in plan and
its height there lies between the lower and upper edge. Pairs whose whole bundle of rays stays clear
of every screen, or meets a full-height one, are settled at once; only the others are sampled.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SPOTS = 16
"""Sample points on a face in plan."""

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Viewers:
    """Faces as seen in plan, each with the same layers in height."""

    spot_mm: Floats
    """(I, SPOTS, 2) points spread evenly over each face."""
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


_SPREAD = _hammersley(SPOTS)
_PARTNER = (np.arange(SPOTS) * 7 + 3) % SPOTS
"""Which point of the second face each point of the first looks at."""


def polygon_spots(corner_mm: Floats) -> Floats:
    """Spread points evenly over convex polygons (C, v, 2)."""
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
    return origin + u[..., None] * ((1.0 - v[..., None]) * (a - origin) + v[..., None] * (b - origin))


def level_viewers(corner_mm: Floats, *, centre_mm: Floats, height_mm: float) -> Viewers:
    """Look from or at level faces."""
    reach = corner_mm - centre_mm[:, None]
    return Viewers(
        spot_mm=polygon_spots(corner_mm),
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
    along = (np.arange(SPOTS) + 0.5) / SPOTS
    return Viewers(
        spot_mm=(start + hair)[:, None] + along[None, :, None] * step[:, None],
        centre_mm=start + hair + step / 2.0,
        radius_mm=length / 2.0,
        low_mm=height_mm[:-1],
        high_mm=height_mm[1:],
    )


GRAZE = 1e-9
"""A ray that ends on a wall is not stopped by it, rounding included."""

CLEAR, SOME, HIDDEN = 0, 1, 2


def _bundle(one: Viewers, *, other: Viewers, start: Floats, end: Floats) -> NDArray[np.int8]:
    """Tell how the foot of one screen lies to the bundle of rays of each pair, (I, J)."""
    ray = other.centre_mm[None] - one.centre_mm[:, None]
    length = np.sqrt((ray**2).sum(axis=2))
    unit = ray / np.maximum(length, 1e-12)[..., None]
    wide = np.maximum(one.radius_mm[:, None], other.radius_mm[None, :]) + 1e-5
    ux, uy = unit[..., 0], unit[..., 1]
    x, y = (start - one.centre_mm).T
    along_a = x[:, None] * ux + y[:, None] * uy
    off_a = x[:, None] * uy - y[:, None] * ux
    x, y = (end - one.centre_mm).T
    along_b = x[:, None] * ux + y[:, None] * uy
    off_b = x[:, None] * uy - y[:, None] * ux
    beside = ((off_a > wide) & (off_b > wide)) | ((off_a < -wide) & (off_b < -wide))
    past = ((along_a < -wide) & (along_b < -wide)) | (
        (along_a > length + wide) & (along_b > length + wide)
    )
    across = ((off_a > wide) & (off_b < -wide)) | ((off_a < -wide) & (off_b > wide))
    drop = off_a - off_b
    meets = along_a + (along_b - along_a) * off_a / np.where(drop == 0.0, 1.0, drop)
    # The crossing moves along the bundle as the ray swings from edge to edge of it.
    slack = wide * (1.0 + np.abs((along_b - along_a) / np.where(drop == 0.0, 1.0, drop)))
    hidden = across & (meets > slack) & (meets < length - slack)
    missed = across & ((meets < -slack) | (meets > length + slack))
    state = np.full(length.shape, SOME, dtype=np.int8)
    state[hidden] = HIDDEN
    state[beside | past | missed] = CLEAR
    return state


def _meetings(a: Floats, *, b: Floats, start: Floats, end: Floats) -> Floats:
    """Share of the way from a to b at which rays cross a foot line; nan where they do not."""
    ray = b - a
    step = end - start
    offset = start - a
    cross = ray[..., 0] * step[1] - ray[..., 1] * step[0]
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (offset[..., 0] * step[1] - offset[..., 1] * step[0]) / cross
        across = (offset[..., 0] * ray[..., 1] - offset[..., 1] * ray[..., 0]) / cross
    met = (along > GRAZE) & (along < 1.0 - GRAZE) & (across >= 0.0) & (across <= 1.0)
    return np.where(met, along, np.nan)


def _heights(viewers: Viewers, *, shift: int) -> Floats:
    """Heights of the rays in every layer, (SPOTS, L)."""
    place = ((np.arange(SPOTS) * 7 + shift) % SPOTS + 0.5) / SPOTS
    return viewers.low_mm + place[:, None] * (viewers.high_mm - viewers.low_mm)


def visible(one: Viewers, *, other: Viewers, screens: Screens) -> Floats:
    """Give the share of rays between faces that no screen stops.

    Parameters
    ----------
    one, other
        I and J faces with L and M layers.
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
            _bundle(one, other=other, start=start, end=end)
            for start, end in zip(screens.start_mm, screens.end_mm, strict=True)
        ]
    )
    hidden = ((states == HIDDEN) & whole[:, None, None]).any(axis=0)
    unsettled = (states != CLEAR).any(axis=0) & ~hidden
    layers = (1, 1) if whole.all() else (len(one.low_mm), len(other.low_mm))
    shares = np.ones((*hidden.shape, *layers))
    shares[hidden] = 0.0
    first, second = np.nonzero(unsettled)
    step = max(1, CHUNK // (SPOTS * layers[0] * layers[1]))
    for begin in range(0, len(first), step):
        part = slice(begin, begin + step)
        i, j = first[part], second[part]
        shares[i, j] = _sampled(
            one, i=i, other=other, j=j, screens=screens, states=states[:, i, j], whole=whole,
            layers=layers,
        )
    return shares.transpose(0, 2, 1, 3)


def _sampled(
    one: Viewers,
    *,
    i: Ints,
    other: Viewers,
    j: Ints,
    screens: Screens,
    states: NDArray[np.int8],
    whole: Bools,
    layers: tuple[int, int],
) -> Floats:
    """Share of rays that get through for pairs of faces, (P, L, M)."""
    a, b = one.spot_mm[i], other.spot_mm[j][:, _PARTNER]
    rises, falls = _heights(one, shift=3), _heights(other, shift=9)
    passes = np.ones((len(i), SPOTS, *layers), dtype=np.bool_)
    for number in np.flatnonzero((states != CLEAR).any(axis=1)):
        met = _meetings(a, b=b, start=screens.start_mm[number], end=screens.end_mm[number])
        if whole[number]:
            passes &= np.isnan(met)[:, :, None, None]
            continue
        share = met[..., None, None]
        height = (1.0 - share) * rises[:, :, None] + share * falls[:, None, :]
        passes &= ~((height > screens.low_mm[number]) & (height < screens.high_mm[number]))
    return np.asarray(passes.mean(axis=1))


def lit(points_mm: Floats, *, at: Floats, screens: Screens) -> Bools:
    """Tell which points (P, 3) are seen from one place past the screens."""
    clear = np.ones(len(points_mm), dtype=np.bool_)
    for start, end, low, high in zip(
        screens.start_mm, screens.end_mm, screens.low_mm, screens.high_mm, strict=True
    ):
        met = _meetings(at[:2], b=points_mm[:, :2], start=start, end=end)
        height = at[2] + met * (points_mm[:, 2] - at[2])
        clear &= ~((height >= low) & (height <= high))
    return clear
