"""A light box laid out as plain arrays, as compiled code wants it."""

from collections.abc import Iterator
from math import pi
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.scene import Aperture, Box, CosinePower, Disc, IntensityTable, Lamp, Rectangle

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BLOCKS = 48
"""The panel is looked up by this many blocks each way, so that a thousand openings stay quick."""

FINEST_DEG = 1.0
"""Widest band of a tabulated beam that is drawn from evenly."""

RECTANGLE, DISC, RING = 0, 1, 2


class Arrays(NamedTuple):
    """A box as plain arrays. [mm, cd, lm]."""

    level_mm: Floats
    """(C + 1,) heights of back, inner sheet if any, and panel; C cavities."""
    paint: Floats
    """(4,) reflectance of back, bare panel and inner sheet; transmittance of the sheet."""
    walls: Floats
    """(W, 7) start x, y, step x, y, low, high, reflectance; baffles are the last of them."""
    screens: Ints
    """Those walls that can come between two points of the box."""
    openings: Floats
    """(A, 6) kind, four numbers of the shape, reflectance seen from inside."""
    ring_first: Ints
    """(A + 1,) first corner of each opening in ``corners``."""
    corners: Floats
    """(K, 2)."""
    block_mm: Floats
    """(4,) origin x, y and pitch x, y of the blocks."""
    block_first: Ints
    """(BLOCKS^2 + 1,) first entry of each block in ``block_openings``."""
    block_openings: Ints
    """Numbers of the openings that may reach into a block."""
    lamps: Floats
    """(L, 16) place, axis, two directions across, peak [cd] or scale, m, flux [lm], cavity."""
    flux_lm: float
    """Of all lamps together."""
    share: Floats
    """(L,) running sum of the lamps' shares of the flux."""
    band_first: Ints
    """(L + 1,) first band of each lamp in ``bands``; none for a cosine power."""
    bands: Floats
    """(B, 5) running share of the flux, angles from and to [rad], intensities there [cd]."""


def rings_of(box: Box) -> tuple[tuple[tuple[float, float], ...], ...]:
    """List the outline and the pillars."""
    return (box.outline, *box.holes)


def wall_paints(box: Box) -> list[float]:
    """Reflectance of every edge of the outline and the pillars."""
    count = sum(len(ring) for ring in rings_of(box))
    given = list(box.wall_reflectances)
    return given * count if len(given) == 1 else given


def lay_out(box: Box) -> Arrays:
    """Lay out a box that has been found sound."""
    sheet = box.sheet
    levels = [0.0, box.depth_mm] if sheet is None else [0.0, sheet.height_mm, box.depth_mm]
    walls = _walls(box)
    fills = [
        0.0 if aperture.fill is None else aperture.fill.reflectance for aperture in box.apertures
    ]
    shapes = [_shape(aperture) for aperture in box.apertures]
    first, corners = _joined([corners for _, _, corners in shapes], width=2)
    block, block_first, block_openings = _blocks(box, shapes=shapes)
    flux = np.array([lamp.flux_lm for lamp in box.lamps])
    band_first, bands = _joined([_bands(lamp) for lamp in box.lamps], width=5)
    return Arrays(
        level_mm=np.array(levels),
        paint=np.array(
            [
                box.back_reflectance,
                box.panel_reflectance,
                0.0 if sheet is None else sheet.reflectance,
                0.0 if sheet is None else sheet.transmittance,
            ]
        ),
        walls=walls,
        screens=_screens(box, walls=walls),
        openings=np.array(
            [(*shape, fill) for (shape, _, _), fill in zip(shapes, fills, strict=True)]
        ).reshape(-1, 6),
        ring_first=first,
        corners=corners,
        block_mm=block,
        block_first=block_first,
        block_openings=block_openings,
        lamps=np.array([_lamp(lamp, levels=levels) for lamp in box.lamps]).reshape(-1, 16),
        flux_lm=float(flux.sum()),
        share=np.cumsum(flux) / flux.sum(),
        band_first=band_first,
        bands=bands,
    )


def _joined(parts: list[Floats], *, width: int) -> tuple[Ints, Floats]:
    first = np.cumsum([0] + [len(part) for part in parts])
    return first.astype(np.int64), np.concatenate([*parts, np.zeros((0, width))])


def _walls(box: Box) -> Floats:
    rows = []
    paints = iter(wall_paints(box))
    for ring in rings_of(box):
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            rows.append((ax, ay, bx - ax, by - ay, 0.0, box.depth_mm, next(paints)))
    for baffle in box.baffles:
        (ax, ay), (bx, by) = baffle.start_mm, baffle.end_mm
        low, high = baffle.low_mm, baffle.high_mm
        rows.append((ax, ay, bx - ax, by - ay, low, high, baffle.reflectance))
    return np.array(rows, dtype=np.float64)


