"""One panel for a page: its items with their outlines, and the drawings and pictures of the pack.

Places are in mm in the panel plane, y up; the ``d`` of a path has y down, as SVG has it.
"""

from collections.abc import Iterator
from itertools import count
from math import pi
from typing import Any

import numpy as np

from lamphouse.colour.artwork_look import eye
from lamphouse.colour.display import SRGB, linear_of
from lamphouse.colour.observer import room_light, under
from lamphouse.colour.spectrum import Array
from lamphouse.design.led_body import body_of
from lamphouse.design.lightbox import Led, LightBox
from lamphouse.design.panel import Outline, Panel
from lamphouse.design.place import Room, SubAssembly
from lamphouse.design.whole import Design
from lamphouse.drawings.drawing import Drawing, Path, Pen
from lamphouse.drawings.face import draw
from lamphouse.light.box_glow import BoxGlow, OpeningGlow
from lamphouse.light.gluing_grid import SNAP_MM
from lamphouse.light.seated_leds import frame_of
from lamphouse.outputs.artwork_pictures import sheet as artwork_sheet
from lamphouse.outputs.artwork_tile import tile_of
from lamphouse.outputs.glow_picture import FACE_REFLECTANCE
from lamphouse.outputs.glow_views import maps_of, panel_views, section_of
from lamphouse.outputs.panel_colours import panel_colours, thrown_by
from lamphouse.outputs.svg import path_data, render
from lamphouse.plan.artworked import ArtworkStudy, studies
from lamphouse.plan.pictured import Pictured, pictured
from lamphouse.plan.result import Plan
from lamphouse.record import Record
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, bounds_mm
from lamphouse.shapes.soundness import flaw_of
from lamphouse.units import Quantity, show

WHITE = (0.9505, 1.0, 1.089)
"""D65, for an opening whose colour is not known [SRGB]."""
SCREEN_DPI = 100.0
"""Fineness of an artwork for its pictures."""


class Ground(Record):
    """The pack's drawing of a panel, and where it lies in the panel plane."""

    svg: str
    left_mm: float
    bottom_mm: float
    width_mm: float
    height_mm: float


def found_panel(design: Design, *, sub_assembly: str, panel: str) -> tuple[SubAssembly, Panel]:
    """Find a panel by name.

    Raises
    ------
    LookupError
        If there is none of this name.
    """
    for sub in design.sub_assemblies:
        for one in sub.panels:
            if (sub.name, one.name) == (sub_assembly, panel):
                return sub, one
    raise LookupError(panel)


def panel_shown(design: Design, *, sub_assembly: str, panel: str) -> dict[str, Any]:
    """Give what a page draws of a panel, without anything that must be computed.

    Raises
    ------
    LookupError
        If there is no such panel.
    """
    sub, one = found_panel(design, sub_assembly=sub_assembly, panel=panel)
    boxes = [box for behind, box in sub.boxes if behind == panel]
    strands = [strand for behind, strand in sub.strands if behind == panel]
    left, bottom, right, top = bounds_mm(one.outline.corners)
    room = design.room
    return {
        "sub_assembly": sub.name,
        "panel": one.name,
        "sheet": one.sheet.name,
        "is_curved": one.curve is not None,
        "is_cone": one.curve is not None and bool(one.curve.slope_deg),
        "bounds_mm": [left, bottom, right, top],
        "room_lx": room.room_light_lx if room else 0.0,
        "gluing_mm": SNAP_MM,
        "free_names": _free_names(design, sub=sub, panel=one),
        "usual": _usual(design, sub=sub, panel=one),
        "face_reflectance": FACE_REFLECTANCE,
        "outline": _outline(one.outline),
        "openings": [
            {
                "name": opening.name,
                "outline": _outline(opening.outline),
                "layers": [f"{layer.film.name}" for layer in opening.layers],
            }
            for opening in one.openings
        ],
        "overlays": [
            {"name": each.name, "outline": _outline(each.outline)} for each in one.overlays
        ],
        "boxes": [_box(box) for box in boxes],
        "strands": [
            {
                "name": strand.name,
                "at_mm": [strand.x_mm, strand.y_mm],
                "diameter_mm": strand.fibre.diameter_mm,
                "group": strand.group,
            }
            for strand in strands
        ],
    }


def _free_names(design: Design, *, sub: SubAssembly, panel: Panel) -> dict[str, str]:
    """Give a name that nothing has yet, for each kind of item."""
    strands = {strand.name for each in design.sub_assemblies for _, strand in each.strands}
    boxes = [box for _, box in sub.boxes]
    return {
        "opening": _free("opening", {one.name for one in panel.openings}),
        "LED": _free("L", {led.name for led in sub.leds()}),
        "baffle": _free("baffle", {baffle.name for box in boxes for baffle in box.baffles}),
        "pillar": _free("pillar", {pillar.name for box in boxes for pillar in box.pillars}),
        "strand": _free("F", strands),
        "box": _free("box", {box.name for box in boxes}),
    }


