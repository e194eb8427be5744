"""What the solver refuses: boxes that cannot be, and boxes outside its range.

A fault is a record; the discipline that owns the box turns it into a finding in the maker's words.
"""

from collections.abc import Iterator, Sequence
from enum import StrEnum
from math import acos, degrees, inf, isfinite

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.box_mesh import rows_of
from lamphouse.light.cover import area_of, ring_of
from lamphouse.light.emitter import spot_slope
from lamphouse.light.scene import Box, CosinePower, Diffuser, IntensityTable, Lamp, Ring
from lamphouse.light.step_size import COARSEST, MOST_ROWS, step_mm
from lamphouse.light.uprights import TOUCH_MM, direction, distance_mm, inside
from lamphouse.record import Record

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

LEAST_DEPTH_MM, MOST_DEPTH_MM = 0.5, 400.0
MOST_WIDTH_MM = 1000.0
MOST_REFLECTANCE = 0.99
"""Above it a closed box hardly loses light, and the figure hangs on the last digit of the paint."""
LEAST_CLEARANCE_MM = 0.05
"""A lamp nearer to a face than this is no longer a point to it."""
LEAST_BAFFLE_MM = 0.1
"""Least length and height of a baffle."""
MOST_POWER = 400.0
LEAST_BEAM_DEG = 2.0 * degrees(acos(0.5 ** (1.0 / MOST_POWER)))
"""A beam of cos^400 is 6.7 degrees wide at half of its peak."""
LEAST_SPOT = spot_slope(CosinePower(m=MOST_POWER))
"""Half the width of its spot over its distance; no table may light a smaller one."""
LEAST_OPENING_MM2 = 0.005
MOST_CORNERS, MOST_BAFFLES, MOST_LAMPS, MOST_OPENINGS = 240, 40, 400, 200


class Kind(StrEnum):
    """What is wrong."""

    DEPTH = "depth"
    WIDTH = "width"
    TOO_FLAT = "too wide for its depth"
    OUTLINE = "outline crosses itself or encloses nothing"
    PILLAR = "pillar not inside the outline"
    PILLARS_MEET = "pillars run into one another"
    DETAIL = "too much detail"
    REFLECTANCE = "reflectance"
    DIFFUSER = "transmittance and reflectance"
    HAZE = "shares of the haze"
    LAMP_PLACE = "lamp not in the clear space"
    LAMP_BEAM = "beam"
    LAMP_FLUX = "flux"
    NO_LAMP = "no lamp"
    OPENING_PLACE = "opening reaches over a wall"
    OPENING_SIZE = "opening too small"
    OPENINGS_OVERLAP = "openings overlap"
    OPENING_PILLAR = "opening reaches over a pillar"
    BAFFLE = "baffle"
    BAFFLE_PILLAR = "baffle runs through a pillar"
    SHEET = "inner sheet"
    COUNT = "too many"
    RING = "boxes in a ring"
    NEIGHBOUR = "a box it shares an opening with"


class Fault(Record):
    """One reason why a box is refused."""

    kind: Kind
    item: str
    """Name of the lamp or opening, or what the figure belongs to."""
    given: float
    least: float
    most: float
    """Range that is allowed."""


def _range(kind: Kind, item: str, *, given: float, least: float, most: float) -> Iterator[Fault]:
    if not (isfinite(given) and least <= given <= most):
        yield Fault(kind=kind, item=item, given=given, least=least, most=most)


def _crossings(start: Floats, *, end: Floats) -> int:
    """Count pairs of segments that cross or touch, those that share an end left out."""
    step = end - start
    offset = start[None] - start[:, None]

    def turn(a: Floats, b: Floats) -> Floats:
        return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])

    first = turn(step[:, None], offset)
    second = turn(step[:, None], offset + step[None])
    apart = first * second <= 1e-12
    both = apart & apart.T
    count = len(start)
    index = np.arange(count)
    near = (index[:, None] - index[None, :]) % count
    both &= (near > 1) & (near < count - 1)
    level = turn(step[:, None], np.broadcast_to(step[None], offset.shape))
    both &= np.abs(level) > 1e-12
    return int(both.sum()) // 2


def _ring_faults(ring: Ring, *, kind: Kind, item: str) -> Iterator[Fault]:
    corner = np.array(ring, dtype=np.float64).reshape(-1, 2)
    if len(corner) < 3 or not np.isfinite(corner).all():
        yield Fault(kind=kind, item=item, given=len(corner), least=3, most=MOST_CORNERS)
        return
    after = np.roll(corner, -1, axis=0)
    if (np.hypot(*(after - corner).T) < 1e-6).any() or abs(direction(ring)) < 1e-3:
        yield Fault(kind=kind, item=item, given=abs(direction(ring)) / 2, least=1e-3, most=inf)
    elif crossings := _crossings(corner, end=after):
        yield Fault(kind=kind, item=item, given=crossings, least=0, most=0)


