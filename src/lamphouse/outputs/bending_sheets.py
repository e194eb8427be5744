"""How the bent walls of a sub-assembly are laminated, as data for the typesetter."""

from collections.abc import Iterator
from math import degrees
from typing import Any

from lamphouse.cutting.curve_rules import COLD_STRAIN
from lamphouse.cutting.former import former_of
from lamphouse.cutting.lamination import Lamination, inner_face, laminate, meets_itself
from lamphouse.cutting.layout import lay_out_panel
from lamphouse.cutting.piece import Piece
from lamphouse.design.panel import Curve, Panel
from lamphouse.design.place import SubAssembly
from lamphouse.outputs.front_sheets import counted
from lamphouse.plan.result import Plan

_SOFT = ("styrene", "acrylic", "abs", "petg", "butyrate")
"""Sheet that is welded with solvent and softens in hot water; common practice, no source."""
_LEGEND = """\
Lengths are those of the flat layer along its lower edge, between its two ends. Strain is what \
bending does to its faces; plastic takes about 1 percent cold."""
_FLAT = """\
Each layer by its own template, before any bending. Take the burr off; carry over the marks at the \
middle of both edges."""
_SPRING = """\
Nothing is taken off for spring-back: layers glued to one another hold the bend. A single layer \
opens when it is let go; form it warm, or glue it to floor and roof while it is bound (common \
practice, no source)."""
_WARM = """\
Their strain is more than the sheet takes cold. Bind the layer to the former and warm it slowly \
and evenly; let it cool there. Hot water softens thin strip but does little to thick sheet (common \
practice, no source)."""
_FIRST = """\
Its face to the former, middle on middle, its lower edge flush with the foot of the former: this \
edge is the datum of all layers. Tape it down at both ends."""
_FLUSH = """\
Each with its middle on the middle and its lower edge flush; the ends then come flush too, because \
each layer is longer than the one inside it."""
_CEMENT = """\
Little solvent cement, brushed thin on both faces and pressed together from the middle outwards: \
too much softens thin sheet, and vapour shut in between layers dents it days later. Small holes in \
the inner layers let it out (common practice, no source)."""
_WHITE_GLUE = """\
White glue or contact cement, thin and even on both faces, pressed from the middle outwards. Card \
bends best with its grain along the axis of the bend; wet glue swells it, so let it dry bound \
(common practice, no source)."""
_PINS = """\
Push a drill or pin through holes of all layers before the glue grabs; windows must line up all \
around. """
_BIND = """\
Bind with wide rubber bands over a strip of card, from the middle outwards, and leave it a night."""
_SCALDS = """\
Hot water, steam, hot-air guns and warm sheet scald: thick gloves or tongs, nothing over a naked \
flame, nobody near who could knock the pan over. Warm plastic gives off vapour: open a window, and \
stop when it bubbles or smells."""
_HARMS = """\
Solvent cement harms and burns: open window, no flame, no hot iron near, by its label."""


def bending(plan: Plan, sub: SubAssembly) -> dict[str, Any] | None:
    """Say how each bent wall is made; None where there is none."""
    walls = [
        _wall(panel, curve, plan=plan, sub=sub)
        for panel in sub.panels
        if (curve := panel.curve) and any(_is_of(piece, panel, sub) for piece in plan.panels)
    ]
    return {"name": sub.name, "walls": walls} if walls else None


def _is_of(piece: Piece, panel: Panel, sub: SubAssembly) -> bool:
    return piece.name.startswith(f"{sub.name} / {panel.name} / layer ")


def _wall(panel: Panel, curve: Curve, *, plan: Plan, sub: SubAssembly) -> dict[str, Any]:
    strands = sub.strands_of(panel.name)
    layout = lay_out_panel(panel, strands=strands, drills=plan.design.drills)
    layers = laminate(curve, outlines=[spot.corners for spot in layout.spots])
    return {
        "name": panel.name,
        "words": _shape_words(curve),
        "layers": list(_rows(curve, layers)),
        "legend": _LEGEND,
        "steps": list(_steps(curve, layers, has_holes=bool(layout.spots))),
        "care": list(_care(curve, layers)),
    }


