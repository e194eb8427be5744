"""How a panel is painted, made from checked fields: shapes, frames and stripes in their places."""

from collections.abc import Iterator
from math import atan2, degrees, dist

from lamphouse.design.masks import Masks, PaintArea
from lamphouse.design.panel import Outline
from lamphouse.project.desk import Desk
from lamphouse.project.fields.mask_fields import MasksFields, PaintFields
from lamphouse.project.fields.shape_changes import Change, ChangeKind
from lamphouse.project.fields.shape_words import ShapeWish
from lamphouse.project.outlines import turned
from lamphouse.project.panel_face import Face
from lamphouse.project.panel_shapes import PanelShapes
from lamphouse.project.tree import Path
from lamphouse.shapes import outline
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.soundness import flaw_of
from lamphouse.units import Quantity, show


def painted(
    desk: Desk, fields: MasksFields, path: Path, *, shapes: PanelShapes, face: Face, edge: Outline
) -> Masks:
    """Make the record of a panel's painting.

    Parameters
    ----------
    edge
        The panel's own outline, in the panel plane.
    """
    return Masks(
        where=desk.where(path),
        film=desk.row(desk.shelf.sheet_stock, fields.film, (*path, "film")),
        areas=tuple(
            _area(desk, name, area, (*path, "areas", name), shapes=shapes, face=face, edge=edge)
            for name, area in fields.areas.items()
        ),
        overlap_mm=fields.overlap,
        order=fields.order,
        clear=tuple(
            each
            for number, name in enumerate(fields.clear)
            for each in shapes.members(name, (*path, "clear", number))
        ),
    )


def _area(
    desk: Desk,
    name: str,
    fields: PaintFields,
    path: Path,
    *,
    shapes: PanelShapes,
    face: Face,
    edge: Outline,
) -> PaintArea:
    outlines: list[Outline] = []
    inner: list[Outline] = []
    if fields.edge is not None:
        outlines.append(edge)
        if not flaw_of(edge.corners):
            inner = [
                Outline(corners=region.outside, words=f"{_mm(fields.edge)} inside the edge")
                for region in offset(edge.corners, by_mm=-fields.edge)[:1]
            ]
    elif fields.round_ is not None:
        width_mm = fields.width or 0.0
        grown = Change(kind=ChangeKind.GROWN, words=f"grown {_mm(width_mm)}", by_mm=width_mm)
        for changes, target in (((grown,), outlines), ((), inner)):
            words = f"like {fields.round_}"
            wish = ShapeWish(kind="like", words=words, like=fields.round_, changes=changes)
            corners, own = shapes.made(wish, (*path, "round"))
            x, y = own or (0.0, 0.0)
            target.append(face.put(corners, words=words, x_mm=x, y_mm=y))
    elif fields.shape is not None:
        corners, own = shapes.made(fields.shape, (*path, "shape"))
        corners = turned(corners, angle_deg=fields.turn)
        for x, y in _row(fields, fields.at or own or (0.0, 0.0)):
            outlines.append(face.put(corners, words=fields.shape.words, x_mm=x, y_mm=y))
    elif fields.from_ is not None and fields.to is not None:
        for start, end in zip(_row(fields, fields.from_), _row(fields, fields.to), strict=True):
            corners, (x, y) = _stripe(start, end, fields.width or 0.0)
            words = f"stripe {_mm(fields.width or 0.0)}"
            outlines.append(face.put(corners, words=words, x_mm=x, y_mm=y))
    else:
        outlines.append(edge)
    return PaintArea(
        name=name,
        where=desk.where(path),
        paint=fields.paint,
        outlines=tuple(outlines),
        inner=tuple(inner),
        lightness=fields.lightness,
    )


def _row(fields: PaintFields, first: Spot) -> Iterator[Spot]:
    across, up = fields.step or (0.0, 0.0)
    for number in range(fields.count):
        yield first[0] + number * across, first[1] + number * up


def _stripe(start: Spot, end: Spot, width_mm: float) -> tuple[Corners, Spot]:
    """Make a stripe around 0, 0 with its middle."""
    corners = outline.rectangle(dist(start, end), height_mm=width_mm)
    angle = degrees(atan2(end[1] - start[1], end[0] - start[0]))
    middle = ((start[0] + end[0]) / 2.0, (start[1] + end[1]) / 2.0)
    return turned(corners, angle_deg=angle), middle


def _mm(length_mm: float) -> str:
    return show(length_mm, Quantity.LENGTH)
