"""Shapes in the maker's words made into outlines in their place, and outlines put into words."""

from lamphouse.design.panel import Outline
from lamphouse.project.fields.shape_words import MIDDLE, Datum, ShapeWish
from lamphouse.project.splice import Value
from lamphouse.shapes import measure, outline
from lamphouse.shapes.outline import Piece, pieces
from lamphouse.shapes.transform import move, turn

Corners = outline.Corners
_DIGITS = 3
"""Lengths are written to the micrometre."""


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


def written_mm(length_mm: float) -> str:
    """Write a length as the maker would.

    Examples
    --------
    >>> written_mm(12.0004), written_mm(1234.5678)
    ('12 mm', '1234.568 mm')
    """
    text = f"{length_mm:.{_DIGITS}f}".rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text} mm"


def written_points(corners: Corners) -> list[Value]:
    """Write corners as points; an arc is written at its end, with the place it passes through."""
    ring = list(pieces(corners))
    points: list[Value] = []
    for before, piece in zip([ring[-1], *ring], ring, strict=False):
        spot: list[Value] = [written_mm(value) for value in piece.start]
        points.append(spot if before.is_straight else {"via": _via(before), "to": spot})
    return points


def _via(arc: Piece) -> list[Value]:
    """Give the middle of an arc: from the middle of its chord by the bulge, to its right."""
    (ax, ay), (bx, by) = arc.start, arc.end
    x = (ax + bx) / 2.0 + arc.bulge * (by - ay) / 2.0
    y = (ay + by) / 2.0 - arc.bulge * (bx - ax) / 2.0
    return [written_mm(x), written_mm(y)]
