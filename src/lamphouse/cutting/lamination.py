"""Laminated curved panels: each layer's own length, and its own places for openings and holes.

Terminology
-----------
inner face
    The face towards the middle of the bend, seen from the room. Places on a curved panel are arc
    lengths on it.
layer
    One thin sheet; layer 1 lies on the inner face.
mid-plane
    Halfway through a layer. Bending shortens what lies inside it and lengthens what lies outside
    it, and leaves the mid-plane as long as the flat sheet was [DEVELOPMENT].
stretch
    A layer's mid-plane radius divided by the radius of the inner face. An arc length on the inner
    face, times the stretch, is the length to mark on that layer's flat sheet.

So that the edges of a window lie on the same radii in every layer, and the window is as wide on
the inner face as the maker drew it, its places and its width are both stretched. A drilled hole
stays round (its stretch is a few micrometres) and only its middle moves. Heights stay.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.layout import Layout, Spot
from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.cutting.piece import Piece
from lamphouse.cutting.template import panel_piece
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Curve, CurveLayer, Outline
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.shapes.measure import bounds_mm, size_mm
from lamphouse.shapes.transform import stretch_x

CUT_ERROR_MM = 0.005
"""Greatest distance between a stretched arc and its chords, finer than a knife follows."""

TRUE_MM = 0.1
"""Holes of two layers this far apart still line up by eye [PRACTICE]."""

COLD_STRAIN = 0.01
"""Bending strain a plastic sheet takes cold without whitening or springing back [PRACTICE]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamination:
    """One layer of a curved panel with its radii."""

    number: int
    """From 1, innermost first."""
    layer: CurveLayer
    mid_radius_mm: float
    stretch: float

    @property
    def strain(self) -> float:
        """Bending strain at its faces: half the thickness over the mid-plane radius."""
        return self.layer.sheet.thickness_mm / (2.0 * self.mid_radius_mm)


def laminate(curve: Curve) -> tuple[Lamination, ...]:
    """Give every layer of a curved panel its mid-plane radius and stretch."""
    layers = []
    radius = curve.inner_radius_mm
    for number, layer in enumerate(curve.layers, start=1):
        middle = radius + layer.sheet.thickness_mm / 2.0
        layers.append(
            Lamination(
                number=number,
                layer=layer,
                mid_radius_mm=middle,
                stretch=middle / curve.inner_radius_mm,
            )
        )
        radius += layer.sheet.thickness_mm
    return tuple(layers)


def _source(layers: Sequence[Lamination], *, of: Lamination) -> Lamination:
    """Give the layer whose hole places one is cut with; itself where there is none such."""
    number = of.layer.holes_from
    return layers[number - 1] if 1 <= number <= len(layers) else of


def _stretched(outline: Outline, *, factor: float) -> Outline:
    """Stretch an outline along the bend."""
    corners = stretch_x(outline.corners, factor=factor, error_mm=CUT_ERROR_MM)
    width, height = size_mm(corners)
    words = outline.words
    if factor != 1.0:
        words = f"{words}, on this layer {sides_mm(width, height_mm=height)}"
    return Outline(corners=corners, words=words)


