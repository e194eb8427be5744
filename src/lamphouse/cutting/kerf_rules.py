"""The rules of the kerf: cut-outs too narrow, corners it rounds, webs it eats, files as drawn."""

from collections.abc import Iterable, Iterator, Sequence

from lamphouse.cutting.mends import at_mm, in_mm
from lamphouse.cutting.piece import Piece
from lamphouse.design.cutting_habits import CuttingHabits
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.shapes.outline import Corners, circle
from lamphouse.shapes.reach import Rest, left_in_hole, left_outside, width_mm
from lamphouse.shapes.spacing import Enclosure, close_pairs

LEFT_MM = 0.1
"""Less than this left in a corner is not seen once the edge is sanded [PRACTICE]."""
_SAME_MM = 1e-9


def look_at_kerf(pieces: Sequence[Piece], *, habits: CuttingHabits) -> tuple[Finding, ...]:
    """Run every rule of the kerf; with a knife there is nothing to say."""
    if not habits.kerf_mm:
        return ()
    return (
        *holes_too_narrow(pieces, habits=habits),
        *corners_left(pieces, habits=habits),
        *webs_eaten(pieces, habits=habits),
        *as_drawn(habits),
    )


def _round_holes(piece: Piece) -> Iterator[tuple[str, Corners]]:
    for hole in piece.holes:
        diameter = hole.drill.diameter_mm
        yield f"hole {hole.number}", circle(diameter, x_mm=hole.x_mm, y_mm=hole.y_mm)


def _cutouts(piece: Piece) -> Iterator[tuple[str, Corners]]:
    for number, cutout in enumerate(piece.cutouts):
        name = piece.cutout_names[number] if number < len(piece.cutout_names) else ""
        yield f"'{name}'" if name else f"cut-out {number + 1}", cutout.corners


@rule("CUT054", Severity.WARN, "A cut-out is narrower than the kerf")
def holes_too_narrow(pieces: Sequence[Piece], *, habits: CuttingHabits) -> Iterable[Told]:
    """Look for cut-outs that the tool is too wide for.

    What it checks
        In every cut-out there is room for a circle as wide as the kerf. Drilled holes are left to
        the drill.

    Why it matters
        The tool would cut it wider than drawn. It is left out of compensated files.

    Example
        ::

            cutting: {gap: 3 mm, edge: 3 mm, kerf: 2 mm, compensate: yes}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      vent: {shape: rectangle 10 x 1.5 mm, at: [20 mm, 15 mm]}

    Mend
        Make it at least as wide as the message says, or drill it or cut it by hand.

    Source
        Geometry.
    """
    for piece in pieces:
        narrow = [
            (name, width)
            for name, corners in _cutouts(piece)
            if (width := width_mm(corners)) <= habits.kerf_mm
        ]
        if narrow:
            name, width = min(narrow, key=lambda one: one[1])
            more = f" and {len(narrow) - 1} more" if len(narrow) > 1 else ""
            yield Told(
                where=piece.where,
                message=f"{name}{more} of '{piece.name}' is {in_mm(width)} wide; the kerf takes "
                f"{in_mm(habits.kerf_mm)}",
                remedy=f"make it wider than {in_mm(habits.kerf_mm)}, or drill it or cut it by hand",
            )


@rule("CUT055", Severity.WARN, "The tool leaves an inner corner uncut")
def corners_left(pieces: Sequence[Piece], *, habits: CuttingHabits) -> Iterable[Told]:
    """Look for inner corners and notches that a round tool does not reach.

    What it checks
        In no corner of a cut-out, and in no notch of an outline, the tool leaves more than 0.1 mm.

    Why it matters
        What should go through the corner does not: a square screen in a window with round corners.

    Example
        ::

            cutting: {gap: 3 mm, edge: 3 mm, kerf: 2 mm, compensate: yes}

    Mend
        File the corner out by hand, round it by the radius of the message, or take a thinner tool.

    Source
        Geometry; the limit is common practice, no source.
    """
    radius = habits.kerf_mm / 2.0
    for piece in pieces:
        rests: list[tuple[str, Rest]] = [
            ("its outline", left_outside(piece.outline.corners, radius_mm=radius))
        ]
        for name, corners in _cutouts(piece):
            rest = left_in_hole(corners, radius_mm=radius)
            if rest is not None:
                rests.append((name, rest))
        told = [(name, rest) for name, rest in rests if rest.deep_mm > LEFT_MM]
        if told:
            name, worst = max(told, key=lambda one: one[1].deep_mm)
            more = f", and less in {len(told) - 1} more" if len(told) > 1 else ""
            yield Told(
                where=piece.where,
                message=f"a kerf of {in_mm(habits.kerf_mm)} leaves {in_mm(worst.deep_mm)} of sheet "
                f"in {name} of '{piece.name}' at {at_mm(worst.x_mm, y_mm=worst.y_mm)}{more}",
                remedy=f"file it out by hand, or round the corner by {in_mm(radius)} or more",
            )


