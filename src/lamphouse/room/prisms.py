"""The room as prisms: everything that stands in it as a footprint between two heights.

Terminology
-----------
floor plan
    Seen from above, from the room's corner: x to the right, y back. Heights are above the floor.
prism
    A footprint that goes straight up from one height to another (a body of two and a half
    dimensions). What is not one is held by several: the covers may be larger than what they
    cover, never smaller but for the chords of an arc.
behind
    Away from the face of a sub-assembly, where its light boxes stand.
"""

from enum import StrEnum

from lamphouse.findings import Where
from lamphouse.record import Record
from lamphouse.shapes.outline import Corners, Spot


class PrismKind(StrEnum):
    """What stands there."""

    PANEL = "panel"
    BOX = "light box"
    SOURCE = "source"
    """The LED of a source group with the bundle in its ferrule."""
    WALL = "wall"
    HULL = "hull"
    FLOOR = "floor"


class Prism(Record):
    """Something that stands in the room."""

    owner: str
    """The sub-assembly; empty for what stays where it is."""
    kind: PrismKind
    name: str
    """Of the panel, the box, the group, the wall."""
    where: Where
    foot: Corners
    """On the floor plan."""
    low_mm: float
    high_mm: float
    carrier: str = ""
    """The panel that a light box stands behind."""

    @property
    def words(self) -> str:
        """What it is called in a sentence: ``light box 'tide box' of 'instrument wall'``."""
        if self.kind is PrismKind.FLOOR:
            return f"the {self.name}"
        if not self.owner:
            return f"{self.kind} '{self.name}'"
        return f"{self.kind} '{self.name}' of '{self.owner}'"


class FloorBuild(Record):
    """How the floor is built."""

    thick_mm: float
    depth_mm: float | None
    """Clear height below it, down to the baseboard; None where it does not matter."""


FLOOR, BASEBOARD = "floor", "baseboard"
"""Names of the two prisms of the floor."""


class BoxSpace(Record):
    """The space a glued light box takes up behind its panel."""

    panel: str
    box: str
    where: Where
    foot: Corners
    """What it covers of the panel's rear, walls and ears included, in the panel plane."""
    deep_mm: float
    """From the panel's rear to its own, back included."""


class SourceSpace(Record):
    """The space the source of a group takes up behind its sub-assembly."""

    group: str
    where: Where
    at_mm: Spot
    """In the plane of the sub-assembly."""
    behind_mm: float
    """From the rear of the panels to where it begins."""
    long_mm: float
    diameter_mm: float