def _clearances_mm(points: Floats, *, rings: Sequence[Ring]) -> Floats:
    """Distance of points (P, 2) from the nearest wall; negative outside the clear space."""
    least = np.full(len(points), inf)
    for ring in rings:
        for a, b in zip(np.array(ring), np.roll(np.array(ring), -1, axis=0), strict=True):
            step = b - a
            share = np.clip((points - a) @ step / (step @ step), 0.0, 1.0)
            gap = points - a - share[:, None] * step
            least = np.minimum(least, np.hypot(gap[:, 0], gap[:, 1]))
    return np.where(inside(points, rings=rings), least, -least)


def _cross(one: Ring, *, other: Ring, closed: bool = True) -> bool:
    """Whether an edge of one ring crosses an edge of another, ends that only touch left out.

    ``closed`` tells whether the last corner of the first joins its first one.
    """
    first, second = np.array(one), np.array(other)
    first_end, second_end = np.roll(first, -1, axis=0), np.roll(second, -1, axis=0)
    if not closed:
        first, first_end = first[:-1], first_end[:-1]

    def sides(start: Floats, end: Floats, points: Floats) -> Floats:
        step = end - start
        off = points[None] - start[:, None]
        length = np.hypot(step[:, 0], step[:, 1])[:, None]
        return np.asarray((step[:, :1] * off[..., 1] - step[:, 1:] * off[..., 0]) / length)

    def apart(one_side: Floats, other_side: Floats) -> Bools:
        split = (one_side > TOUCH_MM) & (other_side < -TOUCH_MM)
        return np.asarray(split | ((one_side < -TOUCH_MM) & (other_side > TOUCH_MM)))

    of_second = apart(sides(first, first_end, second), sides(first, first_end, second_end))
    of_first = apart(sides(second, second_end, first), sides(second, second_end, first_end))
    return bool((of_second & of_first.T).any())


def _pillar_faults(box: Box) -> Iterator[Fault]:
    """Look for pillars that do not stand free inside, and for those that share a place."""
    for number, hole in enumerate(box.holes, start=1):
        gap = float(_clearances_mm(np.array(hole), rings=(box.outline,)).min())
        if _cross(hole, other=box.outline):
            gap = -inf
        yield from _range(Kind.PILLAR, f"pillar {number}", given=gap, least=1e-3, most=inf)
        for other, before in enumerate(box.holes[: number - 1], start=1):
            # Negated: outside one another is what is wanted of two pillars.
            gaps = [
                -float(_clearances_mm(np.array(one), rings=(two,)).max())
                for one, two in ((hole, before), (before, hole))
            ]
            if min(gaps) < 1e-3 or _cross(hole, other=before):
                item = f"{other}, {number}"
                yield Fault(
                    kind=Kind.PILLARS_MEET, item=item, given=min(gaps), least=1e-3, most=inf
                )


def _shape_faults(box: Box) -> Iterator[Fault]:
    yield from _range(
        Kind.DEPTH, "depth", given=box.depth_mm, least=LEAST_DEPTH_MM, most=MOST_DEPTH_MM
    )
    for item, count, most in (
        ("corners", sum(len(ring) for ring in (box.outline, *box.holes)), MOST_CORNERS),
        ("baffles", len(box.baffles), MOST_BAFFLES),
        ("lamps", len(box.lamps), MOST_LAMPS),
        ("openings", len(box.apertures), MOST_OPENINGS),
    ):
        yield from _range(Kind.COUNT, item, given=count, least=0, most=most)
    if not box.lamps:
        yield Fault(kind=Kind.NO_LAMP, item="lamps", given=0, least=1, most=MOST_LAMPS)
    yield from _ring_faults(box.outline, kind=Kind.OUTLINE, item="outline")
    for number, hole in enumerate(box.holes, start=1):
        yield from _ring_faults(hole, kind=Kind.PILLAR, item=f"pillar {number}")


