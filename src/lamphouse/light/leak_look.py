"""How bright one leak of a box looks, and from when the eye sees it.

Light that leaves a gap or a hole is told as the mean over all directions; straight along it, it is
brighter.
"""

from enum import StrEnum
from math import pi

from lamphouse.catalogue.sheet_light import SheetLight
from lamphouse.design.lightbox import LightBox
from lamphouse.design.strand import Strand
from lamphouse.light.eye import DARKEST_CD_M2, least_seen_cd_m2, surround_cd_m2
from lamphouse.light.leak_paths import (
    as_square_mm,
    through_slit,
    through_tube,
)
from lamphouse.record import Record
from lamphouse.shapes.measure import size_mm

FINEST_GAP_MM = 1e-4
"""Below this a gap is closed."""


class LeakKind(StrEnum):
    """What light leaks through."""

    FACE = "panel round the openings"
    WALLS = "walls and back"
    SEAM = "joints"
    EXIT = "wire exit"
    STRAND = "strand hole"
    ENTRY = "strand hole at the rear"


class Leak(Record):
    """One place of a box where light leaves that should not."""

    kind: LeakKind
    item: str
    """Name of the strand; empty for the rest."""
    share: float
    """Of the light that reaches it from inside, what leaves."""
    width_mm: float
    length_mm: float
    """Of the patch the eye sees; a hole as the square of its area."""
    luminance_cd_m2: float
    """Mean over all directions."""
    least_seen_cd_m2: float
    """From when it is seen with no light in the room."""
    least_seen_in_room_cd_m2: float
    """The same with the room's light on; equal where none is known."""

    @property
    def excess(self) -> float:
        """How many times brighter it is than what is just seen in the dark."""
        return self.luminance_cd_m2 / self.least_seen_cd_m2

    @property
    def is_seen(self) -> bool:
        """Whether it shows in the dark."""
        return self.excess >= 1.0

    @property
    def is_seen_in_room(self) -> bool:
        """Whether it shows even in the room's light."""
        return self.luminance_cd_m2 >= self.least_seen_in_room_cd_m2


class Viewer(Record):
    """An eye at a distance, and the room's light."""

    distance_mm: float
    room_lx: float

    def leak(
        self, kind: LeakKind, *, lux: float, share: float, width_mm: float, length_mm: float,
        item: str = "",
    ) -> Leak:  # fmt: skip
        """Judge a patch that passes a share of the light behind it."""
        dark, lit = (
            least_seen_cd_m2(
                width_mm, length_mm=length_mm, distance_mm=self.distance_mm, surround=surround
            )
            for surround in (DARKEST_CD_M2, surround_cd_m2(self.room_lx))
        )
        return Leak(
            kind=kind,
            item=item,
            share=share,
            width_mm=width_mm,
            length_mm=length_mm,
            luminance_cd_m2=share * lux / pi,
            least_seen_cd_m2=dark,
            least_seen_in_room_cd_m2=lit,
        )

    def seam(self, gap_mm: float, *, box: LightBox, wall: SheetLight, lux: float) -> Leak:
        """Judge the longest butt joint of a box."""
        share = through_slit(gap_mm, depth_mm=box.sheet.thickness_mm, reflectance=wall.reflectance)
        return self.leak(
            LeakKind.SEAM,
            lux=lux,
            share=share,
            width_mm=gap_mm,
            length_mm=max(size_mm(box.inside.corners)),
        )

    def exit(self, diameter_mm: float, *, box: LightBox, wall: SheetLight, lux: float) -> Leak:
        """Judge the hole for the wires, as if no wire were in it."""
        share = through_tube(
            diameter_mm, depth_mm=box.sheet.thickness_mm, reflectance=wall.reflectance
        )
        side = as_square_mm(diameter_mm)
        return self.leak(LeakKind.EXIT, lux=lux, share=share, width_mm=side, length_mm=side)

    def strand(
        self, kind: LeakKind, *, strand: Strand, depth_mm: float, face: SheetLight, lux: float
    ) -> Leak:
        """Judge the ring that stays open round a strand in its hole, in panel or wall."""
        fibre = strand.fibre.diameter_mm
        hole = strand.hole_mm or fibre + strand.fibre.hole_clearance_mm[1]
        gap = max((hole - fibre) / 2.0, FINEST_GAP_MM)
        through = through_slit(gap, depth_mm=depth_mm, reflectance=face.reflectance)
        side = as_square_mm(hole)
        return self.leak(
            kind,
            item=strand.name,
            lux=lux,
            share=through * max(1.0 - (fibre / hole) ** 2, 0.0),
            width_mm=side,
            length_mm=side,
        )
