"""Whether the plug of each sub-assembly can be reached under the floor, and from where.

Fingers and tweezers go straight: the strip from an open side or a hatch to the plug must be free
of what stands under the floor, high and wide enough, and no longer than they are.
"""

from collections.abc import Iterator, Sequence
from math import ceil, cos, dist, hypot, inf, pi, sin

from lamphouse.design.panel import Outline
from lamphouse.design.place import Room
from lamphouse.design.surroundings import Hatch, Side, Surroundings
from lamphouse.findings import Where
from lamphouse.record import Record, replace
from lamphouse.shapes.footprints import Footprint, corridor, footprint
from lamphouse.shapes.outline import Spot, rectangle
from lamphouse.shapes.reach import width_mm
from lamphouse.shapes.soundness import flaw_of

SAMPLE_MM = 10.0
"""Places along an open side that are tried as ways in."""
HATCH_MM = 40.0
"""Side of a hatch that is offered."""
AROUND = 16


class Grip(Record):
    """What one reaches a plug with."""

    name: str
    high_mm: float
    wide_mm: float
    reach_mm: float


GRIPS = (
    Grip(name="a hand", high_mm=60.0, wide_mm=80.0, reach_mm=300.0),
    Grip(name="tweezers", high_mm=15.0, wide_mm=20.0, reach_mm=120.0),
)
"""Room that a flat hand and long tweezers need, and how far they reach [PRACTICE]."""


class PlugSpot(Record):
    """Where a plug hangs under the floor."""

    sub_assembly: str
    where: Where
    at_mm: Spot


class PlugReach(Record):
    """How one gets at a plug."""

    sub_assembly: str
    where: Where
    at_mm: Spot
    grip: str
    """Empty when nothing reaches it."""
    through: str
    """The side or the hatch; empty likewise."""
    far_mm: float
    """From there to the plug; of one that is not reached, from the nearest way in."""

    @property
    def is_reached(self) -> bool:
        """Whether one gets at it."""
        return bool(self.grip)


class _WayIn(Record):
    name: str
    spots: tuple[Spot, ...]
    """Places in it, to set off from."""
    wide_mm: float
    area: Footprint | None
    """Of a hatch."""


def reach_plugs(
    plugs: Sequence[PlugSpot],
    *,
    surroundings: Surroundings,
    room: Room | None,
    depth_mm: float | None,
) -> tuple[PlugReach, ...]:
    """Find for every plug how it is reached.

    Parameters
    ----------
    plugs
        Where they hang.
    room
        Whose edges the open sides are.
    depth_mm
        Clear height below the floor; None where it does not matter.
    """
    things = tuple(
        footprint(thing.outline.corners)
        for thing in surroundings.under_floor
        if not flaw_of(thing.outline.corners)
    )
    ways = tuple(_ways_in(surroundings, room=room))
    return tuple(
        _reached(plug, ways=ways, things=things, surroundings=surroundings, depth_mm=depth_mm)
        for plug in plugs
    )


def _reached(
    plug: PlugSpot,
    *,
    ways: Sequence[_WayIn],
    things: Sequence[Footprint],
    surroundings: Surroundings,
    depth_mm: float | None,
) -> PlugReach:
    found = PlugReach(
        sub_assembly=plug.sub_assembly,
        where=plug.where,
        at_mm=plug.at_mm,
        grip="",
        through="",
        far_mm=0.0,
    )
    if Side.BELOW in surroundings.open_sides:
        return replace(found, grip=GRIPS[0].name, through=str(Side.BELOW))
    high = inf if depth_mm is None else depth_mm
    nearest = inf
    for grip in GRIPS:
        best: tuple[float, str] | None = None
        for way in ways:
            nearest = min(nearest, *(dist(spot, plug.at_mm) for spot in way.spots))
            if grip.high_mm > high or grip.wide_mm > way.wide_mm:
                continue
            far = _straight_mm(plug.at_mm, way, grip=grip, things=things)
            if far is not None and (best is None or far < best[0]):
                best = (far, way.name)
        if best:
            return replace(found, grip=grip.name, through=best[1], far_mm=best[0])
    return replace(found, far_mm=nearest if nearest < inf else -1.0)


