"""The rule of screws and magnets: a free place for each, clear of LEDs, wires and neighbours."""

from collections.abc import Iterable, Iterator, Sequence

from lamphouse.catalogue.screw_threads import THREADS
from lamphouse.cutting.baffle_joints import Baffling
from lamphouse.cutting.box_fixing import FixPlace, places_of, side_mm
from lamphouse.cutting.frame import Frame
from lamphouse.cutting.mends import in_mm
from lamphouse.design.lightbox import Blocks, Build, Fixing
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.record import replace
from lamphouse.shapes.outline import Corners


@rule("CUT073", Severity.STOP, "There is no room for the screws or magnets of a light box")
def no_room_for_fixing(
    frame: Frame, *, placed: int, wishes: Sequence[tuple[Fixing, int]]
) -> Iterable[Told]:
    """Tell that the blocks of screws or magnets do not all find a place.

    What it checks
        For each screw or magnet there is a flat stretch of wall with room for its block: inside
        clear of LEDs, wire holes, baffles and the ledge; outside within the panel, clear of the
        boxes beside it; and clear of the notch of the wires. Only flat pieces take them.

    Why it matters
        A screw through an LED's seat or its wires ends the light, and a lid held at one end gapes.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 60 x 40 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 12 x 8 mm, at: [30 mm, 20 mm]}
                    boxes:
                      box:
                        inside: rectangle 8 x 6 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        fixing: {screw: M2, blocks: inside}

    Mend
        Write what the message says: the other side of the walls, a thinner screw or fewer of them
        were tried, in this order.

    Source
        Geometry; the sizes of blocks are common practice, no source.
    """
    box, fixing = frame.box, frame.box.fixing
    if fixing is None:
        return
    what = f"screws {fixing.screw}" if fixing.screw else "magnets"
    if box.build is not Build.PIECES or not frame.walls:
        built = f"is {box.build}" if box.build is not Build.PIECES else "has a wrapped wall"
        yield Told(
            where=fixing.where,
            message=f"box '{box.name}' {built}, and {what} want blocks against flat walls of sheet",
            remedy="leave fixing out and glue or tape it, or "
            + (
                "write build: flat pieces"
                if box.build is not Build.PIECES
                else "write round_walls: flat walls"
            ),
        )
        return
    if placed >= fixing.count:
        return
    remedy = next(
        (_wish_words(wish, fixing=fixing) for wish, room in wishes if room >= wish.count),
        f"widen the box by {in_mm(2.0 * side_mm(fixing))}, or leave fixing out and glue it",
    )
    yield Told(
        where=fixing.where,
        message=f"box '{box.name}' has room for {placed} of {fixing.count} {what} with blocks "
        f"{in_mm(side_mm(fixing))} wide {fixing.blocks} its walls",
        remedy=remedy,
    )


def _wish_words(wish: Fixing, *, fixing: Fixing) -> str:
    changed = []
    if wish.blocks is not fixing.blocks:
        changed.append(f"blocks: {wish.blocks}")
    if wish.screw != fixing.screw:
        changed.append(f"screw: {wish.screw}")
    if wish.count != fixing.count:
        changed.append(f"count: {wish.count}")
    return f"write {' and '.join(changed)}"


def _wishes(fixing: Fixing) -> Iterator[Fixing]:
    """Go through what could be tried instead."""
    other = Blocks.INSIDE if fixing.blocks is Blocks.OUTSIDE else Blocks.OUTSIDE
    yield replace(fixing, blocks=other)
    if fixing.screw:
        names = list(THREADS)
        for name in reversed(names[: names.index(fixing.screw)]):
            yield replace(fixing, screw=name)
    for count in range(fixing.count - 1, 1, -1):
        yield replace(fixing, count=count)
        yield replace(fixing, count=count, blocks=other)


def fixed_at(
    frame: Frame, *, baffling: Baffling, around: Sequence[Corners], within: Corners
) -> tuple[tuple[FixPlace, ...], tuple[Finding, ...]]:
    """Find the places of a box's screws or magnets, and tell when there is no room."""
    fixing = frame.box.fixing
    if fixing is None:
        return (), ()
    if frame.box.build is not Build.PIECES or not frame.walls:
        return (), no_room_for_fixing(frame, placed=0, wishes=())

    def found(wish: Fixing) -> tuple[FixPlace, ...]:
        return places_of(frame, fixing=wish, baffling=baffling, around=around, within=within)

    places = found(fixing)
    if len(places) >= fixing.count:
        return places, ()
    wishes = [(wish, len(found(wish))) for wish in _wishes(fixing)]
    return places, no_room_for_fixing(frame, placed=len(places), wishes=wishes)
