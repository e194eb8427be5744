"""Light through narrow slits, by straight lines.

What two faces exchange through a narrow slit is an integral over the slit, not over the faces: each
of its points joins, along every straight line through it, one face on either side. Lines evenly
spread over the slit and over directions by the cosine [EVEN-STEPS] each carry an equal part of the
slit's area, so that what passes it adds up to the slit, however narrow. For what faces see of one
another besides, the slit counts as closed. An opening is asked the other way round: lines from its
spots, evenly spread over the part of their sky that the slit takes up.
"""

from collections.abc import Sequence
from math import pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.even_steps import even_points
from lamphouse.light.face_rays import LOST, Slice, meet
from lamphouse.light.slits import Slit
from lamphouse.light.uprights import TOUCH_MM
from lamphouse.light.viewers import Screens, polygon_spots
from lamphouse.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Singles = NDArray[np.float32]

LINES = 1 << 14
"""Straight lines through one slit."""

BALANCINGS = 8
"""Times that lines are weighed for what is missing at their faces."""

LEAST_LEFT = 0.25
"""What is left of what the lines carry to a face, at least."""

CHANCE = 5.0
"""Lines that a small face may miss, or have too many."""

EYE_LINES, FEWEST_EYE_LINES, MOST_EYE_LINES = 1 << 15, 16, 512
"""Lines from all spots of an opening to one slit, about; those from each at least and at most."""

TINY = 1e-12
"""Share of the sky that counts as none."""

_TURNS = np.linspace(-pi / 2.0, pi / 2.0, 8001)[1:-1]
_STEPS = 4096
_TANGENTS = np.interp(
    np.linspace(-pi / 4.0, pi / 4.0, _STEPS + 1),
    (_TURNS + np.sin(_TURNS) * np.cos(_TURNS)) / 2.0,
    np.tan(_TURNS),
)
"""Tangents of directions along a strip of sky between which light from it counts alike."""


class _Frame(Record):
    """The upright plane of a slit."""

    start_mm: Floats
    """(2,) where its foot line starts."""
    along: Floats
    """(2,) unit direction of its foot line."""
    ahead: Floats
    """(2,) unit normal."""


def _frame(slit: Slit) -> _Frame:
    start, end = np.array(slit.wall.start_mm), np.array(slit.wall.end_mm)
    along = (end - start) / slit.wall.length_mm
    return _Frame(start_mm=start, along=along, ahead=np.array([-along[1], along[0]]))


def closed(screens: Screens, *, slits: Sequence[Slit]) -> Screens:
    """Let baffles reach over the narrow slits over and under them."""
    low, high = screens.low_mm.copy(), screens.high_mm.copy()
    for slit in slits:
        own = np.abs(screens.start_mm - slit.wall.start_mm).max(axis=1) < TOUCH_MM
        own &= np.abs(screens.end_mm - slit.wall.end_mm).max(axis=1) < TOUCH_MM
        under = own & (np.abs(screens.low_mm - slit.high_mm) < TOUCH_MM)
        over = own & (np.abs(screens.high_mm - slit.low_mm) < TOUCH_MM)
        low[under], high[over] = slit.low_mm, slit.high_mm
    return Screens(start_mm=screens.start_mm, end_mm=screens.end_mm, low_mm=low, high_mm=high)


def _passes(slit: Slit, *, start_mm: Floats, end_mm: Floats) -> Bools:
    """Tell which straight lines between places (P, 3) go through a slit."""
    frame = _frame(slit)
    here, there = ((place[:, :2] - frame.start_mm) @ frame.ahead for place in (start_mm, end_mm))
    across = here * there < 0.0
    share = np.where(across, here, 0.0) / np.where(across, here - there, 1.0)
    place = start_mm + share[:, None] * (end_mm - start_mm)
    along = (place[:, :2] - frame.start_mm) @ frame.along
    inside = (along > 0.0) & (along < slit.wall.length_mm)
    inside &= (place[:, 2] > slit.low_mm) & (place[:, 2] < slit.high_mm)
    return np.asarray(across & inside)


class _Drawn(Record):
    """Straight lines through slits, each from one face to another."""

    one: Ints
    """(P,)."""
    other: Ints
    """(P,)."""
    weight: Floats
    """(P,) what each exchanges. [mm2]."""

    def sums(self, factor: Floats, *, weight: Floats | None = None) -> Floats:
        """Add up at every face (N,) what its lines carry, times factors (N,) at both ends."""
        carried = (self.weight if weight is None else weight) * factor[self.one]
        carried *= factor[self.other]
        count = len(factor)
        one, other = (np.bincount(own, carried, minlength=count) for own in (self.one, self.other))
        return np.asarray(one + other, dtype=np.float64)


