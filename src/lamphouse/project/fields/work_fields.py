"""Fields of the work: evenings there are, own steps and orderings, parts that are not there yet."""

import re
from datetime import date
from typing import Annotated, Any

from pydantic import Field, ValidationInfo

from lamphouse.build.steps import StepKind
from lamphouse.build.themes import THEMES
from lamphouse.project.fields.sections import Rows, Section
from lamphouse.project.fields.values import (
    LONGEST_NAME,
    NOT_UNDERSTOOD,
    Choice,
    Count,
    Day,
    Kind,
    Measure,
    Reference,
    Words,
    refuse,
    text_of,
)
from lamphouse.units import Quantity

KINDS = tuple(str(kind) for kind in StepKind if kind is not StepKind.BUY)
StepName = Annotated[str, Words(example="desk/screen box/close")]


class TimeOfDay(Kind):
    """An hour and a minute of a day, as hours since midnight."""

    example: str = "19:30"

    def read(self, value: object, info: ValidationInfo) -> float:  # noqa: ARG002  as for every kind
        """Read hour and minute."""
        text = text_of(value, example=self.example).strip()
        found = re.fullmatch(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])", text)
        if found is None:
            refuse(
                NOT_UNDERSTOOD,
                f"'{text[:LONGEST_NAME]}' is no time of day",
                f"write hour and minute, such as {self.example}",
            )
        return int(found[1]) + int(found[2]) / 60.0

    def described(self) -> dict[str, Any]:
        """Describe a time of day."""
        return {
            "type": "string",
            "pattern": "^([01]?[0-9]|2[0-3])[:.][0-5][0-9]$",
            "examples": [self.example],
        }


def _time(least_s: float, most_s: float, *, why: str, example: str) -> Measure:
    return Measure(quantity=Quantity.DURATION, least=least_s, most=most_s, why=why, example=example)


class EveningFields(Section):
    """Time there is for the build."""

    date_: Annotated[date, Day()] = Field(alias="date", description="A day on which there is time.")
    hours: Annotated[float, _time(60.0, 86_400.0, why="a day's length", example="2 h")] = Field(
        description="How long, such as 2 h."
    )
    starts: Annotated[float, TimeOfDay()] = Field(
        19.5, description="When it begins; half past seven without."
    )
    weeks: Annotated[int, Count(least=1, most=104, why="two years of plans")] = Field(
        1, description="For how many weeks it comes again on the same day of the week."
    )
    for_: Rows[Annotated[str, Choice(of=THEMES)]] = Field(
        [], alias="for", description="What can be done then; everything without."
    )


class OwnStepFields(Section):
    """A step of your own in the order of work."""

    in_: Annotated[str, Reference(example="desk")] | None = Field(
        None, alias="in", description="Sub-assembly it belongs to; the whole model without."
    )
    kind: Annotated[str, Choice(of=KINDS)] = Field("own", description="What is done.")
    after: Rows[StepName] = Field(
        [], description="Steps that come first, as `lamphouse steps` names them, or own steps."
    )
    before: Rows[StepName] = Field([], description="Steps that come later.")
    minutes: Annotated[float, _time(60.0, 86_400.0, why="a day's length", example="20 min")] = (
        Field(900.0, description="Hands on, such as 20 min.")
    )
    rest: Annotated[
        float, _time(0.0, 90 * 86_400.0, why="what anything takes to cure", example="12 h")
    ] = Field(0.0, description="How long it dries or cures.")
    why: Annotated[str, Words(example="the varnish softens fresh decals")] = Field(
        "", description="Why it stands where it stands."
    )
    hides: Rows[Annotated[str, Words(example="desk / screen box")]] = Field(
        [],
        description="Items nobody can reach afterwards: an LED, a strand, a light box, a board, a "
        "sub-assembly. It then waits for their gates.",
    )


class OwnOrderFields(Section):
    """An order of two steps that you want."""

    first: StepName = Field(description="The step that comes first.")
    then: StepName = Field(description="The step that comes after it.")
    why: Annotated[str, Words(example="the wall is in the way")] = Field(
        "", description="The reason, told with the step that waits for it."
    )


class WaitingFields(Section):
    """A part that is not there yet."""

    part: Annotated[str, Words(example="white 0603")] = Field(
        description="The part, as the parts list names it."
    )
    until: Annotated[date, Day()] | None = Field(
        None, description="Day it comes; without, steps that need it are left out of the evenings."
    )
