"""The rules of drilled holes: on the panel, clear of one another, and a drill that fits."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.drill import (
    ROUNDING_MM,
    band_mm,
    both_names,
    drill_for_strand,
    nearest_drill,
    wanted_hole_mm,
)
from lamphouse.cutting.layout import Layout
from lamphouse.cutting.mends import in_mm, move_apart
from lamphouse.cutting.neighbours import Neighbours, over_the_edge, worst
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.shapes.spacing import Enclosure


@rule("CUT007", Severity.STOP, "A strand's hole lies off its panel")
def strand_outside(layout: Layout, *, edge: Enclosure) -> Iterable[Told]:
    """Look for strand holes on or beyond the panel's edge.

    What it checks
        Each strand's hole lies wholly inside the panel's outline.

    Why it matters
        A hole on the edge breaks out; one beyond it drills the air.

    Example
        ::

            groups:
              green dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 18 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.5 mm, at: [42 mm, 9 mm], group: green dots}

    Mend
        Move the strand as the message says.

    Source
        Geometry.
    """
    yield from over_the_edge(layout.strands, layout=layout, edge=edge)


@rule("CUT008", Severity.STOP, "A strand's hole lies over another hole or opening")
def strand_over(pairs: Iterable[Neighbours]) -> Iterable[Told]:
    """Look for strand holes that run into a hole or an opening.

    What it checks
        A strand's hole touches no other hole and no opening.

    Why it matters
        Two holes become one slot in which neither fibre sits still; over an opening there is
        nothing to drill.

    Example
        ::

            groups:
              green dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 18 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.5 mm, at: [8 mm, 9 mm], group: green dots}
                      F2: {fibre: fibre 0.5 mm, at: [8.2 mm, 9 mm], group: green dots}

    Mend
        Move the strand as the message says.

    Source
        Geometry.
    """
    for pair in worst(pair for pair in pairs if pair.touch and pair.spot.strand):
        yield Told(
            where=pair.spot.where,
            message=f"the hole of {pair.spot.name} runs into {pair.other.name}",
            remedy=move_apart(pair.spot.corners, other=pair.other.corners, gap_by_mm=pair.land_mm),
        )


@rule("CUT009", Severity.WARN, "Holes lie closer than two diameters")
def tight_pitch(pairs: Iterable[Neighbours]) -> Iterable[Told]:
    """Look for drilled holes that leave too little sheet between them.

    What it checks
        The middles of two drilled holes are at least two diameters apart (the sum of both
        diameters where they differ).

    Why it matters
        The drill wanders into the neighbouring hole, and the land between them breaks.

    Example
        ::

            groups:
              green dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 18 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1: {fibre: fibre 0.5 mm, at: [8 mm, 9 mm], group: green dots}
                      F2: {fibre: fibre 0.5 mm, at: [8.8 mm, 9 mm], group: green dots}

    Mend
        Space the holes as the message says, or use thinner fibre.

    Source
        Common practice, no source.
    """
    for pair in worst(pair for pair in pairs if not pair.touch and not pair.by_knife):
        wanted = 2.0 * pair.land_mm
        yield Told(
            where=pair.spot.where,
            message=f"the middles of {pair.spot.name} and {pair.other.name} are "
            f"{in_mm(pair.gap_mm + pair.land_mm)} apart; two diameters, {in_mm(wanted)}, keep the "
            "drill from wandering",
            remedy=f"set them {in_mm(wanted)} or more apart, or use thinner fibre",
        )


@rule("CUT010", Severity.STOP, "No drill makes this strand's hole")
def no_drill_near(strands: Iterable[Strand], *, drills: Sequence[Drill]) -> Iterable[Told]:
    """Look for strands whose hole no drill of the table makes.

    What it checks
        Some drill lies within the fibre's clearance band, or within 0.05 mm of the diameter the
        maker asks for.

    Why it matters
        A hole too tight strips the fibre's cladding; one too loose lets it tilt and shows light
        around it.

    Example
        ::

            groups:
              green dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 18 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1:
                        fibre: fibre 0.5 mm
                        at: [8 mm, 9 mm]
                        hole: 16 mm
                        group: green dots

    Mend
        Ask for the diameter of the nearest drill, or add your own drill to the parts folder.

    Source
        Common practice, no source; drill sizes from ASME B94.11M and ISO 235.
    """
    for strand in strands:
        wanted = wanted_hole_mm(strand)
        if wanted < strand.fibre.diameter_mm or drill_for_strand(strand, drills=drills):
            continue
        least, most = band_mm(strand)
        asked = (
            f"{in_mm(least)} to {in_mm(most)}" if strand.hole_mm is None else in_mm(strand.hole_mm)
        )
        passing = [drill for drill in drills if drill.diameter_mm >= strand.fibre.diameter_mm]
        remedy = "choose a thinner fibre, or add a drill that passes it to the parts folder"
        if passing:
            near = nearest_drill(wanted, drills=passing)
            remedy = (
                f"write hole: {in_mm(near.diameter_mm)}, made by the nearest drill that the fibre "
                f"passes, {both_names(near)}"
            )
        yield Told(
            where=strand.where,
            message=f"no drill makes a hole of {asked} for '{strand.fibre.name}'",
            remedy=remedy,
        )


@rule("CUT011", Severity.STOP, "The fibre is thicker than its hole")
def fibre_too_thick(strands: Iterable[Strand]) -> Iterable[Told]:
    """Look for holes the maker insists on that the fibre does not pass.

    What it checks
        A hole diameter written for a strand is not below the fibre's own diameter.

    Why it matters
        The fibre will not go in, and reaming a painted face by hand spoils it.

    Example
        ::

            groups:
              green dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 18 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1:
                        fibre: fibre 0.5 mm
                        at: [8 mm, 9 mm]
                        hole: 0.4 mm
                        group: green dots

    Mend
        Leave the hole to the drill table, or write a diameter within the band of the message.

    Source
        Geometry; the band is common practice, no source.
    """
    for strand in strands:
        if strand.hole_mm is None or strand.hole_mm >= strand.fibre.diameter_mm:
            continue
        least, most = band_mm(strand)
        yield Told(
            where=strand.where,
            message=f"'{strand.fibre.name}' is {in_mm(strand.fibre.diameter_mm)} thick and does "
            f"not pass the hole of {in_mm(strand.hole_mm)}",
            remedy=f"leave 'hole' out, or ask for {in_mm(least)} to {in_mm(most)}",
            mend=sets("hole", None),
        )


@rule("CUT012", Severity.WARN, "A fibre sits too tight or too loose in its hole")
def fibre_fit(strands: Iterable[Strand], *, drills: Sequence[Drill]) -> Iterable[Told]:
    """Look for holes the maker insists on that lie outside the fibre's clearance band.

    What it checks
        The drill for a hole diameter written for a strand lies within the fibre's clearance band.

    Why it matters
        Too tight, the cladding is stripped; too loose, the fibre tilts and light shows around it.

    Example
        ::

            groups:
              green dots:
                in: sample
                source: {led: green 3 mm, current: 5 mA}
                pattern: {kind: steady}
            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 18 mm
                    sheet: styrene 0.75 mm
                    strands:
                      F1:
                        fibre: fibre 0.5 mm
                        at: [8 mm, 9 mm]
                        hole: 0.7 mm
                        group: green dots

    Mend
        Leave the hole to the drill table; accept the finding where several fibres share the hole.

    Source
        Common practice, no source.
    """
    for strand in strands:
        drill = drill_for_strand(strand, drills=drills)
        if strand.hole_mm is None or drill is None:
            continue
        least, most = band_mm(strand)
        if least - ROUNDING_MM <= drill.diameter_mm <= most + ROUNDING_MM:
            continue
        fit = "tight" if drill.diameter_mm < least else "loose"
        yield Told(
            where=strand.where,
            message=f"the hole drilled {both_names(drill)} is too {fit} for "
            f"'{strand.fibre.name}', which wants {in_mm(least)} to {in_mm(most)}",
            remedy="leave 'hole' out, or ask for "
            f"{in_mm((least + most) / 2.0)}; accept this if several fibres share the hole",
            mend=sets("hole", None),
        )


def look_at_holes(
    layout: Layout,
    *,
    pairs: Sequence[Neighbours],
    edge: Enclosure | None,
    strands: Sequence[Strand],
    drills: Sequence[Drill],
) -> tuple[Finding, ...]:
    """Run every rule of drilled holes; the edge is None when the panel's outline is not sound."""
    found = (
        *strand_over(pairs),
        *tight_pitch(pairs),
        *no_drill_near(strands, drills=drills),
        *fibre_too_thick(strands),
        *fibre_fit(strands, drills=drills),
    )
    return (*strand_outside(layout, edge=edge), *found) if edge else found
