"""A photograph read at places of a panel, and smoothed over the places that count."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from lamphouse.trace.panel_in_photo import PanelInPhoto
from lamphouse.trace.scales import Places

Floats = NDArray[np.float64]
_SMOOTH_MM = 0.5


def smoothed(values: Floats, *, weight: Floats, pixel_mm: float) -> Floats:
    """Smooth over what counts alone."""
    sigma = _SMOOTH_MM / pixel_mm
    known = ndimage.gaussian_filter(weight, sigma)
    spread: Floats = ndimage.gaussian_filter(values * weight, sigma) / np.maximum(known, 1e-9)
    return spread


def softened(
    light: NDArray[np.float32], *, view: PanelInPhoto, pixel_mm: float
) -> NDArray[np.float32]:
    """Average a photograph over as many of its pixels as a square of a grid on the panel has."""
    half = int(pixel_mm / view.pixel_mm / 2.0)
    if half == 0:
        return light
    soft: NDArray[np.float32] = ndimage.uniform_filter(light, 2 * half + 1, mode="nearest")
    return soft


def sampled(light: NDArray[np.float32], *, view: PanelInPhoto, x: Floats, y: Floats) -> Floats:
    """Read a photograph at places of the panel."""
    spots = view.to_pixels(np.column_stack((x.ravel(), y.ravel())))
    read = ndimage.map_coordinates(light, spots[:, ::-1].T, order=1, mode="nearest")
    return np.asarray(read, dtype=np.float64).reshape(x.shape)


def nearest(values: NDArray[Any], spots: Places) -> NDArray[Any]:
    """Read values of a photograph at the pixels nearest to places in it (n, 2), columns first."""
    rows, columns = values.shape
    column = np.clip(np.rint(spots[:, 0]).astype(int), 0, columns - 1)
    row = np.clip(np.rint(spots[:, 1]).astype(int), 0, rows - 1)
    found: NDArray[Any] = values[row, column]
    return found
