"""Fields of controllers: what they are, what they switch, and on which pins."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.design.controller import ControllerKind
from lamphouse.project.fields.sections import Named, Rows, Section
from lamphouse.project.fields.supply_fields import YesNo
from lamphouse.project.fields.values import APART, Choice, Reference, Words, refuse

PinName = Annotated[str, Words(example="PB0", longest=8)]


class ControllerFields(Section):
    """What switches source groups over time."""

    kind: Annotated[ControllerKind, Choice(of=ControllerKind)] = Field(
        ControllerKind.PROGRAM,
        description="A program that is loaded, a timer chip that needs none, or a timer chip for "
        "each lamp of a chase.",
    )
    type_: Annotated[str, Words(example="8-bit AVR, 28 pins")] | None = Field(
        None,
        alias="type",
        validate_default=True,
        description="Controller or timer chip, as the catalogue names it; the first timer chip of "
        "the catalogue for timers without one.",
    )
    in_: Annotated[str, Reference(example="console")] = Field(
        "",
        alias="in",
        description="Sub-assembly it stands in; under the floor beside the supply without one.",
    )
    groups: Rows[Annotated[str, Reference(example="beacon")]] = Field(
        [],
        description="Source groups it switches; without any, all that blink and that no other "
        "controller names.",
    )
    pins: Named[PinName] = Field(
        {},
        description="Groups with the pin wished for each; the others get free ones.",
        examples=[{"beacon": "3"}],
    )
    buttons: Named[PinName] = Field(
        {},
        description="Scenes begun by a button, each with the pin of its button to ground.",
        examples=[{"alarm": "16"}],
    )
    regulator: YesNo = Field(
        "no", description="Whether a regulator stands between the supply and it."
    )

    @field_validator("type_")
    @classmethod
    def _program_has_type(cls, given: str | None, info: ValidationInfo) -> str | None:
        if not given and info.data.get("kind") is ControllerKind.PROGRAM:
            refuse(
                APART,
                "a program needs a controller to run on",
                'add type: "8-bit AVR, 28 pins", or another of lamphouse stock controllers',
            )
        return given
