"""What faces see of one another past baffles and inner corners of the outline.

Walls and baffles are upright, so a ray is hidden when it crosses the foot line of one in plan and
its height there lies between the lower and upper edge. How two faces fan out, seen from both ends
of a foot line, tells at once whether none of their rays meets it or all do; only the others are
followed singly.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.uprights import TOUCH_MM
from lamphouse.record import Record, replace

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Singles = NDArray[np.float32]

RAYS = 16
"""Rays between two faces, a power of two. A face sees hundreds of others, whose chance errors
cancel; with 8 a slit of 2 mm over a baffle lets 2 percent too much through."""

CHUNK = 8_000
"""Rays times layers worked on at once: small arrays stay in the processor's cache."""


class Screens(Record):
    """Upright walls that hide things."""

    start_mm: Floats
    """(H, 2)."""
    end_mm: Floats
    """(H, 2)."""
    low_mm: Floats
    """(H,)."""
    high_mm: Floats
    """(H,)."""

    def take(self, which: Sequence[int] | Ints) -> "Screens":
        """Keep some of them."""
        return Screens(
            start_mm=self.start_mm[which],
            end_mm=self.end_mm[which],
            low_mm=self.low_mm[which],
            high_mm=self.high_mm[which],
        )

    def reach_over(self, *, low_mm: float, high_mm: float) -> bool:
        """Whether every screen is as high as a slice of the box."""
        return bool(
            np.all(self.low_mm <= low_mm + SAME_LINE_MM)
            and np.all(self.high_mm >= high_mm - SAME_LINE_MM)
        )


class Viewers(Record):
    """Faces as seen in plan, each with the same layers in height."""

    spot_mm: Floats
    """(I, RAYS, 2) points spread evenly over each face, where rays start and end."""
    low_mm: Floats
    """(L,) lower edges of the layers; level faces have layers of no height."""
    high_mm: Floats
    """(L,)."""


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


def level_viewers(corner_mm: Floats, *, height_mm: Sequence[float]) -> Viewers:
    """Look from or at level faces (I, v, 2) at one height or several."""
    height = np.asarray(height_mm)
    return Viewers(spot_mm=polygon_spots(corner_mm), low_mm=height, high_mm=height)


def wall_viewers(foot_mm: Floats, *, height_mm: Floats) -> Viewers:
    """Look from or at columns, a hair in front of them."""
    start, step = foot_mm[:, 0], foot_mm[:, 1] - foot_mm[:, 0]
    length = np.hypot(step[:, 0], step[:, 1])
    hair = 1e-6 * np.stack([-step[:, 1], step[:, 0]], axis=1) / length[:, None]
    along = (np.arange(RAYS) + 0.5) / RAYS
    return Viewers(
        spot_mm=(start + hair)[:, None] + along[None, :, None] * step[:, None],
        low_mm=height_mm[:-1],
        high_mm=height_mm[1:],
    )


GRAZE = 1e-9
"""A ray that ends on a wall is not stopped by it, rounding included."""

SAME_LINE_MM = 1e-7
"""Edges at heights this near are one height."""

SEAM_MM = 1e-5
"""A screen reaches this much farther, so that single precision opens no seam at its ends."""


class _Fan(Record):
    """How far faces on one side of a foot line fan out as its two ends see them.

    A point lies at ``t = along / across`` of an end. The ray between points on either side passes
    beyond that end when the one in front has the greater ``t``; so the least and greatest ``t`` of
    two faces tell whether all their rays pass alike.
    """

    face: Ints
    """(P,) the faces with points on this side."""
    least: Floats
    """(2, P) for both ends."""
    most: Floats
    """(2, P)."""
    whole: Bools
    """(P,) whether all points of the face are on this side."""


def _fan(along: Floats, *, across: Floats, half: float, ahead: bool) -> _Fan:
    """Fan out the points (RAYS, I) that lie in front of a foot line, or behind it."""
    own = across > 0.0 if ahead else across < 0.0
    face = np.flatnonzero(own.any(axis=0))
    own, along, over = own[:, face], along[:, face], across[:, face]
    whole = np.asarray(own.all(axis=0))
    some = not whole.all()
    if some:
        over[~own] = 1.0
    np.divide(1.0, over, out=over)
    least, most = np.zeros((2, len(face))), np.zeros((2, len(face)))
    for end, shift in enumerate((half, -half)):
        turn = along + shift
        turn *= over
        if some:
            turn[~own] = np.inf
        turn.min(axis=0, out=least[end])
        if some:
            turn[~own] = -np.inf
        turn.max(axis=0, out=most[end])
    return _Fan(face=face, least=least, most=most, whole=whole)


class Aimed(Record):
    """Points of faces along and across the foot line of a screen, from its middle."""

    along_mm: Singles
    """(I, RAYS)."""
    across_mm: Singles
    """(I, RAYS)."""
    ahead: _Fan
    """The points in front of the line."""
    behind: _Fan

    def partners(self) -> tuple[Singles, Singles]:
        """Give along and across of the points that rays from other faces end on."""
        return self.along_mm[:, _PARTNER], self.across_mm[:, _PARTNER]