def _paint_faults(box: Box) -> Iterator[Fault]:
    paints = [("back", box.back_reflectance), ("panel", box.panel_reflectance)]
    paints += [(f"wall {n}", value) for n, value in enumerate(box.wall_reflectances, start=1)]
    paints += [(f"baffle {n}", item.reflectance) for n, item in enumerate(box.baffles, start=1)]
    for name, value in paints:
        yield from _range(Kind.REFLECTANCE, name, given=value, least=0.0, most=MOST_REFLECTANCE)
    walls = sum(len(ring) for ring in (box.outline, *box.holes))
    if len(box.wall_reflectances) not in (1, walls):
        yield Fault(
            kind=Kind.REFLECTANCE,
            item="walls",
            given=len(box.wall_reflectances),
            least=1,
            most=walls,
        )
    sheets = [] if box.sheet is None else [("inner sheet", box.sheet)]
    for name, sheet in (*sheets, *((a.name, a.fill) for a in box.apertures)):
        if sheet is not None:
            both = (sheet.transmittance, sheet.reflectance)
            given = sum(both) if min(both) >= 0.0 else min(both)
            yield from _range(Kind.DIFFUSER, name, given=given, least=0.0, most=1.0)
            if isinstance(sheet, Diffuser):
                yield from _haze_faults(name, sheet=sheet)


def _haze_faults(name: str, *, sheet: Diffuser) -> Iterator[Fault]:
    if sheet.haze is not None:
        shares = (sheet.haze.diffuse, sheet.haze.lobe, sheet.haze.straight)
        given = sum(shares) if min(shares) >= 0.0 else min(shares)
        yield from _range(Kind.HAZE, name, given=given, least=1.0 - 1e-9, most=1.0 + 1e-9)
        yield from _range(Kind.HAZE, name, given=sheet.haze.lobe_deg, least=1.0, most=40.0)


def _beam_faults(lamp: Lamp) -> Iterator[Fault]:
    yield from _range(Kind.LAMP_FLUX, lamp.name, given=lamp.flux_lm, least=0.0, most=inf)
    length = float(np.sqrt(np.sum(np.square(lamp.direction))))
    yield from _range(Kind.LAMP_BEAM, lamp.name, given=length, least=1e-9, most=inf)
    if isinstance(lamp.beam, CosinePower):
        yield from _range(Kind.LAMP_BEAM, lamp.name, given=lamp.beam.m, least=0.0, most=MOST_POWER)
    else:
        yield from _table_faults(lamp.name, table=lamp.beam)


def _table_faults(name: str, *, table: IntensityTable) -> Iterator[Fault]:
    angle, value = np.array(table.angles_deg), np.array(table.relative)
    sound = (
        len(angle) == len(value)
        and len(angle) > 1
        and angle[0] == 0.0
        and angle[-1] <= 180.0
        and bool(np.all(np.diff(angle) > 0.0))
        and bool(np.all(value >= 0.0))
        and value.max() > 0.0
    )
    if not sound:
        yield Fault(kind=Kind.LAMP_BEAM, item=name, given=len(angle), least=2, most=181)
        return
    yield from _range(Kind.LAMP_BEAM, name, given=spot_slope(table), least=LEAST_SPOT, most=inf)


def _lamp_faults(box: Box) -> Iterator[Fault]:
    rings = (box.outline, *box.holes)
    for lamp in box.lamps:
        yield from _beam_faults(lamp)
        gaps = [lamp.z_mm, box.depth_mm - lamp.z_mm]
        gaps += list(_clearances_mm(np.array([[lamp.x_mm, lamp.y_mm]]), rings=rings))
        if box.sheet is not None:
            gaps.append(abs(lamp.z_mm - box.sheet.height_mm))
        gaps += [
            distance_mm((lamp.x_mm, lamp.y_mm), foot=(baffle.start_mm, baffle.end_mm))
            for baffle in box.baffles
            if baffle.low_mm <= lamp.z_mm <= baffle.high_mm
        ]
        yield from _range(
            Kind.LAMP_PLACE, lamp.name, given=min(gaps), least=LEAST_CLEARANCE_MM, most=inf
        )


def _over(ring: Floats, *, other: Floats) -> bool:
    """Whether a corner or a piece of one ring lies inside another."""
    middle = ring.mean(axis=0)
    shrunk = middle + (ring - middle) * (1.0 - 1e-6)
    points = np.concatenate([shrunk, (shrunk + np.roll(shrunk, -1, axis=0)) / 2.0])
    return bool(inside(points, rings=(tuple(map(tuple, other)),)).any())


def _share_a_place(pillar: Ring, *, opening: Floats) -> bool:
    """Whether an opening lies over a pillar, wholly or in part; their edges may touch."""
    corners = np.array(pillar)
    if (corners.min(axis=0) >= opening.max(axis=0) - TOUCH_MM).any():
        return False
    if (corners.max(axis=0) <= opening.min(axis=0) + TOUCH_MM).any():
        return False
    return (
        _cross(tuple(map(tuple, opening)), other=pillar)
        or _over(corners, other=opening)
        or _over(opening, other=corners)
    )


