"""The panel's pieces cut along the rims of openings, and weighed by what they throw back."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cover import shares
from lamphouse.light.emitter import is_narrow
from lamphouse.light.pieces import Pieces, join, quartered, take
from lamphouse.light.scene import Aperture, Box, Rectangle
from lamphouse.light.turning import Way, laid_back, straight_shape, straightened
from lamphouse.light.uprights import TOUCH_MM, ring_area_centre
from lamphouse.record import replace

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

NONE_OR_ALL = 1e-6
"""A piece of which an opening covers all but this, or no more than this, is not crossed by it."""

RIM_CUTS = 5
"""Quarterings of pieces that a rim crosses, where a lamp has a narrow beam."""


def fill_reflectance(aperture: Aperture) -> float:
    """Give what an opening throws back into its box; nothing, where it is an open hole."""
    return 0.0 if aperture.fill is None else aperture.fill.reflectance


def rimmed(panel: Pieces, *, box: Box, way: Way) -> Pieces:
    """Weigh the panel's pieces by what they throw back.

    Pieces that lie along the rim of a rectangle are cut along it; others that a rim crosses are cut
    into sixteen, and what falls on one of these is taken to fall on it evenly. Where a lamp has a
    narrow beam they are cut finely, for all its light may lie along a rim.
    """
    panel = _cut_along(panel, box=box, way=way)
    weight, crossed = _weights(panel, box=box, way=way)
    whole = replace(panel, weight=weight)
    if not crossed.any():
        return whole
    if any(is_narrow(lamp.beam) for lamp in box.lamps):
        return _finely(whole, crossed=crossed, box=box, way=way)
    fine = quartered(quartered(take(whole, which=np.flatnonzero(crossed))))
    weight, _ = _weights(fine, box=box, way=way)
    return join([take(whole, which=np.flatnonzero(~crossed)), replace(fine, weight=weight)])


def _finely(whole: Pieces, *, crossed: Bools, box: Box, way: Way) -> Pieces:
    """Quarter pieces over and over while the rim of an opening crosses them."""
    done = []
    for _ in range(RIM_CUTS):
        done.append(take(whole, which=np.flatnonzero(~crossed)))
        fine = quartered(take(whole, which=np.flatnonzero(crossed)))
        weight, crossed = _weights(fine, box=box, way=way)
        whole = replace(fine, weight=weight)
    return join([*done, whole])


def _weights(panel: Pieces, *, box: Box, way: Way) -> tuple[Floats, Bools]:
    """Mean reflectance of each piece of the panel, and whether the rim of an opening crosses it."""
    flat = straightened(panel.corner_mm[..., :2], way=way)
    area, _ = ring_area_centre(flat)
    weight = np.full(len(area), box.panel_reflectance)
    crossed = np.zeros(len(area), dtype=np.bool_)
    for aperture in box.apertures:
        shape = straight_shape(aperture.shape, way=way)
        covered = shares(shape, corner_mm=flat, area_mm2=area)
        weight += covered * (fill_reflectance(aperture) - box.panel_reflectance)
        crossed |= (covered > NONE_OR_ALL) & (covered < 1.0 - NONE_OR_ALL)
    return weight, crossed


def _cut_along(panel: Pieces, *, box: Box, way: Way) -> Pieces:
    """Cut pieces that lie along the grid at the edges of rectangles that do so too."""
    flat = straightened(panel.corner_mm[..., :2], way=way)
    low, high, number = flat.min(axis=1), flat.max(axis=1), np.arange(len(flat))
    area, _ = ring_area_centre(flat)
    upright = area > (1.0 - NONE_OR_ALL) * (high - low).prod(axis=1)
    for aperture in box.apertures:
        shape = straight_shape(aperture.shape, way=way)
        if isinstance(shape, Rectangle):
            edges = (shape.left_mm, shape.right_mm), (shape.bottom_mm, shape.top_mm)
            for axis, (first, last) in ((0, edges[1]), (1, edges[0])):
                beside = upright & (low[:, 1 - axis] < last - TOUCH_MM)
                beside &= high[:, 1 - axis] > first + TOUCH_MM
                for place in edges[axis]:
                    met = (low[:, axis] < place - TOUCH_MM) & (high[:, axis] > place + TOUCH_MM)
                    (which,) = (beside & met).nonzero()
                    beyond = low[which]
                    beyond[:, axis] = place
                    low, high = np.concatenate([low, beyond]), np.concatenate([high, high[which]])
                    high[which, axis] = place
                    upright, beside, number = (
                        np.append(each, each[which]) for each in (upright, beside, number)
                    )
    made = take(panel, which=number)
    # A part of an upright rectangle has the corners of the whole, moved to its own edges.
    corner = np.clip(flat[number], low[:, None], high[:, None])
    height = made.corner_mm[..., 2:]
    return replace(made, corner_mm=np.concatenate([laid_back(corner, way=way), height], axis=2))
