"""The glow of one opening as a picture, pixel by pixel.

Light that was reflected inside varies slowly over an opening: it is gathered on a grid of windows a
fine step wide and drawn between them by cubics. Light straight from the lamps, with its shadows, is
computed for every pixel. Light of the room on the opening's own front adds ``rho E / pi``.
"""

from collections.abc import Sequence
from math import ceil, pi

import numpy as np
from numpy.typing import NDArray

from lamphouse.light import emitter
from lamphouse.light.cavity import Field
from lamphouse.light.cover import contains, ring_of
from lamphouse.light.front import LX_PER_LM_MM2, sent_out
from lamphouse.light.haze import lobe_of, lobe_rows
from lamphouse.light.interior import Interior
from lamphouse.light.pieces import Lobe
from lamphouse.light.scene import Aperture, Lamp, Rectangle
from lamphouse.light.step_size import STEP_WEIGHT
from lamphouse.light.uprights import inside, ring_area_centre
from lamphouse.light.views import gather, glimpsed, windows
from lamphouse.record import Record

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

Surface = tuple[int, float, bool, float, Lobe | None]

SLIVER = 0.05
"""A last pixel with less of the opening in it than this is left out."""

LEAST_WINDOWS = 4
"""A cubic needs four places."""


class Canvas(Record):
    """An opening laid out for pictures of a given fineness; it does not depend on the lamps."""

    aperture: Aperture
    pixel_mm: float
    left_mm: float
    bottom_mm: float
    shown: Bools
    """(rows, columns) whether the pixel's middle lies in a part of the opening that is seen."""
    rows: Floats
    """(windows, N) luminance of each window per light sent out by each face. [1/sr]."""
    shape: tuple[int, int]
    """Windows up and across."""
    up: Floats
    """(rows, windows up) how a pixel row draws on the windows."""
    across: Floats
    """(columns, windows across)."""
    surfaces: tuple[Surface, ...]
    """Of each surface seen: cavity, height, whether it faces up, share, and lobe."""

    @property
    def middles_mm(self) -> tuple[Floats, Floats]:
        """Places of its pixel columns across, (1, columns), and of its rows up, (rows, 1)."""
        lines, columns = self.shown.shape
        x = self.left_mm + self.pixel_mm * np.arange(0.5, columns)
        y = self.bottom_mm + self.pixel_mm * np.arange(0.5, lines)
        return x[None, :], y[:, None]


class Picture(Record):
    """The glow of one opening."""

    luminance_cd_m2: Floats
    """(rows, columns), lowest row first; 0 outside the opening."""
    shown: Bools
    """(rows, columns) whether the pixel lies in the opening."""
    left_mm: float
    bottom_mm: float
    pixel_mm: float


def cubic_weights(count: int, *, places: Floats) -> Floats:
    """Weights of Lagrange's cubic through the four nearest of equally spaced values.

    Parameters
    ----------
    count
        Number of values, at 0.5, 1.5, ... ; at least 4.
    places
        (P,) where the cubic is wanted, in the same units.

    Returns
    -------
    Floats
        (P, count).
    """
    start = np.clip(np.floor(places - 0.5).astype(np.int64) - 1, 0, count - 4)
    at = places - 0.5 - start
    weights = np.zeros((len(places), count))
    for node in range(4):
        value = np.ones(len(places))
        for other in range(4):
            if other != node:
                value *= (at - other) / (node - other)
        weights[np.arange(len(places)), start + node] = value
    return weights


