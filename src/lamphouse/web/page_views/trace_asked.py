"""What the page asks of a tracing, read into what tracing takes; what is unclear is told."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, NoReturn

from pydantic import BaseModel, ConfigDict, Field

from lamphouse import units
from lamphouse.storage.pictures_folder import picture_named
from lamphouse.units.digits import whole_number

if TYPE_CHECKING:
    from lamphouse.trace.asked_pictures import Asked

MOST_MM = 10_000.0
Text = Annotated[str, Field(max_length=60)]
Pixel = Annotated[float, Field(ge=-1.0, le=100_000.0, allow_inf_nan=False)]
REFERENCES: Mapping[str, str] = {
    "card": "the printed frame card",
    "sheet": "a sheet of paper",
    "id card": "an identity or bank card",
    "board": "a checkerboard",
    "dpi": "a flatbed scan",
    "ruler": "two marks of a ruler",
}
"""What gives a picture its scale, in the maker's words; the surest come first."""
IN_PICTURE = ("card", "sheet", "id card", "board")


class TraceAsked(BaseModel):
    """A form filled in."""

    model_config = ConfigDict(extra="forbid")
    pictures: Annotated[
        list[Annotated[str, Field(max_length=300)]], Field(min_length=1, max_length=12)
    ]
    reference: Literal["card", "sheet", "id card", "board", "dpi", "ruler"]
    dpi: Text = ""
    printed: Text = ""
    paper: Literal["A4", "Letter", "either"] = "A4"
    across: Text = ""
    high: Text = ""
    square: Text = ""
    marks: Annotated[list[Pixel], Field(max_length=4)] = []
    apart: Text = ""
    lender: Annotated[str, Field(max_length=300)] = ""
    thickness: Text = ""
    window: Text = ""
    part: Literal["", "lighter", "darker"] = ""
    sketch: bool = False
    finest: Text = ""
    within: Text = ""
    snapped: bool = True
    against: Annotated[str, Field(max_length=400)] = ""


class UnclearError(ValueError):
    """A field that cannot be read, and what to write there."""

    def __init__(self, field: str, words: str) -> None:
        super().__init__(words)
        self.field = field


def _refuse(field: str, words: str, *, since: Exception | None = None) -> NoReturn:
    raise UnclearError(field, words) from since


def asked_of(form: TraceAsked, *, file: Path) -> "Asked":
    """Read a form.

    Parameters
    ----------
    form
        As it was sent.
    file
        The project's file.

    Raises
    ------
    UnclearError
        If a field cannot be read, or fields contradict each other; it names the field.
    """
    from lamphouse.trace import traced
    from lamphouse.trace.asked_pictures import Asked

    kind = form.reference
    is_scan = kind == "dpi" or (kind == "card" and bool(form.dpi))
    _go_together(form, is_scan=is_scan)
    return Asked(
        pictures=tuple(_picture(name, "pictures", file=file) for name in form.pictures),
        dpi=_dpi(form.dpi) if is_scan else None,
        ruler=_ruler(form) if kind == "ruler" else None,
        card=kind == "card",
        printed_mm=_size(form.printed) if kind == "card" and form.printed else None,
        sheet=form.paper if kind == "sheet" else None,
        id_card=kind == "id card",
        board=_board(form) if kind == "board" else None,
        lender=_picture(form.lender, "lender", file=file) if form.lender else None,
        thickness_mm=_length(form.thickness, "thickness") if form.thickness else 0.0,
        window=_window(form.window) if form.window else None,
        side=form.part or None,
        finest_hole_mm=_length(form.finest, "finest") if form.finest else traced.FINEST_HOLE_MM,
        is_sketch=form.sketch,
    )


def tolerance_mm(form: TraceAsked) -> float:
    """Give how far lines and arcs may leave the edge.

    Raises
    ------
    UnclearError
        If the field cannot be read.
    """
    from lamphouse.trace import traced

    return _length(form.within, "within") if form.within else traced.TOLERANCE_MM


def _go_together(form: TraceAsked, *, is_scan: bool) -> None:
    is_photo = form.reference in IN_PICTURE and not is_scan
    if len(set(form.pictures)) != len(form.pictures):
        _refuse("pictures", "one picture is chosen twice; leave one of them out")
    if len(form.pictures) > 1 and not is_photo:
        _refuse(
            "pictures",
            "several pictures are photographs with the same thing of known size in each; choose "
            "one picture, or such a thing",
        )
    if form.lender and not is_photo:
        _refuse("lender", "a scale is lent by a photograph with a thing of known size")
    if form.lender and len(form.pictures) > 1:
        _refuse("lender", "with a scale that is lent, one picture is traced at a time")
    if form.lender in form.pictures:
        _refuse("lender", "this is the picture itself; choose the other one, or none")
    if form.thickness and form.reference not in IN_PICTURE:
        _refuse("thickness", "thickness counts with a thing of known size in the picture only")


def _picture(name: str, field: str, *, file: Path) -> Path:
    try:
        return picture_named(file, name)
    except LookupError as fault:
        _refuse(field, str(fault.args[0]), since=fault)


def _length(text: str, field: str) -> float:
    try:
        length = units.parse(text, units.Quantity.LENGTH)
    except units.UnitError as fault:
        _refuse(field, str(fault), since=fault)
    if not 0.0 < length < MOST_MM:
        _refuse(field, f"{text} is no length of a part; write 0.75 mm")
    return length


def _size(text: str) -> tuple[float, float]:
    try:
        width, height = units.parse_many(text, units.Quantity.LENGTH, count=2)
    except units.UnitError as fault:
        _refuse("printed", str(fault), since=fault)
    if not 0.0 < min(width, height) <= max(width, height) < MOST_MM:
        _refuse("printed", f"{text} is no size of a print; write 168.2 x 215.8 mm")
    return width, height


def _dpi(text: str) -> float:
    try:
        dpi = float(text.casefold().removesuffix("dpi"))
    except ValueError as fault:
        _refuse("dpi", "write the scan's resolution as a number: 600", since=fault)
    if not 10.0 <= dpi <= 20_000.0:
        _refuse("dpi", f"{text} is no resolution of a scan; write 600")
    return dpi


def _ruler(form: TraceAsked) -> tuple[float, float, float, float, float]:
    if len(form.marks) != 4:
        _refuse("apart", "put two marks onto the ruler in the picture first")
    if not form.apart:
        _refuse("apart", "say how far apart the two marks are: 100 mm")
    first, second, third, fourth = form.marks
    return first, second, third, fourth, _length(form.apart, "apart")


def _board(form: TraceAsked) -> tuple[int, int, float]:
    counts = []
    for field, text in (("across", form.across), ("high", form.high)):
        count = whole_number(text) or 0
        if not 3 <= count <= 100:
            _refuse(field, "count the inner corners along this side: 3 to 100")
        counts.append(count)
    return counts[0], counts[1], _length(form.square, "square")


def _window(text: str) -> tuple[int, int, int, int]:
    words = text.replace(",", " ").split()
    parts = [number for one in words if (number := whole_number(one)) is not None]
    if not len(words) == len(parts) == 4:
        _refuse("window", "write left, top, right and bottom in pixels: 400 300 1900 1500")
    left, top, right, bottom = parts
    return left, top, right, bottom
