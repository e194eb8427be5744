"""Synthetic photographs of a lit panel whose luminance is known, with what spoils real ones.

Every ray of a pixel is followed to the plane of the panel through a tilted camera with a lens that
bends lines; then come the fall towards the rim, scatter, blur, shot noise, exposure, the curve of
sRGB in eight bits, and JPEG where asked. All of it is made up from a seed: good for finding faults
of the method, no proof for any real camera.
"""

import io
from functools import lru_cache

import cv2
import numpy as np
from PIL import Image
from PIL.TiffImagePlugin import IFDRational

from lamphouse.record import Record, replace

ELECTRONS = 8000.0
"""At full scale: of a small sensor; from memory."""


class Camera(Record):
    """A camera over a panel."""

    columns: int = 960
    rows: int = 720
    focal_35_mm: float = 50.0
    tilt_deg: tuple = (4.0, -3.0)
    turn_deg: float = 2.0
    share: float = 0.7
    """Of the picture's width that the panel takes, roughly."""
    bend: float = 0.0
    """Radial term over the half diagonal squared."""
    vignetting: float = 0.0
    """Share of the cosine's fourth power that the camera does not take off."""
    blur_pixels: float = 0.8
    scatter: float = 0.0
    """Share of all light that the lens spreads evenly."""
    noise: bool = True
    exposure: float = 1.0
    curve: float = 1.0
    """Power that a camera with a mind of its own applies to the light before the curve of sRGB."""
    jpeg: int | None = None
    seed: int = 1

    @property
    def focal(self):
        return self.focal_35_mm / 43.267 * np.hypot(self.columns, self.rows)

    def place(self, size):
        """Give rotation and translation that put the middle of a panel before the camera."""
        tilt_x, tilt_y, turn = np.radians((*self.tilt_deg, self.turn_deg))
        about_x = cv2.Rodrigues(np.array((tilt_x, 0.0, 0.0)))[0]
        about_y = cv2.Rodrigues(np.array((0.0, tilt_y, 0.0)))[0]
        about_z = cv2.Rodrigues(np.array((0.0, 0.0, turn)))[0]
        turned = about_x @ about_y @ about_z @ np.diag((1.0, -1.0, -1.0))
        far = self.focal * size[0] / (self.share * self.columns)
        return turned, np.array((0.0, 0.0, far))

    def to_pixels(self, places, *, size, middle):
        """Follow places on the panel into the picture."""
        turned, far = self.place(size)
        flat = np.column_stack((places - middle, np.zeros(len(places))))
        seen = flat @ turned.T + far
        plane = seen[:, :2] / seen[:, 2:]
        half = 0.5 * np.hypot(self.columns, self.rows) / self.focal
        squared = (plane**2).sum(axis=1, keepdims=True) / half**2
        bent = plane * (1.0 + self.bend * squared)
        return bent * self.focal + ((self.columns - 1) / 2.0, (self.rows - 1) / 2.0)

    def rays(self, *, size, middle):
        """Give where on the panel each pixel looks, and the cosine of its angle from the axis."""
        columns, rows = np.meshgrid(np.arange(self.columns), np.arange(self.rows))
        bent = (
            np.stack(
                (columns - (self.columns - 1) / 2.0, rows - (self.rows - 1) / 2.0), axis=-1
            ).reshape(-1, 2)
            / self.focal
        )
        half = 0.5 * np.hypot(self.columns, self.rows) / self.focal
        plane = bent.copy()
        for _ in range(30):
            squared = (plane**2).sum(axis=1, keepdims=True) / half**2
            plane = bent / (1.0 + self.bend * squared)
        turned, far = self.place(size)
        ways = np.column_stack((plane, np.ones(len(plane)))) @ turned
        eye = -far @ turned
        reach = -eye[2] / ways[:, 2]
        spots = eye[:2] + ways[:, :2] * reach[:, None] + middle
        cosine = 1.0 / np.sqrt(1.0 + (bent**2).sum(axis=1))
        return spots, cosine


def corners(camera, bounds):
    """Give the corners in pixels, as a maker would read them."""
    left, bottom, right, top = bounds
    size, middle = _frame(bounds)
    true = np.array(((left, bottom), (right, bottom), (right, top), (left, top)))
    return camera.to_pixels(true, size=size, middle=middle)


def _frame(bounds):
    left, bottom, right, top = bounds
    return (right - left, top - bottom), np.array(((left + right) / 2.0, (bottom + top) / 2.0))


@lru_cache(maxsize=4)
def _rays(camera, bounds):
    size, middle = _frame(bounds)
    return camera.rays(size=size, middle=middle)


def photograph(luminance, *, bounds, camera, white):
    """Take a photograph.

    Parameters
    ----------
    luminance
        Gives cd/m2 at places (n, 2) in mm on the panel's plane.
    bounds
        Of the panel.
    camera
        How.
    white
        cd/m2 that just fill a pixel at an exposure of 1.

    Returns
    -------
    bytes
        A PNG, or a JPEG where the camera writes one, with its exposure in Exif.
    """
    size, _ = _frame(bounds)
    way = Camera(
        columns=camera.columns,
        rows=camera.rows,
        focal_35_mm=camera.focal_35_mm,
        tilt_deg=camera.tilt_deg,
        turn_deg=camera.turn_deg,
        share=camera.share,
        bend=camera.bend,
    )
    spots, cosine = _rays(way, tuple(bounds))
    light = np.zeros(len(spots))
    pitch = size[0] / (camera.share * camera.columns)
    for right in (-0.25, 0.25):
        for up in (-0.25, 0.25):
            light += luminance(spots + np.array((right, up)) * pitch) / 4.0
    light *= 1.0 - camera.vignetting * (1.0 - cosine**4)
    light = light.reshape(camera.rows, camera.columns) * camera.exposure / white
    if camera.blur_pixels:
        light = cv2.GaussianBlur(light, None, camera.blur_pixels)
    light = (1.0 - camera.scatter) * light + camera.scatter * light.mean()
    dice = np.random.default_rng(camera.seed)
    if camera.noise:
        light = dice.poisson(np.maximum(light, 0.0) * ELECTRONS) / ELECTRONS
        light = light + dice.normal(0.0, 3.0 / ELECTRONS, light.shape)
    light = np.clip(light, 0.0, 1.0) ** camera.curve
    stored = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    codes = np.round(255.0 * stored).astype(np.uint8)
    picture = Image.fromarray(np.repeat(codes[..., None], 3, axis=2))
    exif = Image.Exif()
    inner = exif.get_ifd(0x8769)
    inner[33434] = IFDRational(round(camera.exposure * 1e5), 1_000_000)
    inner[33437], inner[34855] = IFDRational(2, 1), 100
    inner[41989] = round(camera.focal_35_mm)
    exif[0x8769] = dict(inner)
    into = io.BytesIO()
    if camera.jpeg:
        picture.save(into, format="JPEG", quality=camera.jpeg, subsampling=0, exif=exif)
    else:
        picture.save(into, format="PNG", exif=exif)
    return into.getvalue()


def longer(camera, times, *, seed=2):
    """Expose more or less."""
    return replace(camera, exposure=camera.exposure * times, seed=seed)