def layer_pieces(
    layout: Layout, *, boxes: Sequence[LightBox], sub_assembly: str, drills: Sequence[Drill]
) -> tuple[Piece, ...]:
    """Make the template of every layer of a curved panel, innermost first.

    Parameters
    ----------
    layout
        A curved panel with its openings and strand holes, on its inner face.
    boxes
        Those that stand behind it, drawn on the outermost layer.
    sub_assembly
        For the pieces' names.
    drills
        The drills there are.

    Returns
    -------
    tuple of Piece
        None when the panel is flat or its own outline is not sound.
    """
    curve = layout.panel.curve
    flat = panel_piece(layout, boxes=boxes, sub_assembly=sub_assembly, drills=drills)
    if curve is None or flat is None:
        return ()
    layers = laminate(curve)
    pieces = []
    for layer in layers:
        holes_stretch = _source(layers, of=layer).stretch
        outline = _stretched(flat.outline, factor=layer.stretch)
        notes = (
            f"layer {layer.number} of {len(layers)}, number 1 innermost",
            f"bends along x to a radius of {in_mm(layer.mid_radius_mm)} at its mid-plane",
            f"{in_mm(size_mm(outline.corners)[0])} long before bending",
        )
        outermost = layer.number == len(layers)
        pieces.append(
            replace(
                flat,
                name=f"{flat.name} / layer {layer.number}",
                where=layer.layer.where,
                sheet=layer.layer.sheet,
                outline=outline,
                cutouts=tuple(_stretched(cut, factor=holes_stretch) for cut in flat.cutouts),
                holes=tuple(replace(hole, x_mm=hole.x_mm * holes_stretch) for hole in flat.holes),
                behind=tuple(_stretched(edge, factor=layer.stretch) for edge in flat.behind)
                if outermost
                else (),
                notes=(*notes, *(flat.notes if outermost else ())),
            )
        )
    return tuple(pieces)


def _middle_x_mm(spot: Spot) -> float:
    """Place of a spot's middle along the bend. [mm]."""
    left, _, right, _ = bounds_mm(spot.corners)
    return (left + right) / 2.0


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
    layers = laminate(curve)
    left, _, right, _ = bounds_mm(layout.edge)
    worst = max(layout.spots, key=lambda spot: abs(_middle_x_mm(spot) - left))
    worst_x = _middle_x_mm(worst)
    aside = max(abs(_middle_x_mm(spot) - (left + right) / 2.0) for spot in layout.spots)
    for layer in layers:
        source = _source(layers, of=layer)
        per_mm = abs(layer.stretch - source.stretch)
        shift = per_mm * abs(worst_x - left)
        if shift <= TRUE_MM:
            continue
        yield Told(
            where=layer.layer.where,
            message=f"layer {layer.number} of '{layout.panel.name}' is "
            f"{in_mm((right - left) * layer.stretch)} long and drilled with the places of layer "
            f"{source.number}, {in_mm((right - left) * source.stretch)} long: {worst.name} misses "
            f"by {in_mm(shift)} when the layers start flush, and the worst of all by "
            f"{in_mm(per_mm * aside)} when they are centred",
            remedy=f"leave holes_from out; {worst.name} then stands at "
            f"{in_mm(worst_x * layer.stretch)} on layer {layer.number} instead of "
            f"{in_mm(worst_x * source.stretch)}",
        )


@rule("CUT041", Severity.NOTE, "A sheet is thick for its bend")
def thick_for_bend(layout: Layout) -> Iterable[Told]:
    """Look for layers of plastic that are bent more than they take cold.

    What it checks
        The bending strain of each plastic layer, half its thickness over its mid-plane radius, is
        at most 1 percent.

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
    worst = max(bent, key=lambda layer: layer.strain, default=None)
    if worst is None or worst.strain <= COLD_STRAIN:
        return
    thinnest = 2.0 * COLD_STRAIN * curve.inner_radius_mm / (1.0 - COLD_STRAIN)
    yield Told(
        where=worst.layer.where,
        message=f"'{worst.layer.sheet.name}' bent to {in_mm(worst.mid_radius_mm)} strains by "
        f"{worst.strain * 100.0:.1f} percent at its faces; plastic sheet takes about "
        f"{COLD_STRAIN * 100.0:.0f} percent cold",
        remedy=f"laminate sheets of at most {in_mm(int(thinnest * 100.0) / 100.0)} each, or form "
        "it warm over the former",
    )


def look_at_curve(layout: Layout) -> tuple[Finding, ...]:
    """Run every rule of a curved panel; a flat one has none."""
    found = thick_for_bend(layout)
    return (*borrowed_holes(layout), *found) if layout.has_edge else found