@rule("CUT056", Severity.WARN, "A web is narrower than the kerf")
def webs_eaten(pieces: Sequence[Piece], *, habits: CuttingHabits) -> Iterable[Told]:
    """Look for webs between cuts that the tool eats, or nearly so.

    What it checks
        Between two cut-outs, and between them and the outline, stands more sheet than the kerf is
        wide; between a cut and a drilled hole more than half of it.

    Why it matters
        Along lines as drawn each cut takes half a kerf of the web, and nothing stays. Along
        compensated lines it stays on paper, but heat or a blade a little off breaks it away.

    Example
        ::

            cutting: {gap: 3 mm, edge: 3 mm, kerf: 2 mm, compensate: yes}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      left: {shape: rectangle 10 x 6 mm, at: [12 mm, 15 mm]}
                      right: {shape: rectangle 10 x 6 mm, at: [23.5 mm, 15 mm]}

    Mend
        Move the cuts apart by what the message lacks, or take a thinner tool.

    Source
        Geometry; that heat breaks thin webs is common practice, no source.
    """
    for piece in pieces:
        webs = list(_webs(piece, kerf_mm=habits.kerf_mm))
        if not webs:
            continue
        between, wide, taken = min(webs, key=lambda one: one[1] - one[2])
        left = wide if habits.compensate else wide - taken
        stays = f"{in_mm(left)} of it stays" if left > 0.0 else "nothing of it stays"
        more = f", and {len(webs) - 1} more such webs" if len(webs) > 1 else ""
        yield Told(
            where=piece.where,
            message=f"the web of {in_mm(wide)} between {between} of '{piece.name}' is not wider "
            f"than the {in_mm(taken)} that a kerf of {in_mm(habits.kerf_mm)} takes of it: "
            f"{stays}{more}",
            remedy=f"move them {in_mm(taken - wide + LEFT_MM)} or more apart, or take a "
            "thinner tool",
        )


def _webs(piece: Piece, *, kerf_mm: float) -> Iterator[tuple[str, float, float]]:
    """Give the webs the tool eats: between what, their width, and what it takes of them."""
    cutouts, drilled = list(_cutouts(piece)), list(_round_holes(piece))
    cuts = [*cutouts, *drilled]
    # The tool passes a web once for every cut beside it, and a drilled hole is none.
    for pair in close_pairs([corners for _, corners in cuts], nearer_than_mm=kerf_mm + _SAME_MM):
        beside = sum(place < len(cutouts) for place in (pair.earlier, pair.later))
        if 0.0 < pair.gap_mm < beside * kerf_mm / 2.0 + _SAME_MM and beside:
            names = f"{cuts[pair.earlier][0]} and {cuts[pair.later][0]}"
            yield names, pair.gap_mm, beside * kerf_mm / 2.0
    edge = Enclosure(piece.outline.corners)
    for place, (name, corners) in enumerate(cuts):
        taken = kerf_mm if place < len(cutouts) else kerf_mm / 2.0
        margin = edge.margin_mm(corners)
        if 0.0 < margin < taken + _SAME_MM:
            yield f"{name} and the edge", margin, taken


@rule("CUT057", Severity.NOTE, "Cutter files are as drawn, though the tool has a kerf")
def as_drawn(habits: CuttingHabits) -> Iterable[Told]:
    """Say that lines are not compensated.

    What it checks
        Where a kerf is given, the lines in the files for cutters are compensated for it.

    Why it matters
        Along lines as drawn every piece comes out smaller by the kerf and every cut-out larger,
        unless the cutter's own program makes up for it. Both at once is as wrong as neither.

    Example
        ::

            cutting: {kerf: 0.2 mm}

    Mend
        Write ``compensate: yes``; or accept this when your cutter's program does it.

    Source
        Geometry.
    """
    if not habits.compensate:
        yield Told(
            where=habits.where,
            message=f"lines for cutters are as drawn: along them pieces come out "
            f"{in_mm(habits.kerf_mm)} smaller and cut-outs {in_mm(habits.kerf_mm)} larger",
            remedy="write compensate: yes; accept this when your cutter's own program does it",
            mend=sets("compensate", "yes"),
        )
