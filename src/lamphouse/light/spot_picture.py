"""The glow of one opening as a picture drawn from its spots alone, for boxes that share openings.

Between the spots of a rectangle the light is drawn by cubics; over other shapes every pixel takes
the spot whose middle is nearest. What is smaller than a spot, such as the edge of a shadow, is not
in the picture.
"""

from math import ceil

import numpy as np

from lamphouse.light.cover import contains, ring_of
from lamphouse.light.front import Look
from lamphouse.light.picture import SLIVER, Picture, cubic_weights
from lamphouse.light.scene import Aperture, Rectangle
from lamphouse.light.uprights import ring_area_centre
from lamphouse.light.views import ACROSS, UP, aperture_spots


def drawn_from_spots(
    look: Look, *, aperture: Aperture, pixels_per_mm: float, small_mm: float
) -> Picture:
    """Draw an opening from the luminances of its spots.

    Parameters
    ----------
    look, aperture
        What the solver found, and the opening.
    pixels_per_mm
        Fineness, above 0.
    small_mm
        A disc up to this diameter was one spot.
    """
    ring = np.array(ring_of(aperture.shape))
    (left, bottom), (right, top) = ring.min(axis=0), ring.max(axis=0)
    pixel = 1.0 / pixels_per_mm
    columns, lines = (max(1, ceil(size / pixel - SLIVER)) for size in (right - left, top - bottom))
    x = left + (np.arange(columns) + 0.5) * pixel
    y = bottom + (np.arange(lines) + 0.5) * pixel
    places = np.stack(np.meshgrid(x, y), axis=2).reshape(-1, 2)
    spots = look.luminance_cd_m2
    if isinstance(aperture.shape, Rectangle) and not aperture.shown:
        up = cubic_weights(UP, places=np.minimum((y - bottom) / (top - bottom), 1.0) * UP)
        across = cubic_weights(ACROSS, places=np.minimum((x - left) / (right - left), 1.0) * ACROSS)
        light = up @ spots.reshape(UP, ACROSS) @ across.T
    else:
        _, centre = ring_area_centre(aperture_spots(aperture, small_mm=small_mm))
        gap = places[:, None] - centre[None]
        nearest = np.argmin(np.einsum("psk,psk->ps", gap, gap), axis=1)
        light = spots[nearest].reshape(lines, columns)
    parts = aperture.shown or (aperture.shape,)
    shown = np.any([contains(part, points_mm=places) for part in parts], axis=0)
    shown = shown.reshape(lines, columns)
    return Picture(
        luminance_cd_m2=np.where(shown, np.maximum(light, 0.0), 0.0),
        shown=shown,
        left_mm=float(left),
        bottom_mm=float(bottom),
        pixel_mm=pixel,
    )
