"""Shapes in the maker's words made into outlines in their place."""

from lamphouse.design.panel import Outline
from lamphouse.project.fields.shape_words import MIDDLE, Datum, ShapeWish
from lamphouse.shapes import measure, outline
from lamphouse.shapes.transform import move, turn

Corners = outline.Corners


def corners_of(wish: ShapeWish) -> Corners:
    """Make a shape around 0, 0, in the order of its corners; points stay where they were written.

    Changes are not made; a shape like another has no corners of its own.
    """
    match wish.kind:
        case "round":
            return outline.circle(wish.sizes_mm[0])
        case "polygon":
            return outline.regular_polygon(wish.sides, across_mm=wish.sizes_mm[0])
        case "points":
            return _through(wish)
    width, height = wish.sizes_mm
    match wish.kind:
        case "slot":
            return outline.slot(width, width_mm=height)
        case "rounded":
            return outline.rounded_rectangle(width, height_mm=height, radius_mm=wish.radius_mm)
        case _:
            return outline.rectangle(width, height_mm=height)


def _through(wish: ShapeWish) -> Corners:
    """Join points; an arc's bulge belongs to the corner before the point it leads to."""
    spots = [(x, y) for x, y, _ in wish.points]
    vias = [via for _, _, via in wish.points]
    bulges = [
        outline.bulge_through(spots[index], via=via, end=end) if via else 0.0
        for index, (via, end) in enumerate(
            zip([*vias[1:], vias[0]], [*spots[1:], spots[0]], strict=True)
        )
    ]
    return tuple((x, y, bulge) for (x, y), bulge in zip(spots, bulges, strict=True))


def placed(corners: Corners, *, words: str, x_mm: float, y_mm: float) -> Outline:
    """Put corners into their place."""
    moved = move(corners, x_mm=x_mm, y_mm=y_mm)
    ring = outline.circle_of(moved)
    return Outline(corners=moved, words=words, diameter_mm=ring.diameter_mm if ring else None)


def turned(corners: Corners, *, angle_deg: float) -> Corners:
    """Turn corners about 0, 0."""
    return turn(corners, angle_deg=angle_deg) if angle_deg else corners


def from_datum(wish: ShapeWish, *, corners: Corners, datum: Datum | None) -> Outline:
    """Put a panel's shape with its datum on 0, 0: its lower left corner when nothing else is said.

    Points stay where they are: they are written from their datum.
    """
    if wish.kind == "points":
        return placed(corners, words=wish.words, x_mm=0.0, y_mm=0.0)
    left, bottom, right, top = measure.bounds_mm(corners)
    if datum == MIDDLE:
        x, y = (left + right) / 2.0, (bottom + top) / 2.0
    else:
        x, y = (left + datum[0], bottom + datum[1]) if isinstance(datum, tuple) else (left, bottom)
    return placed(corners, words=wish.words, x_mm=-x, y_mm=-y)
