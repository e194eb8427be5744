"""Prisms of what stays where it is: the floor, fixed walls, and the skin of the hull.

The hull is known by its inner face alone; its skin is taken to be thin. On a side that is open
there is no skin: what lies before the room's front edge is its front, and so for the others.
"""

from collections.abc import Iterator, Sequence
from math import atan2, hypot, tau

from lamphouse.design.place import Room
from lamphouse.design.surroundings import FixedWall, HullPart, Side, Surroundings
from lamphouse.record import Record, replace
from lamphouse.room.bent_prisms import ring_sectors
from lamphouse.room.prisms import BASEBOARD, FLOOR, FloorBuild, Prism, PrismKind
from lamphouse.shapes.footprints import Footprint, footprint, upright_box
from lamphouse.shapes.outline import Corners, Piece, bulge_through, polygon, rectangle
from lamphouse.shapes.soundness import flaw_of

SKIN_MM = 1.0
"""Thickness that stands for the hull's."""
FAR_MM = 100_000.0
"""Beyond everything."""


class Fixed(Record):
    """A prism that stays, as the polygon library holds it."""

    prism: Prism
    footprint: Footprint


def fixed_of(
    surroundings: Surroundings, *, room: Room | None, floor: FloorBuild
) -> tuple[Fixed, ...]:
    """Give everything that stays where it is.

    Parameters
    ----------
    room
        Its floor; None for no floor.
    floor
        How it is built.
    """
    found = [
        Fixed(prism=prism, footprint=footprint(prism.foot))
        for wall in surroundings.walls
        for prism in _wall(wall)
    ]
    if room:
        found += _floor(surroundings, room=room, floor=floor)
    found += _hull(surroundings, room=room)
    return tuple(found)


def _floor(surroundings: Surroundings, *, room: Room, floor: FloorBuild) -> Iterator[Fixed]:
    """Give the floor with its hatches cut out, and the baseboard below it where that is known."""
    foot = rectangle(
        room.width_mm,
        height_mm=room.depth_mm,
        x_mm=room.width_mm / 2.0,
        y_mm=room.depth_mm / 2.0,
    )
    upper = Prism(
        owner="",
        kind=PrismKind.FLOOR,
        name=FLOOR,
        where=surroundings.where,
        foot=foot,
        low_mm=-floor.thick_mm,
        high_mm=0.0,
    )
    whole = left = footprint(foot)
    for hatch in surroundings.hatches:
        if not flaw_of(hatch.outline.corners):
            left = left.without(footprint(hatch.outline.corners))
    yield Fixed(prism=upper, footprint=left)
    if floor.depth_mm is not None:
        foot_mm = -floor.thick_mm - floor.depth_mm
        lower = replace(upper, name=BASEBOARD, low_mm=foot_mm - SKIN_MM, high_mm=foot_mm)
        yield Fixed(prism=lower, footprint=whole)


def _wall(wall: FixedWall) -> Iterator[Prism]:
    for foot in _wall_feet(wall):
        if not flaw_of(foot):
            yield Prism(
                owner="",
                kind=PrismKind.WALL,
                name=wall.name,
                where=wall.where,
                foot=foot,
                low_mm=wall.low_mm,
                high_mm=wall.high_mm,
            )


def _wall_feet(wall: FixedWall) -> Iterator[Corners]:
    """Give the footprint of a wall, straight or round."""
    (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
    long, half = hypot(bx - ax, by - ay), wall.thickness_mm / 2.0
    if not long:
        return
    arc = _arc(wall)
    if arc is None:
        dx, dy = (bx - ax) / long * half, (by - ay) / long * half
        spots = ((ax - dy, ay + dx), (bx - dy, by + dx), (bx + dy, by - dx), (ax + dy, ay - dx))
        yield polygon(reversed(spots))
        return
    (x, y), radius, sweep = arc.centre, arc.radius_mm, arc.sweep_rad
    towards = atan2(ay - y, ax - x) + sweep / 2.0
    yield from ring_sectors(
        (x, y),
        inner_mm=max(radius - half, 0.0),
        outer_mm=radius + half,
        half_rad=abs(sweep) / 2.0,
        towards_rad=towards % tau,
    )


def _arc(wall: FixedWall) -> Piece | None:
    """Give the middle line of a round wall; None for a straight one."""
    via = wall.via_mm
    if via is None or via in (wall.start_mm, wall.end_mm):
        return None
    bulge = bulge_through(wall.start_mm, via=via, end=wall.end_mm)
    piece = Piece(start=wall.start_mm, end=wall.end_mm, bulge=bulge)
    return None if piece.is_straight else piece


def open_hull(part: HullPart, *, surroundings: Surroundings, room: Room | None) -> Footprint:
    """Give the space inside a part of the hull, with all that lies beyond its open sides."""
    inside = footprint(part.inside.corners)
    for bounds in _beyond(surroundings.open_sides, room=room):
        inside = inside.joined(upright_box(bounds))
    return inside


def _beyond(
    sides: Sequence[Side], *, room: Room | None
) -> Iterator[tuple[float, float, float, float]]:
    """Give what lies beyond the room's edge on each open side."""
    if room is None:
        return
    far = FAR_MM
    beyond = {
        Side.FRONT: (-far, -far, far, 0.0),
        Side.BACK: (-far, room.depth_mm, far, far),
        Side.LEFT: (-far, -far, 0.0, far),
        Side.RIGHT: (room.width_mm, -far, far, far),
    }
    yield from (bounds for side, bounds in beyond.items() if side in sides)


def _hull(surroundings: Surroundings, *, room: Room | None) -> Iterator[Fixed]:
    """Give the skin of every part, and the roof over those that nothing stands on."""
    sound = [part for part in surroundings.hull if not flaw_of(part.inside.corners)]
    for part in sound:
        inside = footprint(part.inside.corners)
        skin = inside.grown(SKIN_MM).without(inside)
        for bounds in _beyond(surroundings.open_sides, room=room):
            skin = skin.without(upright_box(bounds))
        yield Fixed(prism=_of_hull(part, part.low_mm, part.high_mm), footprint=skin)
    if Side.TOP in surroundings.open_sides or not sound:
        return
    top = max(part.high_mm for part in sound)
    for part in sound:
        if part.high_mm == top:
            roof = _of_hull(part, top, top + SKIN_MM)
            yield Fixed(prism=roof, footprint=footprint(part.inside.corners))


def _of_hull(part: HullPart, low_mm: float, high_mm: float) -> Prism:
    return Prism(
        owner="",
        kind=PrismKind.HULL,
        name=part.name,
        where=part.where,
        foot=part.inside.corners,
        low_mm=low_mm,
        high_mm=high_mm,
    )
