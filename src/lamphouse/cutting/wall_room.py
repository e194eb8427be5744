"""Room for a passage on the two walls it goes through: what is too near, and where it would fit.

Everything is measured along the passage from its first end, and above the back of the box that
names it; so both walls lie on one another.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import product
from math import hypot

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.mends import STEP_MM, at_mm, in_mm
from lamphouse.cutting.wall_holes import (
    Patch,
    Side,
    Through,
    WallHole,
    along_mm,
    patch_of,
    side_of,
    taken_on,
)
from lamphouse.design.lightbox import LightBox
from lamphouse.record import Record, replace

LEAST_MM = 1.0
"""A passage is not made narrower or lower than this to fit."""


class Thing(Record):
    """Something on a wall that a passage must keep clear of."""

    patch: Patch
    wall: str
    """As a sentence names it."""
    land_mm: float
    """Sheet wanted between: the wall's thickness."""


class Edge(Record):
    """An edge of a wall's piece."""

    words: str
    at_mm: float
    upright: bool
    """Whether it is an end of the wall; else it runs along it."""
    inwards: float
    """1 where the wall lies at greater figures, else -1."""
    wall: str
    land_mm: float

    def land_to_mm(self, hole: Patch) -> float:
        """Sheet between the edge and a hole. [mm]."""
        if self.upright:
            near = hole.from_mm if self.inwards > 0.0 else hole.to_mm
        else:
            near = hole.low_mm if self.inwards > 0.0 else hole.high_mm
        return (near - self.at_mm) * self.inwards

    def is_kept(self, hole: Patch) -> bool:
        """Whether enough sheet stays, or none where a hole may be open to panel or back."""
        land = self.land_to_mm(hole)
        return land >= self.land_mm - STEP_MM or (not self.upright and abs(land) <= ROUNDING_MM)


class Room(Record):
    """A passage with all that limits it on both walls."""

    through: Through
    hole: Patch
    things: tuple[Thing, ...]
    edges: tuple[Edge, ...]
    stretch_mm: tuple[float, float]
    """Where both boxes have a wall, along the passage."""
    floor_mm: float
    """The higher of the inner faces of both backs."""

    def parted(self, hole: Patch) -> tuple[str, ...]:
        """List the walls that a hole cuts in two: open at the back and at the panel."""
        level = [edge for edge in self.edges if not edge.upright]
        walls = dict.fromkeys(edge.wall for edge in level)
        whole = {edge.wall for edge in level if abs(edge.land_to_mm(hole)) > ROUNDING_MM}
        return tuple(wall for wall in walls if wall not in whole)

    def fits(self, hole: Patch) -> bool:
        """Whether a hole would leave enough sheet everywhere."""
        first, last = self.stretch_mm
        return (
            hole.low_mm >= self.floor_mm - ROUNDING_MM
            and not self.parted(hole)
            and first - STEP_MM <= hole.from_mm
            and hole.to_mm <= last + STEP_MM
            and all(edge.is_kept(hole) for edge in self.edges)
            and all(gap_of(hole, other=one.patch) >= one.land_mm - STEP_MM for one in self.things)
        )


def gap_of(one: Patch, *, other: Patch) -> float:
    """Distance between two patches; 0 or less where they touch or overlap. [mm]."""
    across = max(other.from_mm - one.to_mm, one.from_mm - other.to_mm)
    up = max(other.low_mm - one.high_mm, one.low_mm - other.high_mm)
    return hypot(max(across, 0.0), max(up, 0.0)) if max(across, up) > 0.0 else max(across, up)


class _View(Record):
    """From the places on one wall to those of the passage."""

    side: Side
    start_mm: float
    sign: float
    rise_mm: float

    def patch(self, patch: Patch) -> Patch:
        """Give a patch of the wall as the passage has it."""
        ends = sorted(self.sign * (end - self.start_mm) for end in (patch.from_mm, patch.to_mm))
        return replace(
            patch,
            from_mm=ends[0],
            to_mm=ends[1],
            low_mm=patch.low_mm + self.rise_mm,
            high_mm=patch.high_mm + self.rise_mm,
        )


def _view(half: WallHole, *, box: LightBox, near: WallHole) -> _View:
    side = side_of(half, box=box)
    first, last = (along_mm(end, wall=side.wall) for end in half.ends_mm)
    return _View(
        side=side,
        start_mm=first,
        sign=1.0 if last >= first else -1.0,
        rise_mm=near.low_mm - half.low_mm,
    )


def _edges(view: _View) -> Iterator[Edge]:
    side = view.side
    whole = view.patch(
        Patch(
            words="",
            from_mm=side.wall.from_mm,
            to_mm=side.wall.to_mm,
            low_mm=-side.under_mm,
            high_mm=side.box.depth_mm,
        )
    )
    for words, at, upright, inwards in (
        ("its end", whole.from_mm, True, 1.0),
        ("its end", whole.to_mm, True, -1.0),
        ("its edge at the back", whole.low_mm, False, 1.0),
        ("its edge at the panel", whole.high_mm, False, -1.0),
    ):
        yield Edge(
            words=words,
            at_mm=at,
            upright=upright,
            inwards=inwards,
            wall=side.name,
            land_mm=side.box.sheet.thickness_mm,
        )


