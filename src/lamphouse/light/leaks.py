"""Where light leaves a box that should not, how bright that looks, and from when the eye sees it.

The inside is lit as evenly as its solved energy says: the panel's rear face as its openings are,
walls and back by what the paint takes up. A wall right before an LED is lit more than that. Light
that leaves a gap or a hole is told as the mean over all directions; straight along it, it is
brighter. Wires in their exit and light that falls on other parts of the model are left out.
"""

from collections.abc import Callable, Sequence
from enum import StrEnum
from math import ceil, log10, pi, sqrt

import numpy as np

from lamphouse.catalogue.sheet_light import SheetLight
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.wall_coats import WallCoat
from lamphouse.design.lightbox import Lid, LightBox, Seams
from lamphouse.design.panel import Panel
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.eye import DARKEST_CD_M2, least_seen_cd_m2, surround_cd_m2
from lamphouse.light.inside_light import openings_lx, paint_lx
from lamphouse.light.leak_paths import (
    as_square_mm,
    through_coats,
    through_sheet,
    through_slit,
    through_tube,
)
from lamphouse.light.uprights import inside
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.spacing import bare_mm2

BUTT_GAP_MM = 0.05
"""Gap of a butt joint of hand-cut sheet, where glue does not bridge it [PRACTICE]."""

NEAR_MM = 250.0
"""Distance of clear sight, the convention of optics; taken where the project names no room."""

LEAST_FACE_MM2 = 1.0
"""A face with less area than this round its openings is not looked at."""

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


class BoxLeaks(Record):
    """The leaks of one light box whose glow is known."""

    glow: BoxGlow
    box: LightBox
    wall: SheetLight
    """Material of its walls."""
    panel_lx: float
    """Illuminance of the panel's rear face round the openings."""
    wall_lx: float
    """Mean illuminance of its paint."""
    density: float
    """Of its coats together; 0 while the maker has not said."""
    leaks: tuple[Leak, ...]
    """Faces; strand holes, in the panel and where the strand comes in at the rear; and joints and
    the wire exit unless closed. Joints that the maker has not spoken of count as butt."""
    distance_mm: float
    """From the eye."""


def density_of(box: LightBox) -> float:
    """Add up the optical densities of a box's coats."""
    return sum(coating.coat.density * coating.count for coating in box.coats or ())


def coats_needed(excess: float, *, coat: WallCoat) -> int:
    """Count the coats that dim something by a factor."""
    return max(ceil(log10(excess) / coat.density), 1) if excess >= 1.0 else 0


def share_of_sheet(thickness_mm: float, *, material: SheetLight) -> float:
    """Diffuse transmittance of a bare sheet."""
    return through_sheet(
        thickness_mm,
        scatter_per_mm=material.scatter_per_mm,
        absorption_per_mm=material.absorption_per_mm,
    )


def sheets_of(panel: Panel) -> tuple[SheetStock, ...]:
    """List the sheets of a panel, all layers of a curved one."""
    return tuple(layer.sheet for layer in panel.curve.layers) if panel.curve else (panel.sheet,)


def largest_unseen_mm(excess_at: Callable[[float], float], *, open_mm: float) -> float:
    """Find the largest gap or hole that is not seen, by halving on a logarithmic scale.

    Returns
    -------
    float
        Rounded down to 0.005 mm; 0 where none is that small. [mm].
    """
    low, high = FINEST_GAP_MM, open_mm
    if excess_at(low) >= 1.0:
        return 0.0
    for _ in range(30):
        middle = sqrt(low * high)
        low, high = (low, middle) if excess_at(middle) >= 1.0 else (middle, high)
    return int(low / 0.005) * 0.005


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
        left, bottom, right, top = bounds_mm(box.inside.corners)
        share = through_slit(gap_mm, depth_mm=box.sheet.thickness_mm, reflectance=wall.reflectance)
        return self.leak(
            LeakKind.SEAM,
            lux=lux,
            share=share,
            width_mm=gap_mm,
            length_mm=max(right - left, top - bottom),
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


def unknown_materials(
    panel: Panel, *, box: LightBox, materials: Sequence[SheetLight]
) -> tuple[str, ...]:
    """List materials of a box and its panel of which nobody knows what they do to light."""
    known = {material.name for material in materials}
    used = (box.sheet.material, *(sheet.material for sheet in sheets_of(panel)))
    return tuple(dict.fromkeys(name for name in used if name not in known))


def find_leaks(
    glow: BoxGlow,
    *,
    panel: Panel,
    box: LightBox,
    strands: Sequence[Strand],
    materials: Sequence[SheetLight],
    room: Room | None,
) -> BoxLeaks:
    """Find where light leaves a box that should not.

    Parameters
    ----------
    glow
        Its solved glow.
    panel, box
        The box and the panel before it.
    strands
        That come out of the panel.
    materials
        Holding every material of box and panel.
    room
        For distance and light; None: seen from 250 mm, in the dark.
    """
    known = {material.name: material for material in materials}
    wall = known[box.sheet.material]
    inside_lx = paint_lx(glow)
    face_lx = openings_lx(glow) or inside_lx
    density = density_of(box)
    coats = through_coats(density)
    viewer = Viewer(
        distance_mm=room.viewing_distance_mm if room else NEAR_MM,
        room_lx=room.room_light_lx if room else 0.0,
    )
    left, bottom, right, top = bounds_mm(box.inside.corners)
    share = coats * share_of_sheet(box.sheet.thickness_mm, material=wall)
    leaks = [
        viewer.leak(
            LeakKind.WALLS,
            lux=inside_lx,
            share=share,
            width_mm=min(right - left, top - bottom),
            length_mm=max(right - left, top - bottom),
        )
    ]
    face = bare_mm2(
        box.inside.corners, covers=[opening.outline.corners for opening in panel.openings]
    )
    sheets = sheets_of(panel)
    if face > LEAST_FACE_MM2:
        through = coats
        for sheet in sheets:
            through *= share_of_sheet(sheet.thickness_mm, material=known[sheet.material])
        side = sqrt(face)
        leaks.append(
            viewer.leak(LeakKind.FACE, lux=face_lx, share=through, width_mm=side, length_mm=side)
        )
    if box.seams in {None, Seams.BUTT}:
        leaks.append(viewer.seam(BUTT_GAP_MM, box=box, wall=wall, lux=inside_lx))
        leaks.append(viewer.exit(box.wire_exit_mm, box=box, wall=wall, lux=inside_lx))
    panel_mm = sum(sheet.thickness_mm for sheet in sheets)
    rear_mm = box.sheet.thickness_mm * (2.0 if box.lid is Lid.OVER else 1.0)
    for strand in strands:
        if inside(
            np.array([[strand.x_mm, strand.y_mm]]), rings=(glow.scene.outline, *glow.scene.holes)
        )[0]:
            leaks += [
                viewer.strand(kind, strand=strand, depth_mm=depth, face=material, lux=lux)
                for kind, depth, material, lux in (
                    (LeakKind.STRAND, panel_mm, known[sheets[0].material], face_lx),
                    (LeakKind.ENTRY, rear_mm, wall, inside_lx),
                )
            ]
    return BoxLeaks(
        glow=glow,
        box=box,
        wall=wall,
        panel_lx=face_lx,
        wall_lx=inside_lx,
        density=density,
        leaks=tuple(leaks),
        distance_mm=viewer.distance_mm,
    )
