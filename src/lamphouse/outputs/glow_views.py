"""Every picture of a glow at once: panels at the room's light and in the dark, maps, sections."""

from collections.abc import Iterator, Sequence
from math import sqrt

from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Panel
from lamphouse.drawings.drawing import Drawing
from lamphouse.drawings.glow_map import glow_map
from lamphouse.drawings.section import section
from lamphouse.light.box_glow import BoxGlow
from lamphouse.outputs.glow_picture import PanelPicture, face_of, picture_of
from lamphouse.plan.pictured import PIXELS_PER_MM, Pictured, pictured
from lamphouse.plan.result import Plan
from lamphouse.plan.shared_holes import holes_between
from lamphouse.record import Record
from lamphouse.shapes.measure import size_mm

SECTION_MM = (176.0, 76.0)
"""Room for a section: the width of a sheet of text."""
MOST_PIXELS = 4_000_000
"""Of a panel's picture; one larger than half a metre square is drawn coarser."""
_WIDE = 2.0
"""An opening this many times as wide as high has its map over the whole width."""
_WIDE_MAP_MM, _MAP_MM = (176.0, 58.0), (86.0, 70.0)


class PanelView(Record):
    """A panel with lit boxes behind it, as the eye sees it."""

    sub_assembly: str
    panel: Panel
    lit: tuple[Pictured, ...]
    in_room: PanelPicture | None
    """None when the project names no room light, or none is on."""
    in_dark: PanelPicture


def panel_views(plan: Plan, *, glows: Sequence[BoxGlow]) -> Iterator[PanelView]:
    """Picture every panel that some of the boxes stand behind.

    Parameters
    ----------
    plan
        The whole; its room says how light it is where the model stands.
    glows
        The boxes to be lit; the others behind the same panel stay dark.
    """
    room_lx = plan.design.room.room_light_lx if plan.design.room else 0.0
    for panel, lit in lit_panels(plan, glows=glows):
        sub_assembly = lit[0].glow.sub_assembly
        seen = {
            lx: picture_of(
                face_of(
                    panel,
                    lit=lit,
                    boxes=_behind(plan, lit[0].glow),
                    room_lx=lx,
                    judged_lx=room_lx,
                    pixels_per_mm=_fineness(panel),
                ),
                title=f"{sub_assembly} / {panel.name}",
            )
            for lx in (0.0, room_lx)
        }
        yield PanelView(
            sub_assembly=sub_assembly,
            panel=panel,
            lit=lit,
            in_room=seen[room_lx] if room_lx else None,
            in_dark=seen[0.0],
        )


def lit_panels(
    plan: Plan, *, glows: Sequence[BoxGlow]
) -> Iterator[tuple[Panel, tuple[Pictured, ...]]]:
    """Go through the panels that some boxes stand behind, with the openings of those painted."""
    for sub in plan.design.sub_assemblies:
        for panel in sub.panels:
            fineness = _fineness(panel)
            lit = tuple(
                pictured(glow, pixels_per_mm=fineness)
                for glow in glows
                if (glow.sub_assembly, glow.panel) == (sub.name, panel.name)
            )
            if lit:
                yield panel, lit


def _fineness(panel: Panel) -> float:
    """Give the pixels to the millimetre of a panel's pictures."""
    wide, high = size_mm(panel.outline.corners)
    return min(PIXELS_PER_MM, sqrt(MOST_PIXELS / (wide * high)))


def maps_of(box: Pictured) -> Iterator[Drawing]:
    """Draw the evenness map of every opening that has figures."""
    solved = {
        aperture.name: (aperture, picture)
        for aperture, picture in zip(box.glow.scene.apertures, box.pictures, strict=True)
    }
    for opening in box.glow.openings:
        aperture, picture = solved[opening.opening]
        wide, high = size_mm(opening.shape.corners)
        room_mm = _WIDE_MAP_MM if wide >= _WIDE * high else _MAP_MM
        yield glow_map(opening, aperture=aperture, picture=picture, room_mm=room_mm)


def section_of(plan: Plan, box: Pictured, *, panel: Panel) -> Drawing:
    """Draw the section of a box."""
    boxes = _behind(plan, box.glow)
    return section(
        next(one for one in boxes if one.name == box.glow.box),
        panel=panel,
        solved=box.glow.scene,
        room_mm=SECTION_MM,
        holes=[
            half
            for through in holes_between(boxes)
            for half in through.halves
            if half.box == box.glow.box
        ],
    )


def _behind(plan: Plan, glow: BoxGlow) -> list[LightBox]:
    """List the boxes behind the panel of a box, itself too."""
    return [
        box
        for sub in plan.design.sub_assemblies
        for behind, box in sub.boxes
        if (sub.name, behind) == (glow.sub_assembly, glow.panel)
    ]
