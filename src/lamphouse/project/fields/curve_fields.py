"""Fields of bent panels: cylinders and cones, their layers, lap and former."""

from math import atan2, degrees, radians, tan
from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.project.fields.sections import OrAlone, Rows, Section
from lamphouse.project.fields.values import APART, Count, Measure, Words, refuse
from lamphouse.units import Quantity

SheetName = Annotated[str, Words(example="styrene 1.0 mm")]
STEEPEST_DEG = 70.0
"""A cone whose wall leans more from upright is nearly a disc."""
FULL_TURN_DEG = 360.0 - 1e-9


class CurveLayerFields(Section):
    """One thin sheet of a bent panel; the sheet's name alone will do."""

    sheet: SheetName = Field(description="Sheet it is cut from.")
    holes_from: Annotated[int, Count(least=1, most=20, why="the range of layers")] | None = Field(
        None, description="Number of the layer whose hole places it takes; its own without one."
    )


class CurveFields(Section):
    """How a panel is bent: part of an upright cylinder or cone, seen from inside."""

    inner_radius: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=2.0,
            most=3000.0,
            why="the range of bent sheet",
            example="140 mm",
        ),
    ] = Field(description="Radius of its inner face; of a cone, at its lower edge.")
    angle: Annotated[
        float,
        Measure(
            quantity=Quantity.ANGLE,
            least=1.0,
            most=360.0,
            why="at most once around",
            example="120 deg",
        ),
    ] = Field(description="Angle it goes around.")
    layers: Annotated[
        Rows[Annotated[CurveLayerFields, OrAlone(key="sheet")]],
        Field(min_length=1, max_length=20),
    ] = Field(description="Its sheets from the inner face outwards.")
    upper_radius: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=0.0,
                most=3000.0,
                why="the range of bent sheet",
                example="90 mm",
            ),
        ]
        | None
    ) = Field(
        None, description="Radius of the inner face of a cone at its upper edge; 0 for a point."
    )
    slope: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.ANGLE,
                least=-STEEPEST_DEG,
                most=STEEPEST_DEG,
                why="a flatter cone is cut as a disc",
                example="20 deg",
            ),
        ]
        | None
    ) = Field(
        None,
        description="Slope of a cone from upright, above 0 where it narrows upwards; instead of "
        "upper_radius.",
    )
    lap: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=1.0,
                most=50.0,
                why="the range of glued laps",
                example="6 mm",
            ),
        ]
        | None
    ) = Field(
        None,
        description="What a single layer that goes all the way around goes on past its start, to "
        "be glued on it; at its wider edge.",
    )
    former: SheetName | None = Field(
        None, description="Sheet to cut a former from, to bend it over; none without one."
    )

    @field_validator("slope")
    @classmethod
    def _radius_or_slope(cls, slope: float | None, info: ValidationInfo) -> float | None:
        if slope is not None and info.data.get("upper_radius") is not None:
            refuse(APART, "a cone has an upper_radius or a slope, not both", "keep one of them")
        return slope

    @field_validator("lap")
    @classmethod
    def _laps_once_around(cls, lap: float | None, info: ValidationInfo) -> float | None:
        if lap is None or not {"angle", "layers"} <= info.data.keys():
            return lap
        if info.data["angle"] < FULL_TURN_DEG:
            problem = f"a wall of {info.data['angle']:g} deg does not meet itself"
            refuse(APART, problem, "remove lap, or make the angle 360 deg")
        if len(info.data["layers"]) > 1:
            problem = "the layers of a closed wall are butted and hold one another"
            refuse(APART, problem, "remove lap, or keep one layer")
        return lap


def refuse_flat_cone(curve: CurveFields, *, height_mm: float) -> None:
    """Refuse a cone that is too flat, or that meets in a point below its upper edge."""
    if curve.slope is not None:
        upper_mm = curve.inner_radius - height_mm * tan(radians(curve.slope))
        if upper_mm < 0.0:
            most = curve.inner_radius / tan(radians(curve.slope))
            refuse(
                APART,
                f"at a slope of {curve.slope:g} deg the wall meets in a point {most:.2f} mm up, "
                f"below its height of {height_mm:g} mm",
                f"make the height at most {int(most * 100.0) / 100.0:g} mm, or lessen the slope",
            )
    elif curve.upper_radius is not None:
        slope = degrees(atan2(curve.inner_radius - curve.upper_radius, height_mm))
        if abs(slope) > STEEPEST_DEG:
            apart = abs(curve.inner_radius - curve.upper_radius)
            least = apart / tan(radians(STEEPEST_DEG))
            refuse(
                APART,
                f"with a height of {height_mm:g} mm the wall leans {abs(slope):.0f} deg from "
                f"upright; cones are developed up to {STEEPEST_DEG:g} deg",
                f"make it at least {least:.1f} mm high, or cut it as a disc",
            )
