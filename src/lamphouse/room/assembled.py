"""Everything in its place at once: what meets what, and what would if something moved."""

from collections.abc import Iterator, Sequence

from lamphouse.design.place import Room, SubAssembly
from lamphouse.design.surroundings import HullPart, Side, Surroundings
from lamphouse.record import Record, replace
from lamphouse.room.fixed_prisms import fixed_of, open_hull
from lamphouse.room.placed_prisms import prisms_of
from lamphouse.room.prisms import FLOOR, BoxSpace, FloorBuild, Prism, PrismKind, SourceSpace
from lamphouse.shapes.footprints import Crowd, Footprint, footprint
from lamphouse.shapes.measure import Bounds, bounds_mm
from lamphouse.shapes.outline import Spot
from lamphouse.shapes.soundness import flaw_of

PLAY_MM = 0.05
"""What lies in one another by no more than this only touches."""
Shift = tuple[float, float, float]
"""Right, back, up. [mm]."""
STAY: Shift = (0.0, 0.0, 0.0)


class Placed(Record):
    """A sub-assembly as it takes up space."""

    sub: SubAssembly
    boxes: tuple[BoxSpace, ...]
    sources: tuple[SourceSpace, ...]


class Standpoint(Record):
    """One prism of a sub-assembly, ready to be moved."""

    prism: Prism
    whole: Footprint
    core: Footprint
    """Its footprint less the play."""


class Beyond(Record):
    """A prism that does not clear a part of the hull."""

    prism: Prism
    part: HullPart
    by_mm: float
    """How far it reaches beyond what it may."""
    over_roof: bool = False


