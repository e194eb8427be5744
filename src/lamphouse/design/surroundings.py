"""What stands round the sub-assemblies: fixed walls, the hull behind them, and the floor below.

Places are on the floor plan, from the room's corner: to the right, back. Heights are above the
floor. The room's sides are named as seen from its front edge.
"""

from enum import StrEnum

from lamphouse.design.panel import Outline
from lamphouse.findings import Where
from lamphouse.record import Record, field


class Side(StrEnum):
    """A side of the room, through which a hand or a sub-assembly goes."""

    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BELOW = "below"


class OutWay(StrEnum):
    """Which way a sub-assembly is moved when it is taken out."""

    FORWARDS = "forwards"
    """The way its face looks."""
    BACKWARDS = "backwards"
    FRONT = "front"
    BACK = "back"
    LEFT = "left"
    RIGHT = "right"
    UP = "up"
    DOWN = "down"


class OutMove(Record):
    """One straight move on the way out."""

    way: OutWay
    by_mm: float | None = None
    """None goes on until it is clear of everything."""

    @property
    def words(self) -> str:
        """As the project file writes it."""
        return str(self.way) if self.by_mm is None else f"{self.way} {self.by_mm:g} mm"


class FixedWall(Record):
    """A wall of the model that stays where it is, straight or round."""

    name: str
    where: Where
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    """Of its middle line."""
    via_mm: tuple[float, float] | None
    """A place its middle line goes through; None for a straight wall."""
    thickness_mm: float
    low_mm: float
    high_mm: float


class HullPart(Record):
    """The inner face of the hull or shell between two heights."""

    name: str
    where: Where
    inside: Outline
    """On the floor plan."""
    low_mm: float
    high_mm: float


class FloorThing(Record):
    """What stands under the floor: a leg, a joist, a cell holder. Wires go round it."""

    name: str
    where: Where
    outline: Outline


class Hatch(Record):
    """A hole in the floor, for a hand, or for what hangs from a table."""

    name: str
    where: Where
    outline: Outline


class CutLine(Record):
    """Where a section through the room is drawn, seen to the left of the way it goes."""

    name: str
    where: Where
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]


class Surroundings(Record):
    """What stands round the sub-assemblies."""

    where: Where = field(default_factory=lambda: Where(item="room"))
    clear_mm: float = 1.0
    """Between the hull and what stands in it."""
    open_sides: tuple[Side, ...] = (Side.FRONT, Side.TOP, Side.BELOW)
    walls: tuple[FixedWall, ...] = ()
    hull: tuple[HullPart, ...] = ()
    under_floor: tuple[FloorThing, ...] = ()
    hatches: tuple[Hatch, ...] = ()
    cuts: tuple[CutLine, ...] = ()
