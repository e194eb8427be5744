"""Layers of bent walls: each its own development, its own places for openings and holes.

Terminology
-----------
inner face
    The face towards the middle of the bend, seen from the room. Openings are drawn on it as it
    lies flat.
layer
    One thin sheet; layer 1 lies on the inner face.
mid-plane
    Halfway through a layer. Bending shortens what lies inside it and lengthens what lies outside
    it, and leaves the mid-plane as long as the flat sheet was [DEVELOPMENT].
joint
    Where the ends of a layer meet that goes all the way around. The joints of the layers are
    turned against one another, each as near to its even share of the turn as openings let it.

A point of the inner face is carried along the normal to a layer's mid-plane, and that is laid flat:
so the edges of a window stand square to the wall in every layer, and the window is as large on the
inner face as the maker drew it. A drilled hole stays round (what it would be stretched by is a few
micrometres) and only its middle moves.
"""

from collections.abc import Callable, Iterable, Sequence
from math import degrees, pi, radians, sin, tau

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.layout import Layout
from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.cutting.piece import DrilledHole, Piece
from lamphouse.cutting.template import panel_piece
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Curve, CurveLayer, Outline
from lamphouse.record import Record, replace
from lamphouse.shapes.bend import Bend, Development, develop
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, centroid_mm, size_mm
from lamphouse.shapes.outline import Corners, Spot, polygon
from lamphouse.shapes.warping import warped

CUT_ERROR_MM = 1e-4
"""How far lines and arcs may be from a shape carried to another layer."""

CLEAR_MM = 2.0
"""Least wall between a joint and an opening, at the joint's narrower end [PRACTICE]."""

MARK_MM = 3.0
"""Length of the mark at the middle of an edge."""

FULL_TURN_DEG = 360.0 - 1e-9
"""A wall that goes further meets itself."""

_SAME_RAD = 1e-9
"""Turns closer than this are the same."""


class Lamination(Record):
    """One layer of a bent wall, laid flat on its mid-plane."""

    number: int
    """From 1, innermost first."""
    layer: CurveLayer
    flat: Development
    joint_rad: float = 0.0
    """Where it begins, as a turn from where layer 1 begins; only of a wall that meets itself."""

    @property
    def mid_radius_mm(self) -> float:
        """Radius of its mid-plane at the lower edge."""
        return self.flat.bend.radius_mm

    @property
    def long_mm(self) -> float:
        """Length of its lower edge, without a lap."""
        return self.mid_radius_mm * self.flat.angle_rad

    def narrowest_mm(self, *, along_mm: float) -> float:
        """Radius of its mid-plane at its narrower edge."""
        return min(self.mid_radius_mm, self.flat.bend.radius_at_mm(along_mm))

    def strain(self, *, along_mm: float) -> float:
        """Bending strain at its faces where it bends the most: half the thickness over the radius.

        The radius is that across the slope; infinite strain where a cone ends in a point.
        """
        steep = cos_of(self.flat.bend)
        radius = self.narrowest_mm(along_mm=along_mm)
        return (
            self.layer.sheet.thickness_mm * steep / (2.0 * radius) if radius > 0.0 else float("inf")
        )


def cos_of(bend: Bend) -> float:
    """Give the cosine of a slope."""
    return float((1.0 - bend.sine**2) ** 0.5)


def inner_face(curve: Curve) -> Development:
    """Lay the inner face of a bent wall flat, without its lap."""
    bend = Bend(radius_mm=curve.inner_radius_mm, sine=sin(radians(curve.slope_deg)))
    return develop(bend, angle_rad=radians(curve.angle_deg), up_mm=curve.along_mm)


def meets_itself(curve: Curve) -> bool:
    """Tell whether a wall goes all the way around."""
    return curve.angle_deg >= FULL_TURN_DEG


def laminate(curve: Curve, *, outlines: Iterable[Corners] = ()) -> tuple[Lamination, ...]:
    """Lay every layer of a bent wall flat.

    Parameters
    ----------
    curve
        The wall.
    outlines
        Of what goes through it, on the inner face; joints keep clear of these.
    """
    inner = inner_face(curve)
    joints = _joints(curve, inner, outlines)
    layers = []
    inside_mm = 0.0
    for number, (layer, joint_rad) in enumerate(zip(curve.layers, joints, strict=True), start=1):
        bend = inner.bend.outwards(inside_mm + layer.sheet.thickness_mm / 2.0)
        widest_mm = max(bend.radius_mm, bend.radius_at_mm(curve.along_mm))
        flat = develop(
            bend,
            angle_rad=inner.angle_rad,
            up_mm=curve.along_mm,
            lap_rad=curve.lap_mm / widest_mm,
        )
        layers.append(Lamination(number=number, layer=layer, flat=flat, joint_rad=joint_rad))
        inside_mm += layer.sheet.thickness_mm
    return tuple(layers)


