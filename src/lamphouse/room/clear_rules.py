"""Rules on what must not stand in one another: the hull, other sub-assemblies, the floor."""

from collections.abc import Iterable, Sequence
from math import ceil

from lamphouse.findings import Finding, Severity, Told, Where, rule
from lamphouse.room.assembled import Assembled, Beyond
from lamphouse.room.clear_mends import Mend, box_of, in_mm, mends_of
from lamphouse.room.floor_hatches import hatch_under
from lamphouse.room.panel_places import overlapping_boxes, panel_that_works
from lamphouse.room.prisms import BASEBOARD, FLOOR, Prism, PrismKind
from lamphouse.shapes.soundness import flaw_of

MOST_TOLD = 60
"""Findings of one rule; mending the first ones mends most of the others."""
Pair = tuple[Prism, Prism]
"""Something, and what it stands in."""


def _or(mends: Sequence[Mend], *, name: str) -> str:
    """Put mends into words; what works was tried."""
    if not mends:
        return f"no one change of its depth or place clears '{name}': move what it stands in"
    return " or ".join(f"write {mend.words}" for mend in mends) + "; this was tried"


@rule("ROM001", Severity.STOP, "Something does not clear the hull")
def beyond_hull(assembled: Assembled) -> Iterable[Told]:
    """Find panels, light boxes and sources that reach into the hull.

    What it checks
        Everything of every sub-assembly stays inside the hull, at its own height, with the room's
        ``clear`` between; below the roof too where the top is not open. Beyond a side that is open
        there is no hull.

    Why it matters
        The wall is finished and wired when it is found not to go in, and a light box cannot be
        made shallower once it is glued.

    Example
        ::

            room:
              hull:
                main: {inside: rectangle 300 x 200 mm, at: [150 mm, 100 mm], heights: 0 to 150 mm}
              open: [front, top]
            sub_assemblies:
              desk:
                stands: {at: [40 mm, 190 mm]}

    Mend
        Take the depth or the place that the finding gives; it was tried against the hull and
        everything else that stands there.

    Source
        Plain geometry; the gap is the project's, 1 mm without [PRACTICE].
    """
    seen: dict[tuple[str, PrismKind, str, str, bool], Beyond] = {}
    for own in assembled.own.values():
        for one in assembled.beyond(own):
            prism = one.prism
            key = (prism.owner, prism.kind, prism.name, one.part.name, one.over_roof)
            if key not in seen or one.by_mm > seen[key].by_mm:
                seen[key] = one
    for one in list(seen.values())[:MOST_TOLD]:
        prism = one.prism
        wall = "roof" if one.over_roof else "wall"
        yield Told(
            where=prism.where,
            message=f"{prism.words} reaches {in_mm(one.by_mm)} beyond what the {wall} of hull "
            f"'{one.part.name}' leaves, {in_mm(assembled.surroundings.clear_mm)} of air included",
            remedy=_or(mends_of(assembled, prism.owner, **box_of(prism)), name=prism.owner),
        )


@rule("ROM002", Severity.STOP, "Two things stand in one another")
def in_one_another(assembled: Assembled, *, pairs: Sequence[Pair]) -> Iterable[Told]:
    """Find sub-assemblies that stand in each other or in a fixed wall.

    What it checks
        No panel, light box or source of a sub-assembly takes up the space of another's, or of a
        wall that stays where it is. Walls that touch edge to edge are fine.

    Why it matters
        Each fits by itself; the second does not go in when the first is glued.

    Example
        ::

            sub_assemblies:
              shelf:
                stands: {at: [60 mm, 62 mm]}
                panels:
                  face: {outline: rectangle 40 x 40 mm, sheet: styrene 1.0 mm}

    Mend
        Take the depth or the place that the finding gives; it was tried against everything that
        stands there.

    Source
        Plain geometry. What is not upright and square is held by upright and square covers.
    """
    for prism, other in pairs:
        if other.kind is PrismKind.FLOOR:
            continue
        yield Told(
            where=prism.where,
            message=f"{prism.words} and {other.words} stand in one another{_at(prism, other)}",
            remedy=_or(mends_of(assembled, prism.owner, **box_of(prism)), name=prism.owner),
        )


@rule("ROM003", Severity.STOP, "Something reaches through the floor")
def through_floor(assembled: Assembled, *, pairs: Sequence[Pair]) -> Iterable[Told]:
    """Find panels and light boxes that lie lower than the floor lets them.

    What it checks
        A sub-assembly that stands on or above the floor has nothing below the floor's upper face.
        One whose ``up`` is below 0 is let into the floor, and over a hatch there is no floor.

    Why it matters
        A table with a light box below it stands on the box, and every sight line is wrong.

    Example
        ::

            sub_assemblies:
              desk:
                stands: {at: [40 mm, 60 mm], up: 5 mm, lies: flat}

    Mend
        Take the height or the depth that the finding gives.

    Source
        Plain geometry.
    """
    for prism, other in pairs:
        if other.name != FLOOR or other.owner or prism.kind is PrismKind.SOURCE:
            continue
        yield Told(
            where=prism.where,
            message=f"{prism.words} reaches {in_mm(other.high_mm - prism.low_mm)} below the "
            "floor's upper face",
            remedy=_or(mends_of(assembled, prism.owner, **box_of(prism)), name=prism.owner),
        )


