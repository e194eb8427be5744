"""Fields of cutting: the gap between pieces, the edge, the kerf, and locked pieces."""

from typing import Annotated

from pydantic import Field

from lamphouse.project.fields.light_fields import Angle, Position
from lamphouse.project.fields.sections import Rows, Section
from lamphouse.project.fields.values import Choice, Count, Measure, Words
from lamphouse.units import Quantity

_Width = Measure(
    quantity=Quantity.LENGTH,
    least=0.0,
    most=50.0,
    why="from a knife to a wide saw",
    example="2 mm",
)


class LockedFields(Section):
    """A piece with a place of your own."""

    piece: Annotated[str, Words(example="console / left fascia", longest=200)] = Field(
        description="The piece, as the list of pieces names it."
    )
    stock: Annotated[int, Count(least=1, most=100_000, why="what a stock list holds")] = Field(
        description="Entry of the stock list, counted from 1; it lies on the first sheet of it."
    )
    at: Position = Field(
        description="Lower left corner of the box around it, as turned, from the sheet's lower "
        "left corner: right, up."
    )
    turn: Angle = Field(0.0, description="Anticlockwise turn.")


class CuttingFields(Section):
    """How pieces are laid on sheets and cut."""

    gap: Annotated[float, _Width] = Field(2.0, description="Between pieces.")
    edge: Annotated[float, _Width] = Field(2.0, description="Kept free along the edge of a sheet.")
    kerf: Annotated[float, _Width] = Field(
        0.0, description="Width of what your tool takes away; a knife takes nothing."
    )
    compensate: Annotated[str, Choice(of=("no", "yes"))] = Field(
        "no",
        description="Whether files for cutters are compensated for the kerf: outlines half a kerf "
        "larger, cut-outs half a kerf smaller all round. Paper templates never are.",
    )
    turns: Annotated[str, Choice(of=("quarters", "free"))] = Field(
        "quarters",
        description="How pieces without grain may be turned: by 90 degrees, or by any 15. A "
        "sheet's grain runs along the first number of its size.",
    )
    locked: Rows[LockedFields] = Field([], description="Pieces with a place of your own.")
