"""The panel's pieces cut along the rims of openings, and weighed by what they throw back."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.cover import shares
from lamphouse.light.pieces import Pieces, join, quartered, take
from lamphouse.light.scene import Aperture, Box, Rectangle
from lamphouse.light.turning import Way, laid_back, straight_shape, straightened
from lamphouse.light.uprights import TOUCH_MM, ring_area_centre
from lamphouse.record import replace

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

NONE_OR_ALL = 1e-6
"""A piece of which an opening covers all but this, or no more than this, is not crossed by it."""


def fill_reflectance(aperture: Aperture) -> float:
    """Give what an opening throws back into its box; nothing, where it is an open hole."""
    return 0.0 if aperture.fill is None else aperture.fill.reflectance


def rimmed(panel: Pieces, *, box: Box, way: Way) -> Pieces:
    """Weigh the panel's pieces by what they throw back.

    Pieces that lie along the rim of a rectangle are cut along it; others that a rim crosses are cut
    into sixteen, and what falls on one of these is taken to fall on it evenly.
    """
    panel = _cut_along(panel, box=box, way=way)
    weight, crossed = _weights(panel, box=box, way=way)
    whole = replace(panel, weight=weight)
    if not crossed.any():
        return whole
    fine = quartered(quartered(take(whole, which=np.flatnonzero(crossed))))
    weight, _ = _weights(fine, box=box, way=way)
    return join([take(whole, which=np.flatnonzero(~crossed)), replace(fine, weight=weight)])


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
    flat = np.array(straightened(panel.corner_mm[..., :2], way=way))
    number = np.arange(len(flat))
    for aperture in box.apertures:
        shape = straight_shape(aperture.shape, way=way)
        if isinstance(shape, Rectangle):
            across, up = (shape.left_mm, shape.right_mm), (shape.bottom_mm, shape.top_mm)
            for axis, places, span in ((0, across, up), (1, up, across)):
                for place in places:
                    (which,) = _met(flat, axis=axis, place=place, span=span).nonzero()
                    part = flat[which]
                    after = part.copy()
                    np.minimum(part[..., axis], place, out=part[..., axis])
                    np.maximum(after[..., axis], place, out=after[..., axis])
                    flat[which] = part
                    flat = np.concatenate([flat, after])
                    number = np.concatenate([number, number[which]])
    made = take(panel, which=number)
    height = made.corner_mm[..., 2:]
    return replace(made, corner_mm=np.concatenate([laid_back(flat, way=way), height], axis=2))


def _met(flat: Floats, *, axis: int, place: float, span: tuple[float, float]) -> Bools:
    """Tell which upright rectangles among pieces (Q, 4, 2) an edge across an axis passes through.

    ``span`` holds the ends of the edge.
    """
    low, high = flat.min(axis=1), flat.max(axis=1)
    area, _ = ring_area_centre(flat)
    met = area > (1.0 - NONE_OR_ALL) * (high - low).prod(axis=1)
    met &= (low[:, axis] < place - TOUCH_MM) & (high[:, axis] > place + TOUCH_MM)
    met &= (low[:, 1 - axis] < span[1] - TOUCH_MM) & (high[:, 1 - axis] > span[0] + TOUCH_MM)
    return np.asarray(met)
