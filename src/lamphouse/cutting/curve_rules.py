"""The rules of bent walls: borrowed hole places, thick sheet, joints and laps."""

import re
from collections.abc import Iterable
from itertools import pairwise
from math import ceil, degrees, pi, sin, tau

from lamphouse.cutting.former import LEAST_DEPTH_MM, LEAST_HEIGHT, former_of, height_mm
from lamphouse.cutting.lamination import (
    CLEAR_MM,
    Lamination,
    cos_of,
    inner_face,
    laminate,
    meets_itself,
    source_of,
)
from lamphouse.cutting.layout import Layout, Spot
from lamphouse.cutting.mends import in_mm
from lamphouse.design.panel import Curve
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.record import replace
from lamphouse.shapes.bend import Development
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import bounds_mm

TRUE_MM = 0.1
"""Holes of two layers this far apart still line up by eye [PRACTICE]."""

_WAYS = re.compile(r"\b(left|right|up|down)\b|\[[-0-9.]+ mm, [-0-9.]+ mm\]")
"""A direction, or a place."""

TURNED_RAD = tau / 12.0
"""Joints of neighbouring layers stand at least this far apart [PRACTICE]."""

LEAST_SHEET_MM = 0.05
"""Nothing thinner is cut from sheet."""

COLD_STRAIN = 0.01
"""Bending strain a plastic sheet takes cold without whitening or springing back [PRACTICE]."""


def _turn_of(spot: Spot, inner: Development) -> float:
    """Give the turn of a spot's middle from the left end. [rad]."""
    left, bottom, right, top = bounds_mm(spot.corners)
    middle = ((left + right) / 2.0, (bottom + top) / 2.0)
    return inner.bent(middle)[0] + inner.angle_rad / 2.0


def _miss_mm(one: Lamination, other: Lamination, *, turn_rad: float) -> float:
    """Give how far a hole at some turn from where two layers are laid flush misses.

    The developments are sectors about their own centres; laid with one edge on one another, a
    point at the turn ``t`` moves along a chord: radius difference times 2 sin(t s / 2) / s.
    """
    apart = abs(one.mid_radius_mm - other.mid_radius_mm)
    sine = one.flat.bend.sine
    return apart * abs(2.0 * sin(turn_rad * sine / 2.0) / sine if sine else turn_rad)


@rule("CUT040", Severity.STOP, "A layer's holes are taken from another layer")
def borrowed_holes(layout: Layout) -> Iterable[Told]:
    """Look for layers of a curved panel that are drilled with another layer's places.

    What it checks
        Each layer of a curved panel is marked out with its own hole places, or with places that
        miss by no more than 0.1 mm at the farthest hole.

    Why it matters
        Layers have different radii, so the same angle is a different length on each. Holes marked
        alike on the flat sheets no longer line up once the sheets are bent round one another.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  bay:
                    curve:
                      inner_radius: 140 mm
                      angle: 120 deg
                      layers:
                        - styrene 0.5 mm
                        - {sheet: styrene 0.5 mm, holes_from: 1}
                    height: 60 mm
                    openings:
                      window: {shape: rectangle 20 x 12 mm, at: [260 mm, 30 mm]}

    Mend
        Leave ``holes_from`` out: each layer then gets its own places.

    Source
        Closed form of a developed cylinder: length is mid-plane radius times angle.
    """
    curve = layout.panel.curve
    if curve is None or not layout.spots:
        return
    layers = laminate(curve, outlines=[spot.corners for spot in layout.spots])
    inner = inner_face(curve)
    worst = max(layout.spots, key=lambda spot: _turn_of(spot, inner))
    worst_rad = _turn_of(worst, inner)
    aside = max(abs(_turn_of(spot, inner) - inner.angle_rad / 2.0) for spot in layout.spots)
    for layer in layers:
        source = source_of(layers, of=layer)
        shift = _miss_mm(layer, source, turn_rad=worst_rad)
        if shift <= TRUE_MM:
            continue
        yield Told(
            where=layer.layer.where,
            message=f"layer {layer.number} of '{layout.panel.name}' is {in_mm(layer.long_mm)} long "
            f"and drilled with the places of layer {source.number}, {in_mm(source.long_mm)} long: "
            f"{worst.name} misses by {in_mm(shift)} when the layers start flush, and the worst of "
            f"all by {in_mm(_miss_mm(layer, source, turn_rad=aside))} when they are centred",
            remedy=f"leave holes_from out; {worst.name} then stands at "
            f"{in_mm(worst_rad * layer.mid_radius_mm)} on layer {layer.number} instead of "
            f"{in_mm(worst_rad * source.mid_radius_mm)}{_on_edge(curve)}",
            mend=sets(
                f"curve layers {layer.number - 1} holes_from",
                None,
                item=layout.panel.where.item,
            ),
        )