def pairs_of(assembled: Assembled) -> tuple[Pair, ...]:
    """Give one pair of prisms for each two things that stand in one another, deepest first."""
    order = {name: number for number, name in enumerate(assembled.own)}
    found: dict[tuple[object, ...], tuple[Prism, Prism]] = {}
    for own in assembled.own.values():
        for one, other in assembled.clashes(own):
            first, second = (one, other) if not other.owner else _told_of(one, other, order)
            key = (first.owner, first.kind, first.name, second.owner, second.kind, second.name)
            kept = found.setdefault(key, (first, second))
            if first.low_mm < kept[0].low_mm:
                found[key] = (first, second)
    return tuple(found.values())[:MOST_TOLD]


def _told_of(one: Prism, other: Prism, order: dict[str, int]) -> tuple[Prism, Prism]:
    """Say of which of two it is told: a light box, which can be shallower, or the later one."""
    boxes = [each.kind is PrismKind.BOX for each in (one, other)]
    if boxes[0] != boxes[1]:
        return (one, other) if boxes[0] else (other, one)
    return (one, other) if order[one.owner] > order[other.owner] else (other, one)


def _at(prism: Prism, other: Prism) -> str:
    low = max(prism.low_mm, other.low_mm)
    high = min(prism.high_mm, other.high_mm)
    return f", {in_mm(low)} to {in_mm(high)} above the floor"


@rule("ROM010", Severity.WARN, "A source hangs through the floor")
def source_through_floor(assembled: Assembled, *, pairs: Sequence[Pair]) -> Iterable[Told]:
    """Find sources whose bundle needs a hole in the floor.

    What it checks
        The bundle and LED behind a table or a low wall end above the floor, or over a hatch in it.

    Why it matters
        Fibres bend no tighter for want of room. Through a hole under the table the bundle has all
        it needs; without one the table does not go down.

    Example
        ::

            sub_assemblies:
              desk:
                stands: {at: [40 mm, 60 mm], up: 40 mm, lies: flat}

    Mend
        Cut the hatch that the finding gives; it was tried. Or stand the sub-assembly higher.

    Source
        Plain geometry; the source is taken to be 35 mm long and 6 mm across [PRACTICE].
    """
    for board in (FLOOR, BASEBOARD):
        found: dict[str, list[Prism]] = {}
        for prism, other in pairs:
            if other.name == board and not other.owner and prism.kind is PrismKind.SOURCE:
                found.setdefault(prism.owner, []).append(prism)
        for name, sources in found.items():
            deep = max(-prism.low_mm for prism in sources)
            names = ", ".join(dict.fromkeys(f"'{prism.name}'" for prism in sources))
            below = deep - assembled.floor.thick_mm
            yield Told(
                where=assembled.placed[name].sub.where,
                message=f"its source of {names} hangs {in_mm(deep)} below the floor's upper face"
                + (f", and meets the {board}" if board == BASEBOARD else ""),
                remedy=hatch_under(assembled, name, sources=sources)
                if board == FLOOR
                else f"write loom: {{depth: {in_mm(ceil(below))}}}, or stand it higher",
            )


@rule("ROM004", Severity.STOP, "Light boxes of two panels stand in one another")
def boxes_of_two_panels(assembled: Assembled) -> Iterable[Told]:
    """Find light boxes behind different panels of one sub-assembly that overlap.

    What it checks
        Where panels of a sub-assembly have places of their own, the light box behind one takes up
        no space of a box behind another.

    Why it matters
        Each box fits its panel; both do not go behind the wall.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  side:
                    at: [20 mm, 0 mm]
                    outline: rectangle 60 x 50 mm
                    sheet: styrene 0.75 mm
                    openings:
                      lamp: {shape: rectangle 6 x 6 mm, at: [30 mm, 25 mm]}
                    boxes:
                      lamp box:
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 25 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Move one of the panels, or make a box smaller.

    Source
        Plain geometry.
    """
    for name, own in assembled.own.items():
        for first, second in overlapping_boxes(assembled, name, own=own):
            yield Told(
                where=first.where,
                message=f"light box '{first.name}' behind panel '{first.carrier}' and "
                f"'{second.name}' behind '{second.carrier}' stand in one another",
                remedy=panel_that_works(assembled, name, first=first, second=second),
            )


@rule("ROM005", Severity.STOP, "An outline on the floor plan has no inside")
def unsound_on_plan(
    outlined: Sequence[tuple[Where, tuple[tuple[float, float, float], ...]]],
) -> Iterable[Told]:
    """Find outlines of the hull, of hatches and of what lies under the floor that are none.

    What it checks
        Each goes round once without crossing itself, and encloses something.

    Why it matters
        Whether something lies inside it cannot be told; it is left out of everything else.

    Example
        ::

            room:
              hatches:
                H: {shape: {points: [[0 mm, 0 mm], [20 mm, 20 mm], [20 mm, 0 mm], [0 mm, 20 mm]]}}

    Mend
        Write its points in the order in which one goes round it.

    Source
        Plain geometry.
    """
    for where, corners in outlined:
        flaw = flaw_of(corners)
        if flaw:
            yield Told(
                where=where,
                message=f"its outline {flaw.words}",
                remedy="write its points in the order in which one goes round it",
            )


def look_at_places(assembled: Assembled) -> tuple[Finding, ...]:
    """Run the rules on what must not stand in one another."""
    around, pairs = assembled.surroundings, pairs_of(assembled)
    outlined = [
        *((part.where, part.inside.corners) for part in around.hull),
        *((thing.where, thing.outline.corners) for thing in around.under_floor),
        *((hatch.where, hatch.outline.corners) for hatch in around.hatches),
    ]
    return (
        *unsound_on_plan(outlined),
        *beyond_hull(assembled),
        *in_one_another(assembled, pairs=pairs),
        *through_floor(assembled, pairs=pairs),
        *source_through_floor(assembled, pairs=pairs),
        *boxes_of_two_panels(assembled),
    )