def _drawn(slits: Sequence[Slit], *, part: Slice, lines: int) -> _Drawn:
    """Draw lines through the slits of one cavity."""
    ones, others, weights = [], [], []
    for slit in slits:
        frame = _frame(slit)
        along, up, tilt, turn = even_points(lines, dimensions=4).T
        foot = frame.start_mm + (along * slit.wall.length_mm)[:, None] * frame.along
        place = np.column_stack([foot, slit.low_mm + up * slit.width_mm])
        sine = np.sqrt(tilt)
        aside, rise = sine * np.cos(2.0 * pi * turn), sine * np.sin(2.0 * pi * turn)
        level = np.sqrt(1.0 - tilt)[:, None] * frame.ahead + aside[:, None] * frame.along
        way = np.column_stack([level, rise])
        one, other = (meet(part, start_mm=place, way=side * way) for side in (1.0, -1.0))
        # A line through several slits is drawn at each: it counts by how densely they all do.
        dense = np.full(lines, lines / slit.area_mm2)
        for rival in slits:
            if rival is not slit:
                passed = _passes(rival, start_mm=one.place_mm, end_mm=other.place_mm)
                dense += passed * lines / rival.area_mm2
        kept = (one.face != LOST) & (other.face != LOST)
        ones.append(one.face[kept] - part.first)
        others.append(other.face[kept] - part.first)
        weights.append(1.0 / dense[kept])
    return _Drawn(
        one=np.concatenate(ones), other=np.concatenate(others), weight=np.concatenate(weights)
    )


def _balanced(drawn: _Drawn, *, missing: Floats, areas: Floats) -> Floats:
    """Weigh lines so that they carry at each face what is missing there, (P,). [mm2].

    What is missing (N,) is no better known than what screens hide is, nor what the lines carry than
    chance has them: between both each face wants the mean, by how sure they are. How sure the first
    is, is seen at the faces that the slits hardly concern.
    """
    every = np.ones(len(areas))
    sums, square = drawn.sums(every), drawn.sums(every, weight=drawn.weight**2)
    off = missing - sums
    far = sums <= np.median(sums / areas) * areas
    unsure2 = np.mean((off[far] / areas[far]) ** 2) * areas**2
    lit = sums > 0.0
    wanted = sums + off * square / np.where(lit, square + unsure2, 1.0)
    np.maximum(wanted, LEAST_LEFT * sums, out=wanted)
    # Whatever is missing at faces that no line meets, all lines together fill the slits.
    wanted *= sums.sum() / wanted.sum()
    factor = every
    for _ in range(BALANCINGS):
        factor = factor * np.sqrt(wanted / np.where(lit, drawn.sums(factor), 1.0))
    return drawn.weight * factor[drawn.one] * factor[drawn.other]


def add_lines(
    tables: Sequence[Singles],
    *,
    areas: Sequence[Floats],
    slits: Sequence[Slit],
    parts: Sequence[Slice],
    lines: int = LINES,
) -> list[Floats]:
    """Add what faces exchange through narrow slits, in place.

    Parameters
    ----------
    tables
        One symmetric (N, N) for each cavity, the slits closed. [mm2].
    areas
        (N,) of its faces. [mm2].
    slits
        Narrow slits.
    parts
        The faces of each cavity, laid out for rays.
    lines
        Through each slit.

    Returns
    -------
    list of Floats
        (N,) for each cavity: what may be missing at a face for chance, a few lines' worth. [mm2].
    """
    spare = [np.zeros(len(area)) for area in areas]
    for number, (table, area, part) in enumerate(zip(tables, areas, parts, strict=True)):
        own = [slit for slit in slits if slit.cavity == number]
        if not own:
            continue
        drawn, count = _drawn(own, part=part, lines=lines), len(area)
        missing = area - table.sum(axis=1, dtype=np.float64)
        weight = _balanced(drawn, missing=missing, areas=area)
        pairs, place = np.unique(drawn.one * count + drawn.other, return_inverse=True)
        row, column = np.divmod(pairs, count)
        added = np.bincount(place, weight)
        table[row, column] += added
        table[column, row] += added
        spare[number][:] = CHANCE * drawn.weight.max()
    return spare