def _free(stem: str, taken: set[str]) -> str:
    gap = " " if len(stem) > 1 else ""
    number = next(number for number in count(1) if f"{stem}{gap}{number}" not in taken)
    return f"{stem}{gap}{number}"


def _usual(design: Design, *, sub: SubAssembly, panel: Panel) -> dict[str, str]:
    """Give what a new item is made of: what the maker has used nearest to it."""
    subs = (sub, *design.sub_assemblies)
    boxes = [box for each in subs for _, box in each.boxes]
    leds = [led for each in subs for led in each.leds()]
    strands = [strand for each in subs for _, strand in each.strands]
    return {
        "led_type": leds[0].led_type.name if leds else "white 0603",
        "current": show(leds[0].current_A, Quantity.CURRENT) if leds else "1 mA",
        "sheet": boxes[0].sheet.name if boxes else panel.sheet.name,
        "finish": boxes[0].finish.name if boxes else "matt white paint",
        "fibre": strands[0].fibre.name if strands else "fibre 0.5 mm",
        "group": next((group.name for group in design.groups), ""),
    }


def _outline(outline: Outline) -> dict[str, Any]:
    line = Path(pen=Pen.CUT, corners=outline.corners, closed=True)
    return {
        "d": path_data(line, left_mm=0.0, top_mm=0.0),
        "corners": [list(corner) for corner in outline.corners],
        "words": outline.words,
        "diameter_mm": outline.diameter_mm,
    }


def _box(box: LightBox) -> dict[str, Any]:
    return {
        "name": box.name,
        "outline": _outline(box.inside),
        "depth_mm": box.depth_mm,
        "leds": [
            {
                "name": led.name,
                "at_mm": [led.x_mm, led.y_mm],
                "type": led.led_type.name,
                "size_mm": list(led.led_type.package_mm[:2]),
                "turn_deg": led.turn_deg,
                "seat": str(led.seat),
                "tilt_deg": led.tilt_deg,
                "leans": _leans(led, box=box),
                "current_mA": 1e3 * led.current_A,
            }
            for led in box.leds
        ],
        "baffles": [
            {
                "name": baffle.name,
                "from_mm": list(baffle.start_mm),
                "to_mm": list(baffle.end_mm),
                "thickness_mm": baffle.sheet.thickness_mm,
                "height_mm": baffle.height_mm,
                "hangs": baffle.hangs,
            }
            for baffle in box.baffles
        ],
        "pillars": [
            {"name": pillar.name, "outline": _outline(pillar.outline)} for pillar in box.pillars
        ],
    }


def _leans(led: Led, *, box: LightBox) -> list[float]:
    """Give the way a tilted LED's beam runs as seen from the front, as long as the beam is level.

    Nothing for one that is not tilted.
    """
    if not led.tilt_deg or flaw_of(box.inside.corners):
        return []
    ring = flatten(anticlockwise(box.inside.corners))
    axis = frame_of(led, box=box, ring=ring).turned(body_of(led).axis)
    return list(axis[:2])


def panel_glow(plan: Plan, *, sub_assembly: str, panel: str) -> dict[str, Any]:
    """Give the colours and figures of the openings of a panel, for whoever paints their fields."""
    room = plan.design.room
    return {
        "openings": {
            opening.opening: {
                "box": glow.box,
                "mean_cd_m2": opening.mean_cd_m2,
                "bar_cd_m2": opening.bar_cd_m2,
                "low_cd_m2": opening.low_cd_m2,
                "high_cd_m2": opening.high_cd_m2,
                "evenness": opening.evenness,
                "evenness_bar": opening.evenness_bar,
                "hot_spot": opening.hot_spot,
                "hot_spot_bar": opening.hot_spot_bar,
                "room_cd_m2": opening.room_cd_m2,
                "look": opening.look.name if opening.look else "",
                "colour": opening.colour.name if opening.colour else "",
                "dark_rgb": opening_rgb(opening, room=None),
                "room_rgb": opening_rgb(opening, room=room),
                "thrown_rgb": thrown_rgb(opening, room=room),
            }
            for glow in _glows(plan, sub_assembly=sub_assembly, panel=panel)
            for opening in glow.openings
        }
    }


def opening_rgb(opening: OpeningGlow, *, room: Room | None) -> list[float]:
    """Give linear red, green, blue of an opening's own light at a luminance of 1.

    The eye is adapted to the room's light, or to daylight in the dark, as in ``panel_colours``.
    """
    xyz = np.array(WHITE)
    if opening.colour is not None:
        x, y = opening.colour.xy
        xyz = np.array([x / y, 1.0, (1.0 - x - y) / y])
    return _linear(xyz, room=room)


