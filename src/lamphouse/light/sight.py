"""What faces see of one another past baffles and inner corners of the outline.

Walls and baffles are upright, so a ray is hidden when it crosses the foot line of one in plan and
its height there lies between the lower and upper edge.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.crossings import GRAZE, Aimed, Crossing, aimed, crossings
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.light.viewers import (
    RAYS,
    SAME_LINE_MM,
    Screens,
    Viewers,
    level_viewers,
    wall_viewers,
)
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Singles = NDArray[np.float32]

CHUNK = 8_000
"""Rays times layers worked on at once: small arrays stay in the processor's cache."""


class Sight(Record):
    """Shares of the rays between faces that get through, 0 to 1."""

    plain: bool
    """Whether every screen reaches over the whole cavity, so that height plays no part."""
    plates: Singles
    """(C, C) floor to ceiling."""
    floor: Singles
    """(Z, C, K) floor to wall patches, or with one layer for all."""
    ceiling: Singles
    """(Z, C, K)."""
    walls: Singles
    """(Z, Z, K, K)."""


class PlanSight(Record):
    """The cells and columns of a box in plan, laid out along its screens."""

    screens: Screens
    cell_spot_mm: Floats
    """(C, RAYS, 2)."""
    column_spot_mm: Floats
    """(K, RAYS, 2)."""
    cells: tuple[Aimed, ...]
    """By screen."""
    columns: tuple[Aimed, ...]

    def reaching(self, *, low_mm: float, high_mm: float) -> list[int]:
        """List the screens that reach into a slice of the box."""
        low, high = self.screens.low_mm, self.screens.high_mm
        inside = (low < high_mm - TOUCH_MM) & (high > low_mm + TOUCH_MM)
        return [int(number) for number in np.flatnonzero(inside)]

    def take(self, which: Sequence[int]) -> "PlanSight":
        """Keep some of the screens."""
        return replace(
            self,
            screens=self.screens.take(which),
            cells=tuple(self.cells[number] for number in which),
            columns=tuple(self.columns[number] for number in which),
        )

    def level(self, *height_mm: float) -> Viewers:
        """Look from or at the cells at one height or several."""
        height = np.array(height_mm)
        return Viewers(spot_mm=self.cell_spot_mm, low_mm=height, high_mm=height)

    def upright(self, height_mm: Floats) -> Viewers:
        """Look from or at the columns between heights."""
        return Viewers(spot_mm=self.column_spot_mm, low_mm=height_mm[:-1], high_mm=height_mm[1:])


def plan_sight(corner_mm: Floats, *, foot_mm: Floats, screens: Screens) -> PlanSight:
    """Lay out cells (C, v, 2) and columns (K, 2, 2) along screens."""
    cells = level_viewers(corner_mm, height_mm=(0.0,))
    columns = wall_viewers(foot_mm, height_mm=np.zeros(2))
    return PlanSight(
        screens=screens,
        cell_spot_mm=cells.spot_mm,
        column_spot_mm=columns.spot_mm,
        cells=aimed(cells, screens=screens),
        columns=aimed(columns, screens=screens),
    )


def _heights(viewers: Viewers, *, shift: int) -> Singles:
    """Heights of the rays in every layer, (RAYS, L)."""
    place = ((np.arange(RAYS) * 7 + shift) % RAYS + 0.5) / RAYS
    heights = viewers.low_mm + place[:, None] * (viewers.high_mm - viewers.low_mm)
    return heights.astype(np.float32)


