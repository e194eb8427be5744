"""Shapes in the maker's words: ``rectangle 48 x 30 mm``, ``like screen grown 2 mm``, or points."""

import re
from typing import Annotated, Any, ClassVar

from pydantic import ValidationInfo

from lamphouse.project.fields.shape_changes import EXAMPLE, Change, parted, read_changes
from lamphouse.project.fields.values import (
    APART,
    NOT_UNDERSTOOD,
    OUT_OF_RANGE,
    WRONG_KIND,
    Kind,
    Measure,
    Place,
    refuse,
    scale_of,
    text_of,
)
from lamphouse.record import Record, replace
from lamphouse.units import Quantity, UnitError, parse_many, show

MOST_POINTS = 2000

MIDDLE = "middle"
LOWER_LEFT = "lower left"

Datum = str | tuple[float, float]
"""``middle``, ``lower left``, or a point from the lower left corner of the box around a shape."""

SIDE = Measure(
    quantity=Quantity.LENGTH,
    least=0.1,
    most=3000.0,
    why="the range of parts that are cut by hand",
    example="48 mm",
)
CORNER = Place(
    quantity=Quantity.LENGTH,
    least=-3000.0,
    most=3000.0,
    why="the range of parts that are cut by hand",
    example="[8 mm, 15 mm]",
)


class DatumPoint(Place):
    """Where places on a panel are measured from: in words, or a point."""

    def read(self, value: object, info: ValidationInfo) -> Datum:  # type: ignore[override]
        """Read a word or a place."""
        if isinstance(value, str) and value.strip().casefold() in (MIDDLE, LOWER_LEFT):
            return value.strip().casefold()
        return super().read(value, info)

    def described(self) -> dict[str, Any]:
        """Describe both."""
        made = super().described()
        return {"anyOf": [{"enum": [LOWER_LEFT, MIDDLE]}, *made["anyOf"]], "examples": [MIDDLE]}

    def stand_in(self) -> list[str]:
        """Give a word, which stands for itself."""
        return ["0 mm", "0 mm"]


DATUM = DatumPoint(
    quantity=Quantity.LENGTH,
    least=-3000.0,
    most=3000.0,
    why="the range of parts that are cut by hand",
    example="[8 mm, 15 mm]",
)


class ShapeWish(Record):
    """A shape as the maker wrote it, in mm, not yet changed and not yet in its place."""

    kind: str
    """``rectangle``, ``rounded``, ``round``, ``slot``, ``polygon``, ``like`` or ``points``."""
    words: str
    sizes_mm: tuple[float, ...] = ()
    """Width and height; diameter; length and width; width across flats."""
    radius_mm: float = 0.0
    sides: int = 0
    points: tuple[tuple[float, float, tuple[float, float] | None], ...] = ()
    """``(x_mm, y_mm, via)``: the piece that leads here is an arc through ``via`` when given."""
    like: str = ""
    """Name of the outline it is taken from: an opening of the panel, or ``panel``."""
    changes: tuple[Change, ...] = ()
    """What is done to it, in order."""


_MEANT = {
    "circle": "round",
    "disc": "round",
    "hole": "round",
    "rect": "rectangle",
    "square": "rectangle",
    "hexagon": "polygon",
    "octagon": "polygon",
}
"""Other words for shapes, for the remedy."""


class Shape(Kind):
    """A shape in words or as ``points``."""

    EXAMPLES: ClassVar[dict[str, str]] = {
        "rectangle": "rectangle 48 x 30 mm",
        "rounded": "rounded 48 x 30 mm, radius 3 mm",
        "round": "round 32 mm",
        "slot": "slot 20 x 4 mm",
        "polygon": "polygon 6 sides, 20 mm",
        "like": "like screen grown 2 mm",
    }

    def read(self, value: Any, info: ValidationInfo) -> ShapeWish:
        """Read words, or the points under the key ``points``."""
        scale = scale_of(info)
        if isinstance(value, dict):
            return _from_points(value, info)
        whole = " ".join(text_of(value, example=self.EXAMPLES["rectangle"]).split())
        text, changes = parted(whole)
        kind, _, sizes = text.partition(" ")
        kind = kind.casefold()
        if kind not in self.EXAMPLES:
            meant = self.EXAMPLES[_MEANT.get(kind, "rectangle")]
            if kind in _MEANT and _MEANT[kind] != "polygon":
                meant = f"{_MEANT[kind]} {f'{sizes} x {sizes}' if kind == 'square' else sizes}"
            refuse(
                NOT_UNDERSTOOD,
                f"'{text[:60]}' is no shape: a shape begins with {', '.join(self.EXAMPLES)}",
                f"write {meant[:80]}, or points: [[0 mm, 0 mm], ...]",
            )
        made = _sized(kind, text, sizes, scale=scale)
        return replace(made, words=whole, changes=read_changes(changes, scale=scale))

    def described(self) -> dict[str, Any]:
        """Describe words and points."""
        place = CORNER.described()
        arc = {
            "type": "object",
            "properties": {"via": place, "to": place},
            "required": ["via", "to"],
            "additionalProperties": False,
        }
        points = {
            "type": "array",
            "minItems": 2,
            "maxItems": MOST_POINTS,
            "items": {"anyOf": [place, arc]},
        }
        sized = "|".join(kind for kind in self.EXAMPLES if kind != "like")
        change = {"type": "string", "pattern": r"^((grown|shrunk|rounded) .*\d|mirrored)"}
        then = {"anyOf": [change, {"type": "array", "items": change}]}
        return {
            "anyOf": [
                {"type": "string", "pattern": rf"^(({sized}) .*\d|like .+)"},
                {
                    "type": "object",
                    "properties": {"points": points, "then": then},
                    "required": ["points"],
                    "additionalProperties": False,
                },
            ],
            "examples": list(self.EXAMPLES.values()),
        }