def make_canvas(
    interior: Interior, *, aperture: Aperture, pixels_per_mm: float, step_mm: float
) -> Canvas:
    """Lay an opening out for pictures.

    Parameters
    ----------
    interior
        The box.
    aperture
        One of its openings.
    pixels_per_mm
        Fineness, above 0.
    step_mm
        Greatest width of the windows on which reflected light is gathered.
    """
    ring = np.array(ring_of(aperture.shape))
    (left, bottom), (right, top) = ring.min(axis=0), ring.max(axis=0)
    pixel = 1.0 / pixels_per_mm
    columns, lines = (max(1, ceil(size / pixel - SLIVER)) for size in (right - left, top - bottom))
    wide, high = (max(LEAST_WINDOWS, ceil(size / step_mm)) for size in (right - left, top - bottom))
    frame = Rectangle(
        left_mm=float(left), bottom_mm=float(bottom), right_mm=float(right), top_mm=float(top)
    )
    grid = windows(frame, across=wide, up=high)
    _, centre = ring_area_centre(grid)
    box = interior.box
    clear = inside(centre, rings=(box.outline, *box.holes))
    rows = np.zeros((len(grid), interior.face_count))
    surfaces: list[Surface] = []
    for cavity, faces_up, share in glimpsed(interior, aperture=aperture):
        rows[clear] += share * gather(interior, spots=grid[clear], cavity=cavity, faces_up=faces_up)
        height = interior.cavities[cavity].mesh.height_mm
        surfaces.append((cavity, float(height[0 if faces_up else -1]), faces_up, share, None))
    if aperture.fill is not None and aperture.fill.haze is not None:
        haze = aperture.fill.haze
        share = haze.lobe * aperture.fill.transmittance
        rows[clear] += share * lobe_rows(interior, spots=grid[clear], haze=haze)
        last = len(interior.cavities) - 1
        surfaces.append((last, box.depth_mm, False, share, lobe_of(haze)))
    if not clear.all():
        # Windows of the frame that lie behind a wall carry on what the nearest clear one shows.
        gap = centre[~clear][:, None] - centre[clear][None]
        rows[~clear] = rows[clear][np.argmin(np.sum(gap**2, axis=2), axis=1)]
    x = left + (np.arange(columns) + 0.5) * pixel
    y = bottom + (np.arange(lines) + 0.5) * pixel
    middle = np.stack(np.meshgrid(x, y), axis=2).reshape(-1, 2)
    parts = aperture.shown or (aperture.shape,)
    shown = np.any([contains(part, points_mm=middle) for part in parts], axis=0)
    return Canvas(
        aperture=aperture,
        pixel_mm=pixel,
        left_mm=float(left),
        bottom_mm=float(bottom),
        shown=shown.reshape(lines, columns),
        rows=rows,
        shape=(high, wide),
        up=cubic_weights(high, places=np.minimum((y - bottom) / (top - bottom), 1.0) * high),
        across=cubic_weights(wide, places=np.minimum((x - left) / (right - left), 1.0) * wide),
        surfaces=tuple(surfaces),
    )


def paint(
    canvas: Canvas,
    *,
    interior: Interior,
    field: Field,
    lamps: Sequence[Lamp],
    flux_lm: Sequence[float],
    room_lx: float = 0.0,
) -> Picture:
    """Draw the glow of an opening.

    Parameters
    ----------
    canvas
        The opening.
    interior, field
        The box and its settled light for these lamps.
    lamps, flux_lm
        The lamps and the flux each gives now.
    room_lx
        Illuminance on the front of the panel.
    """
    flux = np.array(flux_lm)
    settled = field.illuminance + STEP_WEIGHT * (field.illuminance - field.coarse)
    sent = sent_out(interior, reflected=field.reflected, illuminance=settled) @ flux
    windowed = (canvas.rows @ sent).reshape(canvas.shape)
    glow = canvas.up @ windowed @ canvas.across.T
    x, y = canvas.middles_mm
    for cavity, height, faces_up, share, lobe in canvas.surfaces:
        for lamp, own_flux in zip(lamps, flux, strict=True):
            if interior.home(lamp) == cavity:
                landed = emitter.falling(
                    lamp,
                    x_mm=x,
                    y_mm=y,
                    z_mm=height,
                    faces_up=faces_up,
                    lobe=lobe,
                    screens=interior.screens,
                )
                glow = glow + own_flux * share * landed
    fill = canvas.aperture.fill
    room = 0.0 if fill is None else room_lx * fill.reflectance / pi
    luminance = np.where(canvas.shown, np.maximum(LX_PER_LM_MM2 * glow, 0.0) + room, 0.0)
    return Picture(
        luminance_cd_m2=luminance,
        shown=canvas.shown,
        left_mm=canvas.left_mm,
        bottom_mm=canvas.bottom_mm,
        pixel_mm=canvas.pixel_mm,
    )