def _shape_words(curve: Curve) -> str:
    angle = f"{curve.angle_deg:g} deg"
    low = f"{curve.inner_radius_mm:g} mm"
    if not curve.slope_deg:
        return (
            f"Part of a cylinder: {angle} to an inner radius of {low}, {curve.along_mm:g} mm high."
        )
    upper = max(inner_face(curve).bend.radius_at_mm(curve.along_mm), 0.0)
    return (
        f"Part of a cone: {angle}, inner radius {low} at the lower edge and {upper:.2f} mm at the "
        f"upper, {curve.along_mm:.2f} mm along the slope."
    )


def _rows(curve: Curve, layers: tuple[Lamination, ...]) -> Iterator[tuple[str, ...]]:
    before = None
    for layer in layers:
        radius = f"{layer.mid_radius_mm:.2f} mm"
        if curve.slope_deg:
            upper = max(layer.flat.bend.radius_at_mm(curve.along_mm), 0.0)
            radius = f"{layer.mid_radius_mm:.2f} to {upper:.2f} mm"
        strain = layer.strain(along_mm=curve.along_mm)
        yield (
            str(layer.number),
            layer.layer.sheet.name,
            radius,
            f"{layer.long_mm:.2f} mm",
            "" if before is None else f"{layer.long_mm - before:.2f} mm longer",
            f"{strain * 100.0:.1f} %" if strain < 1.0 else "creases",
        )
        before = layer.long_mm


def _steps(
    curve: Curve, layers: tuple[Lamination, ...], *, has_holes: bool
) -> Iterator[tuple[str, str]]:
    """Give heading and words of each step, in their order."""
    yield "Cut and drill flat", _FLAT
    yield _former_step(curve)
    if _is_warm(curve, layers):
        yield "Form the thick layers warm", _WARM
    yield "Layer 1", _FIRST
    if len(layers) > 1:
        yield "The other layers", _others(curve, layers)
        yield "Glue", _CEMENT if _is_soft(curve) else _WHITE_GLUE
        yield "Bind and wait", f"{_PINS if has_holes else ''}{_BIND}"
    elif curve.lap_mm:
        words = f"Glue the lap of {curve.lap_mm:g} mm outside on the other end, lower edges flush; "
        yield "Close it", f"{words}bind until it is hard."
    edges = "Sand upper and lower edge level" if curve.slope_deg else "Trim the upper edge"
    yield "Take it off", f"{edges}, clean the windows with a fine file, and only then paint."


def _former_step(curve: Curve) -> tuple[str, str]:
    former = former_of(curve)
    if former is None:
        across = f"{2.0 * curve.inner_radius_mm:g} mm across at the lower edge"
        words = f"A tube, jar or turned block of {across}; or write former: with a sheet under the "
        return "Find a former", f"{words}curve, and it is cut with the rest. {_SPRING}"
    made = f"{counted(len(former.ribs), 'rib')} and {counted(len(former.uprights), 'upright')}"
    words = f"{made} of {former.sheet.name}: push the slots together square, glue, and cover the "
    words += (
        "round edges with smooth tape so that no glue holds there; keep the middle marks of the "
    )
    return (
        "Make the former",
        f"{words}ribs in sight. They have the wall's own inner radius. {_SPRING}",
    )


def _others(curve: Curve, layers: tuple[Lamination, ...]) -> str:
    words = f"In the order of their numbers, from inside out: {_lengths(layers)}."
    if not meets_itself(curve):
        return f"{words} {_FLUSH}"
    joints = ", ".join(
        f"layer {layer.number} at {degrees(layer.joint_rad):.0f} deg" for layer in layers
    )
    turned = f"Joints are turned against one another so that none opens: {joints}, round from the"
    return f"{words} {turned} joint of layer 1, to the right seen from inside. Ends are butted."


def _lengths(layers: tuple[Lamination, ...]) -> str:
    return ", ".join(f"{layer.long_mm:.1f} mm" for layer in layers)


def _is_soft(curve: Curve) -> bool:
    return any(word in layer.sheet.material.casefold() for layer in curve.layers for word in _SOFT)


def _is_warm(curve: Curve, layers: tuple[Lamination, ...]) -> bool:
    return any(
        layer.strain(along_mm=curve.along_mm) > COLD_STRAIN
        for layer in layers
        if any(word in layer.layer.sheet.material.casefold() for word in _SOFT)
    )


def _care(curve: Curve, layers: tuple[Lamination, ...]) -> Iterator[str]:
    if _is_warm(curve, layers):
        yield _SCALDS
    if _is_soft(curve):
        yield _HARMS
