"""How much paint a sub-assembly takes: faces, light boxes inside and outside, tints.

Limits of the model: a wet coat of one thickness everywhere, and a share that stays in brush and
cup; an airbrush wastes more, a thick brush less. It says which jar to have, not what a scale would
show.
"""

from collections import defaultdict
from collections.abc import Iterator
from math import dist

from lamphouse.build.part_use import Use
from lamphouse.catalogue.finishes import Finish
from lamphouse.design.box_faces import (
    BACK,
    PANEL,
    WALLS,
    baffle_finish,
    finish_of,
    pillar_finish,
    wall_name,
    wall_ring,
)
from lamphouse.design.lightbox import LightBox
from lamphouse.design.masks import Masks, PaintArea
from lamphouse.design.panel import Outline, Panel
from lamphouse.design.place import SubAssembly
from lamphouse.shapes.measure import area_mm2, length_mm

WET_MM = 0.1
"""Thickness of a wet brushed coat [PRACTICE]."""
WASTE = 1.5
"""What is taken from the jar over what stays on the part [PRACTICE]."""
FINISH_COATS = 2
"""Coats of the finish inside a box, and of each paint on a face [PRACTICE]."""
_PAINTS = ("paint", "primer", "emulsion", "fluid", "coat", "varnish", "lacquer")
_LININGS = ("foil", "tape", "film")


def paint_ml(area_mm2: float, *, coats: int) -> float:
    """Give the paint to have ready for an area, in ml.

    Parameters
    ----------
    area_mm2
        Of the face. [mm2]
    coats
        Laid on one another.
    """
    return area_mm2 * WET_MM * coats * WASTE / 1000.0


def tint_ml(opening: Outline, *, coats: int) -> float:
    """Give the clear colour for the coats of an opening, in ml."""
    return paint_ml(area_mm2(opening.corners), coats=coats)


def paint_uses(sub: SubAssembly) -> Iterator[Use]:
    """List paints by the millilitre and linings by the square centimetre, by name."""
    panels = {panel.name: panel for panel in sub.panels}
    for name, masks in sub.masks:
        if name in panels:
            yield from _of_face(panels[name], masks=masks, used_in=sub.name)
    for _, box in sub.boxes:
        yield from _of_box(box, used_in=sub.name)


def _of_face(panel: Panel, *, masks: Masks, used_in: str) -> Iterator[Use]:
    face = area_mm2(panel.outline.corners)
    areas: dict[str, float] = defaultdict(float)
    for area in masks.areas:
        areas[area.paint] += _covered(area)
    for paint, covered in areas.items():
        yield Use(
            kind="paint",
            part=paint if _named(paint, _PAINTS) else f"{paint} paint",
            amount=paint_ml(min(covered, face), coats=FINISH_COATS),
            unit="ml",
            used_in=used_in,
        )


def _covered(area: PaintArea) -> float:
    """Give what an area covers, its inner outlines left out, in mm2."""
    outer = sum(area_mm2(outline.corners) for outline in area.outlines)
    return outer - sum(area_mm2(outline.corners) for outline in area.inner)


def faces_mm2(box: LightBox) -> Iterator[tuple[Finish, float]]:
    """Give each face inside a box once with its finish and area, baffles on both sides. [mm2].

    The panel's rear face counts whole, its openings too: one paints past them.
    """
    floor = floor_mm2(box)
    yield finish_of(box, BACK), floor
    yield finish_of(box, PANEL), floor
    ring = wall_ring(box)
    for index, start in enumerate(ring):
        side_mm = dist(start, ring[(index + 1) % len(ring)])
        yield finish_of(box, wall_name(index)), side_mm * box.depth_mm
    if not ring:
        yield finish_of(box, WALLS), length_mm(box.inside.corners) * box.depth_mm
    for baffle in box.baffles:
        side_mm2 = dist(baffle.start_mm, baffle.end_mm) * baffle.height_mm
        yield baffle_finish(box, baffle), 2.0 * side_mm2
    for pillar in box.pillars:
        yield pillar_finish(box, pillar), length_mm(pillar.outline.corners) * box.depth_mm


def floor_mm2(box: LightBox) -> float:
    """Give the area of the back in a box, without what its pillars stand on. [mm2]."""
    feet = sum(area_mm2(pillar.outline.corners) for pillar in box.pillars)
    return max(area_mm2(box.inside.corners) - feet, 0.0)


def _of_box(box: LightBox, *, used_in: str) -> Iterator[Use]:
    """Count each finish inside and behind the panel, and each coat round the box and there."""
    back = floor_mm2(box)
    inside = length_mm(box.inside.corners) * box.depth_mm + back
    coats = box.coats or ()
    counted = {coating.coat.name for coating in coats}
    areas: dict[str, float] = defaultdict(float)
    for finish, face_mm2 in faces_mm2(box):
        areas[finish.name] += face_mm2
    for name, finished_mm2 in areas.items():
        if name not in counted:
            yield from _laid_on(name, finished_mm2, coats=FINISH_COATS, used_in=used_in)
    for coating in coats:
        yield from _laid_on(coating.coat.name, inside + back, coats=coating.count, used_in=used_in)


def _laid_on(name: str, face_mm2: float, *, coats: int, used_in: str) -> Iterator[Use]:
    if name.startswith("bare "):
        return
    if _named(name, _PAINTS):
        amount = paint_ml(face_mm2, coats=coats)
        yield Use(kind="paint", part=name, amount=amount, unit="ml", used_in=used_in)
    elif _named(name, _LININGS):
        note = "to line light boxes with"
        layers = coats if "tape" in name else 1
        amount = face_mm2 * layers / 100.0
        yield Use(kind="film", part=name, amount=amount, unit="cm2", used_in=used_in, note=note)


def _named(name: str, words: tuple[str, ...]) -> bool:
    return any(word in name.casefold() for word in words)
