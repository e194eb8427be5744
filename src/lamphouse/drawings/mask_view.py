"""A painted panel from the front: its areas with their coats, to be read beside the masks."""

from collections.abc import Iterator

from lamphouse.cutting.mask_plan import MaskPlan, Shown
from lamphouse.cutting.piece import Piece
from lamphouse.drawings.drawing import Anchor, Item, Path, Pen, Text
from lamphouse.drawings.face import BACK, draw
from lamphouse.drawings.lettering import LEAST_MM, shortened, width_mm
from lamphouse.drawings.moves import drawing_of, scaled
from lamphouse.drawings.page import Labelled
from lamphouse.drawings.paper import upright
from lamphouse.drawings.stock_sheet import SCALES
from lamphouse.shapes.measure import bounds_mm, size_mm
from lamphouse.shapes.offset import Region
from lamphouse.shapes.regions import area_of

_LARGEST_SHARE = 0.6
"""Of the page's height that the panel may take."""
_WORDS_MM = 2.2
_STEP_MM = 3.8
_UNDER_MM = 6.0
_MOST_LABELS = 60


def mask_view(plan: MaskPlan, *, paper: str) -> Labelled:
    """Draw what each coat leaves on the face, numbered, with the paints in a list below.

    Parameters
    ----------
    plan
        The painting.
    paper
        A key of ``paper.SIZES_MM``.

    Raises
    ------
    KeyError
        If the paper is unknown.
    """
    wide, high = upright(paper).room_mm
    width, height = size_mm(plan.edge)
    scale = next(
        (
            step
            for step in SCALES
            if width * step <= wide - 4.0 and height * step <= high * _LARGEST_SHARE
        ),
        SCALES[-1],
    )
    items: list[Item] = [
        scaled(Path(pen=Pen.CUT, corners=plan.edge, closed=True), factor=scale),
    ]
    labels: list[Item] = []
    for shown in plan.shown:
        for region in shown.regions:
            for ring in (region.outside, *region.holes):
                items.append(scaled(Path(pen=Pen.MARK, corners=ring, closed=True), factor=scale))
            if len(labels) < _MOST_LABELS:
                labels += _label(shown, region, scale)
    left, bottom, _, _ = (side * scale for side in bounds_mm(plan.edge))
    items += labels
    items += _list(plan, left=left, top=bottom - _UNDER_MM, room_mm=max(width * scale, 100.0))
    name = f"{plan.sub_assembly} / {plan.panel} / painting"
    return Labelled(
        drawing=drawing_of(items, name=name),
        part=name,
        face="front",
        drawn="1:1" if scale == 1.0 else f"1:{1.0 / scale:g}",
    )


def mask_sheet(piece: Piece) -> Labelled:
    """Give one piece of film at its size, seen from the side it is stuck on."""
    part, _, name = piece.name.rpartition(" / ")
    return Labelled(
        drawing=draw(piece),
        part=part,
        piece=name,
        face=BACK if piece.face == "back" else piece.face,
        sheet=piece.sheet.name,
    )


def _label(shown: Shown, region: Region, scale: float) -> Iterator[Item]:
    """Write the number of its coat into a part, and the paint where there is room."""
    area = area_of(region.outside, holes=region.holes)
    x, y = area.spot()
    left, bottom, right, top = bounds_mm(region.outside)
    room = (right - left) * scale - 2.0
    words = f"{shown.coat}"
    long = f"{shown.coat} {shown.area.paint}"
    is_plain = not region.holes and area.area_mm2 > 0.7 * (right - left) * (top - bottom)
    if is_plain and width_mm(long, height_mm=LEAST_MM, bold=True) <= room:
        words, x, y = long, (left + right) / 2.0, (bottom + top) / 2.0
    yield Text(
        x_mm=x * scale,
        y_mm=y * scale - LEAST_MM / 2.0,
        words=words,
        height_mm=LEAST_MM,
        anchor=Anchor.MIDDLE,
        bold=True,
    )


def _list(plan: MaskPlan, *, left: float, top: float, room_mm: float) -> Iterator[Item]:
    rows = sorted(((one.coat, one) for one in plan.shown if one.coat), key=lambda row: row[0])
    y = top
    for coat, shown in rows:
        words = shortened(
            f"{coat}  {shown.area.paint}: {shown.area.name}", height_mm=_WORDS_MM, room_mm=room_mm
        )
        yield Text(x_mm=left, y_mm=y, words=words, height_mm=_WORDS_MM)
        y -= _STEP_MM
