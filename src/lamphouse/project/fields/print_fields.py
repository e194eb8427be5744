"""Fields of one's own print charts: what a camera reads of their patches."""

from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Field, ValidationInfo, model_validator

from lamphouse.catalogue.cells import OutOfRange, nearest
from lamphouse.catalogue.photo_readings import DARKEST, Rgb, camera_reading
from lamphouse.colour.print_chart import BARE, PATCHES
from lamphouse.design.artwork import Printer
from lamphouse.project.fields.sections import Named, Section
from lamphouse.project.fields.values import (
    APART,
    NOT_UNDERSTOOD,
    OUT_OF_RANGE,
    Choice,
    Kind,
    Words,
    refuse,
    text_of,
)
from lamphouse.units import UnitError

_NAMES = [name for name, _ in PATCHES]
_LEAST_BARE = 10.0 * DARKEST
_BRIGHTER = 1.02


class PatchReading(Kind):
    """Red, green and blue of a patch, as a picture editor shows their mean."""

    def read(self, value: Any, info: ValidationInfo) -> Rgb:  # noqa: ARG002  as for every kind
        """Read ``228 160 52``."""
        try:
            return camera_reading(text_of(value, example="228 160 52"))
        except OutOfRange as fault:
            refuse(OUT_OF_RANGE, fault.problem, fault.remedy)
        except UnitError:
            problem = f"'{str(value)[:40]}' is not red, green and blue"
            refuse(NOT_UNDERSTOOD, problem, "write three numbers from 0 to 252: 228 160 52")

    def described(self) -> dict[str, Any]:
        """Describe three numbers in a text."""
        return {"type": "string", "examples": ["228 160 52"]}


def _known(value: object) -> object:
    """Refuse patches that the chart has not, and readings that count against nothing."""
    if not isinstance(value, dict) or not value:
        return value
    for name in value:
        if name not in _NAMES:
            meant = nearest(str(name), _NAMES)
            shown = str(name)[:40]
            refuse(
                NOT_UNDERSTOOD,
                f"the chart has no patch '{shown}'",
                f"write {meant}" if meant else f"write one of: {', '.join(_NAMES)}",
            )
    if BARE not in value:
        refuse(APART, f"the patch '{BARE}' has no reading", f"add {BARE}: 240 238 232")
    return value


Readings = Annotated[Named[Annotated[Rgb, PatchReading()]], BeforeValidator(_known)]


class ChartFields(Section):
    """A print chart as it came out of one's own printer."""

    printer: Annotated[Printer, Choice(of=Printer)] = Field(
        Printer.INKJET, description="What printed it."
    )
    film: Annotated[str, Words(example="print film")] = Field(
        "print film", description="What it is printed on, as the catalogue names it."
    )
    lit: Readings = Field(
        {},
        description="Red, green and blue of each patch, 0 to 252, the film before an even white "
        "lamp in the dark; one exposure and one white balance for all.",
        examples=[{"bare": "240 238 232", "black": "28 27 30"}],
    )
    unlit: Readings = Field(
        {},
        description="The same, the film on white paper by daylight, nothing mirrored in it.",
        examples=[{"bare": "236 235 233", "black": "14 14 15"}],
    )

    @model_validator(mode="after")
    def _sound(self) -> Self:
        for key, readings in (("lit", self.lit), ("unlit", self.unlit)):
            bare = readings.get(BARE)
            if bare is None:
                continue
            if min(bare) < _LEAST_BARE:
                refuse(
                    APART,
                    f"{key}, the patch '{BARE}' is dark in a colour",
                    "take the picture again with a longer exposure",
                )
            for name, rgb in readings.items():
                if any(more > _BRIGHTER * most for more, most in zip(rgb, bare, strict=True)):
                    refuse(
                        APART,
                        f"{key}, the patch '{name}' is brighter than '{BARE}'",
                        "read both patches again, in one picture",
                    )
        return self
