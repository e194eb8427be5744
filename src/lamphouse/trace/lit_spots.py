"""Places where an opening is brighter or darker than the rest of it says."""

from collections.abc import Iterator
from math import log

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from lamphouse.light.picture import Picture
from lamphouse.record import Record
from lamphouse.trace.photo_sampling import smoothed

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
SPOT = 0.20
"""How far the pattern leaves 1 in a spot; common practice, no source."""


SPOT_MM2 = 0.5
_MOST_SPOTS = 6


class Spot(Record):
    """A place where an opening is not as predicted."""

    x_mm: float
    """Where it differs most."""
    y_mm: float
    ratio: float
    """Measured over predicted there, 1 on the median of the opening."""
    area_mm2: float


def spots_of(pattern: Floats, *, read: Mask, picture: Picture) -> Iterator[Spot]:
    """Give the places where the pattern, smoothed, leaves 1; the worst first."""
    pixel = picture.pixel_mm
    smooth = smoothed(np.where(read, pattern, 0.0), weight=read.astype(float), pixel_mm=pixel)
    found = []
    for off in (smooth > 1.0 + SPOT, smooth < 1.0 / (1.0 + SPOT)):
        marks, count = ndimage.label(off & read)
        for number in range(1, count + 1):
            own = marks == number
            area = float(own.sum()) * pixel**2
            if area < SPOT_MM2:
                continue
            away = np.where(own, np.abs(np.log(np.maximum(smooth, 1e-6))), -1.0)
            row, column = np.unravel_index(int(np.argmax(away)), away.shape)
            found.append(
                Spot(
                    x_mm=picture.left_mm + pixel * (float(column) + 0.5),
                    y_mm=picture.bottom_mm + pixel * (float(row) + 0.5),
                    ratio=float(smooth[row, column]),
                    area_mm2=area,
                )
            )
    yield from sorted(found, key=lambda one: -abs(log(max(one.ratio, 1e-6))))[:_MOST_SPOTS]
