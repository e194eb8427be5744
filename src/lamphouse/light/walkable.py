"""What stops a random walk through a box: the compiler missing, or a box that cannot be."""

from collections.abc import Iterator
from importlib.util import find_spec
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import rings_of, wall_paints
from lamphouse.light.opening_spots import ring_of
from lamphouse.light.scene import (
    Aperture,
    Box,
    Diffuser,
    Disc,
    IntensityTable,
    Lamp,
    Sheet,
    Spot,
)
from lamphouse.record import Record

MOST_REFLECTANCE = 0.99
"""Walks in a brighter box hardly end; no paint is brighter."""

ALONG = 16
"""Points looked at on each side of an opening."""


class Refusal(Record):
    """Why there is no second opinion, and what would give one."""

    reason: str
    remedy: str


def _is_inside(box: Box, *, place: Spot) -> bool:
    """Whether a place in plan is in the clear space, by the even-odd rule."""
    x, y = place
    crossings = 0
    for ring in rings_of(box):
        for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
            crossings += (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay)
    return crossings % 2 == 1


def _rim(aperture: Aperture) -> NDArray[np.float64]:
    """Points just inside the edge of an opening, (P, 2)."""
    shape = aperture.shape
    if isinstance(shape, Disc):
        turn = np.linspace(0.0, 2.0 * np.pi, 4 * ALONG, endpoint=False)
        circle = np.column_stack([np.cos(turn), np.sin(turn)])
        radius = shape.diameter_mm / 2.0 * (1.0 - 1e-6)
        return np.array([shape.x_mm, shape.y_mm]) + radius * circle
    corner = np.array(ring_of(shape))
    after = np.roll(corner, -1, axis=0)
    part = (np.arange(ALONG) + 0.5) / ALONG
    points = (corner[:, None] + part[:, None] * (after - corner)[:, None]).reshape(-1, 2)
    turn = np.sign(np.sum(corner[:, 0] * after[:, 1] - corner[:, 1] * after[:, 0]))
    step = np.repeat(after - corner, ALONG, axis=0)
    return np.asarray(points + 1e-6 * turn * np.column_stack([-step[:, 1], step[:, 0]]))


def _lamp_faults(lamp: Lamp, *, box: Box) -> Iterator[Refusal]:
    levels = [0.0, box.depth_mm] + ([] if box.sheet is None else [box.sheet.height_mm])
    between = 0.0 <= lamp.z_mm <= box.depth_mm and (
        box.sheet is None or lamp.z_mm != box.sheet.height_mm
    )
    if not (between and _is_inside(box, place=(lamp.x_mm, lamp.y_mm))):
        yield Refusal(
            reason=f"lamp '{lamp.name}' at ({lamp.x_mm:g}, {lamp.y_mm:g}, {lamp.z_mm:g}) mm is "
            "outside the clear space of the box",
            remedy=f"put it inside the outline, between {min(levels):g} and {max(levels):g} mm",
        )
    if not (isfinite(lamp.flux_lm) and lamp.flux_lm > 0.0):
        yield Refusal(
            reason=f"lamp '{lamp.name}' gives {lamp.flux_lm:g} lm",
            remedy="give it light, or leave it out",
        )
    if isinstance(lamp.beam, IntensityTable) and not any(lamp.beam.relative):
        yield Refusal(
            reason=f"the table of lamp '{lamp.name}' is dark", remedy="give one value above 0"
        )


def _paint_faults(box: Box) -> Iterator[Refusal]:
    paints = [
        ("back", box.back_reflectance),
        ("panel", box.panel_reflectance),
        *(("wall", paint) for paint in wall_paints(box)),
        *(("baffle", baffle.reflectance) for baffle in box.baffles),
    ]
    fills: list[tuple[str, Sheet | Diffuser | None]] = [("inner sheet", box.sheet)]
    fills += [(aperture.name, aperture.fill) for aperture in box.apertures]
    for name, sheet in fills:
        if sheet is None:
            continue
        paints += [(name, sheet.reflectance), (name, sheet.transmittance)]
        if sheet.reflectance + sheet.transmittance > 1.0:
            yield Refusal(
                reason=f"'{name}' passes {sheet.transmittance:g} and throws back "
                f"{sheet.reflectance:g}, more than it gets",
                remedy=f"give it a reflectance of {1.0 - sheet.transmittance:g} at most",
            )
    for name, paint in paints:
        if not 0.0 <= paint <= MOST_REFLECTANCE:
            yield Refusal(
                reason=f"{name}: {paint:g} is not a share of light between 0 and "
                f"{MOST_REFLECTANCE:g}; walks in a brighter box hardly end",
                remedy=f"give a value from 0 to {MOST_REFLECTANCE:g}",
            )


def _form_faults(box: Box) -> Iterator[Refusal]:
    if box.depth_mm <= 0.0 or len(box.outline) < 3:
        yield Refusal(
            reason=f"a box {box.depth_mm:g} mm deep over {len(box.outline)} corners holds nothing",
            remedy="give it a depth above 0 mm and three corners or more",
        )
        return
    edges = sum(len(ring) for ring in rings_of(box))
    if len(wall_paints(box)) != edges:
        yield Refusal(
            reason=f"{len(box.wall_reflectances)} reflectances for {edges} walls",
            remedy=f"give one for all walls, or {edges}",
        )
    if box.sheet is not None and not 0.0 < box.sheet.height_mm < box.depth_mm:
        yield Refusal(
            reason=f"the inner sheet at {box.sheet.height_mm:g} mm is not between back and panel",
            remedy=f"put it between 0 and {box.depth_mm:g} mm, such as {box.depth_mm / 2.0:g} mm",
        )


def _faults(box: Box, *, in_suite: bool) -> Iterator[Refusal]:
    if find_spec("numba") is None:
        yield Refusal(
            reason="the second opinion needs the compiler 'numba', which is not installed",
            remedy="install the package with its extra 'verify'",
        )
    yield from _form_faults(box)
    if not (box.lamps or in_suite):
        yield Refusal(reason="the box has no lamp", remedy="add one")
    yield from _paint_faults(box)
    for lamp in box.lamps:
        yield from _lamp_faults(lamp, box=box)
    for aperture in box.apertures:
        if not all(_is_inside(box, place=(x, y)) for x, y in _rim(aperture)):
            yield Refusal(
                reason=f"opening '{aperture.name}' reaches over a wall of the box",
                remedy="make it smaller, move it, or make the box wider",
            )


def refused(box: Box, *, in_suite: bool = False) -> Refusal | None:
    """Give the first reason why there can be no second opinion on a box, or None.

    A box of a suite may be without a lamp of its own.
    """
    return next(_faults(box, in_suite=in_suite), None)
