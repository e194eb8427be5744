"""Outlines made from sizes, and their pieces, direction and recognised circles."""

from collections.abc import Iterable, Iterator
from math import atan, atan2, cos, hypot, isclose, pi, sin, sqrt, tan

from lamphouse.record import Record

Spot = tuple[float, float]
"""A point ``(x_mm, y_mm)``."""

Corner = tuple[float, float, float]
"""``(x_mm, y_mm, bulge)``; the bulge belongs to the piece that starts here."""

Corners = tuple[Corner, ...]
"""A closed outline; the last corner joins the first."""

QUARTER = sqrt(2.0) - 1.0
"""Bulge of a quarter circle, tan(90 deg / 4)."""

STRAIGHT = 1e-9
"""A bulge below this is a straight piece."""

SAME_CIRCLE = 1e-9
"""Relative difference of centre and radius up to which arcs lie on one circle."""


class Piece(Record):
    """One straight or round piece of an outline."""

    start: Spot
    end: Spot
    bulge: float

    @property
    def is_straight(self) -> bool:
        """Whether the piece is a straight line."""
        return abs(self.bulge) < STRAIGHT

    @property
    def chord_mm(self) -> float:
        """Straight distance from start to end."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def sweep_rad(self) -> float:
        """Angle the arc turns through, positive to the left; 0 when straight."""
        return 4.0 * atan(self.bulge)

    @property
    def radius_mm(self) -> float:
        """Radius of the arc.

        Raises
        ------
        ZeroDivisionError
            If the piece is straight.
        """
        return self.chord_mm * (1.0 + self.bulge**2) / (4.0 * abs(self.bulge))

    @property
    def centre(self) -> Spot:
        """Centre of the arc.

        Raises
        ------
        ZeroDivisionError
            If the piece is straight.
        """
        along = (1.0 - self.bulge**2) / (4.0 * self.bulge)
        return (
            (self.start[0] + self.end[0]) / 2.0 - along * (self.end[1] - self.start[1]),
            (self.start[1] + self.end[1]) / 2.0 + along * (self.end[0] - self.start[0]),
        )


def corner_pairs(corners: Corners) -> Iterator[tuple[Corner, Corner]]:
    """Give each corner with the next, from the first back to it."""
    return zip(corners, corners[1:] + corners[:1], strict=True)


def pieces(corners: Corners) -> Iterator[Piece]:
    """Go round an outline piece by piece, from the first corner back to it."""
    for (x, y, bulge), (next_x, next_y, _) in corner_pairs(corners):
        yield Piece(start=(x, y), end=(next_x, next_y), bulge=bulge)


def arcs(corners: Corners) -> Iterator[Piece]:
    """Go round the round pieces of an outline alone: of thousands of chords there are none."""
    for (x, y, bulge), (next_x, next_y, _) in corner_pairs(corners):
        if abs(bulge) >= STRAIGHT:
            yield Piece(start=(x, y), end=(next_x, next_y), bulge=bulge)


def polygon(spots: Iterable[Spot]) -> Corners:
    """Join points by straight pieces."""
    return tuple((x, y, 0.0) for x, y in spots)


def rectangle(
    width_mm: float, *, height_mm: float, x_mm: float = 0.0, y_mm: float = 0.0
) -> Corners:
    """Make a rectangle with its middle at ``(x_mm, y_mm)``, from its lower left corner on."""
    left, right = x_mm - width_mm / 2.0, x_mm + width_mm / 2.0
    bottom, top = y_mm - height_mm / 2.0, y_mm + height_mm / 2.0
    return rectangle_of((left, bottom, right, top))


def rectangle_of(bounds_mm: tuple[float, float, float, float]) -> Corners:
    """Make the rectangle with these bounds: left, bottom, right, top."""
    left, bottom, right, top = bounds_mm
    return polygon(((left, bottom), (right, bottom), (right, top), (left, top)))


def circle(diameter_mm: float, *, x_mm: float = 0.0, y_mm: float = 0.0) -> Corners:
    """Make a full circle as two half circles."""
    radius = diameter_mm / 2.0
    return ((x_mm - radius, y_mm, 1.0), (x_mm + radius, y_mm, 1.0))


def slot(
    length_mm: float,
    *,
    width_mm: float,
    x_mm: float = 0.0,
    y_mm: float = 0.0,
    turn_deg: float = 0.0,
) -> Corners:
    """Make a slot with rounded ends.

    Parameters
    ----------
    length_mm
        Over all, ends included; at ``turn_deg`` 0 it lies along x.
    width_mm
        Across; the ends are half circles of this diameter.
    x_mm, y_mm
        Its middle.
    turn_deg
        Anticlockwise turn.

    Raises
    ------
    ValueError
        If it is shorter than wide.
    """
    if length_mm < width_mm:
        short = f"a slot {length_mm} mm long cannot be {width_mm} mm wide"
        raise ValueError(short)
    if isclose(length_mm, width_mm, rel_tol=SAME_CIRCLE):
        return circle(width_mm, x_mm=x_mm, y_mm=y_mm)
    half, radius = (length_mm - width_mm) / 2.0, width_mm / 2.0
    cosine, sine = cos(turn_deg * pi / 180.0), sin(turn_deg * pi / 180.0)
    flat = ((-half, -radius, 0.0), (half, -radius, 1.0), (half, radius, 0.0), (-half, radius, 1.0))
    return tuple(
        (x_mm + cosine * x - sine * y, y_mm + sine * x + cosine * y, bulge) for x, y, bulge in flat
    )


def rounded_rectangle(
    width_mm: float, *, height_mm: float, radius_mm: float, x_mm: float = 0.0, y_mm: float = 0.0
) -> Corners:
    """Make a rectangle whose corners are quarter circles.

    Raises
    ------
    ValueError
        If the radius is above half the shorter side.
    """
    most = min(width_mm, height_mm) / 2.0
    if not 0.0 <= radius_mm <= most:
        wrong = f"a corner radius of {radius_mm} mm is not between 0 and {most} mm"
        raise ValueError(wrong)
    x, y = width_mm / 2.0, height_mm / 2.0
    corners = (
        (-x + radius_mm, -y, 0.0),
        (x - radius_mm, -y, QUARTER),
        (x, -y + radius_mm, 0.0),
        (x, y - radius_mm, QUARTER),
        (x - radius_mm, y, 0.0),
        (-x + radius_mm, y, QUARTER),
        (-x, y - radius_mm, 0.0),
        (-x, -y + radius_mm, QUARTER),
    )
    moved = tuple((x_mm + cx, y_mm + cy, bulge) for cx, cy, bulge in corners)
    return tuple(
        corner
        for index, corner in enumerate(moved)
        if corner[:2] != moved[(index + 1) % len(moved)][:2]
    )


def regular_polygon(
    sides: int, *, across_mm: float, x_mm: float = 0.0, y_mm: float = 0.0
) -> Corners:
    """Make a regular polygon around a circle of diameter ``across_mm``, one side level below.

    Raises
    ------
    ValueError
        If it has fewer than three sides.
    """
    if sides < 3:
        few = f"a polygon of {sides} sides"
        raise ValueError(few)
    reach = across_mm / 2.0 / cos(pi / sides)
    first = -pi / 2.0 - pi / sides
    angles = (first + 2.0 * pi * index / sides for index in range(sides))
    return polygon((x_mm + reach * cos(angle), y_mm + reach * sin(angle)) for angle in angles)


def bulge_through(start: Spot, *, via: Spot, end: Spot) -> float:
    """Find the bulge of the arc from start to end that passes through a third point.

    The angle between the chords ``via - start`` and ``end - via`` is half the arc's sweep.

    Raises
    ------
    ValueError
        If two of the points coincide.
    """
    if via in (start, end) or start == end:
        same = "an arc needs three different points"
        raise ValueError(same)
    first = (via[0] - start[0], via[1] - start[1])
    second = (end[0] - via[0], end[1] - via[1])
    cross = first[0] * second[1] - first[1] * second[0]
    dot = first[0] * second[0] + first[1] * second[1]
    return tan(atan2(cross, dot) / 2.0)


class Round(Record):
    """A full circle recognised in an outline."""

    x_mm: float
    y_mm: float
    diameter_mm: float


def circle_of(corners: Corners) -> Round | None:
    """Recognise an outline that is one full circle, in any number of arcs; None when it is not."""
    if not corners or any(
        abs(bulge) < STRAIGHT or bulge * corners[0][2] < 0.0 for _, _, bulge in corners
    ):
        return None
    if len(corners) == 2 and abs(corners[0][2]) == abs(corners[1][2]) == 1.0:
        (x, y, _), (end_x, end_y, _) = corners  # two half circles, as most are
        return Round(
            x_mm=(x + end_x) / 2.0, y_mm=(y + end_y) / 2.0, diameter_mm=hypot(end_x - x, end_y - y)
        )
    around = list(pieces(corners))
    sweep = sum(abs(arc.sweep_rad) for arc in around)
    (x, y), radius = around[0].centre, around[0].radius_mm
    slack = SAME_CIRCLE * max(radius, abs(x), abs(y))
    on_one = all(
        abs(arc.radius_mm - radius) <= slack
        and hypot(arc.centre[0] - x, arc.centre[1] - y) <= slack
        for arc in around
    )
    if not on_one or not isclose(sweep, 2.0 * pi, rel_tol=SAME_CIRCLE):
        return None
    return Round(x_mm=x, y_mm=y, diameter_mm=2.0 * radius)


def backwards(corners: Corners) -> Corners:
    """Go round an outline the other way; the points stay where they are."""
    count = len(corners)
    return tuple(
        (*corners[count - 1 - index][:2], -corners[(2 * count - 2 - index) % count][2])
        for index in range(count)
    )
