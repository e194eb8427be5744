"""Synthetic pictures of a part whose true shape is known, with what spoils real ones.

Every ray of a pixel is followed to the top face of the part, to its side walls, or to the ground;
then come the lens, uneven light, the texture of paper, a shadow, blur, noise and JPEG. All of it is
made up from a seed: good for finding faults of the method, no proof for any real camera.
"""

from dataclasses import dataclass, field
from functools import cache

import cv2
import numpy as np

INCH_MM = 25.4


@dataclass(frozen=True, kw_only=True)
class Plate:
    """A plate with rounded corners on the right, round holes and one square window."""

    width_mm: float = 36.0
    height_mm: float = 24.0
    radius_mm: float = 4.0
    holes: tuple = (
        (5.0, 5.0, 0.30),
        (9.0, 5.0, 0.35),
        (14.0, 5.0, 0.50),
        (20.0, 6.0, 1.00),
        (28.0, 6.0, 2.00),
        (8.0, 16.0, 6.00),
        (31.0, 18.0, 0.30),
    )
    window: tuple = (16.0, 12.0, 24.0, 18.0)
    thickness_mm: float = 0.75

    def inside(self, x, y):
        """Give the distance to the nearest edge, positive inside the material."""
        middle = self.width_mm / 2.0, self.height_mm / 2.0
        radius = np.where(x > middle[0], self.radius_mm, 0.0)
        across = np.abs(x - middle[0]) - middle[0] + radius
        up = np.abs(y - middle[1]) - middle[1] + radius
        outside = np.hypot(np.maximum(across, 0), np.maximum(up, 0))
        found = radius - outside - np.minimum(np.maximum(across, up), 0)
        for hole_x, hole_y, diameter in self.holes:
            found = np.minimum(found, np.hypot(x - hole_x, y - hole_y) - diameter / 2.0)
        left, bottom, right, top = self.window
        far_x, far_y = np.maximum(left - x, x - right), np.maximum(bottom - y, y - top)
        out = np.hypot(np.maximum(far_x, 0), np.maximum(far_y, 0))
        return np.minimum(found, out + np.minimum(np.maximum(far_x, far_y), 0))


@dataclass(frozen=True, kw_only=True)
class Spoil:
    """What spoils a picture."""

    seed: int = 1
    blur_pixels: float = 1.0
    noise: float = 2.0
    jpeg: int | None = 90
    uneven: float = 0.3
    """How much darker one corner is."""
    texture: float = 0.06
    """Relative, of paper and plastic."""
    shadow: float = 0.0
    """How much darker the ground is where a shadow lies."""
    part: float = 0.85
    ground: float = 0.12
    wall: float = 0.5
    """Brightness of side walls, relative to the top face."""


@dataclass(frozen=True, kw_only=True)
class Scan:
    """A flatbed: every ray falls straight, one scale all over."""

    plate: Plate = field(default_factory=Plate)
    spoil: Spoil = field(default_factory=Spoil)
    dpi: float = 600.0
    turn_deg: float = 7.0
    margin_mm: float = 5.0

    def pixels(self):
        """Render it; give grey pixels of 8 bits."""
        share = covered(self.plate, dpi=self.dpi, turn_deg=self.turn_deg, margin=self.margin_mm)
        return spoiled(share, self.spoil)


@cache
def covered(plate, *, dpi, turn_deg, margin):
    """Give the share of every pixel that the plate covers, 0 to 1.

    Pixels at an edge are sampled at 64 places.
    """
    pixel = INCH_MM / dpi
    reach = np.hypot(plate.width_mm, plate.height_mm) + 2 * margin
    side = int(reach / pixel)
    angle = np.radians(turn_deg)
    column = np.arange(side) * pixel - reach / 2.0
    row = reach / 2.0 - np.arange(side)[:, None] * pixel
    x = np.cos(angle) * column + np.sin(angle) * row + plate.width_mm / 2.0
    y = -np.sin(angle) * column + np.cos(angle) * row + plate.height_mm / 2.0
    near = plate.inside(x, y) / pixel
    share = np.clip(near + 0.5, 0.0, 1.0).astype(np.float32)
    edge = np.nonzero(np.abs(near) < 2.0)
    steps = (np.arange(8) + 0.5) / 8 - 0.5
    finer = np.zeros(len(edge[0]))
    for right in steps * pixel:
        for up in steps * pixel:
            shift_x = np.cos(angle) * right + np.sin(angle) * up
            shift_y = -np.sin(angle) * right + np.cos(angle) * up
            finer += plate.inside(x[edge] + shift_x, y[edge] + shift_y) > 0.0
    share[edge] = finer / 64.0
    return share


def spoiled(share, spoil, *, ground=None):
    """Light, blur, grain and pack a picture of how much of each pixel the part covers."""
    chance = np.random.default_rng(spoil.seed)
    rows, columns = share.shape
    under = np.full_like(share, spoil.ground) if ground is None else ground
    if spoil.shadow:
        away = cv2.GaussianBlur(np.roll(share, (25, 25), (0, 1)), (0, 0), 8.0)
        under = under * (1.0 - spoil.shadow * away)
    grain = cv2.GaussianBlur(chance.normal(0, 1, share.shape).astype(np.float32), (0, 0), 2.0)
    grain *= spoil.texture / max(float(grain.std()), 1e-9)
    levels = (share * spoil.part + (1.0 - share) * under) * (1.0 + grain)
    down, right = np.mgrid[:rows, :columns]
    light = 1.0 - spoil.uneven * (0.6 * down / rows + 0.4 * right / columns)
    levels = cv2.GaussianBlur((levels * light).astype(np.float32), (0, 0), spoil.blur_pixels)
    levels = 255.0 * levels + chance.normal(0, spoil.noise, share.shape)
    return np.clip(np.round(levels), 0, 255).astype(np.uint8)


def packed(pixels, *, kind=".jpg", quality=90):
    """Give a picture file."""
    ok, data = cv2.imencode(kind, pixels, [cv2.IMWRITE_JPEG_QUALITY, quality])
    assert ok
    return data.tobytes()
