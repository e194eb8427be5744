"""Where light leaves a box that should not.

The inside is lit as evenly as its solved energy says: the panel's rear face as its openings are,
walls and back by what the paint takes up. A wall right before an LED is lit more than that. Wires
in their exit and light that falls on other parts of the model are left out.
"""

from collections.abc import Callable, Sequence
from math import ceil, log10, sqrt

import numpy as np

from lamphouse.catalogue.sheet_light import SheetLight
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.wall_coats import WallCoat
from lamphouse.design.lightbox import Lid, LightBox, Seams
from lamphouse.design.panel import Panel
from lamphouse.design.place import Room
from lamphouse.design.strand import Strand
from lamphouse.light.box_glow import BoxGlow
from lamphouse.light.eye import NEAR_MM
from lamphouse.light.inside_light import openings_lx, paint_lx
from lamphouse.light.leak_look import FINEST_GAP_MM, Leak, LeakKind, Viewer
from lamphouse.light.leak_paths import (
    through_coats,
    through_sheet,
)
from lamphouse.light.uprights import inside
from lamphouse.record import Record
from lamphouse.shapes.measure import size_mm
from lamphouse.shapes.spacing import bare_mm2

BUTT_GAP_MM = 0.05
"""Gap of a butt joint of hand-cut sheet, where glue does not bridge it [PRACTICE]."""

LEAST_FACE_MM2 = 1.0
"""A face with less area than this round its openings is not looked at."""


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
    across, up = size_mm(box.inside.corners)
    share = coats * share_of_sheet(box.sheet.thickness_mm, material=wall)
    leaks = [
        viewer.leak(
            LeakKind.WALLS,
            lux=inside_lx,
            share=share,
            width_mm=min(across, up),
            length_mm=max(across, up),
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
    ends = (
        (LeakKind.STRAND, panel_mm, known[sheets[0].material], face_lx),
        (LeakKind.ENTRY, rear_mm, wall, inside_lx),
    )
    rings = (glow.scene.outline, *glow.scene.holes)
    leaks += [
        viewer.strand(kind, strand=strand, depth_mm=depth, face=material, lux=lux)
        for strand in strands
        if inside(np.array([[strand.x_mm, strand.y_mm]]), rings=rings)[0]
        for kind, depth, material, lux in ends
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