def _sized(kind: str, text: str, sizes: str, *, scale: float | None) -> ShapeWish:
    example = Shape.EXAMPLES[kind]
    if not sizes:
        lack = "names no outline" if kind == "like" else "has no size"
        refuse(NOT_UNDERSTOOD, f"'{text}' {lack}", f"write {example}")
    if kind == "like":
        return ShapeWish(kind=kind, words=text, like=sizes)
    if kind == "round":
        bare = sizes.removeprefix("\u00d8").removeprefix("\u2300").strip()  # the diameter sign
        return ShapeWish(kind=kind, words=text, sizes_mm=_lengths(bare, 1, scale))
    if kind == "polygon":
        found = re.fullmatch(r"([0-9]{1,3}) sides?,? (.+)", sizes)
        if not found:
            refuse(NOT_UNDERSTOOD, f"'{text[:60]}' is no polygon", f"write {example}")
        sides = int(found[1])
        if not 3 <= sides <= 100:
            refuse(OUT_OF_RANGE, f"a polygon has 3 to 100 sides, not {sides}", f"write {example}")
        across = _lengths(found[2], 1, scale)
        return ShapeWish(kind=kind, words=text, sizes_mm=across, sides=sides)
    radius = 0.0
    if kind == "rounded":
        sizes, found_word, corner = sizes.partition("radius")
        if not found_word:
            refuse(NOT_UNDERSTOOD, f"'{text[:60]}' names no corner radius", f"write {example}")
        sizes, (radius,) = sizes.strip(" ,"), _lengths(corner.strip(), 1, scale)
    width, height = _lengths(sizes, 2, scale)
    if kind == "slot" and width < height:
        refuse(
            OUT_OF_RANGE,
            f"a slot is longer than wide, and {show(width, Quantity.LENGTH)} is less than "
            f"{show(height, Quantity.LENGTH)}",
            f"write slot {show(height, Quantity.LENGTH)} x {show(width, Quantity.LENGTH)}, turned",
        )
    if radius > min(width, height) / 2.0:
        most = show(min(width, height) / 2.0, Quantity.LENGTH)
        refuse(
            OUT_OF_RANGE,
            f"the corner radius is above half the shorter side, {most}",
            f"write {most}",
        )
    return ShapeWish(kind=kind, words=text, sizes_mm=(width, height), radius_mm=radius)


def _lengths(text: str, count: int, scale: float | None) -> tuple[float, ...]:
    try:
        found = parse_many(text, Quantity.LENGTH, count=count, scale=scale)
    except UnitError as fault:
        refuse(NOT_UNDERSTOOD, fault.problem, fault.remedy)
    return tuple(SIDE.within(length, text) for length in found)


def _from_points(value: dict[str, Any], info: ValidationInfo) -> ShapeWish:
    example = (
        "write points: [[0 mm, 0 mm], [20 mm, 0 mm], {via: [25 mm, 5 mm], to: [20 mm, 10 mm]}]"
    )
    given, then = value.get("points"), value.get("then", [])
    if not {"points"} <= set(value) <= {"points", "then"} or not isinstance(given, list):
        wrong = "a shape with keys holds the key points with a list, and perhaps then"
        refuse(WRONG_KIND, wrong, example)
    texts = [text_of(one, example=EXAMPLE) for one in (then if isinstance(then, list) else [then])]
    if not 2 <= len(given) <= MOST_POINTS:
        refuse(OUT_OF_RANGE, f"{len(given)} points: an outline has 2 to {MOST_POINTS}", example)
    points: list[tuple[float, float, tuple[float, float] | None]] = []
    for point in given:
        if isinstance(point, dict):
            if set(point) != {"via", "to"}:
                refuse(WRONG_KIND, "an arc has the two keys via and to", example)
            points.append((*CORNER.read(point["to"], info), CORNER.read(point["via"], info)))
        else:
            points.append((*CORNER.read(point, info), None))
    for (x, y, _), (to_x, to_y, via) in zip([points[-1], *points], points, strict=False):
        if via is not None and (via in ((x, y), (to_x, to_y)) or (x, y) == (to_x, to_y)):
            refuse(OUT_OF_RANGE, "an arc needs three different points", example)
    made = ShapeWish(kind="points", words=f"outline of {len(points)} points", points=tuple(points))
    changes = [part for text in texts for part in re.split(r"\s*,\s*(?=[a-z])", text)]
    return replace(made, changes=read_changes(changes, scale=scale_of(info)))


ShapeText = Annotated[ShapeWish, Shape()]


def placed_or_like(
    at: tuple[float, float] | None, shape: ShapeWish | None
) -> tuple[float, float] | None:
    """Ask for a place where a shape brings none of its own."""
    if at is None and shape is not None and not shape.like:
        refuse(APART, "nothing says where it lies", "add its middle, such as at: [34 mm, 26 mm]")
    return at
