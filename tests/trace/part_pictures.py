"""Synthetic pictures of a part whose true shape is known, with what spoils real ones.

Every ray of a pixel is followed to the top face of the part, to its side walls, or to the ground;
then come the lens, uneven light, the texture of paper, a shadow, blur, noise and JPEG. All of it is
made up from a seed: good for finding faults of the method, no proof for any real camera.
"""

from functools import cache

import cv2
import numpy as np

from lamphouse.drawings import marker_card
from lamphouse.record import Record, field

INCH_MM = 25.4


class Plate(Record):
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


class Spoil(Record):
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
    drilled: float = 0.6
    """The same in holes narrower than the plate is thick, over that of other walls."""


class Scan(Record):
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


class Photo(Record):
    """A photograph of a plate on the frame card by a camera with a bent lens."""

    plate: Plate = field(default_factory=Plate)
    spoil: Spoil = field(default_factory=lambda: Spoil(blur_pixels=0.9))
    size: tuple = (4000, 3000)
    focal_35_mm: float = 26.0
    tilt_deg: float = 20.0
    roll_deg: float = 90.0
    bend: float = -0.03
    """Of the radial term, over the focal length squared."""
    middle: tuple = (12.0, -9.0)
    """Of the lens, off the picture's."""
    print_stretch: tuple = (1.004, 0.997)
    at_mm: tuple = (62.0, 92.0)
    """Lower left corner of the plate on the card as drawn, before its turn."""
    turn_deg: float = 4.0
    fill: float = 1.12
    """Room for the card in the picture, over its size."""
    field_mm: tuple = (marker_card.WIDTH_MM, marker_card.HEIGHT_MM)
    """Size of what the camera looks at."""

    def camera(self):
        """Give focal length, middle, turn and place."""
        columns, rows = self.size
        focal = self.focal_35_mm / 43.267 * np.hypot(columns, rows)
        tilt, roll = np.radians(self.tilt_deg), np.radians(self.roll_deg)
        flip = np.diag((1.0, -1.0, -1.0))
        about_x = np.array(
            ((1, 0, 0), (0, np.cos(tilt), -np.sin(tilt)), (0, np.sin(tilt), np.cos(tilt)))
        )
        about_z = np.array(
            ((np.cos(roll), -np.sin(roll), 0), (np.sin(roll), np.cos(roll), 0), (0, 0, 1))
        )
        turn = about_x @ flip @ about_z
        across, up = self.field_mm
        far = self.fill * up * focal / columns
        middle = np.array((across / 2, up / 2, 0.0))
        lens = np.array(((columns - 1) / 2 + self.middle[0], (rows - 1) / 2 + self.middle[1]))
        return focal, lens, turn, np.array((0, 0, far)) - turn @ middle

    def pixels(self, *, samples=2):
        """Render it; give grey pixels of 8 bits."""
        columns, rows = self.size
        focal, lens, turn, place = self.camera()
        eye = -turn.T @ place
        share = np.zeros((rows, columns), np.float32)
        ground = np.zeros((rows, columns), np.float32)
        steps = (np.arange(samples) + 0.5) / samples - 0.5
        for band in range(0, rows, 200):
            lines = np.arange(band, min(rows, band + 200))
            for step_x in steps:
                for step_y in steps:
                    bent_x = (np.arange(columns)[None, :] + step_x - lens[0]) / focal
                    bent_y = (lines[:, None] + step_y - lens[1]) / focal
                    flat_x, flat_y = bent_x, bent_y
                    for _ in range(6):
                        stretch = 1.0 + self.bend * (flat_x**2 + flat_y**2)
                        flat_x, flat_y = bent_x / stretch, bent_y / stretch
                    rays = [axis[0] * flat_x + axis[1] * flat_y + axis[2] for axis in turn.T]

                    def met(z, rays=rays):
                        far = (z - eye[2]) / rays[2]
                        return eye[0] + far * rays[0], eye[1] + far * rays[1]

                    ground[lines] += self._met_ground(met)
                    share[lines] += self._met_part(met)
        count = samples**2
        return spoiled(share / count, self.spoil, ground=ground / count)

    def _met_ground(self, met):
        """Give the brightness of what lies under the part: here the frame card."""
        card = np.array(marker_card.modules())
        module = marker_card.SQUARE_MM / marker_card.MODULES
        x, y = met(0.0)
        at_x = np.floor(x / self.print_stretch[0] / module).astype(int)
        at_y = np.floor(y / self.print_stretch[1] / module).astype(int)
        on = (at_x >= 0) & (at_y >= 0) & (at_x < card.shape[1]) & (at_y < card.shape[0])
        black = card[np.clip(at_y, 0, card.shape[0] - 1), np.clip(at_x, 0, card.shape[1] - 1)]
        return np.where(on & black, self.spoil.ground, 0.85)

    def _met_part(self, met):
        """Give the brightness of what a ray meets of the part, over that of its face."""
        top = self._inside(*met(self.plate.thickness_mm))
        found = (top > 0.0).astype(np.float32)
        near = np.nonzero((top <= 0.0) & (top > -2.0 * self.plate.thickness_mm))
        if near[0].size:
            shade = np.zeros(near[0].size, np.float32)
            for slice_ in np.linspace(0.95, 0.0, 12):
                x, y = met(self.plate.thickness_mm * slice_)
                hit = (self._inside(x[near], y[near]) > 0.0) & (shade == 0.0)
                shade[hit] = self.spoil.wall
            found[near] = shade * np.where(self._in_drilled(*met(0.0))[near], self.spoil.drilled, 1)
        return found

    def _on_plate(self, x, y):
        angle = np.radians(self.turn_deg)
        right, up = x - self.at_mm[0], y - self.at_mm[1]
        return (
            np.cos(angle) * right + np.sin(angle) * up,
            -np.sin(angle) * right + np.cos(angle) * up,
        )

    def _inside(self, x, y):
        return self.plate.inside(*self._on_plate(x, y))

    def _in_drilled(self, x, y):
        """Tell where the light of a hole narrower than the plate is thick hardly reaches."""
        right, up = self._on_plate(x, y)
        found = np.zeros(right.shape, dtype=bool)
        for at_x, at_y, diameter in self.plate.holes:
            if diameter <= self.plate.thickness_mm:
                reach = diameter / 2.0 + self.plate.thickness_mm
                found |= np.hypot(right - at_x, up - at_y) < reach
        return found