def _screens(box: Box, *, walls: Floats) -> Ints:
    """Leave out the walls that have the whole outline on one side: nothing is behind them."""
    corner = np.array(box.outline)
    outer = len(box.outline)
    kept = []
    for number, (ax, ay, ex, ey, *_) in enumerate(walls):
        side = (ex * (corner[:, 1] - ay) - ey * (corner[:, 0] - ax)) / np.hypot(ex, ey)
        hull = side.min() > -1e-9 or side.max() < 1e-9
        if number >= outer or not hull:
            kept.append(number)
    return np.array(kept, dtype=np.int64)


def _shape(aperture: Aperture) -> tuple[tuple[float, ...], tuple[float, ...], Floats]:
    """Give kind and numbers, bounds, and corners of an opening."""
    shape = aperture.shape
    if isinstance(shape, Rectangle):
        bounds = (shape.left_mm, shape.bottom_mm, shape.right_mm, shape.top_mm)
        return (RECTANGLE, *bounds), bounds, np.zeros((0, 2))
    if isinstance(shape, Disc):
        x, y, radius = shape.x_mm, shape.y_mm, shape.diameter_mm / 2.0
        return (
            (DISC, x, y, radius, 0.0),
            (x - radius, y - radius, x + radius, y + radius),
            np.zeros((0, 2)),
        )
    corner = np.array(shape.ring)
    (left, bottom), (right, top) = corner.min(axis=0), corner.max(axis=0)
    bounds = (float(left), float(bottom), float(right), float(top))
    return (RING, *bounds), bounds, corner


def _blocks(
    box: Box, *, shapes: list[tuple[tuple[float, ...], tuple[float, ...], Floats]]
) -> tuple[Floats, Ints, Ints]:
    corner = np.array(box.outline)
    low, high = corner.min(axis=0), corner.max(axis=0)
    pitch = (high - low) / BLOCKS
    lists: list[list[int]] = [[] for _ in range(BLOCKS * BLOCKS)]
    for number, (_, (left, bottom, right, top), _) in enumerate(shapes):
        first = np.clip(np.floor((np.array([left, bottom]) - low) / pitch), 0, BLOCKS - 1)
        last = np.clip(np.floor((np.array([right, top]) - low) / pitch), 0, BLOCKS - 1)
        for row in range(int(first[1]), int(last[1]) + 1):
            for column in range(int(first[0]), int(last[0]) + 1):
                lists[row * BLOCKS + column].append(number)
    first_entry = np.cumsum([0] + [len(entries) for entries in lists])
    entries = [number for numbers in lists for number in numbers]
    return (
        np.concatenate([low, pitch]),
        first_entry.astype(np.int64),
        np.array(entries, dtype=np.int64),
    )


def _lamp(lamp: Lamp, *, levels: list[float]) -> tuple[float, ...]:
    axis = np.array(lamp.direction, dtype=np.float64)
    axis /= np.linalg.norm(axis)
    aside = np.eye(3)[int(np.argmin(np.abs(axis)))]
    across = np.cross(axis, aside)
    across /= np.linalg.norm(across)
    other = np.cross(axis, across)
    power = lamp.beam.m if isinstance(lamp.beam, CosinePower) else 0.0
    peak = lamp.flux_lm * (power + 1.0) / (2.0 * pi)
    cavity = float(len(levels) == 3 and lamp.z_mm > levels[1])
    place = (lamp.x_mm, lamp.y_mm, lamp.z_mm)
    return (*place, *axis, *across, *other, peak, power, lamp.flux_lm, cavity)


def _narrow(table: IntensityTable) -> Iterator[tuple[float, float, float, float]]:
    """Cut a table into narrow bands: angles from and to [rad], values there."""
    angles, values = np.array(table.angles_deg), np.array(table.relative)
    for start, end, here, there in zip(angles, angles[1:], values, values[1:], strict=False):
        parts = max(1, int(np.ceil((end - start) / FINEST_DEG)))
        cut = np.linspace(0.0, 1.0, parts + 1)
        angle = np.radians(start + cut * (end - start))
        value = here + cut * (there - here)
        yield from zip(angle, angle[1:], value, value[1:], strict=False)


def _bands(lamp: Lamp) -> Floats:
    """Cut a tabulated beam into bands; each carries the flux of its straight line exactly."""
    if not isinstance(lamp.beam, IntensityTable):
        return np.zeros((0, 5))
    angle, end, value, last = np.array(list(_narrow(lamp.beam))).T
    slope = (last - value) / (end - angle)
    flux = value * np.cos(angle) - last * np.cos(end) + slope * (np.sin(end) - np.sin(angle))
    scale = lamp.flux_lm / (2.0 * pi * flux.sum())
    running = np.cumsum(flux) / flux.sum()
    return np.column_stack([running, angle, end, scale * value, scale * last])
