"""The rules of outlines and openings: sound, inside the panel, and room between them."""

from collections.abc import Iterable, Sequence

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.layout import Flawed, Layout
from lamphouse.cutting.mends import bring_inside, in_mm, move_apart
from lamphouse.cutting.neighbours import Neighbours, over_the_edge, worst
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.shapes.offset import vanishes
from lamphouse.shapes.soundness import FlawKind
from lamphouse.shapes.spacing import Enclosure

FLAW_MENDS = {
    FlawKind.TOO_FEW: "add the missing corners",
    FlawKind.TOO_MANY: "trace it again with fewer points; 0.1 mm is as fine as a knife goes",
    FlawKind.NOT_A_NUMBER: "write a plain length there",
    FlawKind.TOO_FAR: "check the unit and the scale of that corner",
    FlawKind.REPEATED: "take one of the two corners out",
    FlawKind.ARC: "write the arc as two halves",
    FlawKind.SPIKE: "take the corner at the tip of the spike out",
    FlawKind.CROSSING: "put the corners in order round the edge, or split it into two outlines",
    FlawKind.NO_AREA: "move a corner off the line",
}
"""What to do about each flaw."""


@rule("CUT001", Severity.STOP, "An outline cannot be cut", can_be_accepted=False)
def unsound_outline(flawed: Iterable[Flawed]) -> Iterable[Told]:
    """Look for outlines that enclose nothing or cross themselves.

    What it checks
        The outline of a panel, an opening or a light box has enough corners, all of them plain
        numbers within 10 m, none twice; it does not cross or touch itself and encloses an area.

    Why it matters
        Nobody can cut such a line, and nothing about the part can be computed.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      bow tie:
                        shape:
                          points: [[0 mm, 0 mm], [8 mm, 6 mm], [8 mm, 0 mm], [0 mm, 6 mm]]
                        at: [20 mm, 15 mm]

    Mend
        Put the corners in the order in which the knife goes round.

    Source
        Geometry.
    """
    for entry in flawed:
        yield Told(
            where=entry.where,
            message=f"{entry.name} {entry.flaw.words}, so it cannot be cut",
            remedy=FLAW_MENDS[entry.flaw.kind],
        )


@rule("CUT002", Severity.WARN, "A cut-out is narrower than its sheet is thick")
def narrow_cut(layout: Layout) -> Iterable[Told]:
    """Look for openings too narrow for a knife.

    What it checks
        An opening that is cut, not drilled, is somewhere at least as wide as the sheet is thick.

    Why it matters
        A narrower slit cannot be cleared with a knife, and its walls swallow the light.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      slit: {shape: rectangle 12 x 0.4 mm, at: [20 mm, 15 mm]}

    Mend
        Widen the opening to the sheet's thickness, or cut the panel from thinner sheet.

    Source
        Common practice, no source.
    """
    thickness = layout.panel.sheet.thickness_mm
    for spot in layout.openings:
        if spot.is_cut and vanishes(spot.corners, shrunk_by_mm=thickness / 2.0 - ROUNDING_MM):
            yield Told(
                where=spot.where,
                message=f"{spot.name} is nowhere {in_mm(thickness)} wide, the thickness of "
                f"'{layout.panel.sheet.name}': a knife cannot clear it",
                remedy=f"make it at least {in_mm(thickness)} wide, or use thinner sheet",
            )


@rule("CUT003", Severity.STOP, "An opening lies outside its panel")
def opening_outside(layout: Layout, *, edge: Enclosure) -> Iterable[Told]:
    """Look for openings that reach over the panel's edge.

    What it checks
        Each opening lies wholly inside the panel's outline.

    Why it matters
        The edge would be cut open; most often a place was measured from the wrong corner.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 10 x 6 mm, at: [38 mm, 15 mm]}

    Mend
        Move or shrink the opening as the message says, or make the panel larger.

    Source
        Geometry.
    """
    yield from over_the_edge(layout.openings, layout=layout, edge=edge)