def _on_edge(curve: Curve) -> str:
    return ", along the lower edge" if curve.slope_deg else ""


@rule("CUT041", Severity.NOTE, "A sheet is thick for its bend")
def thick_for_bend(layout: Layout) -> Iterable[Told]:
    """Look for layers of plastic that are bent more than they take cold.

    What it checks
        The bending strain of each plastic layer, half its thickness over its mid-plane radius, is
        at most 1 percent; of a cone, at its narrower edge and across the slope.

    Why it matters
        Thicker sheet springs back, whitens or cracks, and pulls the lamination open later.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  bay:
                    curve: {inner_radius: 30 mm, angle: 120 deg, layers: [styrene 1.0 mm]}
                    height: 40 mm
                    openings:
                      window: {shape: rectangle 20 x 12 mm, at: [30 mm, 20 mm]}

    Mend
        Laminate more and thinner sheets, as the message says, or form the sheet warm.

    Source
        Common practice, no source, for the limit; beam bending for the strain.
    """
    curve = layout.panel.curve
    if curve is None:
        return
    bent = [layer for layer in laminate(curve) if layer.layer.sheet.material != "card"]
    along = curve.along_mm
    worst = max(bent, key=lambda layer: layer.strain(along_mm=along), default=None)
    if worst is None or worst.strain(along_mm=along) <= COLD_STRAIN:
        return
    steep = cos_of(worst.flat.bend)
    narrow = max(worst.narrowest_mm(along_mm=along), 0.0)
    inner = min(curve.inner_radius_mm, inner_face(curve).bend.radius_at_mm(along))
    thinnest = 2.0 * COLD_STRAIN * max(inner, 0.0) / ((1.0 - COLD_STRAIN) * steep)
    strain = (
        f"strains by {worst.strain(along_mm=along) * 100.0:.1f} percent at its faces"
        if worst.strain(along_mm=along) < 1.0
        else "is creased"
    )
    remedy = f"laminate sheets of at most {in_mm(int(thinnest * 100.0) / 100.0)} each, or form it "
    if thinnest < LEAST_SHEET_MM:
        wide = worst.layer.sheet.thickness_mm * (1.0 - COLD_STRAIN) / (2.0 * COLD_STRAIN)
        remedy = (
            f"make the radius of the narrower edge at least {in_mm(ceil(wide * 10.0) / 10.0)}, "
            "or form it "
        )
    yield Told(
        where=worst.layer.where,
        message=f"'{worst.layer.sheet.name}' bent to {in_mm(narrow)} {strain}; plastic sheet takes "
        f"about {COLD_STRAIN * 100.0:.0f} percent cold",
        remedy=f"{remedy}warm over the former",
    )


@rule("CUT045", Severity.NOTE, "The joints of a closed wall lie on one another")
def joints_together(layout: Layout) -> Iterable[Told]:
    """Look for closed walls whose layers cannot be turned against one another.

    What it checks
        Where a wall of two layers or more goes all the way around, each layer's joint can stand at
        least a twelfth of a turn from the joint of the layer before, clear of all openings.

    Why it matters
        A layer holds the joint of its neighbour together only where it is whole itself. Joints on
        one another open like a hinge.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  drum:
                    curve:
                      inner_radius: 20 mm
                      angle: 360 deg
                      layers: [card 0.3 mm, card 0.3 mm]
                    height: 40 mm
                    openings:
                      slit: {shape: rectangle 118 x 4 mm, at: [62.8 mm, 20 mm]}

    Mend
        Leave a gap between openings for the second joint, or glue a strip behind the joint.

    Source
        Common practice, no source.
    """
    curve = layout.panel.curve
    if curve is None or not meets_itself(curve) or len(curve.layers) == 1:
        return
    layers = laminate(curve, outlines=[spot.corners for spot in layout.spots])
    for before, layer in pairwise(layers):
        apart = abs((layer.joint_rad - before.joint_rad + pi) % tau - pi)
        if apart < TURNED_RAD:
            yield Told(
                where=layer.layer.where,
                message=f"the joint of layer {layer.number} can stand only "
                f"{degrees(apart):.0f} deg from that of layer {before.number}: openings, with "
                f"{in_mm(CLEAR_MM)} around each, leave it no other place",
                remedy=f"leave a gap of {in_mm(2.0 * CLEAR_MM)} between openings about half a turn "
                "round, or glue a strip behind the joint",
            )


