"""The parts on the demo's pictures, as distance functions: the known truth of its tracing.

Of `picture`, `how` says how it was taken; `truth` is the part. All of it is synthetic.
"""

import numpy as np
from part_pictures import Photo, Scan, Spoil

from lamphouse.record import Record

PRINTED_MM = (168.7, 215.4)
"""What the maker reads off the print of the card: it came out 0.4 percent wide and 0.3 low."""


def _holes(found, x, y, holes):
    for hole_x, hole_y, diameter in holes:
        found = np.minimum(found, np.hypot(x - hole_x, y - hole_y) - diameter / 2.0)
    return found


class BellPlate(Record):
    """A plate with an arched top, four screw holes and one for the push."""

    width_mm: float = 24.0
    height_mm: float = 30.0
    thickness_mm: float = 0.75
    holes: tuple = ((3.0, 3.0, 1.0), (21.0, 3.0, 1.0), (3.0, 17.0, 1.0), (21.0, 17.0, 1.0),
                    (12.0, 12.0, 6.0))  # fmt: skip

    def inside(self, x, y):
        """Give the distance to the nearest edge, positive inside the material."""
        # A rectangle up to 18 mm, and on it half a disc of 12 mm radius.
        middle = self.width_mm / 2.0
        foot = np.minimum(np.minimum(x, self.width_mm - x), y)
        arch = middle - np.hypot(x - middle, y - 18.0)
        return _holes(np.where(y > 18.0, arch, foot), x, y, self.holes)


class ClockBezel(Record):
    """A ring with three lugs, each with a hole."""

    width_mm: float = 28.0
    height_mm: float = 28.0
    thickness_mm: float = 0.5
    rim_mm: float = 24.0
    holes: tuple = (
        *(
            (14.0 + 11.5 * np.cos(turn), 14.0 + 11.5 * np.sin(turn), 1.2)
            for turn in np.radians((90.0, 210.0, 330.0))
        ),
        (14.0, 14.0, 16.0),
    )

    def inside(self, x, y):
        """Give the distance to the nearest edge, positive inside the material."""
        found = self.rim_mm / 2.0 - np.hypot(x - 14.0, y - 14.0)
        for lug_x, lug_y, _ in self.holes[:3]:
            found = np.maximum(found, 2.5 - np.hypot(x - lug_x, y - lug_y))
        return _holes(found, x, y, self.holes)


class PipePlate(Record):
    """A plate with two clipped corners, two holes and a slot."""

    width_mm: float = 36.0
    height_mm: float = 22.0
    thickness_mm: float = 1.0
    clip_mm: float = 6.0
    holes: tuple = ((5.0, 5.0, 2.0), (31.0, 5.0, 2.0))
    slot: tuple = (10.0, 26.0, 13.0, 3.0)
    """Middles of its two ends along, its height, and half its width."""

    def inside(self, x, y):
        """Give the distance to the nearest edge, positive inside the material."""
        found = np.minimum(np.minimum(x, self.width_mm - x), np.minimum(y, self.height_mm - y))
        for across in (x, self.width_mm - x):
            found = np.minimum(found, (across + (self.height_mm - y) - self.clip_mm) / np.sqrt(2.0))
        left, right, up, half = self.slot
        along = np.clip(x, left, right)
        found = np.minimum(found, np.hypot(x - along, y - up) - half)
        return _holes(found, x, y, self.holes)


class DemoPicture(Record):
    """One picture of the demo."""

    name: str
    panel: str
    truth: object
    shot: object
    quality: int
    how: tuple
    """Words of the command after the picture."""


PICTURES = (
    DemoPicture(
        name="bell-plate.jpg",
        panel="instrument wall / bell plate",
        truth=BellPlate(),
        shot=Scan(
            plate=BellPlate(),
            spoil=Spoil(seed=21, noise=2.0, texture=0.04),
            turn_deg=-4.0,
            margin_mm=3.0,
        ),
        quality=85,
        how=("--dpi", "600"),
    ),
    DemoPicture(
        name="clock-bezel.jpg",
        panel="instrument wall / clock bezel",
        truth=ClockBezel(),
        shot=Scan(
            plate=ClockBezel(),
            spoil=Spoil(seed=22, noise=2.0, texture=0.04, uneven=0.2),
            turn_deg=0.0,
            margin_mm=3.0,
        ),
        quality=85,
        how=("--dpi", "600"),
    ),
    DemoPicture(
        name="pipe-plate.jpg",
        panel="instrument wall / pipe plate",
        truth=PipePlate(),
        shot=Photo(
            plate=PipePlate(),
            spoil=Spoil(seed=23, blur_pixels=0.7, noise=1.2, texture=0.03),
            size=(3000, 2250),
            print_stretch=(PRINTED_MM[0] / 168.0, PRINTED_MM[1] / 216.0),
            at_mm=(66.0, 96.0),
            turn_deg=4.0,
            tilt_deg=15.0,
            fill=1.2,
        ),
        quality=72,
        how=(
            "--card",
            "--printed",
            f"{PRINTED_MM[0]} x {PRINTED_MM[1]} mm",
            "--thickness",
            "1 mm",
            "--finest",
            "1 mm",
        ),
    ),
)
