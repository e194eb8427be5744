"""The flat parts of a box laid out as one piece, and how each hangs on another.

Terminology
-----------
facet
    A part that stays flat.
fold
    The stretch between two facets that bends. Its width on the flat sheet is the bend allowance:
    the angle times the radius of the neutral line. Scored card bends about its inner corner, so
    that radius is half the thickness: K 0.5 and inner radius 0 of [BEND].
"""

from lamphouse.record import Record
from lamphouse.shapes.outline import Corners, Spot

NEUTRAL = 0.5
"""Radius of the neutral line of a scored fold, in thicknesses [BEND]."""


class Hinge(Record):
    """How a facet hangs on another."""

    parent: int
    """Number of the other facet."""
    start: Spot
    """A point of the line at which the parent begins to bend."""
    way: Spot
    """Unit vector along that line, the facet on its right."""
    angle_rad: float
    """Positive towards the reader."""
    allowance_mm: float


class Facet(Record):
    """A flat part of a development."""

    name: str
    corners: Corners
    hinge: Hinge | None = None
    bridge: Corners = ()
    """What bends, between it and its parent."""
    wall: int | None = None
    """Number of the side it stands on or is glued to, from 0."""


def allowance_mm(angle_rad: float, *, thickness_mm: float) -> float:
    """Give the width that a scored fold takes on the flat sheet [BEND]."""
    return abs(angle_rad) * NEUTRAL * thickness_mm
