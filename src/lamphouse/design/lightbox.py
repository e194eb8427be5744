"""Light boxes: the closed space behind a panel, and what stands in it or leads out of it.

Positions are in the panel plane (seen from the front), so that an LED lies over its opening;
heights are measured from the inner face of the back towards the panel.
"""

from enum import StrEnum

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.sheet_stock import SheetStock
from lamphouse.catalogue.wall_coats import WallCoat
from lamphouse.design.panel import Outline
from lamphouse.findings import Where
from lamphouse.record import Record


class Seat(StrEnum):
    """The face of the box an LED or a baffle is glued to."""

    BACK = "back"
    WALL = "wall"
    PANEL = "panel"


class Led(Record):
    """One LED with its place and the current the maker wants through it."""

    name: str
    """Unique in its sub-assembly."""
    where: Where
    led_type: LedType
    x_mm: float
    y_mm: float
    current_A: float
    seat: Seat = Seat.BACK
    height_mm: float = 0.0
    """Height of its centre above the back when it sits on a wall."""
    turn_deg: float = 0.0
    """Anticlockwise turn of the package in its seat; at 0 the anode lies to the left."""
    tilt_deg: float = 0.0
    """How far its beam leans from the square to its seat, 0 to 90."""
    towards_deg: float = 0.0
    """The way it leans, anticlockwise from the right as ``turn_deg``; on a wall 90 is towards the
    panel."""
    group: str = ""
    """Source group it blinks with; empty when it burns steadily."""


class Baffle(Record):
    """A wall inside the box that stands on its back, or hangs from the rear of its panel."""

    name: str
    where: Where
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    height_mm: float
    """From the face it is glued to."""
    sheet: SheetStock
    finish: Finish | None = None
    """Of both its faces; None: that of the box."""
    seat: Seat = Seat.BACK
    """The back or the panel."""

    @property
    def hangs(self) -> bool:
        """Whether it is glued to the rear of the panel, with room for light below it."""
        return self.seat is Seat.PANEL

    def span_mm(self, *, depth_mm: float) -> tuple[float, float]:
        """Give its lower and its upper edge above the back of a box so deep. [mm]."""
        if self.hangs:
            return depth_mm - self.height_mm, depth_mm
        return 0.0, self.height_mm


class Pillar(Record):
    """What stands through the inside from the back to the panel: a post, a column, a tube."""

    name: str
    where: Where
    outline: Outline
    """In the panel plane, in its place."""
    sheet: SheetStock | None = None
    """What its slices are cut from; None: a rod or bar bought by the length."""
    finish: Finish | None = None
    """None: that of its box."""


class InnerDiffuser(Record):
    """A sheet across the box between the LEDs and the panel."""

    film: FilmType
    height_mm: float


class Passage(Record):
    """A rectangle cut through the wall between a box and its neighbour, for light to pass."""

    name: str
    where: Where
    into: str
    """Name of the neighbour, a box behind the same panel."""
    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    """In the panel plane, on the wall."""
    low_mm: float
    high_mm: float
    """Above the back of the box that names it."""
    film: FilmType | None = None
    """What closes it; None: nothing."""


class Lid(StrEnum):
    """What closes the box at the rear."""

    BACK = "back only"
    OVER = "lid over back"


class Seams(StrEnum):
    """How the corners of a box, its joint with the panel and its wire exit are closed."""

    BUTT = "butt"
    """Edge on face, with glue alone."""
    TAPED = "taped"
    """Foil or black tape over every joint and round the wires."""
    FILLED = "filled"
    """Black putty or paint in every joint and round the wires."""


class Build(StrEnum):
    """What a box is made from."""

    PIECES = "flat pieces"
    FOLDED = "folded"
    """Walls and back in one piece of card, scored and folded."""
    PRINTED = "printed"
    """Walls and back in one body from a 3D printer, as thick as the sheet."""


class Flange(StrEnum):
    """To which side of its walls a folded box has a strip to be glued to the panel."""

    NONE = "none"
    OUTSIDE = "outside"
    INSIDE = "inside"


class RoundWalls(StrEnum):
    """How the walls round a round inside are made."""

    WRAPPED = "wrapped strip"
    FLAT = "flat walls"
    """A flat wall for every thirty degrees or less, each touching the arc."""


class BaffleJoint(StrEnum):
    """How baffles are held on the back and at walls they meet squarely."""

    GLUED = "glued"
    TABS = "tabs"


class StrandExit(StrEnum):
    """Where the strands that run through a box to its panel come in, all in one bundle."""

    BACK = "back"
    WALL = "wall"


class Blocks(StrEnum):
    """On which side of the walls the blocks stand that screws or magnets hold in."""

    OUTSIDE = "outside"
    INSIDE = "inside"


class Fixing(Record):
    """Screws or magnets that hold what closes the box at the rear."""

    where: Where
    screw: str = ""
    """Thread, such as ``M2``; empty for magnets."""
    magnet_mm: tuple[float, float] | None = None
    """Diameter and height of a disc magnet; None for screws."""
    blocks: Blocks = Blocks.OUTSIDE
    count: int = 2


class WallCoating(Record):
    """Equal coats on the walls of a box."""

    coat: WallCoat
    count: int = 1


class FaceFinish(Record):
    """What a face inside a box is finished with in place of the box's own finish."""

    face: str
    """``back``, ``panel``, ``walls``, or a single wall as its piece is called: ``wall 2``."""
    finish: Finish


class LightBox(Record):
    """The closed space behind a panel: a prism over ``inside``, ``depth_mm`` deep."""

    name: str
    where: Where
    inside: Outline
    """The clear space, in the panel plane, in its place."""
    depth_mm: float
    """Clear depth from the rear face of the panel to the inner face of the back."""
    sheet: SheetStock
    """Walls, back and lid."""
    finish: Finish
    """Of what has none of its own; :mod:`lamphouse.design.box_faces` tells which face has which."""
    leds: tuple[Led, ...]
    baffles: tuple[Baffle, ...] = ()
    passages: tuple[Passage, ...] = ()
    pillars: tuple[Pillar, ...] = ()
    inner_diffuser: InnerDiffuser | None = None
    lid: Lid = Lid.BACK
    wire_exit_mm: float = 2.0
    """Diameter of the hole, or width of the notch, through which the wires leave."""
    coats: tuple[WallCoating, ...] | None = None
    """What keeps light in: on walls and back, inside or outside, and on the panel's rear face round
    the openings. Its finish counts only when it is named here. None: the maker has not said."""
    seams: Seams | None = None
    """None: the maker has not said."""
    build: Build = Build.PIECES
    flange: Flange = Flange.NONE
    """Of a folded box."""
    round_walls: RoundWalls = RoundWalls.WRAPPED
    baffle_joint: BaffleJoint = BaffleJoint.GLUED
    fixing: Fixing | None = None
    """None: glued."""
    faces: tuple[FaceFinish, ...] = ()
    """Faces with a finish of their own."""
    strand_exit: StrandExit | None = None
    """None: the maker drills where it suits."""