@rule("CUT046", Severity.WARN, "The lap of a closed wall covers an opening")
def lap_covers(layout: Layout) -> Iterable[Told]:
    """Look for openings at the start of a wall that its lap is glued on.

    What it checks
        No opening or strand hole begins nearer to the left end than the lap is wide.

    Why it matters
        The lap lies on the outside of the start and closes what is there.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  drum:
                    curve:
                      inner_radius: 20 mm
                      angle: 360 deg
                      lap: 6 mm
                      layers: [card 0.3 mm]
                    height: 40 mm
                    openings:
                      window: {shape: rectangle 10 x 12 mm, at: [8 mm, 20 mm]}

    Mend
        Move the opening by as much as the message says, or make the lap narrower.

    Source
        Geometry.
    """
    curve = layout.panel.curve
    if curve is None or not curve.lap_mm:
        return
    inner = inner_face(curve)
    (layer,) = laminate(curve)
    widest = max(layer.mid_radius_mm, layer.flat.bend.radius_at_mm(curve.along_mm))
    lap_rad = curve.lap_mm / widest
    for spot in layout.spots:
        begins = min(inner.bent(place)[0] for place in flatten(spot.corners, error_mm=0.01))
        covered_mm = (lap_rad - begins - inner.angle_rad / 2.0) * curve.inner_radius_mm
        if covered_mm > 0.0:
            yield Told(
                where=spot.where,
                message=f"the lap of {in_mm(curve.lap_mm)} covers {in_mm(covered_mm)} of "
                f"{spot.name}, measured along the lower edge",
                remedy=f"move it {in_mm(ceil(covered_mm * 100.0) / 100.0)} to the right, or cut it "
                "through the lap too after gluing",
            )


@rule("CUT047", Severity.WARN, "A former cannot be made")
def no_former(layout: Layout) -> Iterable[Told]:
    """Look for walls that no former can be made for.

    What it checks
        A wall with a former is at least three thicknesses of its sheet high, and wide enough for
        two ribs and an upright.

    Why it matters
        Without a former thin sheet bends unevenly and kinks.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  rim:
                    curve:
                      inner_radius: 40 mm
                      angle: 120 deg
                      former: styrene 1.0 mm
                      layers: [card 0.3 mm]
                    height: 2 mm

    Mend
        Cut the former from thinner sheet, or bend the wall over a tube or a jar of that size.

    Source
        Geometry of the ribs.
    """
    curve = layout.panel.curve
    if curve is None or curve.former is None or former_of(curve):
        return
    high = height_mm(curve)
    thick = curve.former.thickness_mm
    if high < LEAST_HEIGHT * thick:
        problem = f"the wall is {in_mm(high)} high and a former of {in_mm(thick)} sheet needs "
        problem += in_mm(LEAST_HEIGHT * thick)
        remedy = f"cut it from sheet of at most {in_mm(int(high / LEAST_HEIGHT * 100.0) / 100.0)}"
    else:
        problem = f"not two of its ribs are {in_mm(LEAST_DEPTH_MM)} deep, to carry an upright"
        remedy = "remove former"
    yield Told(
        where=layout.panel.where,
        message=f"'{layout.panel.name}' has no former: {problem}",
        remedy=f"{remedy}, and bend it over a tube or a jar of that size",
    )


def laid_flat(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Say of moves on a cone that they are meant on the template, not in the panel plane."""
    return tuple(
        replace(finding, remedy=f"{finding.remedy} (as the template lies flat)")
        if _WAYS.search(finding.remedy)
        else finding
        for finding in found
    )


def look_at_curve(layout: Layout) -> tuple[Finding, ...]:
    """Run every rule of a curved panel; a flat one has none."""
    found = (*thick_for_bend(layout), *joints_together(layout), *no_former(layout))
    if not layout.has_edge:
        return found
    return (*borrowed_holes(layout), *found, *lap_covers(layout))
