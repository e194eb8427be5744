"""Fields of the screws or magnets that hold a light box closed."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.catalogue.screw_threads import THREADS
from lamphouse.design.lightbox import Blocks
from lamphouse.project.fields.sections import Section
from lamphouse.project.fields.values import APART, Choice, Count, Sizes, refuse
from lamphouse.units import Quantity


class FixingFields(Section):
    """Screws or magnets that hold what closes a box, and the blocks they go into."""

    screw: Annotated[str, Choice(of=tuple(THREADS))] | None = Field(
        None, description="Thread of its screws."
    )
    magnet: (
        Annotated[
            tuple[float, float],
            Sizes(
                quantity=Quantity.LENGTH,
                count=2,
                least=0.5,
                most=20.0,
                why="the range of small disc magnets",
                example="4 x 2 mm",
            ),
        ]
        | None
    ) = Field(
        None,
        validate_default=True,
        description="Diameter and height of its disc magnets, instead of screws.",
    )
    blocks: Annotated[Blocks, Choice(of=Blocks)] = Field(
        Blocks.OUTSIDE, description="The side of the walls its blocks are glued to."
    )
    count: Annotated[int, Count(least=2, most=12, why="one would let it turn")] = Field(
        2, description="How many of them."
    )

    @field_validator("magnet")
    @classmethod
    def _one_of_both(
        cls, magnet: tuple[float, float] | None, info: ValidationInfo
    ) -> tuple[float, float] | None:
        screw = info.data.get("screw")
        if magnet is not None and screw is not None:
            refuse(APART, "a box is held by screws or by magnets, not by both", "keep one of them")
        if magnet is None and screw is None and "screw" in info.data:
            refuse(
                APART,
                "neither a screw nor a magnet is named",
                "write screw: M2, or magnet: 4 x 2 mm",
            )
        return magnet
