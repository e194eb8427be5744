"""The rules of light boxes behind their panel: over the opening, within the edge, apart."""

from collections.abc import Iterable, Sequence
from math import cos, radians, sin, sqrt

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.layout import Layout
from lamphouse.cutting.mends import at_mm, bring_inside, in_mm, move_apart, sides_mm
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.shapes.measure import area_mm2, bounds_mm, size_mm
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import Corners
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure, bare_mm2, close_pairs, overlap_mm2

SLIVER = 1e-4
"""Share of an opening that may lie bare by rounding."""

TOUCH_MM2 = 1e-4
"""Boxes that share less area than this only touch."""


def outside_of(box: LightBox) -> Corners:
    """Give the outside of a sound light box in the panel plane, walls included.

    Where a narrow inside closes up when the walls are added, the gaps count as walls.
    """
    regions = offset(box.inside.corners, by_mm=box.sheet.thickness_mm)
    return max((region.outside for region in regions), key=area_mm2)


@rule("CUT033", Severity.WARN, "A light box does not cover its opening")
def uncovered_opening(layout: Layout, *, boxes: Sequence[LightBox]) -> Iterable[Told]:
    """Look for openings that stand half over a light box.

    What it checks
        An opening that lies over a light box lies wholly over the inside of that box.

    Why it matters
        The wall shows as a dark bar in the lit opening, and light leaves past it.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 24 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Widen the box to the size of the message, or move it.

    Source
        Geometry.
    """
    insides = [(box, bounds_mm(box.inside.corners)) for box in boxes]
    for spot in layout.openings:
        whole = area_mm2(spot.corners)
        left, bottom, right, top = bounds_mm(spot.corners)
        for box, (box_left, box_bottom, box_right, box_top) in insides:
            if left > box_right or right < box_left or bottom > box_top or top < box_bottom:
                continue
            bare = bare_mm2(spot.corners, covers=[box.inside.corners])
            if SLIVER * whole < bare < (1.0 - SLIVER) * whole:
                width = max(right, box_right) - min(left, box_left)
                height = max(top, box_top) - min(bottom, box_bottom)
                middle = (
                    (max(right, box_right) + min(left, box_left)) / 2.0,
                    (max(top, box_top) + min(bottom, box_bottom)) / 2.0,
                )
                yield Told(
                    where=box.where,
                    message=f"box '{box.name}' leaves {bare / whole * 100.0:.0f} percent of "
                    f"{spot.name} uncovered",
                    remedy=f"make its inside at least a rectangle "
                    f"{sides_mm(width, height_mm=height)} at {at_mm(middle[0], y_mm=middle[1])}, "
                    "or move it",
                )


@rule("CUT034", Severity.WARN, "A light box is wider than its panel")
def box_over_edge(layout: Layout, *, boxes: Sequence[LightBox]) -> Iterable[Told]:
    """Look for light boxes that stick out behind their panel.

    What it checks
        The outside of a light box, walls included, stays within the outline of its panel.

    Why it matters
        The box shows beside the panel, does not pass through the wall it is let into, and
        leaks along the edge.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 44 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 4 x 4 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 22 x 16 mm
                        at: [33 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Move or shrink the box as the message says.

    Source
        Common practice, no source.
    """
    edge = Enclosure(layout.edge)
    for box in boxes:
        outside = outside_of(box)
        margin = edge.margin_mm(outside)
        if margin < -ROUNDING_MM:
            width, height = size_mm(outside)
            yield Told(
                where=box.where,
                message=f"box '{box.name}', {sides_mm(width, height_mm=height)} over its walls, "
                f"sticks out {in_mm(-margin)} over the edge of panel '{layout.panel.name}'",
                remedy=bring_inside(outside, outer=edge, margin_by_mm=0.0),
            )


@rule("CUT035", Severity.STOP, "Two light boxes of a panel overlap")
def boxes_overlap(boxes: Sequence[LightBox]) -> Iterable[Told]:
    """Look for light boxes that would stand in one another.

    What it checks
        The outsides of two light boxes behind one panel, walls included, do not overlap.

    Why it matters
        Both cannot be glued to the panel.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                      second:
                        inside: rectangle 10 x 10 mm
                        at: [46 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Move or shrink one of them as the message says, or make them one box with a baffle.

    Source
        Geometry.
    """
    outsides = [outside_of(box) for box in boxes]
    told: set[int] = set()
    for pair in close_pairs(outsides, nearer_than_mm=ROUNDING_MM):
        outside, other_outside = outsides[pair.later], outsides[pair.earlier]
        if pair.later in told or overlap_mm2(outside, other=other_outside) < TOUCH_MM2:
            continue
        told.add(pair.later)
        box, other = boxes[pair.later], boxes[pair.earlier]
        away = move_apart(outside, other=other_outside, gap_by_mm=0.0)
        yield Told(
            where=box.where,
            message=f"box '{box.name}' and box '{other.name}' stand in one another, walls included",
            remedy=f"{away}, or make them one box with a baffle",
        )


@rule("CUT036", Severity.WARN, "A flat light box stands behind a curved panel")
def box_behind_curve(layout: Layout, *, boxes: Sequence[LightBox]) -> Iterable[Told]:
    """Look for light boxes behind a bent panel.

    What it checks
        No light box stands behind a curved panel.

    Why it matters
        Its straight front edge touches the bent sheet only in the middle and leaves a gap
        at both sides, through which light leaves.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  bay:
                    curve:
                      inner_radius: 140 mm
                      angle: 60 deg
                      layers: [styrene 0.5 mm]
                    height: 60 mm
                    openings:
                      window: {shape: rectangle 20 x 12 mm, at: [70 mm, 30 mm]}
                    boxes:
                      box:
                        inside: rectangle 30 x 20 mm
                        at: [70 mm, 30 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Scribe the upper and lower walls to the curve: at each end they are higher by the
        gap of the message.

    Source
        Geometry: the sagitta of a circle.
    """
    curve = layout.panel.curve
    if curve is None:
        return
    slope = radians(curve.slope_deg)
    thick = sum(layer.sheet.thickness_mm for layer in curve.layers)
    for box in boxes:
        up = bounds_mm(outside_of(box))[3 if slope > 0.0 else 1]
        narrow = max(curve.inner_radius_mm - up * sin(slope), 0.0)
        radius = narrow / cos(slope) + thick
        half = size_mm(outside_of(box))[0] / 2.0
        if half >= radius:
            gap = f"the box is wider than the bend, {in_mm(2.0 * radius)} across"
        else:
            gap = f"{in_mm(radius - sqrt(radius**2 - half**2))} of gap is left at both sides"
        yield Told(
            where=box.where,
            message=f"box '{box.name}' is flat and '{layout.panel.name}' bends to "
            f"{in_mm(radius)} on its rear face: {gap}",
            remedy="make the walls along the bend higher at their ends by the gap and scribe them "
            "to the panel, or split the box into narrower ones",
        )


def look_behind_panel(layout: Layout, *, boxes: Sequence[LightBox]) -> tuple[Finding, ...]:
    """Run every rule of the boxes behind one panel; boxes with an unsound inside are left out."""
    sound = [box for box in boxes if not flaw_of(box.inside.corners)]
    found = (*boxes_overlap(sound), *box_behind_curve(layout, boxes=sound))
    if layout.panel.curve and layout.panel.curve.slope_deg:
        return found  # places behind a cone are not those of its face laid flat
    found = (*uncovered_opening(layout, boxes=sound), *found)
    return (*found, *box_over_edge(layout, boxes=sound)) if layout.has_edge else found
