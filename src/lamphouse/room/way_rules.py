"""Rules on how sub-assemblies come out: what blocks one for good, and which lock each other."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.room.assembled import Assembled
from lamphouse.room.taking_out import Removal, Way, take_out
from lamphouse.room.way_mends import opened, other_place, other_way


@rule("ROM006", Severity.STOP, "A sub-assembly cannot come out")
def walled_in(assembled: Assembled, *, ways: Mapping[str, Sequence[Way]]) -> Iterable[Told]:
    """Find sub-assemblies that what stays where it is keeps in.

    What it checks
        Each sub-assembly has a way out that meets neither a fixed wall, nor the floor, nor the
        hull beyond its open sides: the way the maker wrote, or else forwards, up, backwards, to
        any side, or a short move and then another.

    Why it matters
        A wall that went in before the hull was closed never comes out again, and the first dead
        LED behind it stays dead.

    Example
        ::

            room:
              walls:
                quay: {from: [20 mm, 50 mm], to: [200 mm, 50 mm]}
            sub_assemblies:
              desk:
                stands: {at: [40 mm, 60 mm], out: front}

    Mend
        Take the way that the finding gives, or open the side that it names; both were tried.

    Source
        Plain geometry: each prism swept along the way.
    """
    for name in walled(ways):
        first = ways[name][0]
        met = first.fixed[0]
        written = assembled.placed[name].sub.stand
        way = ", ".join(move.words for move in first.moves)
        said = (
            f"its way out, {way}," if written and written.out else f"every way out, such as {way},"
        )
        yield Told(
            where=assembled.placed[name].sub.where,
            message=f"{said} meets {met.words}",
            remedy=_let_out(assembled, name, ways=ways),
        )


def _let_out(assembled: Assembled, name: str, *, ways: Mapping[str, Sequence[Way]]) -> str:
    moves = other_way(assembled, name, ways=ways)
    if moves:
        return f"write out: {_listed([move.words for move in moves])}; this was tried"
    sides = opened(assembled, name)
    if sides:
        return f"leave another side open, room: {{open: [{', '.join(sides)}]}}; this was tried"
    found = other_place(assembled, [name])
    if found:
        return f"write {found[1]}; this was tried"
    return "make what is in the way a sub-assembly of its own, or stand this one elsewhere"


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"[{', '.join(words)}]"


def walled(ways: Mapping[str, Sequence[Way]]) -> tuple[str, ...]:
    """List those of which every way meets something that stays where it is."""
    return tuple(name for name, own in ways.items() if own and all(way.fixed for way in own))


@rule("ROM007", Severity.STOP, "Sub-assemblies lock each other")
def locked_together(
    assembled: Assembled, *, ways: Mapping[str, Sequence[Way]], removal: Removal
) -> Iterable[Told]:
    """Find sub-assemblies that cannot be taken out in any order, one after the other.

    What it checks
        There is an order in which all come out, each by a way that is free by then. Of those that
        are left, the finding names the fewest that wait for each other in a ring.

    Why it matters
        What cannot be taken out one by one was not put in one by one either: the last one does
        not go in.

    Example
        ::

            sub_assemblies:
              desk:
                stands: {at: [40 mm, 60 mm], out: front}
              rail:
                stands: {at: [40 mm, 30 mm], out: back}
                panels:
                  plate: {outline: rectangle 80 x 30 mm, sheet: styrene 1.0 mm}

    Mend
        Take the way or the place that the finding gives; it was tried.

    Source
        Plain geometry. Straight moves one at a time; what comes out only by turning it, or two at
        once, is told too, and may be accepted.
    """
    for ring in rings_of(ways, removal=removal):
        pair = " and ".join(f"'{name}'" for name in ring[:2])
        more = "" if len(ring) == 2 else f" in a ring of {len(ring)}: {', '.join(ring)}"
        yield Told(
            where=assembled.placed[ring[0]].sub.where,
            message=f"{pair} lock each other{more}: none comes out while another is there",
            remedy=_unlock(assembled, ring, ways=ways),
        )


def rings_of(ways: Mapping[str, Sequence[Way]], *, removal: Removal) -> Iterator[tuple[str, ...]]:
    """Give rings of sub-assemblies that wait for each other, until none is left.

    What waits only for one that is walled in is not told again.
    """
    gone = {one.sub_assembly for one in removal.out} | set(walled(ways))
    left = [name for name in removal.locked if name not in gone]
    while left:
        free = [name for name in left if _waits_for(ways[name], left) == frozenset()]
        if free:
            left = [name for name in left if name not in free]
            continue
        ring = _ring(left[0], ways=ways, left=left)
        yield ring
        left.remove(ring[0])


def _waits_for(ways: Sequence[Way], left: Sequence[str]) -> frozenset[str]:
    """Give whom it waits for on the way that waits for the fewest."""
    waits = [way.blocked_by & set(left) for way in ways if not way.fixed]
    return min(waits, key=lambda names: (len(names), sorted(names)))


def _ring(start: str, *, ways: Mapping[str, Sequence[Way]], left: Sequence[str]) -> tuple[str, ...]:
    """Walk from one to one it waits for until a name comes again."""
    order = {name: number for number, name in enumerate(left)}
    walked = [start]
    while True:
        waits = _waits_for(ways[walked[-1]], left)
        again = [name for name in walked if name in waits]
        if again:
            return tuple(walked[walked.index(again[-1]) :])
        walked.append(min(waits, key=order.__getitem__))


def _unlock(assembled: Assembled, ring: Sequence[str], *, ways: Mapping[str, Sequence[Way]]) -> str:
    for name in ring:
        moves = other_way(assembled, name, ways=ways)
        if moves:
            return (
                f"write out: {_listed([move.words for move in moves])} for '{name}'; this was tried"
            )
    found = other_place(assembled, ring)
    if found:
        return f"write {found[1]} for '{found[0]}'; this was tried"
    return f"make '{ring[0]}' and '{ring[1]}' one sub-assembly, or leave one of them smaller"


def look_at_ways(
    assembled: Assembled, *, ways: Mapping[str, Sequence[Way]]
) -> tuple[Removal, tuple[Finding, ...]]:
    """Find the order of taking out, and run the rules on it."""
    removal = take_out(assembled, ways=ways)
    found = (
        *walled_in(assembled, ways=ways),
        *locked_together(assembled, ways=ways, removal=removal),
    )
    return removal, found