def _opening_faults(box: Box) -> Iterator[Fault]:
    walls = (box.outline, *box.holes)
    rings = [np.array(ring_of(aperture.shape)) for aperture in box.apertures]
    for aperture, ring in zip(box.apertures, rings, strict=True):
        yield from _range(
            Kind.OPENING_SIZE,
            aperture.name,
            given=area_of(aperture.shape),
            least=LEAST_OPENING_MM2,
            most=inf,
        )
        points = np.concatenate([ring, (ring + np.roll(ring, -1, axis=0)) / 2.0])
        if any(_share_a_place(hole, opening=ring) for hole in box.holes):
            yield Fault(
                kind=Kind.OPENING_PILLAR, item=aperture.name, given=-inf, least=-1e-6, most=inf
            )
            continue
        gap = float(_clearances_mm(points, rings=walls).min())
        if gap >= 0.0 and any(_over(np.array(wall), other=ring) for wall in walls):
            gap = -inf
        yield from _range(Kind.OPENING_PLACE, aperture.name, given=gap, least=-1e-6, most=inf)
        yield from _range(
            Kind.DEPTH, aperture.name, given=aperture.panel_mm, least=0.0, most=MOST_DEPTH_MM
        )
        yield from _range(
            Kind.REFLECTANCE,
            aperture.name,
            given=aperture.rim_reflectance,
            least=0.0,
            most=MOST_REFLECTANCE,
        )
    low = np.array([ring.min(axis=0) for ring in rings]).reshape(-1, 1, 2)
    high = np.array([ring.max(axis=0) for ring in rings]).reshape(1, -1, 2)
    near = (low < high - 1e-9).all(axis=2)
    for one, two in zip(*np.nonzero(np.triu(near & near.T, 1)), strict=True):
        if _over(rings[one], other=rings[two]) or _over(rings[two], other=rings[one]):
            yield Fault(
                kind=Kind.OPENINGS_OVERLAP,
                item=f"{box.apertures[one].name}, {box.apertures[two].name}",
                given=1,
                least=0,
                most=0,
            )


def _inner_faults(box: Box) -> Iterator[Fault]:
    rings = (box.outline, *box.holes)
    for number, baffle in enumerate(box.baffles, start=1):
        name = f"baffle {number}"
        ends = np.array([baffle.start_mm, baffle.end_mm])
        length = float(np.hypot(*(ends[1] - ends[0])))
        yield from _range(
            Kind.BAFFLE, name, given=length, least=LEAST_BAFFLE_MM, most=MOST_WIDTH_MM
        )
        yield from _range(
            Kind.BAFFLE,
            name,
            given=baffle.high_mm - baffle.low_mm,
            least=LEAST_BAFFLE_MM,
            most=box.depth_mm + 1e-9,
        )
        yield from _range(Kind.BAFFLE, name, given=baffle.low_mm, least=0.0, most=box.depth_mm)
        along = np.linspace(0.001, 0.999, 33)[:, None]
        foot = (baffle.start_mm, baffle.end_mm)
        if length > 0.0 and any(_cross(foot, other=hole, closed=False) for hole in box.holes):
            yield Fault(kind=Kind.BAFFLE_PILLAR, item=name, given=-inf, least=1e-6, most=inf)
            continue
        gap = _clearances_mm(ends[0] + along * (ends[1] - ends[0]), rings=rings)
        yield from _range(Kind.BAFFLE, name, given=float(gap.min()), least=1e-6, most=inf)
    if box.sheet is not None:
        room = min(box.sheet.height_mm, box.depth_mm - box.sheet.height_mm)
        yield from _range(
            Kind.SHEET, "inner sheet", given=room, least=LEAST_DEPTH_MM, most=MOST_DEPTH_MM
        )
    yield from _pillar_faults(box)


def _size_faults(box: Box) -> Iterator[Fault]:
    width = float(np.ptp(np.array(box.outline), axis=0).max())
    yield from _range(Kind.WIDTH, "outline", given=width, least=1.0, most=MOST_WIDTH_MM)
    step = step_mm(box)
    yield from _range(Kind.TOO_FLAT, "outline", given=step / box.depth_mm, least=0.0, most=COARSEST)
    rows = rows_of(box, step_mm=step, most=MOST_ROWS)
    yield from _range(Kind.DETAIL, "outline", given=rows, least=1, most=MOST_ROWS)


def faults(box: Box) -> tuple[Fault, ...]:
    """Tell why a box is refused; nothing when the solver takes it.

    Later checks are left out while an earlier one fails that they rely on.
    """
    found: list[Fault] = []
    for look in (_shape_faults, _paint_faults, _inner_faults, _lamp_faults, _opening_faults):
        found.extend(look(box))
        if look is _shape_faults and found:
            return tuple(found)
    if not found:
        found.extend(_size_faults(box))
    return tuple(found)