def thrown_rgb(opening: OpeningGlow, *, room: Room | None) -> list[float]:
    """Give linear red, green, blue of what an opening throws back of the room's light. [cd/m2].

    It is the colour of its unlit face: an amber screen in daylight is washed out amber, not grey.
    """
    return _linear(thrown_by(opening, room=room), room=room)


def _linear(xyz: Array, *, room: Room | None) -> list[float]:
    """Show X, Y, Z to an eye adapted to the room's light, or to daylight in the dark."""
    colour, lx = ("daylight", 0.0) if room is None else (room.light_colour, room.room_light_lx)
    white = under(room_light(colour).values, np.ones(81)) * max(lx / pi, 1e-6)
    linear = linear_of(xyz @ eye(white, full_cd_m2=1.0).T, screen=SRGB)
    return [float(part) for part in np.maximum(linear, 0.0)]


def _glows(plan: Plan, *, sub_assembly: str, panel: str) -> list[BoxGlow]:
    return [glow for glow in plan.glows if (glow.sub_assembly, glow.panel) == (sub_assembly, panel)]


def ground(plan: Plan, *, sub_assembly: str, panel: str) -> Ground | None:
    """Give the pack's own drawing of a panel; of a bent one its innermost layer."""
    _, one = found_panel(plan.design, sub_assembly=sub_assembly, panel=panel)
    whole = f"{sub_assembly} / {panel}"
    piece = next(
        (
            piece
            for piece in plan.panels
            if piece.sub_assembly == sub_assembly
            and (piece.name == whole or piece.name.startswith(f"{whole} / layer "))
        ),
        None,
    )
    if piece is None:
        return None
    drawing = draw(piece)
    here, there = bounds_mm(one.outline.corners), bounds_mm(piece.outline.corners)
    return Ground(
        svg=render(drawing),
        left_mm=drawing.left_mm + here[0] - there[0],
        bottom_mm=drawing.bottom_mm + here[1] - there[1],
        width_mm=drawing.width_mm,
        height_mm=drawing.height_mm,
    )


def lit_boxes(plan: Plan, *, sub_assembly: str, panel: str) -> tuple[Pictured, ...]:
    """Paint the openings of every box behind a panel."""
    return tuple(pictured(glow) for glow in _glows(plan, sub_assembly=sub_assembly, panel=panel))


def sections(plan: Plan, *, lit: tuple[Pictured, ...]) -> Iterator[tuple[str, str]]:
    """Give the section of every box as the pack draws it: name and SVG."""
    for box in lit:
        _, panel = found_panel(
            plan.design, sub_assembly=box.glow.sub_assembly, panel=box.glow.panel
        )
        yield box.glow.box, render(section_of(plan, box, panel=panel))


def evenness_maps(lit: tuple[Pictured, ...]) -> Iterator[tuple[str, str]]:
    """Give the evenness map of every opening as the pack draws it: name and SVG."""
    for box in lit:
        drawings: Iterator[Drawing] = maps_of(box)
        for opening, drawing in zip(box.glow.openings, drawings, strict=True):
            yield opening.opening, render(drawing)


def pictures(plan: Plan, *, sub_assembly: str, panel: str) -> dict[str, bytes]:
    """Give the pack's pictures of a panel as PNG: in the dark, in the room, in colours."""
    glows = _glows(plan, sub_assembly=sub_assembly, panel=panel)
    made: dict[str, bytes] = {}
    for view in panel_views(plan, glows=glows):
        made["dark"] = view.in_dark.png
        if view.in_room:
            made["room"] = view.in_room.png
        prints = {study.place.opening.name: study for study in _studies(plan, glows=glows)}
        made["colours"] = panel_colours(
            view.panel, lit=view.lit, prints=prints, room=plan.design.room, is_wide=False
        )
    return made


def artworks(plan: Plan, *, sub_assembly: str, panel: str) -> Iterator[tuple[str, bytes]]:
    """Give every artwork of a panel as drawn beside as made for its lamp: opening and PNG."""
    for study in _studies(plan, glows=_glows(plan, sub_assembly=sub_assembly, panel=panel)):
        tile = tile_of(
            study.artwork, made=study.made, shape=study.place.opening.outline, dpi=SCREEN_DPI
        )
        yield (
            study.place.opening.name,
            artwork_sheet(study.look, made=study.made, drawn=tile.drawn, is_wide=False),
        )


def _studies(plan: Plan, *, glows: list[BoxGlow]) -> tuple[ArtworkStudy, ...]:
    return studies(plan.design, glows=glows)
