"""Fields of the loom: where the supply comes in, feeds, splitter boards and holes in the floor."""

from typing import Annotated

from pydantic import Field

from lamphouse.project.fields.light_fields import FloorPosition
from lamphouse.project.fields.sections import Named, Rows, Section
from lamphouse.project.fields.values import Choice, Measure, Reference, Words
from lamphouse.units import Quantity

SubAssemblies = Rows[Annotated[str, Reference(example="console")]]
WireName = Annotated[str, Words(example="24 AWG insulated")]


class FeedFields(Section):
    """One fused way from the supply."""

    sub_assemblies: SubAssemblies = Field(description="Sub-assemblies that hang on it.")
    fuse: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.CURRENT,
                least=0.01,
                most=30.0,
                why="the range of small fuses",
                example="250 mA",
            ),
        ]
        | None
    ) = Field(None, description="Rated current of the fuse at its beginning.")
    fuse_type: Annotated[str, Words(example="resettable 250 mA")] | None = Field(
        None, description="The fuse itself, as the catalogue names it; its rating is then known."
    )
    switch: Annotated[str, Choice(of=("no", "yes"))] = Field(
        "no", description="Whether it has a switch of its own."
    )
    wire: WireName | None = Field(
        None, description="Its wire up to the splitter board; the loom's wire without."
    )
    splitter_at: FloorPosition | None = Field(
        None,
        description="Middle of its splitter board on the floor plan; where the least wire is "
        "needed without.",
    )


class HoleFields(Section):
    """A hole in the floor."""

    at: FloorPosition = Field(description="Its middle from the room's corner: right, back.")
    for_: SubAssemblies = Field(
        alias="for", description="Sub-assemblies whose pigtails come through it."
    )
    diameter: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=0.5,
                most=200.0,
                why="the range of holes in a floor",
                example="8 mm",
            ),
        ]
        | None
    ) = Field(None, description="Its diameter, when already drilled; the least that does without.")


class LoomFields(Section):
    """The wiring under the floor."""

    supply_at: FloorPosition | None = Field(
        None,
        description="Where the supply's lead comes in, from the room's corner: right, back; the "
        "middle of the back edge without.",
    )
    depth: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=1.0,
                most=2000.0,
                why="the room under a floor",
                example="30 mm",
            ),
        ]
        | None
    ) = Field(None, description="Clear height below the floor.")
    floor: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=0.2,
            most=100.0,
            why="the range of floors of models",
            example="3 mm",
        ),
    ] = Field(3.0, description="Thickness of the floor.")
    wire: WireName = Field(
        "24 AWG insulated",
        description="Wire from the supply to the splitter boards, as the catalogue names it. From "
        "there on the wire of each pigtail is taken.",
    )
    slack: Annotated[
        float,
        Measure(
            quantity=Quantity.SHARE,
            least=0.0,
            most=2.0,
            why="three times the way is a tangle",
            example="15 %",
        ),
    ] = Field(0.15, description="Share by which a wire is longer than its straight way.")
    service: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=0.0,
            most=2000.0,
            why="an arm's length and more",
            example="50 mm",
        ),
    ] = Field(50.0, description="How far a sub-assembly is lifted out with its plug still in.")
    feeds: Named[FeedFields] = Field(
        {}, description="Fused ways from the supply by name; one for all without any."
    )
    holes: Named[HoleFields] = Field(
        {},
        description="Holes in the floor by name; a sub-assembly in none of them gets one at its "
        "datum corner.",
    )