class _Sky(Record):
    """The part of the sky of places on a level face that a slit takes up, and lines into it."""

    way: Floats
    """(P, 3) to a place in the slit. [mm]."""
    share: Floats
    """(P,) of what reaches the place from all sides."""


def _swept(tangent: Floats) -> Floats:
    """Give what of a strip of sky lies before directions along it, by their tangents (P,)."""
    return np.asarray((np.arctan(tangent) + tangent / (1.0 + tangent * tangent)) / 2.0)


def _tangent(swept: Floats) -> Floats:
    """Undo ``_swept``."""
    place = (swept + pi / 4.0) * (_STEPS / (pi / 2.0))
    low = np.clip(place.astype(np.int64), 0, _STEPS - 1)
    start = _TANGENTS[low]
    return np.asarray(start + (place - low) * (_TANGENTS[low + 1] - start))


def _sky(slit: Slit, *, foot_mm: Floats, height_mm: float, picks: Floats) -> _Sky:
    """Draw a line from each place (P, 2) at a height to the slit, by picks (2, P) from 0 to 1.

    Seen in the plane square to the slit, at an angle from the place's normal, light counts by the
    sine it sweeps; along the slit, by what ``_swept`` tells.
    """
    frame = _frame(slit)
    offset = foot_mm - frame.start_mm
    along, across = offset @ frame.along, offset @ frame.ahead
    apart = np.maximum(np.abs(across), TOUCH_MM)
    near, far = sorted((abs(slit.low_mm - height_mm), abs(slit.high_mm - height_mm)))
    least = apart / np.hypot(apart, far)
    span = apart / np.hypot(apart, near) - least
    straight = apart / (least + picks[0] * span)
    first, last = (_swept((end - along) / straight) for end in (0.0, slit.wall.length_mm))
    last -= first
    aside = straight * _tangent(first + picks[1] * last)
    rise = np.sqrt(np.maximum(straight**2 - apart**2, 0.0))
    rise = np.clip(rise, near, far)
    if slit.high_mm < height_mm + TOUCH_MM:
        rise = -rise
    (ax, ay), (nx, ny) = frame.along, frame.ahead
    return _Sky(
        way=np.column_stack([aside * ax - across * nx, aside * ay - across * ny, rise]),
        share=span * last / pi,
    )


def seen_through(
    spots: Floats, *, height_mm: float, slits: Sequence[Slit], part: Slice, count: int
) -> Floats:
    """Share of the light sent out by each face that level spots get through narrow slits, (S, N).

    Parameters
    ----------
    spots
        (S, v, 2) convex.
    height_mm
        Of the spots: floor or ceiling of a cavity.
    slits
        Those of the cavity.
    part
        Its faces, laid out for rays.
    count
        Faces of the box N.
    """
    rays = min(max(EYE_LINES // len(spots), FEWEST_EYE_LINES), MOST_EYE_LINES)
    rows = np.zeros((len(spots), count))
    points = even_points(len(spots) * rays, dimensions=4)
    foot = polygon_spots(spots, spread=points[:, :2].reshape(len(spots), rays, 2)).reshape(-1, 2)
    picks = np.ascontiguousarray(points[:, 2:].T)
    place = np.column_stack([foot, np.full(len(foot), height_mm)])
    spot = np.repeat(np.arange(len(spots)), rays)
    skies = [_sky(slit, foot_mm=foot, height_mm=height_mm, picks=picks) for slit in slits]
    for slit, sky in zip(slits, skies, strict=True):
        end = meet(part, start_mm=place, way=sky.way)
        ahead = ((end.place_mm - place - sky.way) * sky.way).sum(axis=1) > TOUCH_MM
        kept = ahead & (end.face != LOST) & (sky.share > TINY)
        # A line through several slits is drawn at each: it counts by how densely they all do.
        dense = 1.0 / sky.share[kept]
        for rival, other in zip(slits, skies, strict=True):
            if rival is not slit:
                passed = _passes(rival, start_mm=place[kept], end_mm=end.place_mm[kept])
                dense[passed] += 1.0 / np.maximum(other.share[kept][passed], TINY)
        rows += np.bincount(
            spot[kept] * count + end.face[kept],
            1.0 / (rays * dense),
            minlength=rows.size,
        ).reshape(rows.shape)
    return rows