@rule("CUT004", Severity.WARN, "Too little sheet between an opening and the edge")
def thin_edge(layout: Layout, *, edge: Enclosure) -> Iterable[Told]:
    """Look for openings and holes closer to the panel's edge than the sheet is thick.

    What it checks
        Between the panel's edge and each opening or hole stands at least one thickness of sheet.

    Why it matters
        A thinner strip tears while it is cut and glows when the panel is lit.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      window: {shape: rectangle 10 x 6 mm, at: [34.5 mm, 15 mm]}

    Mend
        Move or shrink the opening as the message says.

    Source
        Common practice, no source.
    """
    thickness = layout.panel.sheet.thickness_mm
    for spot in layout.spots:
        margin = edge.margin_mm(spot.corners)
        if ROUNDING_MM < margin < thickness - ROUNDING_MM:
            yield Told(
                where=spot.where,
                message=f"only {in_mm(margin)} of sheet stands between {spot.name} and the edge; "
                f"'{layout.panel.sheet.name}' wants its own thickness, {in_mm(thickness)}",
                remedy=bring_inside(spot.corners, outer=edge, margin_by_mm=thickness),
            )


@rule("CUT005", Severity.STOP, "Two openings overlap")
def openings_overlap(layout: Layout, *, pairs: Iterable[Neighbours]) -> Iterable[Told]:
    """Look for openings that run into one another.

    What it checks
        No two openings of a panel touch or overlap.

    Why it matters
        They would become one hole, and neither keeps its light box, film or look.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      left: {shape: rectangle 10 x 6 mm, at: [15 mm, 15 mm]}
                      right: {shape: rectangle 10 x 6 mm, at: [22 mm, 15 mm]}

    Mend
        Move one of them as the message says, or draw them as one outline.

    Source
        Geometry.
    """
    thickness = layout.panel.sheet.thickness_mm
    for pair in worst(pair for pair in pairs if pair.touch and not pair.spot.strand):
        away = move_apart(pair.spot.corners, other=pair.other.corners, gap_by_mm=thickness)
        yield Told(
            where=pair.spot.where,
            message=f"{pair.spot.name} runs into {pair.other.name}",
            remedy=f"{away}, or draw both as one outline",
        )


@rule("CUT006", Severity.WARN, "A bridge is thinner than its sheet")
def thin_bridge(layout: Layout, *, pairs: Iterable[Neighbours]) -> Iterable[Told]:
    """Look for narrow bridges beside cut-outs.

    What it checks
        Between an opening that is cut and any other opening or hole stands at least one thickness
        of sheet.

    Why it matters
        A thinner bridge breaks under the knife and lets light across.

    Example
        ::

            sub_assemblies:
              sample:
                panels:
                  plate:
                    outline: rectangle 40 x 30 mm
                    sheet: styrene 0.75 mm
                    openings:
                      left: {shape: rectangle 10 x 6 mm, at: [12 mm, 15 mm]}
                      right: {shape: rectangle 10 x 6 mm, at: [22.5 mm, 15 mm]}

    Mend
        Move one of them as the message says, or make it narrower.

    Source
        Common practice, no source.
    """
    thickness = layout.panel.sheet.thickness_mm
    for pair in worst(pair for pair in pairs if pair.by_knife and not pair.touch):
        away = move_apart(pair.spot.corners, other=pair.other.corners, gap_by_mm=thickness)
        yield Told(
            where=pair.spot.where,
            message=f"the bridge between {pair.spot.name} and {pair.other.name} is "
            f"{in_mm(pair.gap_mm)} wide; '{layout.panel.sheet.name}' wants its own thickness, "
            f"{in_mm(thickness)}",
            remedy=f"{away}, or make one of them narrower",
        )


def look_at_openings(
    layout: Layout, *, pairs: Sequence[Neighbours], edge: Enclosure | None
) -> tuple[Finding, ...]:
    """Run every rule of outlines and openings.

    A panel whose own outline is not sound is told that and nothing about its edge, which is None.
    """
    found = (
        *unsound_outline(layout.flawed),
        *narrow_cut(layout),
        *openings_overlap(layout, pairs=pairs),
        *thin_bridge(layout, pairs=pairs),
    )
    if edge is None:
        return found
    return (*found, *opening_outside(layout, edge=edge), *thin_edge(layout, edge=edge))