class SheetPhoto(Photo):
    """A photograph of a dark plate on a sheet of paper with curled edges on a darker table."""

    sheet_mm: tuple = (210.0, 297.0)
    field_mm: tuple = (210.0, 297.0)
    bow_mm: float = 0.0
    """How far the middle of each side is drawn in."""
    at_mm: tuple = (80.0, 130.0)
    spoil: Spoil = field(default_factory=lambda: Spoil(blur_pixels=0.9, part=0.12, texture=0.03))
    paper: float = 0.85
    table: float = 0.35

    def _met_ground(self, met):
        x, y = met(0.0)
        width, height = self.sheet_mm
        left = self.bow_mm * (1.0 - (2.0 * y / height - 1.0) ** 2)
        low = self.bow_mm * (1.0 - (2.0 * x / width - 1.0) ** 2)
        on = (x > left) & (x < width - left) & (y > low) & (y < height - low)
        return np.where(on, self.paper, self.table)


class CardPhoto(Photo):
    """A photograph of a plate beside an identity card, 0.76 mm thick, on a dark table."""

    field_mm: tuple = (150.0, 110.0)
    roll_deg: float = 0.0
    fill: float = 1.6
    card_at_mm: tuple = (12.0, 40.0)
    at_mm: tuple = (130.0, 38.0)
    turn_deg: float = 80.0
    face: float = 0.7
    tall: float = 0.76
    upright: bool = False

    def _met_ground(self, met):
        found = np.where(np.zeros_like(met(0.0)[0]) == 0.0, self.spoil.ground, 0.0)
        for slice_ in (0.0, 0.25, 0.5, 0.75):
            found = np.where(self._on_card(*met(self.tall * slice_)), 0.5 * self.face, found)
        return np.where(self._on_card(*met(self.tall)), self.face, found)

    def _on_card(self, x, y):
        """ISO/IEC 7810: 85.60 x 53.98 mm, corners of 3.18 mm."""
        wide, high = (53.98, 85.60) if self.upright else (85.60, 53.98)
        right = np.abs(x - self.card_at_mm[0] - wide / 2.0) - wide / 2.0 + 3.18
        up = np.abs(y - self.card_at_mm[1] - high / 2.0) - high / 2.0 + 3.18
        return np.hypot(np.maximum(right, 0), np.maximum(up, 0)) < 3.18