def _straight_mm(
    spot: Spot, way: _WayIn, *, grip: Grip, things: Sequence[Footprint]
) -> float | None:
    """Give the shortest free straight line from a way in to a spot; None where all are barred."""
    if way.area and way.area.meets(corridor(spot, end=spot, half_mm=1e-3)):
        return 0.0
    for start in sorted(way.spots, key=lambda place: dist(place, spot)):
        if dist(start, spot) > grip.reach_mm:
            return None
        strip = corridor(start, end=spot, half_mm=grip.wide_mm / 2.0)
        if not any(strip.meets(thing) for thing in things):
            return dist(start, spot)
    return None


def _ways_in(surroundings: Surroundings, *, room: Room | None) -> Iterator[_WayIn]:
    if room:
        wide, deep = room.width_mm, room.depth_mm
        edges = {
            Side.FRONT: ((0.0, 0.0), (wide, 0.0)),
            Side.BACK: ((0.0, deep), (wide, deep)),
            Side.LEFT: ((0.0, 0.0), (0.0, deep)),
            Side.RIGHT: ((wide, 0.0), (wide, deep)),
        }
        for side, (start, end) in edges.items():
            if side in surroundings.open_sides:
                yield _WayIn(
                    name=str(side),
                    spots=_along(start, end),
                    wide_mm=dist(start, end),
                    area=None,
                )
    for hatch in surroundings.hatches:
        if not flaw_of(hatch.outline.corners):
            area = footprint(hatch.outline.corners)
            ring = area.rings()[0]
            spots = [
                spot
                for number, corner in enumerate(ring)
                for spot in _along(ring[number - 1], corner)
            ]
            yield _WayIn(
                name=f"hatch '{hatch.name}'",
                spots=tuple(dict.fromkeys(spots)),
                wide_mm=width_mm(hatch.outline.corners),
                area=area,
            )


def _along(start: Spot, end: Spot) -> tuple[Spot, ...]:
    steps = max(1, ceil(dist(start, end) / SAMPLE_MM))
    return tuple(
        (
            start[0] + (end[0] - start[0]) * step / steps,
            start[1] + (end[1] - start[1]) * step / steps,
        )
        for step in range(steps + 1)
    )


def hatch_that_works(
    plug: PlugReach, *, surroundings: Surroundings, room: Room | None, depth_mm: float | None
) -> Hatch | None:
    """Find the nearest place for a square hatch from which a plug is reached; None for none."""
    spot = PlugSpot(sub_assembly=plug.sub_assembly, where=plug.where, at_mm=plug.at_mm)
    tries = [(0.0, 0.0)] + [
        (far * cos(2.0 * pi * turn / AROUND), far * sin(2.0 * pi * turn / AROUND))
        for far in (HATCH_MM, 1.5 * HATCH_MM, 2.0 * HATCH_MM, 3.0 * HATCH_MM)
        for turn in range(AROUND)
    ]
    for right, back in sorted(tries, key=lambda shift: hypot(*shift)):
        middle = (round(plug.at_mm[0] + right), round(plug.at_mm[1] + back))
        corners = rectangle(HATCH_MM, height_mm=HATCH_MM, x_mm=middle[0], y_mm=middle[1])
        if room and not (0 <= middle[0] <= room.width_mm and 0 <= middle[1] <= room.depth_mm):
            continue
        hatch = Hatch(
            name="hatch",
            where=surroundings.where,
            outline=Outline(corners=corners, words=f"rectangle {HATCH_MM:g} x {HATCH_MM:g} mm"),
        )
        area = footprint(corners)
        if any(
            area.meets(footprint(thing.outline.corners))
            for thing in surroundings.under_floor
            if not flaw_of(thing.outline.corners)
        ):
            continue
        opened = replace(surroundings, hatches=(*surroundings.hatches, hatch))
        (reached,) = reach_plugs([spot], surroundings=opened, room=room, depth_mm=depth_mm)
        if reached.is_reached:
            return hatch
    return None
