"""Panels: the visible faces of a sub-assembly, with their openings and layers.

Terminology
-----------
panel plane
    Origin at the datum corner (lower left seen from the front), x to the right, y up, in mm.
    A curved panel uses its inner face laid flat: of a cylinder, x is the arc length there.
outline
    A closed line of straight and round pieces. It may not cross itself.
opening
    A hole, slot or window in a panel.
layer
    What light goes through at an opening, in order from lamp to eye.
overlay
    A flat piece on the face of a panel: a bezel, a fret, a second skin. Its openings are cut-outs.
"""

from enum import StrEnum

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.design.artwork import Print
from lamphouse.findings import Where
from lamphouse.record import Record


class Outline(Record):
    """A closed line, anticlockwise, as corners with a bulge on the piece that follows each.

    A full circle is two corners with bulge 1 each.
    """

    corners: tuple[tuple[float, float, float], ...]
    """``(x_mm, y_mm, bulge)``; bulge is the tangent of a quarter of the arc's angle, 0 when
    straight, positive when the arc turns left (the convention of DXF)."""
    words: str
    """The shape in the maker's words, such as ``rectangle 48 x 30 mm``."""
    diameter_mm: float | None = None
    """The diameter when the whole outline is one circle."""


class LayerKind(StrEnum):
    """What a layer is for."""

    DIFFUSER = "diffuser"
    GEL = "gel"
    TINT = "tint coat"
    PRINT = "print"
    DECAL = "decal"


class Layer(Record):
    """One thing light goes through at an opening."""

    kind: LayerKind
    film: FilmType
    count: int = 1
    """Films laid on one another, or coats of tint."""
    printed: Print | None = None
    """What is printed on each of them."""


class Opening(Record):
    """A hole, slot or window in a panel."""

    name: str
    where: Where
    outline: Outline
    """In the panel plane, in its place."""
    layers: tuple[Layer, ...] = ()
    """From lamp to eye."""
    look: str = ""
    """Name of the look wanted here; empty when none was given."""
    match: str = ""
    """Openings with the same word here should match in luminance and colour."""


class CurveLayer(Record):
    """One thin sheet of a laminated curved panel."""

    sheet: SheetStock
    holes_from: int
    """Number (from 1, innermost first) of the layer whose hole positions are used for this one."""
    where: Where


class Curve(Record):
    """How a panel is bent: part of an upright cylinder or cone, seen from inside the room."""

    inner_radius_mm: float
    """Of the inner face, at its lower edge."""
    angle_deg: float
    layers: tuple[CurveLayer, ...]
    """From the inner face outwards."""
    along_mm: float
    """Its height, along the slope."""
    slope_deg: float = 0.0
    """From upright, positive where it narrows upwards; 0 for a cylinder."""
    lap_mm: float = 0.0
    """What its one layer goes on past the full turn at its wider edge, to be glued on the start."""
    former: SheetStock | None = None
    """What the former to bend it over is cut from; None for no former."""


class Traced(Record):
    """Where an outline that was traced comes from."""

    picture: str
    within_mm: float
    """Any place of it is that certain, as the tracing states."""
    nudged_mm: float = 0.0
    """The farthest that a place of it was moved by hand afterwards."""


class Panel(Record):
    """The visible face of a sub-assembly."""

    name: str
    where: Where
    outline: Outline
    """For a curved panel: its inner face laid flat."""
    sheet: SheetStock
    """The sheet it is cut from; for a curved panel the innermost layer."""
    openings: tuple[Opening, ...]
    curve: Curve | None = None
    grain: str = ""
    """``along x`` or ``along y`` when the sheet's grain matters."""
    traced: Traced | None = None
    """When its outline was traced from a picture."""
    at_mm: tuple[float, float] = (0.0, 0.0)
    """Its datum corner from that of the sub-assembly: right, up."""
    overlays: tuple["Panel", ...] = ()
    """On its face, in the same plane and from the same datum: flat, with cut-outs for openings."""
