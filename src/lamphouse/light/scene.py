"""The solver's own records of a light box: a prism with painted faces, lamps, sheets and openings.

Terminology
-----------
plan
    The view along the panel's normal; ``x`` and ``y`` in mm.
height
    ``z``, 0 at the inner face of the back, ``depth_mm`` at the inner face of the panel.
ring
    A closed polygon in plan; the last point joins the first. Round pieces come as chords.
fill
    What closes an opening: a :class:`Diffuser`, or None for an open hole.
passage
    An upright rectangle in a wall that two boxes share, through which their light mixes.
port
    A passage as one of its boxes sees it.
"""

from math import pi

from lamphouse.record import Record

Spot = tuple[float, float]
Ring = tuple[Spot, ...]


class Rectangle(Record):
    """An upright rectangle in plan."""

    left_mm: float
    bottom_mm: float
    right_mm: float
    top_mm: float


class Disc(Record):
    """A full circle in plan."""

    x_mm: float
    y_mm: float
    diameter_mm: float


class Patch(Record):
    """A simple polygon in plan."""

    ring: Ring


Shape = Rectangle | Disc | Patch


class Haze(Record):
    """How the light that passes a diffuser is spread; the three shares add up to 1.

    Looked at along its normal, a diffuser of transmittance ``tau`` shows
    ``tau (diffuse E / pi + lobe * integral of L p dw + straight L_below)``. ``L`` is the luminance
    of the inside by direction, lamps and all; ``L_below`` that of what lies straight below, without
    lamps. ``p`` is proportional to ``exp(-angle^2 / (2 lobe_deg^2))``, and its integral over the
    half space is 1. No cosine stands in the lobe's integral: this is the reciprocal form, in which
    light finds its way back as easily as there, as Helmholtz's reciprocity asks of any sheet.
    """

    diffuse: float
    """Share that leaves evenly in all directions (Lambertian)."""
    lobe: float
    """Share scattered forward into a Gaussian lobe about its own direction."""
    straight: float
    """Share that goes straight through."""
    lobe_deg: float
    """Standard deviation of the lobe's angle."""


class Diffuser(Record):
    """A thin sheet that lets light through and throws some back; it absorbs the rest."""

    transmittance: float
    reflectance: float
    haze: Haze | None = None
    """None: the sheet is an ideal diffuser."""


class Aperture(Record):
    """An opening of the panel."""

    name: str
    shape: Shape
    fill: Diffuser | None
    """None: an open hole; light that reaches it is lost."""
    panel_mm: float = 0.0
    """Thickness of the panel in front of the fill; 0 for a thin one."""
    rim_reflectance: float = 0.0
    """Reflectance of the hole's own wall through that thickness."""
    shown: tuple[Shape, ...] = ()
    """Parts of it that can be seen and are judged, where something lies before it; empty: all."""


class Baffle(Record):
    """An upright wall of no thickness inside the box, seen from both sides."""

    start_mm: Spot
    end_mm: Spot
    low_mm: float
    high_mm: float
    reflectance: float


class Sheet(Record):
    """A level diffuser across the whole box, ideal on both sides."""

    height_mm: float
    transmittance: float
    reflectance: float


class Port(Record):
    """An upright rectangle of a wall that leads into another box."""

    start_mm: Spot
    end_mm: Spot
    """On one edge of the outline."""
    low_mm: float
    high_mm: float
    reflectance: float
    """Of what closes it; 0 for an open one."""


class CosinePower(Record):
    """Intensity ``I0 cos(theta)^m``."""

    m: float


class IntensityTable(Record):
    """Relative intensity by angle from the axis, joined by straight lines."""

    angles_deg: tuple[float, ...]
    """Rising from 0, at most 180."""
    relative: tuple[float, ...]
    """Not negative; only the shape matters."""


Beam = CosinePower | IntensityTable


class Lamp(Record):
    """A small light source of no size."""

    name: str
    x_mm: float
    y_mm: float
    z_mm: float
    direction: tuple[float, float, float]
    """Axis of the beam; any length but 0."""
    beam: Beam
    flux_lm: float


class Box(Record):
    """A light box: a prism over ``outline``."""

    outline: Ring
    depth_mm: float
    back_reflectance: float
    panel_reflectance: float
    """Of the panel's inner face outside the openings."""
    wall_reflectances: tuple[float, ...]
    """One for every wall, or one per edge of the outline and then of each hole."""
    lamps: tuple[Lamp, ...]
    apertures: tuple[Aperture, ...]
    holes: tuple[Ring, ...] = ()
    """Pillars: rings that the inside of the box leaves out."""
    baffles: tuple[Baffle, ...] = ()
    sheet: Sheet | None = None
    ports: tuple[Port, ...] = ()
    """In an order of the caller's; none overlap."""


class Passage(Record):
    """An upright rectangle in the wall between two boxes."""

    name: str
    boxes: tuple[int, int]
    """Numbers of the two in their suite."""
    start_mm: Spot
    end_mm: Spot
    """On an edge of both outlines."""
    low_mm: float
    high_mm: float
    """Above the back of the first box."""
    fill: Diffuser | None
    """None: a hole one can look through; otherwise an even diffuser."""


class Suite(Record):
    """Boxes that share walls, in common plan coordinates.

    A wall between two boxes has no thickness; the hole through a thick one is a box of its own.
    """

    boxes: tuple[Box, ...]
    """Each without ports."""
    passages: tuple[Passage, ...]
    backs_mm: tuple[float, ...] = ()
    """Height of each back above a common plane; empty: all lie behind one panel."""

    def rise_mm(self, *, start: int, end: int) -> float:
        """Give what to add to a height above one box's back for one above another's. [mm]."""
        if self.backs_mm:
            return self.backs_mm[start] - self.backs_mm[end]
        return self.boxes[end].depth_mm - self.boxes[start].depth_mm


def cosine_flux_lm(peak_cd: float, *, m: float) -> float:
    """Flux of a beam ``I0 cos^m``: ``2 pi I0 / (m + 1)``."""
    return 2.0 * pi * peak_cd / (m + 1.0)
