"""Passages between light boxes as holes in the walls of both, and what else is on those walls.

Terminology
-----------
along
    Place along a side of the inside, from the side's first corner. [mm].
height
    Above the inner face of the back of the box whose wall it is. [mm].
"""

from collections.abc import Iterator, Sequence
from math import atan2, sin

from lamphouse.catalogue.film_types import FilmType
from lamphouse.cutting.ring import Wall, ring_of_walls
from lamphouse.cutting.seats import (
    LEDGE_MM,
    sound_baffles,
    wire_hole_mm,
    wire_spots,
)
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import Led, Lid, LightBox, Seat
from lamphouse.findings import Where
from lamphouse.record import Record
from lamphouse.shapes.measure import anticlockwise, bounds_mm, drop_straight_corners
from lamphouse.shapes.outline import Spot
from lamphouse.shapes.sides import nearest_side

ENDS_AT_MM = 0.5
"""A baffle that stops this near to a wall ends at it."""

_SQUARE = 0.1
"""Least sine of the angle between a baffle and its wall that its foot is reckoned with."""


class WallHole(Record):
    """A hole in one wall of one box: its half of a passage."""

    passage: str
    where: Where
    box: str
    beyond: str
    """The box on the other side."""
    ends_mm: tuple[Spot, Spot]
    """In the panel plane, on the inner face of the wall."""
    low_mm: float
    high_mm: float
    """Above the back of ``box``."""
    film: FilmType | None = None
    """What closes it on this side."""


class Through(Record):
    """A passage that fits, as the holes in the two walls it goes through."""

    near: WallHole
    """In the box that names it."""
    far: WallHole
    """In its neighbour; its ends lie across from those of ``near``, in the same order."""
    stretch_mm: tuple[Spot, Spot]
    """Ends of the wall that both boxes have, on the wall of ``near``."""

    @property
    def halves(self) -> tuple[WallHole, WallHole]:
        """Both holes."""
        return self.near, self.far


class Patch(Record):
    """An upright rectangle on a wall: what takes up room there."""

    words: str
    from_mm: float
    to_mm: float
    """Along the wall."""
    low_mm: float
    high_mm: float


class Side(Record):
    """The wall that a hole is cut in."""

    box: LightBox
    index: int
    wall: Wall
    spots: tuple[Spot, ...]
    """Corners of the inside, anticlockwise, none of them straight."""

    @property
    def name(self) -> str:
        """As a sentence names it."""
        return f"wall {self.index + 1} of box '{self.box.name}'"

    @property
    def under_mm(self) -> float:
        """How far the wall reaches behind the inner face of the back."""
        return self.box.sheet.thickness_mm if self.box.lid is Lid.OVER else 0.0


def wall_of(hole: WallHole, *, spots: Sequence[Spot]) -> int:
    """Give the number of the side that a hole lies on, from 0."""
    (ax, ay), (bx, by) = hole.ends_mm
    return nearest_side(((ax + bx) / 2.0, (ay + by) / 2.0), ring=spots).index


def along_mm(spot: Spot, *, wall: Wall) -> float:
    """Give the place of a spot along a wall's side. [mm]."""
    (ax, ay), (bx, by) = wall.start, wall.end
    return ((spot[0] - ax) * (bx - ax) + (spot[1] - ay) * (by - ay)) / wall.side_mm


def side_of(hole: WallHole, *, box: LightBox) -> Side:
    """Find the wall of a sound, straight-sided box that a hole is cut in."""
    spots = drop_straight_corners([(x, y) for x, y, _ in anticlockwise(box.inside.corners)])
    index = wall_of(hole, spots=spots)
    wall = ring_of_walls(spots, thickness_mm=box.sheet.thickness_mm)[index]
    return Side(box=box, index=index, wall=wall, spots=spots)


def patch_of(hole: WallHole, *, wall: Wall) -> Patch:
    """Give a hole as a rectangle on its wall."""
    first, last = sorted(along_mm(spot, wall=wall) for spot in hole.ends_mm)
    return Patch(
        words=f"passage '{hole.passage}'",
        from_mm=first,
        to_mm=last,
        low_mm=hole.low_mm,
        high_mm=hole.high_mm,
    )


def taken_on(side: Side, *, lead_mm: float) -> Iterator[Patch]:
    """List what takes up room on a wall besides holes: LEDs with their wires, ledge, baffle ends.

    The notch of the wires is left out: it makes way.
    """
    box = side.box
    for led in box.leds:
        if led.seat is Seat.WALL:
            beside = nearest_side((led.x_mm, led.y_mm), ring=side.spots)
            if beside.index == side.index:
                yield _seat(led, along=beside.along_mm, lead_mm=lead_mm)
    inner = box.inner_diffuser
    if inner is not None:
        yield Patch(
            words="the ledge of the inner diffuser",
            from_mm=side.wall.from_mm,
            to_mm=side.wall.to_mm,
            low_mm=max(inner.height_mm - LEDGE_MM, 0.0),
            high_mm=inner.height_mm + inner.film.thickness_mm,
        )
    (ax, ay), (bx, by) = side.wall.start, side.wall.end
    for baffle in sound_baffles(box):
        low, high = baffle.span_mm(depth_mm=box.depth_mm)
        (cx, cy), (dx, dy) = baffle.start_mm, baffle.end_mm
        slant = abs(sin(atan2(by - ay, bx - ax) - atan2(dy - cy, dx - cx)))
        half = baffle.sheet.thickness_mm / 2.0 / max(slant, _SQUARE)
        for end in (baffle.start_mm, baffle.end_mm):
            beside = nearest_side(end, ring=side.spots)
            if beside.index == side.index and beside.gap_mm <= ENDS_AT_MM:
                yield Patch(
                    words=f"the end of baffle '{baffle.name}'",
                    from_mm=beside.along_mm - half,
                    to_mm=beside.along_mm + half,
                    low_mm=low,
                    high_mm=high,
                )


def _seat(led: Led, *, along: float, lead_mm: float) -> Patch:
    """Give the room an LED takes up with its wire holes; seen from inside, along runs left."""
    wanted = wire_hole_mm(led.led_type, lead_mm=lead_mm)
    left, bottom, right, top = bounds_mm(package_corners(led, x_mm=0.0, y_mm=0.0))
    for x, y in wire_spots(led, x_mm=0.0, y_mm=0.0, hole_mm=wanted):
        left, right = min(left, x - wanted / 2.0), max(right, x + wanted / 2.0)
        bottom, top = min(bottom, y - wanted / 2.0), max(top, y + wanted / 2.0)
    return Patch(
        words=f"LED '{led.name}' with its wires",
        from_mm=along - right,
        to_mm=along - left,
        low_mm=led.height_mm + bottom,
        high_mm=led.height_mm + top,
    )