def aimed(viewers: Viewers, *, screens: Screens) -> tuple[Aimed, ...]:
    """Lay faces out along the foot line of every screen."""
    spot_x, spot_y = (np.ascontiguousarray(viewers.spot_mm[..., axis].T) for axis in range(2))
    found = []
    for start, end in zip(screens.start_mm, screens.end_mm, strict=True):
        step, (middle_x, middle_y) = end - start, (start + end) / 2.0
        length = float(np.hypot(step[0], step[1]))
        unit_x, unit_y = step / length
        x, y = spot_x - middle_x, spot_y - middle_y
        along, across = x * unit_x + y * unit_y, unit_x * y - unit_y * x
        ahead, behind = (
            _fan(along, across=across, half=length / 2.0, ahead=side) for side in (True, False)
        )
        found.append(
            Aimed(
                along_mm=along.T.astype(np.float32, order="C"),
                across_mm=across.T.astype(np.float32, order="C"),
                ahead=ahead,
                behind=behind,
            )
        )
    return tuple(found)


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


def _unsettled(front: _Fan, *, behind: _Fan) -> tuple[Bools, Bools]:
    """Tell which pairs have rays that a foot line meets, and which have only such, (P, Q)."""
    low, high = front.least[:, :, None], front.most[:, :, None]
    lower, higher = behind.least[:, None], behind.most[:, None]
    meets = (high[0] >= lower[0]) & (low[1] <= higher[1])
    only = (low[0] >= higher[0]) & (high[1] <= lower[1])
    only &= front.whole[:, None] & behind.whole
    return meets, only


class Crossing(Record):
    """The foot line of a screen and the pairs of faces it comes between, I and J of them."""

    mine: Aimed
    along_mm: Singles
    """(J, RAYS) of the others, where the rays end."""
    across_mm: Singles
    half_mm: float
    pair: Ints
    """(P,) ``i J + j``, with rays that meet the foot line."""
    hidden: Ints
    """(Q,) pairs all of whose rays do."""

    def met(self, *, i: Ints, j: Ints) -> tuple[Bools, Singles]:
        """Whether the rays of pairs meet the foot line, and at which share of their way."""
        from_a, from_b = self.mine.across_mm[i], self.across_mm[j]
        apart = from_a * from_b < 0.0
        from_b -= from_a
        share = np.divide(from_a, -from_b, out=np.zeros_like(from_a), where=apart)
        along = self.mine.along_mm[i]
        place = self.along_mm[j]
        place -= along
        place *= share
        place += along
        apart &= np.abs(place) <= self.half_mm + SEAM_MM
        return apart, share


def crossings(
    mine: Sequence[Aimed],
    *,
    theirs: Sequence[Aimed],
    screens: Screens,
    facing: Bools | None = None,
) -> tuple[Crossing, ...]:
    """Find the pairs of faces that the foot line of every screen comes between.

    Those that do not face each other, where that is known (I, J), are left out.
    """
    half_mm = np.hypot(*(screens.end_mm - screens.start_mm).T) / 2.0
    return tuple(
        _crossing(here, theirs=there, half_mm=half, facing=facing)
        for here, there, half in zip(mine, theirs, half_mm.tolist(), strict=True)
    )


def _crossing(mine: Aimed, *, theirs: Aimed, half_mm: float, facing: Bools | None) -> Crossing:
    along, across = theirs.partners()
    count, same = len(along), mine is theirs
    pairs: list[Ints] = []
    hidden: list[Ints] = []
    for ahead in (True,) if same else (True, False):
        front, behind = (mine.ahead, theirs.behind) if ahead else (theirs.ahead, mine.behind)
        for found, kept in zip(_unsettled(front, behind=behind), (pairs, hidden), strict=True):
            row, column = np.nonzero(found)
            i, j = front.face[row], behind.face[column]
            if same:
                i, j = np.maximum(i, j), np.minimum(i, j)
            elif not ahead:
                i, j = j, i
            pair = i * count + j
            kept.append(pair if facing is None else pair[facing.ravel()[pair]])
    return Crossing(
        mine=mine,
        along_mm=along,
        across_mm=across,
        half_mm=half_mm,
        pair=np.concatenate(pairs),
        hidden=np.concatenate(hidden),
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
        # Crossed where 0 < reach / turn < 1 and 0 <= along / turn <= 1, without dividing.
        reach = np.broadcast_to(way * reach, clear.shape)
        met = turn * (1.0 - GRAZE) > reach
        met &= along >= 0.0
        met &= along <= turn
        rows = np.flatnonzero(met)
        height = base[rows] + reach[rows] / turn[rows] * rise[rows]
        clear[rows[(height >= low) & (height <= high)]] = False
    return clear
