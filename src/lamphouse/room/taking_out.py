"""How each sub-assembly comes out: the way it is moved, and what must be out before it.

A way is a few straight moves. On each move every prism sweeps a prism: its footprint swept along
the move, between the heights it passes. The way is free when nothing that is still there lies in
what is swept. Taking more out never closes a way, so that what can come out at once is taken out
first, and so on; what is left when nothing more comes out is locked, whatever the order.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from math import cos, radians, sin

from lamphouse.design.place import Lie, Looks, Stand
from lamphouse.design.surroundings import OutMove, OutWay
from lamphouse.record import Record, replace
from lamphouse.room.assembled import STAY, Assembled, Shift, Standpoint, shifted
from lamphouse.room.placed_prisms import looks_of
from lamphouse.room.prisms import FLOOR, Prism, PrismKind
from lamphouse.shapes.footprints import Footprint

LIFT_MM = 5.0
"""Lifted so far, a wall clears what it stands on [PRACTICE]."""
_Key = tuple[str, PrismKind, str]
CLEAR_MM = 2.0
"""Beyond its own depth, so that it clears its neighbours before it turns aside [PRACTICE]."""


class Way(Record):
    """One way out, with what stands in it while everything is in its place."""

    moves: tuple[OutMove, ...]
    blocked_by: frozenset[str]
    """Sub-assemblies."""
    fixed: tuple[Prism, ...]
    """What stays where it is and stands in the way: at most one."""


class TakenOut(Record):
    """A sub-assembly that comes out."""

    sub_assembly: str
    moves: tuple[OutMove, ...]
    after: tuple[str, ...]
    """What must be out before, in that order."""
    towards_mm: tuple[float, float]
    """Right and back, of its last level move, of length 1; 0, 0 when it is only lifted."""

    @property
    def words(self) -> str:
        """The moves as the project file writes them."""
        return ", ".join(move.words for move in self.moves)


class Removal(Record):
    """What comes out, in order, and what does not."""

    out: tuple[TakenOut, ...]
    """In an order in which everything comes out; put in the other way round."""
    locked: tuple[str, ...]
    """In the order of the file."""


def vector_of(way: OutWay, stand: Stand, *, height_mm: float | None) -> Shift:
    """Give the unit vector of a way on the floor plan: right, back, up."""
    room: dict[OutWay, Shift] = {
        OutWay.FRONT: (0.0, -1.0, 0.0),
        OutWay.BACK: (0.0, 1.0, 0.0),
        OutWay.LEFT: (-1.0, 0.0, 0.0),
        OutWay.RIGHT: (1.0, 0.0, 0.0),
        OutWay.UP: (0.0, 0.0, 1.0),
        OutWay.DOWN: (0.0, 0.0, -1.0),
    }
    if way in room:
        return room[way]
    side = 1.0 if way is OutWay.FORWARDS else -1.0
    if stand.lies is Lie.FLAT:
        looks = looks_of(stand, height_mm=height_mm)
        return (0.0, 0.0, side if looks is Looks.UP else -side)
    turn = radians(stand.turn_deg)
    return (_round(side * sin(turn)), _round(-side * cos(turn)), 0.0)


def _round(value: float) -> float:
    """Leave out what a quarter turn leaves in the last digits."""
    return round(value, 12) + 0.0


def ways_of(assembled: Assembled, name: str, *, any_way: bool = False) -> tuple[Way, ...]:
    """Give the ways out of a sub-assembly, the most natural first, each with what blocks it.

    Ways after one that nothing blocks are not looked at.

    Parameters
    ----------
    any_way
        Whether to look at every way, though the maker wrote one.
    """
    stand = assembled.placed[name].sub.stand
    own = assembled.own[name]
    if stand is None or not own:
        return ()
    tried: Iterable[tuple[OutMove, ...]]
    tried = [stand.out] if stand.out and not any_way else _natural(stand, own)
    held = {_thing(other) for _, other in assembled.meetings([shifted(one) for one in own])}
    found = []
    for moves in tried:
        way = _looked_at(assembled, stand, own, moves, held=held)
        found.append(way)
        if not way.blocked_by and not way.fixed:
            break
    return tuple(found)


def _natural(stand: Stand, own: Sequence[Standpoint]) -> Iterator[tuple[OutMove, ...]]:
    """Give the ways tried where the maker wrote none."""
    up = OutMove(way=OutWay.UP)
    level = [OutMove(way=way) for way in (OutWay.FRONT, OutWay.BACK, OutWay.LEFT, OutWay.RIGHT)]
    if stand.lies is Lie.FLAT:
        yield (up,)
        for move in level:
            yield (move,)
        return
    ways = (OutWay.FORWARDS, OutWay.BACKWARDS)
    yield (OutMove(way=OutWay.FORWARDS),)
    yield (up,)
    lift = OutMove(way=OutWay.UP, by_mm=LIFT_MM)
    deep = CLEAR_MM + _depth(own, vector_of(OutWay.FORWARDS, stand, height_mm=None))
    for way in ways:
        yield (lift, OutMove(way=way))
        yield (OutMove(way=way, by_mm=round(deep, 1)), up)
    yield (OutMove(way=OutWay.BACKWARDS),)
    for move in level:
        yield (move,)


def _depth(own: Sequence[Standpoint], along: Shift) -> float:
    """Give how deep a sub-assembly is along a level vector."""
    places = [x * along[0] + y * along[1] for stood in own for x, y, _ in stood.prism.foot]
    return max(places) - min(places)


def _looked_at(
    assembled: Assembled,
    stand: Stand,
    own: Sequence[Standpoint],
    moves: tuple[OutMove, ...],
    *,
    held: set[_Key],
) -> Way:
    """Look at one way; what it stands in from the start, ``held``, is told by another rule."""
    blocked: set[str] = set()
    fixed: list[Prism] = []
    for at, by in _legs(assembled, stand, moves):
        swept = [_swept(stood, at=at, by=by) for stood in own]
        for _, other in assembled.meetings(swept):
            if _thing(other) in held:
                continue
            if other.owner:
                blocked.add(other.owner)
            elif not (other.name == FLOOR and stand.up_mm < 0.0):
                fixed = fixed or [other]
    return Way(moves=moves, blocked_by=frozenset(blocked), fixed=tuple(fixed))


def _thing(prism: Prism) -> _Key:
    return prism.owner, prism.kind, prism.name


def _legs(
    assembled: Assembled, stand: Stand, moves: Sequence[OutMove]
) -> Iterator[tuple[Shift, Shift]]:
    """Give each move as where it begins and how far it goes."""
    at = STAY
    height = assembled.room.height_mm if assembled.room else None
    for move in moves:
        vector = vector_of(move.way, stand, height_mm=height)
        far = assembled.far_mm if move.by_mm is None else move.by_mm
        by = (vector[0] * far, vector[1] * far, vector[2] * far)
        yield at, by
        at = (at[0] + by[0], at[1] + by[1], at[2] + by[2])


def _swept(stood: Standpoint, *, at: Shift, by: Shift) -> tuple[Prism, Footprint]:
    """Give the prism that one prism sweeps on one move, from where the move begins."""
    prism, core = stood.prism, stood.core
    if at[:2] != (0.0, 0.0):
        core = core.moved(at[:2])
    if by[0] or by[1]:
        core = core.swept(by[:2])
    swept = replace(
        prism,
        low_mm=prism.low_mm + at[2] + min(by[2], 0.0),
        high_mm=prism.high_mm + at[2] + max(by[2], 0.0),
    )
    return swept, core


def take_out(assembled: Assembled, *, ways: Mapping[str, Sequence[Way]]) -> Removal:
    """Find an order in which everything comes out.

    Parameters
    ----------
    ways
        Of every sub-assembly, the most natural first.
    """
    left = [name for name, own in assembled.own.items() if own]
    before: dict[str, tuple[str, ...]] = {}
    out: list[TakenOut] = []
    while left:
        free = [
            (name, best)
            for name in left
            if (best := _free_way(ways[name], still=set(left), before=before)) is not None
        ]
        if not free:
            break
        for name, way in free:
            before[name] = _all_before(way, before=before, order=[one.sub_assembly for one in out])
        for name, way in free:
            out.append(_taken(assembled, name, way, after=before[name]))
            left.remove(name)
    return Removal(out=tuple(out), locked=tuple(left))


def _free_way(
    ways: Sequence[Way], *, still: set[str], before: Mapping[str, Sequence[str]]
) -> Way | None:
    """Give the way with the least to take out before it among those that are free by now."""
    free = [way for way in ways if not way.fixed and not way.blocked_by & still]
    return min(free, key=lambda way: len(_needed(way, before)), default=None)


def _needed(way: Way, before: Mapping[str, Sequence[str]]) -> set[str]:
    return {name for other in way.blocked_by for name in (other, *before.get(other, ()))}


def _all_before(
    way: Way, *, before: Mapping[str, Sequence[str]], order: Sequence[str]
) -> tuple[str, ...]:
    needed = _needed(way, before)
    return tuple(name for name in order if name in needed)


def _taken(assembled: Assembled, name: str, way: Way, *, after: tuple[str, ...]) -> TakenOut:
    stand = assembled.placed[name].sub.stand
    towards = (0.0, 0.0)
    for move in way.moves:
        vector = vector_of(move.way, stand, height_mm=None) if stand else STAY
        if vector[0] or vector[1]:
            towards = vector[:2]
    return TakenOut(sub_assembly=name, moves=way.moves, after=after, towards_mm=towards)