class Assembled:
    """The whole room with everything in it."""

    def __init__(
        self,
        placed: Sequence[Placed],
        *,
        surroundings: Surroundings,
        room: Room | None,
        floor: FloorBuild,
    ) -> None:
        """Put everything in its place.

        Parameters
        ----------
        placed
            The sub-assemblies; those without a place take up no space.
        floor
            How it is built.
        """
        self.placed = {one.sub.name: one for one in placed}
        self.surroundings, self.room, self.floor = surroundings, room, floor
        self._height_mm = room.height_mm if room else None
        self.fixed = fixed_of(surroundings, room=room, floor=floor)
        self.own = {name: self.stood(one) for name, one in self.placed.items()}
        moving = [stood for own in self.own.values() for stood in own]
        self.prisms = (
            *(stood.prism for stood in moving),
            *(one.prism for one in self.fixed),
        )
        self._crowd = Crowd(
            [*(stood.whole for stood in moving), *(one.footprint for one in self.fixed)]
        )
        self.far_mm = _far(moving, [one.prism for one in self.fixed])
        """A way that brings anything clear of everything. [mm]."""
        self._hull = tuple(
            (
                part,
                open_hull(part, surroundings=surroundings, room=room)
                .shrunk(surroundings.clear_mm)
                .made_ready(),
            )
            for part in surroundings.hull
            if not flaw_of(part.inside.corners)
        )

    def stood(self, one: Placed) -> tuple[Standpoint, ...]:
        """Make the prisms of a sub-assembly, also of one that is not as it stands here."""
        prisms = prisms_of(one.sub, boxes=one.boxes, sources=one.sources, height_mm=self._height_mm)
        wholes = [footprint(prism.foot) for prism in prisms]
        return tuple(
            Standpoint(prism=prism, whole=whole, core=whole.shrunk(PLAY_MM))
            for prism, whole in zip(prisms, wholes, strict=True)
        )

    def meetings(self, bodies: Sequence[tuple[Prism, Footprint]]) -> Iterator[tuple[Prism, Prism]]:
        """Give each body with what it stands in, of other sub-assemblies and of what is fixed.

        What lies below the floor went through it, and counts as standing in it.
        """
        for number, at in self._crowd.meetings([core for _, core in bodies]):
            prism, other = bodies[number][0], self.prisms[at]
            if other.kind is PrismKind.FLOOR:
                deep = other.high_mm - prism.low_mm
            else:
                deep = min(prism.high_mm, other.high_mm) - max(prism.low_mm, other.low_mm)
            if other.owner != prism.owner and deep > PLAY_MM:
                yield prism, other

    def clashes(
        self, own: Sequence[Standpoint], *, by: Shift = STAY
    ) -> Iterator[tuple[Prism, Prism]]:
        """Give each prism of a sub-assembly with what it stands in, the hull left out.

        A sub-assembly that stands below the floor is let into it.
        """
        sunk = any(self._is_sunk(stood.prism.owner) for stood in own[:1])
        for prism, other in self.meetings([shifted(stood, by) for stood in own]):
            if other.kind is not PrismKind.HULL and not (sunk and other.name == FLOOR):
                yield prism, other

    def _is_sunk(self, name: str) -> bool:
        stand = self.placed[name].sub.stand
        return stand is not None and stand.up_mm < 0.0

    def beyond(self, own: Sequence[Standpoint], *, by: Shift = STAY) -> Iterator[Beyond]:
        """Give each prism of a sub-assembly that does not clear the hull."""
        if not self._hull:
            return
        top = max(part.high_mm for part, _ in self._hull)
        roof = (
            None if Side.TOP in self.surroundings.open_sides else top - self.surroundings.clear_mm
        )
        for stood in own:
            prism, core = shifted(stood, by)
            for part, inside in self._hull:
                overlap = min(prism.high_mm, part.high_mm) - max(prism.low_mm, part.low_mm)
                if overlap > PLAY_MM and not inside.covers(core):
                    out = core.beyond_mm(inside) + PLAY_MM
                    if inside.is_nothing:  # the gap leaves no room at all
                        out = self.surroundings.clear_mm
                    yield Beyond(prism=prism, part=part, by_mm=out)
            if roof is not None and prism.high_mm > roof + PLAY_MM:
                highest = next(part for part, _ in self._hull if part.high_mm == top)
                yield Beyond(prism=prism, part=highest, by_mm=prism.high_mm - roof, over_roof=True)

    def is_home(self, name: str, *, by: Shift) -> bool:
        """Tell whether a shift leaves a sub-assembly on the floor plan and above the floor."""
        stand, room = self.placed[name].sub.stand, self.room
        if stand is None or room is None:
            return True
        x_mm, y_mm = stand.x_mm + by[0], stand.y_mm + by[1]
        if not (0.0 <= x_mm <= room.width_mm and 0.0 <= y_mm <= room.depth_mm):
            return False
        lowest = min((stood.prism.low_mm for stood in self.own[name]), default=0.0) + by[2]
        return self._is_sunk(name) or lowest >= -PLAY_MM

    def is_clear(self, own: Sequence[Standpoint], *, by: Shift = STAY) -> bool:
        """Tell whether a sub-assembly stands in nothing and clears the hull."""
        return next(self.clashes(own, by=by), None) is None and (
            next(self.beyond(own, by=by), None) is None
        )


def shifted(stood: Standpoint, by: Shift = STAY) -> tuple[Prism, Footprint]:
    """Give a prism and its core somewhere else; its footprint as drawn stays behind."""
    if by == STAY:
        return stood.prism, stood.core
    spot: Spot = by[:2]
    prism = replace(
        stood.prism,
        low_mm=stood.prism.low_mm + by[2],
        high_mm=stood.prism.high_mm + by[2],
    )
    return prism, stood.core.moved(spot)


def _far(moving: Sequence[Standpoint], fixed: Sequence[Prism]) -> float:
    """Give twice the way round everything; half of it brings anything clear of the rest."""
    boxes = [stood.whole.bounds_mm for stood in moving] + [bounds_mm(one.foot) for one in fixed]
    if not boxes:
        return 0.0
    left, bottom, right, top = _around(boxes)
    prisms = [*(stood.prism for stood in moving), *fixed]
    high = max(prism.high_mm for prism in prisms) - min(prism.low_mm for prism in prisms)
    return 2.0 * (right - left + top - bottom + high)


def prisms_bounds(prisms: Sequence[Prism]) -> Bounds:
    """Give left, bottom, right and top of everything on the floor plan; there must be one."""
    return _around([bounds_mm(prism.foot) for prism in prisms])


def _around(boxes: Sequence[Bounds]) -> Bounds:
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )
