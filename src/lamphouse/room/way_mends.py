"""Changes that would let a sub-assembly out, all tried: another way, open side, or place."""

from collections.abc import Mapping, Sequence

from lamphouse.design.place import Stand
from lamphouse.design.surroundings import OutMove, Side
from lamphouse.record import replace
from lamphouse.room.assembled import Assembled
from lamphouse.room.clear_mends import at_mm, in_mm, ways_of_shifting
from lamphouse.room.taking_out import Removal, Way, take_out, ways_of

SHIFTS_MM = (1.0, 2.0, 5.0, 10.0, 20.0, 40.0)
MOST_TRIED = 48
"""Places tried for one lock, so that a model of hundreds of walls is judged in seconds."""


def all_ways(assembled: Assembled) -> dict[str, tuple[Way, ...]]:
    """Give the ways out of every sub-assembly."""
    return {name: ways_of(assembled, name) for name in assembled.own}


def other_way(
    assembled: Assembled, name: str, *, ways: Mapping[str, Sequence[Way]]
) -> tuple[OutMove, ...] | None:
    """Find a way that the maker did not write by which a sub-assembly comes out."""
    stand = assembled.placed[name].sub.stand
    if stand is None or not stand.out:
        return None
    tried = {**ways, name: ways_of(assembled, name, any_way=True)}
    found = take_out(assembled, ways=tried)
    return next((one.moves for one in found.out if one.sub_assembly == name), None)


def opened(assembled: Assembled, name: str) -> tuple[Side, ...] | None:
    """Find a closed side of the hull by which it comes out once it is open; the sides then."""
    around = assembled.surroundings
    for side in (Side.FRONT, Side.TOP, Side.BACK, Side.LEFT, Side.RIGHT):
        if side in around.open_sides or not around.hull:
            continue
        sides = (*around.open_sides, side)
        trial = Assembled(
            tuple(assembled.placed.values()),
            surroundings=replace(around, open_sides=sides),
            room=assembled.room,
            floor=assembled.floor,
        )
        if not _is_locked(trial, name):
            return sides
    return None


def other_place(assembled: Assembled, names: Sequence[str]) -> tuple[str, str] | None:
    """Find a place for one of them at which it comes out: its name and the place in words.

    The least shift that works, of those tried; everything stays clear of everything.
    """
    tried = 0
    for far in SHIFTS_MM:
        for name in names:
            stand = assembled.placed[name].sub.stand
            if stand is None:
                continue
            for way in ways_of_shifting(stand):
                by = (way[0] * far, way[1] * far, way[2] * far)
                at_home = assembled.is_home(name, by=by)
                if not (at_home and assembled.is_clear(assembled.own[name], by=by)):
                    continue
                if tried >= MOST_TRIED:
                    return None
                tried += 1
                moved = replace(
                    stand,
                    x_mm=stand.x_mm + by[0],
                    y_mm=stand.y_mm + by[1],
                    up_mm=stand.up_mm + by[2],
                )
                if not _is_locked(_with_stand(assembled, name, moved), name):
                    words = (
                        f"up: {in_mm(moved.up_mm)}"
                        if by[2]
                        else f"at: {at_mm(moved.x_mm, moved.y_mm)}"
                    )
                    return name, words
    return None


def _with_stand(assembled: Assembled, name: str, stand: Stand) -> Assembled:
    placed = tuple(
        replace(one, sub=replace(one.sub, stand=stand)) if one.sub.name == name else one
        for one in assembled.placed.values()
    )
    return Assembled(
        placed,
        surroundings=assembled.surroundings,
        room=assembled.room,
        floor=assembled.floor,
    )


def _is_locked(assembled: Assembled, name: str) -> bool:
    removal: Removal = take_out(assembled, ways=all_ways(assembled))
    return name in removal.locked
