"""Fields of panels, their openings and layers, overlays and strands."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lamphouse.design.artwork import Printer
from lamphouse.design.strand import Head
from lamphouse.project.fields.box_fields import BoxFields
from lamphouse.project.fields.curve_fields import CurveFields, SheetName, refuse_flat_cone
from lamphouse.project.fields.light_fields import (
    Angle,
    GroupName,
    Position,
    RowSection,
    SmallHole,
)
from lamphouse.project.fields.mask_fields import MasksFields
from lamphouse.project.fields.sections import Maybe, Named, OrAlone, Rows, Section
from lamphouse.project.fields.shape_words import DATUM, Datum, ShapeText, ShapeWish, placed_or_like
from lamphouse.project.fields.values import APART, Choice, Count, Measure, Reference, Words, refuse
from lamphouse.units import Quantity


class LayerFields(Section):
    """One thing light goes through; the film's name alone will do."""

    film: Annotated[str, Words(example="opal film 60")] = Field(
        description="Film or coat, as the catalogue names it."
    )
    films: Annotated[int, Count(least=1, most=20, why="more lets no light through")] | None = Field(
        None, description="How many films lie on one another."
    )
    coats: Annotated[int, Count(least=1, most=20, why="more lets no light through")] | None = Field(
        None, description="How many coats of a tint."
    )
    artwork: Annotated[str, Words(example="tide chart.png")] | None = Field(
        None, description="Picture printed on it, on each of its films: a file beside this one."
    )
    printer: Annotated[Printer, Choice(of=Printer)] = Field(
        Printer.INKJET, description="What prints it."
    )
    chart: Annotated[str, Reference(example="ours")] = Field(
        "", description="Print chart that tells the inks of its printer; typical ones without."
    )
    black_passes: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.SHARE,
                least=0.0001,
                most=0.5,
                why="what printed blacks pass",
                example="3 %",
            ),
        ]
        | None
    ) = Field(
        None,
        description="Light its blackest black passes on one film, measured against the bare film; "
        "typical without one.",
    )

    @field_validator("coats")
    @classmethod
    def _films_or_coats(cls, coats: int | None, info: ValidationInfo) -> int | None:
        if coats is not None and info.data.get("films") is not None:
            refuse(APART, "a layer has films or coats, not both", "keep the one that it is made of")
        return coats


class HoleFields(RowSection):
    """What holes in panels and overlays share."""

    at: Position | None = Field(  # type: ignore[assignment]
        None,
        description="Its middle, in mm from the panel's datum seen from the front: to the right, "
        "up. The first of a row, the middle of a ring. One like another may leave it out, and lies "
        "where that lies.",
    )
    shape: ShapeText = Field(description="Its shape around its middle, in words or as points.")
    turn: Angle = Field(0.0, description="Anticlockwise turn about its middle.")

    @field_validator("shape")
    @classmethod
    def _shape_has_place(cls, shape: ShapeWish, info: ValidationInfo) -> ShapeWish:
        ways = info.data.get("along", "x") or shape.like
        if "at" in info.data and info.data["at"] is None and not ways:
            refuse(
                APART, "nothing says where it lies", "add its middle, such as at: [34 mm, 26 mm]"
            )
        return shape


class OpeningFields(HoleFields):
    """A hole, slot or window in a panel, or a row of equal ones."""

    layers: Rows[Annotated[LayerFields, OrAlone(key="film")]] = Field(
        [], description="What light goes through, from lamp to eye."
    )
    look: Annotated[str, Reference(example="lit panel")] = Field(
        "", description="Name of the look wanted here."
    )
    match: Annotated[str, Words(example="white screens")] = Field(
        "", description="Openings with the same word match in luminance and colour."
    )


class CutOutFields(HoleFields):
    """A hole in an overlay, or a row of equal ones."""


class OverlayFields(Section):
    """A flat piece on the face of a panel: a bezel, a fret, a second skin."""

    outline: ShapeText = Field(description="Its outline around its middle, in words or as points.")
    at: Position | None = Field(
        None,
        validate_default=True,
        description="Its middle on the panel: right, up. One like an opening may leave it out.",
    )
    sheet: SheetName = Field(description="Sheet it is cut from; taken as opaque.")
    openings: Named[CutOutFields] = Field(
        {}, description="Its cut-outs by name; only there does what lies behind it show."
    )

    @field_validator("at")
    @classmethod
    def _placed(
        cls, at: tuple[float, float] | None, info: ValidationInfo
    ) -> tuple[float, float] | None:
        return placed_or_like(at, info.data.get("outline"))