def visible(
    one: Viewers,
    *,
    other: Viewers,
    screens: Screens,
    met: Sequence[Crossing] | None = None,
    opposite: bool = False,
) -> Singles:
    """Give the share of rays between faces that no screen stops.

    Parameters
    ----------
    one, other
        I and J faces with L and M layers; the same record for faces that look at one another.
    screens
        Upright walls.
    met
        What :func:`crossings` gives for them, where it is known already.
    opposite
        Whether the first layer looks at the last alone, the second at the last but one, and so on.

    Returns
    -------
    Singles
        (L, M, I, J), with ``opposite`` (L, 1, I, J), or (1, 1, I, J) when every screen reaches over
        all layers.
    """
    rows, columns = len(one.spot_mm), len(other.spot_mm)
    lowest = min(one.low_mm.min(), other.low_mm.min())
    highest = max(one.high_mm.max(), other.high_mm.max())
    full: list[Crossing] = []
    part: list[tuple[Crossing, float, float]] = []
    hidden, touched = (np.zeros(rows * columns, dtype=np.bool_) for _ in range(2))
    if met is None:
        mine = aimed(one, screens=screens)
        theirs = mine if one is other else aimed(other, screens=screens)
        met = crossings(mine, theirs=theirs, screens=screens)
    for crossing, low, high in zip(
        met, screens.low_mm.tolist(), screens.high_mm.tolist(), strict=True
    ):
        touched[crossing.pair] = True
        if low <= lowest + SAME_LINE_MM and high >= highest - SAME_LINE_MM:
            hidden[crossing.hidden] = True
            full.append(crossing)
        else:
            part.append((crossing, low, high))
    touched &= ~hidden
    pair = np.flatnonzero(touched)
    number = np.zeros(rows * columns, dtype=np.int32)
    number[pair] = np.arange(len(pair))
    stopped = np.zeros((len(pair), RAYS), dtype=np.bool_)
    for crossing in full:
        own = crossing.pair[touched[crossing.pair]]
        _stop(stopped, crossing=crossing, pair=own, number=number, columns=columns)
    rises, falls = _heights(one, shift=3)[:, :, None, None], _heights(other, shift=9)
    falls = falls[:, ::-1, None, None] if opposite else falls[:, None, :, None]
    layers = np.broadcast_shapes(rises.shape, falls.shape)[1:3] if part else (1, 1)
    shares = np.ones((*layers, rows * columns), dtype=np.float32)
    if full:
        through = 1.0 - stopped.view(np.uint8).sum(axis=1, dtype=np.uint8) / RAYS
        shares[..., pair] = through.astype(np.float32)
    if part:
        lists = [number[own.pair[touched[own.pair]]] for own, _, _ in part]
        _lower(
            shares,
            pair=pair,
            columns=columns,
            rises=rises,
            falls=falls,
            stopped=stopped,
            part=part,
            lists=lists,
        )
    shares[..., hidden] = 0.0
    shares = shares.reshape(*layers, rows, columns)
    if one is other:
        # Only pairs with the greater number first have been looked at.
        back = shares[::-1] if opposite else shares.transpose(1, 0, 2, 3)
        return np.minimum(shares, back.transpose(0, 1, 3, 2))
    return shares


def looked_at(
    eyes: Viewers, *, plan: PlanSight, level_mm: float, height_mm: Floats, facing: Bools
) -> tuple[Singles, Singles]:
    """Give what some faces see of the cells at a height, and of wall patches between heights.

    (I, C), and (Z, I, K) or (1, I, K) when every screen reaches over all layers. ``facing`` (I, K)
    tells which columns they face; what they see of others is not looked for.
    """
    mine = aimed(eyes, screens=plan.screens)
    plates, walls = (
        visible(
            eyes,
            other=other,
            screens=plan.screens,
            met=crossings(mine, theirs=theirs, screens=plan.screens, facing=which),
        )
        for other, theirs, which in (
            (plan.level(level_mm), plan.cells, None),
            (plan.upright(height_mm), plan.columns, facing),
        )
    )
    return plates[0, 0], walls[0]