class CardScan(Record):
    """A flatbed scan of a plate on the frame card; the bed stretches one way."""

    plate: Plate = field(default_factory=Plate)
    spoil: Spoil = field(default_factory=Spoil)
    dpi: float = 600.0
    stretch: tuple = (1.003, 0.999)
    """Of columns and rows by the scanner's own fault."""
    print_stretch: tuple = (1.004, 0.997)
    at_mm: tuple = (62.0, 92.0)
    turn_deg: float = 4.0
    lean_deg: float = 1.5
    """Of the card on the glass."""

    def pixels(self):
        """Render it; give grey pixels of 8 bits.

        Pixels at an edge are sampled at 64 places on the part, and at 16 on the card.
        """
        pixel = INCH_MM / self.dpi
        width, height = marker_card.WIDTH_MM, marker_card.HEIGHT_MM
        columns, rows = int((width + 14) / pixel), int((height + 14) / pixel)
        share, ground = (np.zeros((rows, columns), np.float32) for _ in range(2))
        reach = 1.5 * pixel
        for band in range(0, rows, 200):
            lines = np.arange(band, min(rows, band + 200))
            down, across = (one.ravel() for one in np.mgrid[lines[0] : lines[-1] + 1, :columns])
            x, y = self._on_card(across, down)
            level = self._card_level(x, y)
            edge = np.flatnonzero(self._from_module(x, y) < reach)
            level[edge] = self._finer(self._card_level, across[edge], down[edge], count=4)
            ground[lines] = level.reshape(len(lines), columns)
            right, up = self._on_plate(x, y)
            near = np.flatnonzero(
                (np.abs(right - self.plate.width_mm / 2.0) < self.plate.width_mm / 2.0 + 1.0)
                & (np.abs(up - self.plate.height_mm / 2.0) < self.plate.height_mm / 2.0 + 1.0)
            )
            depth = self.plate.inside(right[near], up[near])
            part = np.zeros(len(x), np.float32)
            part[near] = depth > 0.0
            edge = near[np.abs(depth) < reach]
            part[edge] = self._finer(self._part_share, across[edge], down[edge], count=8)
            share[lines] = part.reshape(len(lines), columns)
        return spoiled(share, self.spoil, ground=ground)

    def _on_card(self, column, row):
        """Give where on the print a place of the picture lies. [mm]."""
        pixel = INCH_MM / self.dpi
        rows = int((marker_card.HEIGHT_MM + 14) / pixel)
        flat_x = column * pixel / self.stretch[0] - 7
        flat_y = (rows - 1 - row) * pixel / self.stretch[1] - 7
        lean = np.radians(self.lean_deg)
        return (
            np.cos(lean) * flat_x - np.sin(lean) * flat_y + 2.5,
            np.sin(lean) * flat_x + np.cos(lean) * flat_y - 2.5,
        )

    def _on_plate(self, x, y):
        turn = np.radians(self.turn_deg)
        right, up = x - self.at_mm[0], y - self.at_mm[1]
        return np.cos(turn) * right + np.sin(turn) * up, np.cos(turn) * up - np.sin(turn) * right

    def _card_level(self, x, y):
        card = _card()
        module = marker_card.SQUARE_MM / marker_card.MODULES
        at_x = np.floor(x / self.print_stretch[0] / module).astype(int)
        at_y = np.floor(y / self.print_stretch[1] / module).astype(int)
        on = (at_x >= 0) & (at_y >= 0) & (at_x < card.shape[1]) & (at_y < card.shape[0])
        black = card[np.where(on, at_y, 0), np.where(on, at_x, 0)]
        return np.where(on & black, self.spoil.ground, 0.85).astype(np.float32)

    def _from_module(self, x, y):
        """Give the distance to where one module of the card ends and another begins. [mm]."""
        module = marker_card.SQUARE_MM / marker_card.MODULES
        away = [
            np.abs(axis / by - np.round(axis / by / module) * module)
            for axis, by in zip((x, y), self.print_stretch, strict=True)
        ]
        return np.minimum(*away)

    def _part_share(self, x, y):
        return self.plate.inside(*self._on_plate(x, y)) > 0.0

    def _finer(self, seen, column, row, *, count):
        """Average what is seen at ``count`` x ``count`` places of pixels."""
        steps = (np.arange(count) + 0.5) / count - 0.5
        total = np.zeros(len(column))
        for right in steps:
            for down in steps:
                total += seen(*self._on_card(column + right, row + down))
        return total / count**2


