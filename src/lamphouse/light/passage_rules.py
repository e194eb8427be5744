"""The rules of passages: openings in the wall between two boxes that do not lie where they must."""

from collections.abc import Iterable, Sequence

from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.light.box_scene import Drawn
from lamphouse.light.glow_words import in_mm
from lamphouse.light.scene import Spot
from lamphouse.light.shared_walls import LEAST_MM, SNAP_MM, Flaw, Misfit, look_at_passages


def _of(misfits: Sequence[Misfit], *flaws: Flaw) -> list[Misfit]:
    return [misfit for misfit in misfits if misfit.flaw in flaws]


def _at(spot: Spot) -> str:
    return f"[{in_mm(spot[0])}, {in_mm(spot[1])}]"


@rule("LIT050", Severity.STOP, "A passage that is not on a wall of its box")
def off_wall(misfits: Sequence[Misfit]) -> Iterable[Told]:
    """Look for passages whose ends do not lie on one wall of the box that names them.

    What it checks
        Both ends of a passage lie within half a millimetre of one straight wall of its box.

    Why it matters
        A passage is cut through a wall. Drawn beside it there is nothing to cut, and the box has
        no figures.

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
                            from: [40 mm, 20 mm]
                            to: [40 mm, 30 mm]
                            low: 4 mm
                            high: 10 mm
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [58 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Move its ends onto the wall, to the places the message names.

    Source
        Design rule of this project.
    """
    for misfit in _of(misfits, Flaw.OFF_WALL):
        start, end = misfit.spots
        yield Told(
            where=misfit.passage.where,
            message=f"passage '{misfit.passage.name}' lies {in_mm(misfit.given_mm)} off the "
            f"nearest wall of its box, and at most {in_mm(SNAP_MM)} is taken as on it",
            remedy=f"write from: {_at(start)} and to: {_at(end)}",
            mend=tuple(
                edit
                for key, place in (("from", start), ("to", end))
                for axis, length in enumerate(place)
                for edit in sets(f"{key} {axis}", in_mm(length))
            ),
        )


@rule("LIT051", Severity.STOP, "A passage into a box that does not stand against it")
def walls_apart(misfits: Sequence[Misfit]) -> Iterable[Told]:
    """Look for passages into boxes whose wall does not run along the passage's own.

    What it checks
        A straight wall of the neighbour runs along the wall with the passage, no farther from it
        than both walls are thick and half a millimetre, and does not reach over it.

    Why it matters
        Between boxes that stand apart the light would go into the model, not into the neighbour.

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
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [64 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Move the neighbour up to the wall, by as much as the message says.

    Source
        Design rule of this project.
    """
    for misfit in _of(misfits, Flaw.APART):
        passage = misfit.passage
        moved = "".join(f"move '{passage.into}' by {_at(way)}, or " for way in misfit.spots)
        yield Told(
            where=passage.where,
            message=f"no wall of '{passage.into}' stands against the wall that passage "
            f"'{passage.name}' goes through: the nearest lies {in_mm(misfit.given_mm)} away",
            remedy=f"{moved}draw '{passage.into}' with a straight wall against it, no farther off "
            "than both walls are thick",
        )


@rule("LIT052", Severity.STOP, "A passage that sticks out of the shared wall")
def sticks_out(misfits: Sequence[Misfit]) -> Iterable[Told]:
    """Look for passages that reach past the wall both boxes share.

    What it checks
        A passage ends within the stretch of wall that both boxes have, lies between the back and
        the panel of both, and is at least half a millimetre wide and high.

    Why it matters
        What sticks out would be a hole into the open, or into the back of the shallower box.

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
                            high: 15 mm
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [58 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Keep it between the places or heights the message names.

    Source
        Design rule of this project.
    """
    for misfit in _of(misfits, Flaw.PAST_END):
        start, end = misfit.spots
        yield Told(
            where=misfit.passage.where,
            message=f"passage '{misfit.passage.name}' does not lie within the stretch of wall that "
            f"its box shares with '{misfit.passage.into}', from {_at(start)} to {_at(end)}",
            remedy=f"keep it within from: {_at(start)} and to: {_at(end)}, "
            f"at least {in_mm(LEAST_MM)} wide",
        )
    for misfit in _of(misfits, Flaw.HEIGHT):
        passage, (low, high) = misfit.passage, misfit.range_mm
        yield Told(
            where=passage.where,
            message=f"passage '{passage.name}' reaches from {in_mm(passage.low_mm)} to "
            f"{in_mm(passage.high_mm)} above the back of its box; both boxes are open from "
            f"{in_mm(low)} to {in_mm(high)}, and {in_mm(LEAST_MM)} is the least height",
            remedy=f"keep it between low: {in_mm(low)} and high: {in_mm(high)}",
        )


@rule("LIT053", Severity.STOP, "Passages that run into one another")
def passages_cross(misfits: Sequence[Misfit]) -> Iterable[Told]:
    """Look for passages that take up the same place of a wall.

    What it checks
        No two passages of a wall overlap.

    Why it matters
        They would be one hole, and its shape is not what either says.

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
                          notch:
                            into: bay box
                            from: [47 mm, 25 mm]
                            to: [47 mm, 35 mm]
                            low: 6 mm
                            high: 12 mm
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [58 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Draw them as one, or move one of them along the wall.

    Source
        Design rule of this project.
    """
    for misfit in _of(misfits, Flaw.CROSSING):
        yield Told(
            where=misfit.passage.where,
            message=f"passages '{misfit.passage.name}' and '{misfit.other}' take up the same place "
            "of a wall",
            remedy="draw them as one, or move one of them along the wall",
        )


@rule("LIT054", Severity.WARN, "A passage closed by a clear film has no computable glow")
def clear_passage(misfits: Sequence[Misfit]) -> Iterable[Told]:
    """Look for films in passages that scatter nothing.

    What it checks
        The film of a passage is a diffuser, or throws back more light than two smooth faces do.

    Why it matters
        Through a clear film light goes straight on and is partly mirrored. The glow is computed for
        open passages and for scattering films, so the box has no figures.

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
                            film: clear decal film
                      bay box:
                        inside: rectangle 20 x 28 mm
                        at: [58 mm, 25 mm]
                        depth: 14 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Take a diffuser, or leave the film out.

    Source
        Limit of the model; two smooth faces after [FRESNEL].
    """
    for misfit in _of(misfits, Flaw.CLEAR):
        film = misfit.passage.film
        yield Told(
            where=misfit.passage.where,
            message=f"'{'' if film is None else film.name}' in passage '{misfit.passage.name}' "
            "does not scatter light; the boxes on both sides have no figures",
            remedy="take 'opal film 70', or leave the film out",
        )


def ill_passages(drawn: Drawn) -> tuple[Finding, ...]:
    """Run every rule of passages over those that a box names."""
    _, misfits = look_at_passages(drawn.box, beside=drawn.beside)
    looks = (off_wall, walls_apart, sticks_out, passages_cross, clear_passage)
    return tuple(finding for look in looks for finding in look(misfits))