def _stop(
    stopped: Bools, *, crossing: Crossing, pair: Ints, number: NDArray[np.int32], columns: int
) -> None:
    """Mark the rays of pairs ``i J + j`` that a screen over all layers stops."""
    for begin in range(0, len(pair), CHUNK // RAYS):
        chunk = pair[begin : begin + CHUNK // RAYS]
        met, _ = crossing.met(i=chunk // columns, j=chunk % columns)
        stopped[number[chunk]] |= met


def _lower(
    shares: Singles,
    *,
    pair: Ints,
    columns: int,
    rises: Singles,
    falls: Singles,
    stopped: Bools,
    part: Sequence[tuple[Crossing, float, float]],
    lists: Sequence[NDArray[np.int32]],
) -> None:
    """Take away from pairs ``i J + j``, layer by layer, what screens of part height stop.

    Rays come first and pairs last in all arrays, so that the innermost loops are long.
    """
    marks = np.zeros((len(part), len(pair)), dtype=np.bool_)
    for mark, own in zip(marks, lists, strict=True):
        mark[own] = True
    alone = marks.sum(axis=0) == 1
    groups = [([screen], mark & alone) for screen, mark in zip(part, marks, strict=True)]
    groups.append((list(part), marks.any(axis=0) & ~alone))
    step = max(1, 2 * CHUNK // (shares.shape[0] * shares.shape[1]))
    for together, chosen in groups:
        touched = np.flatnonzero(chosen)
        for begin in range(0, len(touched), step):
            rows = touched[begin : begin + step]
            looked = pair[rows]
            stop: Bools = stopped[rows].T[:, None, None]
            for crossing, low, high in together:
                met, share = crossing.met(i=looked // columns, j=looked % columns)
                share = np.ascontiguousarray(share.T)[:, None, None]
                rise = (1.0 - share) * rises
                np.copyto(rise, np.inf, where=~met.T[:, None, None])
                stop = stop | _between(low, high, rise=rise, fall=share * falls)
            free = RAYS - stop.view(np.uint8).sum(axis=0, dtype=np.uint8)
            shares[..., looked] = free * np.float32(1.0 / RAYS)


def _between(low_mm: float, high_mm: float, *, rise: Singles, fall: Singles) -> Bools:
    """Tell which rays, their height the sum of two parts, are between two heights."""
    stop: Bools = fall < high_mm - rise
    if low_mm > 0.0:
        stop &= fall > low_mm - rise
    return stop


def lit(points_mm: Floats, *, at: Floats, screens: Screens) -> Bools:
    """Tell which points (P, 3) are seen past the screens, from one place (3,) or each from its own.

    Parameters
    ----------
    points_mm
        (P, 3).
    at
        (3,) or (P, 3).
    screens
        Upright walls.
    """
    clear = np.ones(len(points_mm), dtype=np.bool_)
    x, y, rise = (points_mm - at).T
    base = np.broadcast_to(at[..., 2], clear.shape)
    for start, end, low, high in zip(
        screens.start_mm, screens.end_mm, screens.low_mm, screens.high_mm, strict=True
    ):
        step, offset = end - start, start - at[..., :2]
        reach = offset[..., 0] * step[1] - offset[..., 1] * step[0]
        # Only rays that turn towards the line can meet it.
        way = np.sign(reach)
        turn = x * (way * step[1]) - y * (way * step[0])
        along = y * (way * offset[..., 0]) - x * (way * offset[..., 1])
        # Crossed where 0 < reach / turn < 1 and 0 <= along / turn <= 1, without dividing; neither
        # end lies on the line, rounding included.
        reach = np.broadcast_to(way * reach, clear.shape)
        met = turn * (1.0 - GRAZE) > reach
        met &= reach > turn * GRAZE
        met &= along >= 0.0
        met &= along <= turn
        rows = np.flatnonzero(met)
        height = base[rows] + reach[rows] / turn[rows] * rise[rows]
        clear[rows[(height >= low) & (height <= high)]] = False
    return clear


def seen_between(
    places_mm: Floats, *, others_mm: Floats, asked: Bools, screens: Screens
) -> tuple[Ints, Ints]:
    """Give the pairs of two sets of places that see one another past the screens.

    Parameters
    ----------
    places_mm, others_mm
        (3, P) and (3, T).
    asked
        (P, T) the pairs asked for.
    screens
        Upright walls.
    """
    clear, (sx, sy) = asked.copy(), screens.start_mm.T[:, :, None]
    across, up = (screens.end_mm - screens.start_mm).T[:, :, None]
    # How far each place lies to one side of the line of each screen, times its length.
    aside, theirs = (
        (sx - place[0]) * up - (sy - place[1]) * across for place in (places_mm, others_mm)
    )
    parted = (aside > 0.0)[:, :, None] != (theirs > 0.0)[:, None]
    parted &= asked
    rows = np.flatnonzero(parted)
    screen, pair = np.divmod(rows, asked.size)
    one, other = np.divmod(pair, asked.shape[1])
    if len(screen):
        x, y, z = places_mm.take(one, axis=1)
        dx, dy, rise = others_mm.take(other, axis=1) - places_mm.take(one, axis=1)
        reach = aside[screen, one]
        turn = reach - theirs[screen, other]
        along = dy * (screens.start_mm[screen, 0] - x) - dx * (screens.start_mm[screen, 1] - y)
        # Neither end lies on the line, rounding included; see ``lit``.
        share, place = reach / turn, along / turn
        met = (share > GRAZE) & (share < 1.0 - GRAZE) & (place >= 0.0) & (place <= 1.0)
        height = z + share * rise
        met &= (height >= screens.low_mm[screen]) & (height <= screens.high_mm[screen])
        clear[one[met], other[met]] = False
    one, other = clear.nonzero()
    return one, other