def _joints(curve: Curve, inner: Development, outlines: Iterable[Corners]) -> list[float]:
    """Turn the joints of the layers against one another, clear of what goes through."""
    count = len(curve.layers)
    joints = [0.0] * count
    if not meets_itself(curve) or count == 1:
        return joints
    narrow = min(curve.inner_radius_mm, inner.bend.radius_at_mm(curve.along_mm))
    clear = CLEAR_MM / narrow if narrow > CLEAR_MM else 0.0
    taken = [_turns(outline, inner, clear) for outline in outlines]
    for index in range(1, count):
        wanted = tau * index / count
        source = curve.layers[index].holes_from - 1
        if source != index and 0 <= source < count:  # the holes of another layer go with its joint
            joints[index] = joints[source] if source < index else 0.0
            continue
        free = [
            turn
            for turn in (wanted, *(end for span in taken for end in span))
            if not any(_within(turn, low, high) for low, high in taken)
        ]
        joints[index] = min(free, key=lambda turn: _apart(turn, wanted), default=0.0) % tau
    return joints


def _turns(outline: Corners, inner: Development, clear_rad: float) -> tuple[float, float]:
    """Give the turns from the start between which an outline and its margin lie. [rad]."""
    turns = [
        inner.bent(spot)[0] + inner.angle_rad / 2.0 for spot in flatten(outline, error_mm=0.05)
    ]
    return min(turns) - clear_rad, max(turns) + clear_rad


def _within(turn_rad: float, low_rad: float, high_rad: float) -> bool:
    """Tell whether a turn lies between two others, however often it went around."""
    middle, half = (low_rad + high_rad) / 2.0, (high_rad - low_rad) / 2.0
    return _apart(turn_rad, middle) < half - _SAME_RAD


def _apart(one_rad: float, other_rad: float) -> float:
    return abs((one_rad - other_rad + pi) % tau - pi)


def source_of(layers: Sequence[Lamination], *, of: Lamination) -> Lamination:
    """Give the layer whose hole places one is cut with; itself where there is none such."""
    number = of.layer.holes_from
    return layers[number - 1] if 1 <= number <= len(layers) else of


def carry(
    inner: Development, *, layer: Lamination, source: Lamination
) -> Callable[[Corners], Callable[[Spot], Spot]]:
    """Give the map from the inner face to a layer laid flat, for a shape at a time.

    A layer that takes the places of another is laid on that one's flat sheet with the lower left
    corners together.
    """
    start_rad = -inner.angle_rad / 2.0
    at, there = (one.flat.flat(start_rad, up_mm=0.0) for one in (layer, source))
    right, up = at[0] - there[0], at[1] - there[1]

    def for_shape(corners: Corners) -> Callable[[Spot], Spot]:
        middle = inner.bent(centroid_mm(corners))[0] - layer.joint_rad
        round_again = tau if layer.joint_rad and middle < start_rad else 0.0

        def onto(spot: Spot) -> Spot:
            turn, along = inner.bent(spot)
            x, y = source.flat.flat(turn - layer.joint_rad + round_again, up_mm=along)
            return x + right, y + up

        return onto

    return for_shape


