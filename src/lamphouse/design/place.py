"""The room of the model, and the sub-assemblies with the place where each stands in it."""

from enum import StrEnum

from lamphouse.design.lightbox import Led, LightBox
from lamphouse.design.masks import Masks
from lamphouse.design.panel import Panel
from lamphouse.design.strand import Strand
from lamphouse.design.supply import Board, Grouping, Pigtail, StringWish
from lamphouse.design.surroundings import OutMove
from lamphouse.findings import Where
from lamphouse.record import Record


class Room(Record):
    """The model's room, and the room it is looked at in."""

    width_mm: float
    depth_mm: float
    height_mm: float
    room_light_lx: float
    """Illuminance of the room the model is shown in."""
    viewing_distance_mm: float
    light_colour: str = "daylight"
    """What lights that room: a word of ``catalogue.spectral_data.ROOM_LIGHTS``."""


class Lie(StrEnum):
    """Which way the face of a sub-assembly looks."""

    UPRIGHT = "upright"
    """To the front, as a wall's."""
    FLAT = "flat"
    """Up or down, as a table's or a ceiling's."""


class Looks(StrEnum):
    """Which way the face of a sub-assembly that lies flat looks."""

    UP = "up"
    DOWN = "down"


class Stand(Record):
    """Where a sub-assembly stands on the floor plan, from the room's corner: right, back.

    Its datum corner is the foot of the left edge of its face, seen from the front; before it is
    turned the face looks towards the front edge of the room. The face of one that lies flat goes
    back from there, seen from above, whichever way it looks.
    """

    x_mm: float
    """Of the datum corner."""
    y_mm: float
    turn_deg: float = 0.0
    """Anticlockwise about the datum corner, seen from above."""
    up_mm: float = 0.0
    """Height of the datum corner above the floor."""
    lies: Lie = Lie.UPRIGHT
    looks: Looks | None = None
    """Of one that lies flat; None: down in the upper half of the room, up below."""
    out: tuple[OutMove, ...] = ()
    """How it is taken out; empty leaves it to the tool."""


class SubAssembly(Record):
    """What unplugs and lifts out as one, with everything glued to it."""

    name: str
    where: Where
    stand: Stand | None
    panels: tuple[Panel, ...]
    boxes: tuple[tuple[str, LightBox], ...]
    """Each light box with the name of the panel it stands behind."""
    strands: tuple[tuple[str, Strand], ...]
    """Each strand with the name of the panel it comes out of."""
    masks: tuple[tuple[str, Masks], ...] = ()
    """How panels are painted, each with the panel's name."""
    lamps: tuple[Led, ...]
    """LEDs that shine into the room without a box, and the sources of strands."""
    strings: tuple[StringWish, ...]
    board: Board | None
    pigtail: Pigtail | None
    grouping: Grouping = Grouping.SERIES
    """Of LEDs in no wished string."""
    trim: bool = False
    """Whether each of its strings is set by a knob at the bench."""

    def boxes_of(self, panel: str) -> tuple[LightBox, ...]:
        """List the light boxes behind a panel."""
        return tuple(box for name, box in self.boxes if name == panel)

    def strands_of(self, panel: str) -> tuple[Strand, ...]:
        """List the strands that come out of a panel."""
        return tuple(strand for name, strand in self.strands if name == panel)

    def leds(self) -> tuple[Led, ...]:
        """List every LED of the sub-assembly, boxes first, in the order of the file."""
        boxed = tuple(led for _, box in self.boxes for led in box.leds)
        return boxed + self.lamps