class StrandFields(RowSection):
    """A fibre from its source LED to its hole, or a row of them."""

    fibre: Annotated[str, Words(example="fibre 0.5 mm")] = Field(
        description="Fibre, as the catalogue names it."
    )
    at: Position | None = Field(  # type: ignore[assignment]
        None,
        description="Its middle, in mm from the panel's datum seen from the front: to the right, "
        "up. The first of a row, the middle of a ring. A row along an outline has none.",
    )
    along: Annotated[str, Reference(example="screen")] | None = Field(
        None,
        validate_default=True,
        description="Opening of the panel, or panel, along whose outline they stand at an even "
        "pitch; from its first corner, anticlockwise.",
    )
    hole: Annotated[float, SmallHole] | None = Field(
        None, description="Its hole, when you insist; else the drill table decides."
    )
    any_of: Rows[GroupName] = Field(
        [],
        description="Source groups of which one lights it, in place of group: shared out so that "
        "neighbours differ.",
    )
    group: GroupName | None = Field(
        None, validate_default=True, description="Source group that lights it."
    )
    head: Annotated[Head, Choice(of=Head)] = Field(
        Head.FLUSH, description="How it ends at the face."
    )

    @field_validator("along")
    @classmethod
    def _has_place(cls, along: str | None, info: ValidationInfo) -> str | None:
        if "at" in info.data and info.data["at"] is None and not along:
            refuse(APART, "nothing says where it lies", "add its place, such as at: [8 mm, 15 mm]")
        return along

    @field_validator("group")
    @classmethod
    def _has_group(cls, group: str | None, info: ValidationInfo) -> str | None:
        if "any_of" not in info.data:
            return group
        if not group and not info.data["any_of"]:
            refuse(
                APART,
                "a strand needs the group that lights it",
                "add group, or any_of with the groups that may light it",
            )
        if group and info.data["any_of"]:
            refuse(APART, "a strand has a group or any_of, not both", "remove one of them")
        return group


class TracedFields(Section):
    """Where a traced outline comes from; `lamphouse trace --into` writes it."""

    picture: Annotated[str, Words(example="bezel.png")] = Field(
        description="The picture it was traced from."
    )
    within: Annotated[
        float,
        Measure(
            quantity=Quantity.LENGTH,
            least=0.0,
            most=50.0,
            why="the range of tracing",
            example="0.05 mm",
        ),
    ] = Field(description="How certain any place of it is.")
    nudged: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=0.0,
                most=1000.0,
                why="a nudge moves a place, not the part",
                example="0.2 mm",
            ),
        ]
        | None
    ) = Field(None, description="The farthest that a place of it was moved by hand after tracing.")


class PanelFields(Section):
    """A visible face: flat with an outline and a sheet, or bent with a curve and a height."""

    curve: Maybe[CurveFields] = Field(None, description="How it is bent; flat without.")
    outline: ShapeText | None = Field(
        None,
        validate_default=True,
        description="Outline of a flat panel, its lower left corner at 0, 0.",
    )
    datum: Annotated[Datum, DATUM] | None = Field(
        None,
        validate_default=True,
        description="Where 0, 0 lies on a flat panel: lower left, middle, or a point from the "
        "lower left corner of its outline. Points are written from their datum and take none.",
    )
    sheet: SheetName | None = Field(
        None, validate_default=True, description="Sheet a flat panel is cut from."
    )
    height: (
        Annotated[
            float,
            Measure(
                quantity=Quantity.LENGTH,
                least=1.0,
                most=3000.0,
                why="the range of parts that are cut by hand",
                example="95 mm",
            ),
        ]
        | None
    ) = Field(
        None, validate_default=True, description="Upright height of a bent panel as it stands."
    )
    at: Position = Field(
        (0.0, 0.0),
        description="Its lower left corner from that of its sub-assembly: right, up; fibres are "
        "led from panel to panel by it.",
    )
    grain: Annotated[str, Choice(of=("along x", "along y"))] | None = Field(
        None, description="Direction of the sheet's grain, where it matters."
    )
    openings: Named[OpeningFields] = Field({}, description="Its openings by name.")
    boxes: Named[BoxFields] = Field({}, description="Light boxes behind it, by name.")
    strands: Named[StrandFields] = Field(
        {}, description="Fibres that come out of it, by the flag on their ends."
    )
    traced: Maybe[TracedFields] = Field(
        None, description="Picture and uncertainty of an outline that was traced."
    )
    overlays: Named[OverlayFields] = Field(
        {}, description="Bezels, frets and skins on its face, by name."
    )
    masks: Maybe[MasksFields] = Field(None, description="How its face is painted.")

    @field_validator("outline", "sheet")
    @classmethod
    def _flat_has_it(cls, value: object, info: ValidationInfo) -> object:
        if "curve" not in info.data:
            return value
        bent = info.data["curve"] is not None
        key = info.field_name
        if bent and value is not None:
            cut = "; ends cut aslant or elliptic are not developed" if key == "outline" else ""
            problem = f"a bent panel has no {key}: its curve gives it{cut}"
            refuse(APART, problem, f"remove {key}")
        if not bent and value is None:
            example = "rectangle 84 x 52 mm" if key == "outline" else "styrene 1.0 mm"
            refuse(APART, f"a flat panel needs its {key}", f"add {key}, such as {key}: {example}")
        return value

    @field_validator("datum")
    @classmethod
    def _flat_in_words(cls, datum: Datum | None, info: ValidationInfo) -> Datum | None:
        if datum is None:
            return None
        outline = info.data.get("outline")
        if info.data.get("curve") is not None:
            refuse(
                APART,
                "places on a bent panel are measured from its lower left corner",
                "remove datum",
            )
        if outline is not None and outline.kind == "points":
            refuse(APART, "an outline of points is written from its datum", "remove datum")
        return datum

    @field_validator("height")
    @classmethod
    def _bent_has_height(cls, height: float | None, info: ValidationInfo) -> float | None:
        if "curve" not in info.data:
            return height
        bent = info.data["curve"] is not None
        if bent and height is None:
            refuse(APART, "a bent panel needs its height", "add the height, such as height: 95 mm")
        if not bent and height is not None:
            refuse(APART, "a flat panel's height stands in its outline", "remove height")
        if bent and height is not None:
            refuse_flat_cone(info.data["curve"], height_mm=height)
        return height