@cache
def _card():
    return np.array(marker_card.modules())


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
    levels = (share * spoil.part + np.clip(1.0 - share, 0.0, 1.0) * under) * (1.0 + grain)
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


class Sketch(Record):
    """A scanned drawing of a plate: every edge a line of pencil or ink on paper."""

    plate: Plate = field(default_factory=Plate)
    spoil: Spoil = field(
        default_factory=lambda: Spoil(part=0.25, ground=0.92, texture=0.02, uneven=0.2)
    )
    dpi: float = 300.0
    turn_deg: float = 7.0
    line_mm: float = 0.5
    pencil: float = 0.0
    """How much the darkness of the line wanders along it."""
    gap_mm: float = 0.0
    """Left out of the outline, at its left edge."""
    margin_mm: float = 8.0

    def pixels(self):
        """Render it; give grey pixels of 8 bits."""
        pixel = INCH_MM / self.dpi
        reach = np.hypot(self.plate.width_mm, self.plate.height_mm) + 2 * self.margin_mm
        side = int(reach / pixel)
        angle = np.radians(self.turn_deg)
        column = np.arange(side) * pixel - reach / 2.0
        row = reach / 2.0 - np.arange(side)[:, None] * pixel
        x = np.cos(angle) * column + np.sin(angle) * row + self.plate.width_mm / 2.0
        y = -np.sin(angle) * column + np.cos(angle) * row + self.plate.height_mm / 2.0
        far = np.abs(self.plate.inside(x, y)) - self.line_mm / 2.0
        share = np.clip(0.5 - far / pixel, 0.0, 1.0).astype(np.float32)
        share[(np.abs(x) < self.line_mm) & (np.abs(y - 12.0) < self.gap_mm / 2.0)] = 0.0
        chance = np.random.default_rng(self.spoil.seed)
        wander = cv2.GaussianBlur(chance.normal(0, 1, share.shape).astype(np.float32), (0, 0), 6.0)
        share *= np.clip(1.0 - self.pencil * (1.0 + wander / wander.std()), 0.3, 1.0)
        return spoiled(share, self.spoil)


def mirrored(scan, *, depth, size_mm=6.0, seed=3):
    """Render a scan whose part mirrors the room: bright and dark patches over its face."""
    share = covered(scan.plate, dpi=scan.dpi, turn_deg=scan.turn_deg, margin=scan.margin_mm)
    chance = np.random.default_rng(seed)
    patches = cv2.GaussianBlur(
        chance.normal(0, 1, share.shape).astype(np.float32), (0, 0), size_mm * scan.dpi / INCH_MM
    )
    face = np.clip(1.0 + depth * patches / patches.std(), 0.02, 1.6)
    return spoiled(share * face, scan.spoil, ground=np.full_like(share, scan.spoil.ground))