def layer_pieces(
    layout: Layout, *, boxes: Sequence[LightBox], sub_assembly: str, drills: Sequence[Drill]
) -> tuple[Piece, ...]:
    """Make the template of every layer of a bent wall, innermost first.

    Parameters
    ----------
    layout
        A bent panel with its openings and strand holes, on its inner face.
    boxes
        Those that stand behind it, drawn on the outermost layer of a cylinder.
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
    behind = () if curve and curve.slope_deg else boxes
    flat = panel_piece(layout, boxes=behind, sub_assembly=sub_assembly, drills=drills)
    if curve is None or flat is None:
        return ()
    inner = inner_face(curve)
    layers = laminate(curve, outlines=[spot.corners for spot in layout.spots])
    return tuple(_piece(flat, layer, curve=curve, inner=inner, layers=layers) for layer in layers)


def _piece(
    flat: Piece,
    layer: Lamination,
    *,
    curve: Curve,
    inner: Development,
    layers: Sequence[Lamination],
) -> Piece:
    """Make the template of one layer from the piece of the inner face."""
    drawn = carry(inner, layer=layer, source=source_of(layers, of=layer))
    true = carry(inner, layer=layer, source=layer)
    outermost = layer.number == len(layers)
    corners = layer.flat.corners
    return replace(
        flat,
        name=f"{flat.name} / layer {layer.number}",
        where=layer.layer.where,
        sheet=layer.layer.sheet,
        outline=Outline(
            corners=corners, words=f"{flat.outline.words}, {_size_words(curve, layer)}"
        ),
        cutouts=tuple(_carried(cut, drawn, curve) for cut in flat.cutouts),
        holes=tuple(_moved(hole, drawn) for hole in flat.holes),
        behind=tuple(_carried(edge, true, curve) for edge in flat.behind) if outermost else (),
        glued=(
            *(
                tuple(_carried(foot, true, curve) for foot in flat.glued)
                if layer.number == 1
                else ()
            ),
            *_lap(curve, layer),
            *_middles(curve, layer),
        ),
        notes=(*_notes(curve, layer, count=len(layers)), *(flat.notes if outermost else ())),
    )


def _carried(
    outline: Outline, by: Callable[[Corners], Callable[[Spot], Spot]], curve: Curve
) -> Outline:
    corners = warped(outline.corners, by=by(outline.corners), error_mm=CUT_ERROR_MM)
    words = outline.words
    if not curve.slope_deg:
        width, height = size_mm(corners)
        words = f"{words}, on this layer {sides_mm(width, height_mm=height)}"
    return Outline(corners=corners, words=words)


def _moved(hole: DrilledHole, by: Callable[[Corners], Callable[[Spot], Spot]]) -> DrilledHole:
    half = hole.wanted_mm / 2.0
    spot = (hole.x_mm, hole.y_mm)
    ring = ((spot[0] - half, spot[1], 1.0), (spot[0] + half, spot[1], 1.0))
    x_mm, y_mm = by(ring)(spot)
    return replace(hole, x_mm=x_mm, y_mm=y_mm)


def _size_words(curve: Curve, layer: Lamination) -> str:
    """Say how large a layer is flat."""
    if not curve.slope_deg:
        return f"on this layer {sides_mm(layer.long_mm, height_mm=curve.along_mm)}"
    return f"on this layer {sector_words(curve, layer)}"


def sector_words(curve: Curve, layer: Lamination) -> str:
    """Give the radii of a cone's layer laid flat: what a compass is set to."""
    sine = abs(layer.flat.bend.sine)
    radii = sorted(layer.flat.bend.radius_at_mm(up) / sine for up in (0.0, curve.along_mm))
    return f"radii {in_mm(radii[1])} and {in_mm(max(radii[0], 0.0))}"


def _lap(curve: Curve, layer: Lamination) -> tuple[Outline, ...]:
    """Mark the lap that is glued on the start."""
    if not curve.lap_mm:
        return ()
    flat = layer.flat
    start = flat.angle_rad / 2.0
    widest = max(flat.bend.radius_mm, flat.bend.radius_at_mm(curve.along_mm))
    corners = flat.strip(start, end_rad=start + curve.lap_mm / widest, up_mm=curve.along_mm)
    return (Outline(corners=corners, words="lap"),)


def _middles(curve: Curve, layer: Lamination) -> tuple[Outline, ...]:
    """Mark the wall's middle at both edges; layers are laid with these on one another."""
    turn = -layer.joint_rad if layer.joint_rad <= pi else tau - layer.joint_rad
    marks = []
    for edge, way in ((0.0, 1.0), (curve.along_mm, -1.0)):
        radius = layer.flat.bend.radius_at_mm(edge)
        half = MARK_MM / 3.0 / max(radius, MARK_MM)
        if radius <= MARK_MM or abs(turn) + half > layer.flat.angle_rad / 2.0:
            continue  # too narrow for a mark, or the joint itself is there
        tip = layer.flat.flat(turn, up_mm=edge)
        base = (layer.flat.flat(turn + s * half, up_mm=edge + way * MARK_MM) for s in (way, -way))
        corners = anticlockwise(polygon((tip, *base)))
        marks.append(Outline(corners=corners, words="middle"))
    return tuple(marks) if curve.along_mm > 3.0 * MARK_MM else ()


def _notes(curve: Curve, layer: Lamination, *, count: int) -> tuple[str, ...]:
    """Say on a layer's template how it is bent."""
    upper_mm = max(layer.flat.bend.radius_at_mm(curve.along_mm), 0.0)
    if curve.slope_deg:
        bends = (
            f"bends to a cone: its mid-plane to a radius of {in_mm(layer.mid_radius_mm)} at the "
            f"lower edge, {in_mm(upper_mm)} at the upper; flat, {sector_words(curve, layer)}"
        )
        upper_long = upper_mm * layer.flat.angle_rad
        long = (
            f"lower edge {in_mm(layer.long_mm)} long before bending, upper {in_mm(upper_long)}; "
            "edges stand square to the wall: sand them level after gluing"
        )
    else:
        bends = f"bends along x to a radius of {in_mm(layer.mid_radius_mm)} at its mid-plane"
        long = f"{in_mm(layer.long_mm)} long before bending"
    notes = [f"layer {layer.number} of {count}, number 1 innermost", bends, long]
    if layer.joint_rad:
        notes.append(
            f"its joint stands {degrees(layer.joint_rad):.1f} deg round from that of layer 1"
        )
    if curve.lap_mm:
        notes.append(f"the marked lap of {in_mm(curve.lap_mm)} is glued outside on the other end")
    return tuple(notes)
