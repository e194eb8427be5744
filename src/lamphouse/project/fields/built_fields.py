"""Fields of what was built: figures measured at the bench, in the place of those designed."""

from typing import Annotated

from pydantic import Field

from lamphouse.project.fields.light_fields import Position
from lamphouse.project.fields.sections import Section
from lamphouse.project.fields.values import Measure, Words
from lamphouse.units import Quantity


class BuiltFields(Section):
    """Figures of one thing as it was built."""

    item: Annotated[str, Words(example="bay / S1")] = Field(
        description="supply, or a string, a resistor or an LED with its sub-assembly."
    )
    resistor: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.RESISTANCE,
                least=0.1,
                most=1e7,
                why="the range of resistors",
                example="1.02 kohm",
            ),
        ]
        | None
    ) = Field(None, description="Of a string, measured out of circuit; with its knob.")
    current: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.CURRENT,
                least=1e-6,
                most=10.0,
                why="what lights an LED",
                example="4.8 mA",
            ),
        ]
        | None
    ) = Field(None, description="Measured through a string.")
    voltage: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.VOLTAGE,
                least=1.0,
                most=400.0,
                why="the range of anything that is called a supply",
                example="12.2 V",
            ),
        ]
        | None
    ) = Field(None, description="Of the supply, measured under load.")
    at: Position | None = Field(None, description="Where an LED was glued, in the panel plane.")