def room_of(
    through: Through,
    *,
    boxes: Mapping[str, LightBox],
    others: Sequence[Through],
    lead_mm: float,
) -> Room:
    """Gather what limits a passage.

    Parameters
    ----------
    through
        The passage.
    boxes
        Both its boxes by name, with sound insides of straight sides.
    others
        Passages it must keep clear of.
    lead_mm
        Outside diameter of the wires soldered to chips.
    """
    things: list[Thing] = []
    edges: list[Edge] = []
    hole = stretch = None
    for half in through.halves:
        view = _view(half, box=boxes[half.box], near=through.near)
        wall, index = view.side.wall, view.side.index
        beside = [
            patch_of(one, wall=wall)
            for other in others
            for one in other.halves
            if one.box == half.box and side_of(one, box=boxes[half.box]).index == index
        ]
        things += [
            Thing(
                patch=view.patch(patch),
                wall=view.side.name,
                land_mm=boxes[half.box].sheet.thickness_mm,
            )
            for patch in (*taken_on(view.side, lead_mm=lead_mm), *beside)
        ]
        edges += _edges(view)
        if hole is None:
            hole = view.patch(patch_of(half, wall=wall))
            stretch = sorted(
                view.sign * (along_mm(end, wall=wall) - view.start_mm) for end in through.stretch_mm
            )
    if hole is None or stretch is None:
        message = "a passage has two halves"
        raise ValueError(message)
    return Room(
        through=through,
        hole=hole,
        things=tuple(things),
        edges=tuple(edges),
        stretch_mm=(stretch[0], stretch[1]),
        floor_mm=max(through.near.low_mm - half.low_mm for half in through.halves),
    )


def _spans(room: Room) -> Iterator[tuple[float, float]]:
    """Give stretches along the wall to try: the passage moved, then cut shorter."""
    hole, (first, last) = room.hole, room.stretch_mm
    long = hole.to_mm - hole.from_mm
    starts, ends = {hole.from_mm, first}, {hole.to_mm, last}
    for edge in room.edges:
        if edge.upright:
            (starts if edge.inwards > 0.0 else ends).add(edge.at_mm + edge.inwards * edge.land_mm)
    for thing in room.things:
        starts.add(thing.patch.to_mm + thing.land_mm)
        ends.add(thing.patch.from_mm - thing.land_mm)
    yield from ((start, start + long) for start in starts)
    yield from ((end - long, end) for end in ends)
    yield from (
        (start, end)
        for start, end in product(starts, ends)
        if hole.from_mm <= start and end <= hole.to_mm and end - start >= LEAST_MM
    )


def _heights(room: Room) -> Iterator[tuple[float, float]]:
    """Give heights to try: the passage cut lower."""
    hole = room.hole
    lows, highs = {hole.low_mm, room.floor_mm}, {hole.high_mm}
    for edge in room.edges:
        if not edge.upright:
            (lows if edge.inwards > 0.0 else highs).update(
                (edge.at_mm, edge.at_mm + edge.inwards * edge.land_mm)
            )
    for thing in room.things:
        lows.add(thing.patch.high_mm + thing.land_mm)
        highs.add(thing.patch.low_mm - thing.land_mm)
    yield from ((low, high) for low, high in product(lows, highs) if high - low >= LEAST_MM)


def better(room: Room) -> Patch | None:
    """Find the hole that fits and differs least: moved or cut shorter, or cut lower.

    Returns
    -------
    Patch or None
        None where neither alone makes it fit.
    """
    hole = room.hole
    trials = [replace(hole, from_mm=start, to_mm=end) for start, end in set(_spans(room))]
    trials += [replace(hole, low_mm=low, high_mm=high) for low, high in set(_heights(room))]

    def change(one: Patch) -> tuple[float, ...]:
        ends = (one.from_mm, one.to_mm, one.low_mm, one.high_mm)
        before = (hole.from_mm, hole.to_mm, hole.low_mm, hole.high_mm)
        return (round(sum(abs(a - b) for a, b in zip(ends, before, strict=True)), 6), *ends)

    return next((one for one in sorted(trials, key=change) if room.fits(one)), None)


def mend_of(room: Room) -> str:
    """Say how to draw a passage so that it leaves enough sheet on both walls."""
    found = better(room)
    if found is None:
        return (
            "draw it elsewhere along the wall, shorter or lower; no move along the wall and no "
            "other height alone would do"
        )
    hole = room.hole
    (ax, ay), (bx, by) = room.through.near.ends_mm
    long = hole.to_mm - hole.from_mm
    ux, uy = (bx - ax) / long, (by - ay) / long
    parts = []
    if (found.from_mm, found.to_mm) != (hole.from_mm, hole.to_mm):
        start, end = (
            at_mm(ax + along * ux, y_mm=ay + along * uy) for along in (found.from_mm, found.to_mm)
        )
        parts.append(f"from: {start} and to: {end}")
    if (found.low_mm, found.high_mm) != (hole.low_mm, hole.high_mm):
        parts.append(f"low: {in_mm(found.low_mm)} and high: {in_mm(found.high_mm)}")
    return f"write {', '.join(parts)}" if parts else "draw it elsewhere along the wall"
