"""Rules on what lies under the floor: plugs within reach, wires with a way to go."""

from collections.abc import Iterable, Sequence
from math import cos, dist, pi, sin

from lamphouse.design.place import Room
from lamphouse.design.surroundings import Surroundings
from lamphouse.findings import Severity, Told, Where, rule
from lamphouse.record import Record
from lamphouse.room.clear_mends import at_mm, in_mm
from lamphouse.room.plug_reach import GRIPS, HATCH_MM, PlugReach, hatch_that_works
from lamphouse.shapes.detour import CLEAR_MM, detour
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.soundness import flaw_of

AROUND = 24
FARTHEST_MM = 200.0


class WireEnd(Record):
    """A place that wires lead to."""

    name: str
    where: Where
    at_mm: Spot
    written: str
    """How the project file puts it elsewhere; ``{at}`` stands for the place."""


class WirePair(Record):
    """Two places that wires join."""

    start: WireEnd
    end: WireEnd


@rule("ROM008", Severity.WARN, "A plug is out of reach")
def out_of_reach(
    plugs: Sequence[PlugReach],
    *,
    surroundings: Surroundings,
    room: Room | None,
    depth_mm: float | None,
) -> Iterable[Told]:
    """Find plugs under the floor that neither a hand nor tweezers get at.

    What it checks
        Where the underside of the floor is closed, a straight strip leads from an open side or a
        hatch to every plug, free of what stands under the floor: 80 mm wide, 60 mm high and at
        most 300 mm long for a hand, or 20 mm wide, 15 mm high and at most 120 mm long for tweezers.

    Why it matters
        The plug is what lets a wall come out; one that cannot be pulled is a wire that is cut.

    Example
        ::

            room: {open: [front, top]}
            loom: {depth: 30 mm}
            sub_assemblies:
              desk:
                stands: {at: [150 mm, 150 mm]}

    Mend
        Cut the hatch that the finding gives, or open a side.

    Source
        The sizes of hands and tweezers are [PRACTICE].
    """
    for plug in plugs:
        if plug.is_reached:
            continue
        hatch = hatch_that_works(plug, surroundings=surroundings, room=room, depth_mm=depth_mm)
        tweezers = GRIPS[-1]
        if depth_mm is not None and depth_mm < tweezers.high_mm:
            high = in_mm(tweezers.high_mm)
            why = f"there is {in_mm(depth_mm)} below the floor, and tweezers need {high}"
        elif plug.far_mm < 0.0:
            why = "no side is open and there is no hatch"
        else:
            why = (
                f"the nearest way in is {in_mm(plug.far_mm)} away; tweezers reach "
                f"{in_mm(tweezers.reach_mm)}, past whatever stands between"
            )
        yield Told(
            where=plug.where,
            message=f"the plug of '{plug.sub_assembly}' at {at_mm(*plug.at_mm)} is out of reach "
            f"under the floor: {why}",
            remedy=_cut(hatch.outline.corners) if hatch else "raise the floor, or open it below",
        )


def _cut(corners: Corners) -> str:
    xs, ys = [x for x, _, _ in corners], [y for _, y, _ in corners]
    at = at_mm((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
    shape = f"rectangle {HATCH_MM:g} x {HATCH_MM:g} mm"
    return f"cut a hatch: hatches: {{H: {{shape: {shape}, at: {at}}}}}; this was tried"


@rule("ROM009", Severity.STOP, "Wires find no way under the floor")
def no_way(pairs: Sequence[WirePair], *, surroundings: Surroundings) -> Iterable[Told]:
    """Find holes, splitter boards and the supply's lead that no wire can lead to.

    What it checks
        A way leads between the places that wires join, with 2 mm between it and whatever stands
        under the floor.

    Why it matters
        The wires have no length, and the joist is notched after it is glued.

    Example
        ::

            room:
              under_floor:
                leg: {shape: rectangle 30 x 30 mm, at: [40 mm, 60 mm]}

    Mend
        Move the hole or the thing as the finding says; the place was tried.

    Source
        Plain geometry; the 2 mm are [PRACTICE].
    """
    around = obstacles_of(surroundings)
    told: set[str] = set()
    for pair in pairs:
        if detour(pair.start.at_mm, end=pair.end.at_mm, around=around) is not None:
            continue
        end, spot = _mended(pair, pairs, around)
        if end.name in told:
            continue
        told.add(end.name)
        yield Told(
            where=end.where,
            message=f"no wire gets from {pair.start.name} to {pair.end.name}: what stands under "
            f"the floor leaves less than {in_mm(CLEAR_MM)} beside it",
            remedy=f"write {end.written.replace('{at}', at_mm(*spot))}; this was tried"
            if spot
            else "leave a gap in what stands under the floor",
        )


def _mended(
    pair: WirePair, pairs: Sequence[WirePair], around: tuple[Corners, ...]
) -> tuple[WireEnd, Spot | None]:
    """Find the end to move, and the nearest whole place for it to which all its wires get."""
    for moved in (pair.end, pair.start):
        others = [_other(one, moved) for one in pairs if moved in (one.start, one.end)]
        x, y = moved.at_mm
        tries = {
            (
                round(x + far * cos(2.0 * pi * turn / AROUND)),
                round(y + far * sin(2.0 * pi * turn / AROUND)),
            )
            for far in (2.0, 4.0, 6.0, 9.0, 13.0, 19.0, 28.0, 40.0, 60.0, 90.0, 140.0, FARTHEST_MM)
            for turn in range(AROUND)
        }
        for spot in sorted(tries, key=lambda place: (dist(place, (x, y)), place)):
            place = (float(spot[0]), float(spot[1]))
            if all(detour(other.at_mm, end=place, around=around) for other in others):
                return moved, place
    return pair.end, None


def _other(pair: WirePair, end: WireEnd) -> WireEnd:
    return pair.start if pair.end == end else pair.end


def obstacles_of(surroundings: Surroundings) -> tuple[Corners, ...]:
    """Give the sound outlines of what stands under the floor."""
    return tuple(
        thing.outline.corners
        for thing in surroundings.under_floor
        if not flaw_of(thing.outline.corners)
    )
