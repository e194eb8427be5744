"""The rules of passages in their walls: clear of what is there, with sheet left around them."""

from collections.abc import Iterable, Sequence

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.mends import STEP_MM, in_mm
from lamphouse.cutting.wall_holes import Through
from lamphouse.cutting.wall_room import Room, gap_of, mend_of, room_of
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.shapes.soundness import flaw_of


def _name(room: Room) -> str:
    near = room.through.near
    return f"passage '{near.passage}' from '{near.box}' to '{near.beyond}'"


@rule("CUT037", Severity.STOP, "A passage runs into something on its wall")
def passage_meets(rooms: Sequence[Room]) -> Iterable[Told]:
    """Look for passages that meet an LED, a ledge, a baffle or another passage.

    What it checks
        On both walls it goes through, a passage keeps clear of LEDs and the holes of their wires,
        of the ledge of an inner diffuser, of baffles that end there, and of other passages. The
        notch of the wires makes way by itself.

    Why it matters
        What stands in a hole cannot be glued to the wall, and it is found when the walls are cut.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        passages:
                          slot:
                            into: bay box
                            from: [47 mm, 20 mm]
                            to: [47 mm, 30 mm]
                            low: 4 mm
                            high: 10 mm
                        baffles:
                          shelf:
                            from: [40 mm, 24 mm]
                            to: [47 mm, 24 mm]
                            height: 6 mm
                            sheet: styrene 0.5 mm
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [59 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Draw the passage as the message says: the nearest place, length or height that keeps a
        thickness of sheet from everything on both walls.

    Source
        Geometry.
    """
    for room in rooms:
        met = [one for one in room.things if gap_of(room.hole, other=one.patch) <= ROUNDING_MM]
        if met:
            words = ", ".join(dict.fromkeys(f"{one.patch.words} on {one.wall}" for one in met))
            yield Told(
                where=room.through.near.where,
                message=f"{_name(room)} runs into {words}; it should keep "
                f"{in_mm(met[0].land_mm)} of sheet, the wall's thickness, from it",
                remedy=mend_of(room),
            )


@rule("CUT038", Severity.WARN, "A passage leaves too little sheet of its wall")
def passage_thins(rooms: Sequence[Room]) -> Iterable[Told]:
    """Look for passages that leave a strip thinner than the wall is thick.

    What it checks
        Around a passage stands at least one thickness of sheet on both walls, up to the wall's
        ends and edges and to everything on it. At the panel and at the back it may be open.

    Why it matters
        A thinner strip breaks while the hole is cut, and a wall without one cannot be glued to the
        next.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        passages:
                          slot:
                            into: bay box
                            from: [47 mm, 20 mm]
                            to: [47 mm, 30 mm]
                            low: 0.4 mm
                            high: 10 mm
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [59 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Draw the passage as the message says, or open to the edge.

    Source
        Common practice, no source.
    """
    for room in rooms:
        thin = [
            (edge.land_to_mm(room.hole), edge.words, edge.wall, edge.land_mm)
            for edge in room.edges
            if not edge.is_kept(room.hole)
        ]
        gaps = [(gap_of(room.hole, other=one.patch), one) for one in room.things]
        thin += [
            (gap, one.patch.words, one.wall, one.land_mm)
            for gap, one in gaps
            if ROUNDING_MM < gap < one.land_mm - STEP_MM
        ]
        if thin:
            land, words, wall, wanted = min(thin)
            yield Told(
                where=room.through.near.where,
                message=f"{_name(room)} leaves {in_mm(max(land, 0.0))} of sheet between itself and "
                f"{words} on {wall}, which wants its own thickness, {in_mm(wanted)}",
                remedy=mend_of(room),
            )


@rule("CUT039", Severity.STOP, "A passage cuts a wall in two")
def passage_parts(rooms: Sequence[Room]) -> Iterable[Told]:
    """Look for passages that reach from the back to the panel.

    What it checks
        A passage leaves sheet above or below it on both walls.

    Why it matters
        The wall falls into two pieces that nothing holds in line, and no template has them.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        passages:
                          slot:
                            into: bay box
                            from: [47 mm, 20 mm]
                            to: [47 mm, 30 mm]
                            low: 0 mm
                            high: 14 mm
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [59 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Leave a strip at the back as the message says, or make the two boxes one.

    Source
        Geometry.
    """
    for room in rooms:
        cut = room.parted(room.hole)
        if cut:
            yield Told(
                where=room.through.near.where,
                message=f"{_name(room)} reaches from the back to the panel and cuts "
                f"{' and '.join(cut)} in two",
                remedy=f"{mend_of(room)}, or draw the two boxes as one",
            )


def look_at_passages(
    passages: Sequence[Through], *, boxes: Sequence[LightBox], lead_mm: float
) -> tuple[Finding, ...]:
    """Run every rule of the passages between boxes of one panel."""
    straight = {
        box.name: box
        for box in boxes
        if not flaw_of(box.inside.corners) and not any(bulge for *_, bulge in box.inside.corners)
    }
    rooms = [
        room_of(one, boxes=straight, others=passages[:number], lead_mm=lead_mm)
        for number, one in enumerate(passages)
        if all(half.box in straight for half in one.halves)
    ]
    return (
        *passage_meets(rooms),
        *passage_thins(rooms),
        *passage_parts(rooms),
    )
