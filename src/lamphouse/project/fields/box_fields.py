"""Fields of light boxes: their walls, baffles, passages, finish and fixing."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.design.lightbox import (
    BaffleJoint,
    Build,
    Flange,
    Lid,
    RoundWalls,
    Seams,
    Seat,
    StrandExit,
)
from lamphouse.project.fields.curve_fields import SheetName
from lamphouse.project.fields.fixing_fields import FixingFields
from lamphouse.project.fields.light_fields import Height, LedFields, Position, SmallHole
from lamphouse.project.fields.pillar_fields import PillarFields
from lamphouse.project.fields.sections import Maybe, Named, OrAlone, Rows, Section
from lamphouse.project.fields.shape_words import ShapeText, placed_or_like
from lamphouse.project.fields.values import Choice, Count, Measure, Reference, Words
from lamphouse.units import Quantity

Depth = Annotated[
    float,
    Measure(
        quantity=Quantity.LENGTH,
        least=0.5,
        most=500.0,
        why="the range of light boxes",
        example="14 mm",
    ),
]


class BaffleFields(Section):
    """A wall inside a light box that stands on its back, or hangs from its panel."""

    from_: Position = Field(alias="from", description="Where it begins: right, up.")
    to: Position = Field(description="Where it ends: right, up.")
    height: Depth = Field(description="Its height from the face it is glued to.")
    seat: Annotated[
        str,
        Choice(
            of=(str(Seat.BACK), str(Seat.PANEL)),
            never=(str(Seat.WALL),),
            never_why="a baffle runs from wall to wall and is glued to the back or to the panel",
        ),
    ] = Field(
        str(Seat.BACK),
        description="The face it is glued to: back, or panel for one that hangs from the panel's "
        "rear, so that light passes below it.",
    )
    sheet: SheetName = Field(description="Sheet it is cut from.")
    finish: Annotated[str, Words(example="matt black paint")] | None = Field(
        None, description="What both its faces are painted or lined with; left out, as the box."
    )


class PassageFields(Section):
    """An opening in the wall between a box and its neighbour, for light to pass."""

    into: Annotated[str, Reference(example="stores box")] = Field(
        description="The neighbour: a box behind the same panel."
    )
    from_: Position = Field(alias="from", description="Where it begins on the wall: right, up.")
    to: Position = Field(description="Where it ends on the wall: right, up.")
    low: Height = Field(description="Its lower edge above the back of this box.")
    high: Height = Field(description="Its upper edge above the back of this box.")
    film: Annotated[str, Words(example="opal film 60")] | None = Field(
        None, description="Diffuser that closes it, as the catalogue names it; open without one."
    )


class InnerDiffuserFields(Section):
    """A sheet across the box between its LEDs and the panel."""

    film: Annotated[str, Words(example="opal film 60")] = Field(
        description="Film, as the catalogue names it."
    )
    height: Depth = Field(description="Its height above the back.")


class CoatFields(Section):
    """Equal coats that keep light in; the coat's name alone will do."""

    coat: Annotated[str, Words(example="black paint")] = Field(
        description="Paint, foil or tape, as the catalogue names it."
    )
    count: Annotated[int, Count(least=1, most=20, why="more would peel off")] = Field(
        1, description="How many coats of it."
    )


class BoxFields(Section):
    """The closed space behind a panel."""

    inside: ShapeText = Field(description="Its clear space seen from the front, around its middle.")
    at: Position | None = Field(
        None,
        validate_default=True,
        description="Its middle on the panel: right, up. One like an opening may leave it out.",
    )
    depth: Depth = Field(description="Clear depth from the panel's rear face to the back.")
    sheet: SheetName = Field(description="Sheet of its walls, back and lid.")
    finish: Annotated[str, Words(example="matt white paint")] = Field(
        description="What its inside is painted or lined with, the panel's rear face in it too, as "
        "the catalogue names it."
    )
    faces: Named[Annotated[str, Words(example="matt black paint")]] = Field(
        {},
        description="Finishes of single faces in its place: of back, panel (its rear face in the "
        "box), walls, or one wall as its piece is called, such as wall 2.",
        examples=[{"back": "matt black paint"}],
    )
    leds: Named[LedFields] = Field({}, description="Its LEDs by name.")
    baffles: Named[BaffleFields] = Field({}, description="Walls inside it, by name.")
    passages: Named[PassageFields] = Field(
        {}, description="Openings in its walls into boxes beside it, by name."
    )
    pillars: Named[PillarFields] = Field(
        {}, description="What stands through it from back to panel, by name: posts, columns, tubes."
    )
    inner_diffuser: Maybe[InnerDiffuserFields] = Field(
        None, description="A sheet between LEDs and panel."
    )
    lid: Annotated[Lid, Choice(of=Lid)] = Field(Lid.BACK, description="What closes it at the rear.")
    wire_exit: Annotated[float, SmallHole] = Field(
        2.0, description="Width of the hole or notch for its wires."
    )
    coats: Rows[Annotated[CoatFields, OrAlone(key="coat")]] = Field(
        [],
        description="What keeps light in, on walls, back and the panel's rear face round the "
        "openings, there under the finish; [ ] for bare sheet. Left out, nothing is judged.",
    )
    seams: Annotated[Seams, Choice(of=Seams)] | None = Field(
        None,
        description="How its joints and its wire exit are closed. Left out, nothing is judged.",
    )
    build: Annotated[Build, Choice(of=Build)] = Field(
        Build.PIECES,
        description="Flat pieces, one piece of card folded, or a body from a 3D printer with walls "
        "as thick as the sheet.",
    )
    flange: Annotated[Flange, Choice(of=Flange)] = Field(
        Flange.NONE,
        description="Strip along each wall of a folded box to glue it to the panel by, outside or "
        "inside the walls.",
    )
    round_walls: Annotated[RoundWalls, Choice(of=RoundWalls)] = Field(
        RoundWalls.WRAPPED, description="How walls round a round inside are made."
    )
    baffle_joint: Annotated[BaffleJoint, Choice(of=BaffleJoint)] = Field(
        BaffleJoint.GLUED,
        description="Whether baffles have tabs that go through the walls and, of those that stand, "
        "through the back.",
    )
    strand_exit: Annotated[StrandExit, Choice(of=StrandExit)] | None = Field(
        None,
        description="Where strands that run through the box to its panel come in as one bundle; "
        "left out, you drill where it suits.",
    )
    fixing: Maybe[FixingFields] = Field(
        None, description="Screws or magnets that hold its back or lid; glued without."
    )

    @field_validator("at")
    @classmethod
    def _placed(
        cls, at: tuple[float, float] | None, info: ValidationInfo
    ) -> tuple[float, float] | None:
        return placed_or_like(at, info.data.get("inside"))
