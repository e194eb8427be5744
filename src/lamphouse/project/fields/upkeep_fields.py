"""Fields of prices and of the papers for later."""

from typing import Annotated, Any

from pydantic import Field, ValidationInfo

from lamphouse.project.amounts import parse_amount, parse_price
from lamphouse.project.fields.sections import Section
from lamphouse.project.fields.values import (
    NOT_UNDERSTOOD,
    Count,
    Kind,
    Measure,
    Words,
    refuse,
    text_of,
)
from lamphouse.units import Quantity, UnitError


class Pack(Kind):
    """What one pack holds."""

    def read(self, value: Any, info: ValidationInfo) -> tuple[float, str]:  # noqa: ARG002  as for every kind
        """Read ``100``, ``10 m``, ``17 ml`` or ``300 x 200 mm``."""
        try:
            return parse_amount(text_of(value, example="100"))
        except UnitError as fault:
            refuse(NOT_UNDERSTOOD, fault.problem, fault.remedy)

    def described(self) -> dict[str, Any]:
        """Describe a count, or an amount with its unit."""
        return {"type": ["string", "integer"], "examples": ["100", "10 m", "17 ml"]}


class Price(Kind):
    """The price of one pack, with its currency."""

    def read(self, value: Any, info: ValidationInfo) -> tuple[int, str]:  # noqa: ARG002  as for every kind
        """Read ``4.50 EUR``."""
        try:
            return parse_price(text_of(value, example="4.50 EUR"))
        except UnitError as fault:
            refuse(NOT_UNDERSTOOD, fault.problem, fault.remedy)

    def described(self) -> dict[str, Any]:
        """Describe a number with three letters."""
        return {
            "type": "string",
            "pattern": r"^([0-9]+(\.[0-9]{2})? *[A-Z]{3}|[A-Z]{3} *[0-9]+(\.[0-9]{2})?)$",
            "examples": ["4.50 EUR"],
        }


class PriceFields(Section):
    """How a part is sold where you buy it."""

    part: Annotated[str, Words(example="white 0603")] = Field(
        description="The part, as the parts list names it; a wire without its colour is any colour."
    )
    pack: Annotated[tuple[float, str], Pack()] = Field(
        (1.0, "pieces"), description="What one pack holds: 100, 10 m, 17 ml or 300 x 200 mm."
    )
    price: Annotated[tuple[int, str], Price()] | None = Field(
        None, description="What you pay for one pack, with its currency."
    )


_LIFE_H = Measure(
    quantity=Quantity.DURATION,
    least=3.6e5,
    most=3.6e9,
    why="from a hundred hours to what nobody has tested",
    example="35000 h",
)
_SHARE_LEFT = Measure(
    quantity=Quantity.SHARE,
    least=0.1,
    most=0.99,
    why="a share of the first light",
    example="70 %",
)


class CareFields(Section):
    """The papers for whoever looks after the finished model."""

    built_by: Annotated[str, Words(example="A. Maker", longest=80)] = Field(
        "", description="Who built it, as printed."
    )
    contact: Annotated[str, Words(example="the club's workshop", longest=120)] = Field(
        "", description="Whom to ask."
    )
    spares_in: Annotated[str, Words(example="bag under the baseboard", longest=80)] = Field(
        "", description="Where the spares bag is kept."
    )
    lit_a_day: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.DURATION,
                least=60.0,
                most=86_400.0,
                why="a day has 24 hours",
                example="10 h",
            ),
        ]
        | None
    ) = Field(None, description="How long it is lit on a day it is shown.")
    days_a_year: Annotated[int, Count(least=1, most=366, why="a year has so many days")] = Field(
        365, description="Days a year on which it is shown."
    )
    led_life: Annotated[float, _LIFE_H] | None = Field(
        None, description="Hours to led_life_share of the light, as your LEDs' data sheet rates it."
    )
    led_life_share: Annotated[float, _SHARE_LEFT] = Field(
        0.7, description="Share of the first light that is left after led_life."
    )
    led_tested: Annotated[float, _LIFE_H] | None = Field(
        None, description="Hours for which those LEDs were tested, as the data sheet says."
    )
    renew_at: Annotated[float, _SHARE_LEFT] = Field(
        0.7, description="Share of the first light at which LEDs are to be changed."
    )
