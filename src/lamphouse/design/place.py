"""The room of the model, and the sub-assemblies with the place where each stands in it."""

from dataclasses import dataclass

from lamphouse.design.lightbox import Led, LightBox
from lamphouse.design.panel import Panel
from lamphouse.design.strand import Strand
from lamphouse.design.supply import Board, Pigtail, StringWish
from lamphouse.findings import Where


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The model's room, and the room it is looked at in."""

    width_mm: float
    depth_mm: float
    height_mm: float
    room_light_lx: float
    """Illuminance of the room the model is shown in."""
    viewing_distance_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where a sub-assembly stands on the floor plan."""

    x_mm: float
    y_mm: float
    turn_deg: float = 0.0
    up_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SubAssembly:
    """What unplugs and lifts out as one, with everything glued to it."""

    name: str
    where: Where
    stand: Stand | None
    panels: tuple[Panel, ...]
    boxes: tuple[tuple[str, LightBox], ...]
    """Each light box with the name of the panel it stands behind."""
    strands: tuple[tuple[str, Strand], ...]
    """Each strand with the name of the panel it comes out of."""
    lamps: tuple[Led, ...]
    """LEDs that shine into the room without a box, and the sources of strands."""
    strings: tuple[StringWish, ...]
    board: Board | None
    pigtail: Pigtail | None

    def leds(self) -> tuple[Led, ...]:
        """List every LED of the sub-assembly, boxes first, in the order of the file."""
        boxed = tuple(led for _, box in self.boxes for led in box.leds)
        return boxed + self.lamps
