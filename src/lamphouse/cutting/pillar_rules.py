"""The rules of pillars: they stand free inside, nothing runs into them, no opening shows them."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from math import dist

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.layout import Flawed, Layout
from lamphouse.cutting.mends import at_mm, bring_inside, in_mm, move_apart, way_words
from lamphouse.cutting.opening_rules import unsound_outline
from lamphouse.cutting.overlay_rules import fibre_of
from lamphouse.cutting.pillar_feet import ring_of, runs_in, sound_pillars
from lamphouse.cutting.pillar_mends import CLEAR_MM, LED_CLEAR_MM, OVERLAP_MM2, way_out
from lamphouse.cutting.pillar_pieces import bar_words, is_printed
from lamphouse.cutting.seats import baffle_foot, sound_baffles
from lamphouse.cutting.wall_leds import body_on_wall
from lamphouse.design.lightbox import LightBox, Pillar, Seat
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, bounds_mm, size_mm
from lamphouse.shapes.outline import Corners
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure, gap_mm, overlap_mm2
from lamphouse.shapes.stopping import reached, through

LEAST_GAP_MM = 0.05
"""Nearer to a wall or to one another, pillars touch as they are glued [PRACTICE]."""

MOST_MENDS = 5
"""Pillars under openings that are told one by one, in one box."""


@rule("CUT090", Severity.STOP, "A pillar does not stand free in its light box")
def pillar_outside(box: LightBox) -> Iterable[Told]:
    """Look for pillars that reach through a wall or touch it.

    What it checks
        The outline of each pillar lies in the clear space of its box, off the walls; with an inner
        diffuser, off the ledge on the walls too.

    Why it matters
        It does not go in. What touches a wall is a bulge of that wall, and the box is cut round it.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        pillars:
                          post: {shape: round 4 mm, at: [1 mm, 20 mm]}

    Mend
        Move or shrink it as the message says, or draw the inside of the box round it.

    Source
        Geometry; the gap is common practice, no source.
    """
    enclosure = Enclosure(box.inside.corners)
    ledge = box.sheet.thickness_mm if box.inner_diffuser else 0.0
    need = ledge + LEAST_GAP_MM
    for pillar in sound_pillars(box):
        margin = enclosure.margin_mm(pillar.outline.corners)
        if margin < need - ROUNDING_MM:
            by = bring_inside(
                pillar.outline.corners, outer=enclosure, margin_by_mm=ledge + CLEAR_MM
            )
            if margin < 0.0:
                said = f"reaches {in_mm(-margin)} beyond the inside of box '{box.name}'"
            elif ledge:
                said = (
                    f"stands {in_mm(margin)} from a wall of box '{box.name}', where the ledge of "
                    f"the inner diffuser is {in_mm(ledge)} wide"
                )
            else:
                said = f"touches a wall of box '{box.name}'"
            yield Told(
                where=pillar.where,
                message=f"pillar '{pillar.name}' {said}",
                remedy=f"{by}, or draw the inside of the box round it",
            )


@rule("CUT091", Severity.STOP, "Two pillars stand in one another")
def pillars_overlap(box: LightBox) -> Iterable[Told]:
    """Look for pillars that share a place or touch.

    What it checks
        Every two pillars of a light box stand apart.

    Why it matters
        Two pieces do not fit into one place.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        pillars:
                          left: {shape: round 4 mm, at: [30 mm, 38 mm]}
                          right: {shape: round 4 mm, at: [32 mm, 38 mm]}

    Mend
        Move one of them as the message says, or draw both as one outline.

    Source
        Geometry.
    """
    told: set[str] = set()
    for earlier, later in combinations(sound_pillars(box), 2):
        first, second = earlier.outline.corners, later.outline.corners
        if later.name in told or _are_apart(first, second):
            continue
        if gap_mm(second, other=first) >= LEAST_GAP_MM - ROUNDING_MM:
            continue
        told.add(later.name)
        yield Told(
            where=later.where,
            message=f"pillars '{earlier.name}' and '{later.name}' of box '{box.name}' stand in one "
            "another",
            remedy=f"{move_apart(second, other=first, gap_by_mm=CLEAR_MM)}, or draw both as one",
        )


def _are_apart(first: Corners, second: Corners) -> bool:
    """Tell quickly of two outlines whose rectangles keep the gap."""
    left, bottom, right, top = bounds_mm(first)
    low_x, low_y, high_x, high_y = bounds_mm(second)
    return max(low_x - right, left - high_x, low_y - top, bottom - high_y) >= LEAST_GAP_MM


@rule("CUT092", Severity.STOP, "A baffle runs through a pillar")
def baffle_through(box: LightBox) -> Iterable[Told]:
    """Look for baffles that stand in a pillar and do not end on it.

    What it checks
        A baffle that comes to a pillar ends on it: its end lies in the pillar or within half a
        millimetre of it. No pillar stands in the side of a baffle.

    Why it matters
        A baffle that ends on a pillar is cut to its face. One that goes on behind it is two pieces,
        and the file draws one.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        pillars:
                          post: {shape: round 4 mm, at: [30 mm, 38 mm]}
                        baffles:
                          middle:
                            from: [22 mm, 38 mm]
                            to: [38 mm, 38 mm]
                            height: 6 mm
                            sheet: styrene 0.5 mm

    Mend
        End it where the message says, and draw a second one on the other side.

    Source
        Geometry.
    """
    for baffle in sound_baffles(box):
        foot = baffle_foot(baffle)
        for pillar in sound_pillars(box):
            if overlap_mm2(foot, other=pillar.outline.corners) < OVERLAP_MM2:
                continue
            met = through(baffle.start_mm, end=baffle.end_mm, ring=ring_of(pillar))
            long = dist(baffle.start_mm, baffle.end_mm)
            name = f"baffle '{baffle.name}'"
            if met is None:
                yield Told(
                    where=baffle.where,
                    message=f"the side of {name} stands in pillar '{pillar.name}' of box "
                    f"'{box.name}'",
                    remedy=move_apart(foot, other=pillar.outline.corners, gap_by_mm=0.0),
                )
            elif met[0] > 0.0 and met[1] <= long:
                near, far = (
                    tuple(
                        round(value, 2)
                        for value in reached(baffle.start_mm, end=baffle.end_mm, run_mm=at)
                    )
                    for at in met
                )
                yield Told(
                    where=baffle.where,
                    message=f"{name} runs through pillar '{pillar.name}' of box '{box.name}'",
                    remedy=f"write to: {at_mm(near[0], y_mm=near[1])}, and draw a second baffle "
                    f"from {at_mm(far[0], y_mm=far[1])} on",
                    mend=sets("to 0", in_mm(near[0])) + sets("to 1", in_mm(near[1])),
                )
            elif met[0] <= 0.0 and met[1] >= long:
                yield Told(
                    where=baffle.where,
                    message=f"{name} lies in pillar '{pillar.name}' of box '{box.name}' from end "
                    "to end",
                    remedy="take it out, or draw it on to a wall",
                )


@rule("CUT093", Severity.WARN, "A pillar stands under an opening")
def pillar_in_sight(box: LightBox, *, openings: Sequence[tuple[str, Corners]]) -> Iterable[Told]:
    """Look for pillars that an opening of the panel lies over.

    What it checks
        No pillar stands under an opening of the panel, wholly or in part.

    Why it matters
        Its end lies against the opening and shows there as a dark shape; it lights up nowhere. Such
        a box has no computed glow.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        pillars:
                          post: {shape: round 4 mm, at: [36 mm, 26 mm]}

    Mend
        Move it as the message says: the shortest way that was found to a free place.

    Source
        Geometry; the room left round it is common practice, no source.
    """
    under = [
        (pillar, name)
        for pillar in sound_pillars(box)
        for name in (_first_over(pillar, openings=openings),)
        if name is not None
    ]
    more = len(under) - MOST_MENDS
    for number, (pillar, name) in enumerate(under[:MOST_MENDS], start=1):
        way = way_out(pillar, box=box, openings=openings)
        others = f"; so do {more} more" if more > 0 and number == MOST_MENDS else ""
        yield Told(
            where=pillar.where,
            message=f"pillar '{pillar.name}' of box '{box.name}' stands under opening "
            f"'{name}', where it shows as a dark shape{others}",
            remedy=f"move it {way_words(way[0], y_mm=way[1])}"
            if way
            else "make it thinner, or move it out from under the opening and this box's other "
            "things",
        )


def _first_over(pillar: Pillar, *, openings: Sequence[tuple[str, Corners]]) -> str | None:
    """Name the first opening that lies over a pillar."""
    return next(
        (
            name
            for name, corners in openings
            if overlap_mm2(pillar.outline.corners, other=corners) > OVERLAP_MM2
        ),
        None,
    )


@rule("CUT094", Severity.STOP, "A pillar has a shape no rod or bar is sold in")
def pillar_without_stock(box: LightBox) -> Iterable[Told]:
    """Look for pillars without a sheet that are neither round nor rectangular.

    What it checks
        A pillar that names no sheet is round or a rectangle. In a printed box it may have any
        shape, for it is printed with the body.

    Why it matters
        Rods and bars are sold round, square and flat. Anything else is cut as slices of sheet.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        pillars:
                          post: {shape: "polygon 6 sides, 4 mm", at: [30 mm, 38 mm]}

    Mend
        Name the sheet its slices are cut from, or make it round.

    Source
        Common practice, no source.
    """
    for pillar in sound_pillars(box):
        lacks = pillar.sheet is None and bar_words(pillar.outline.corners) is None
        if lacks and not is_printed(pillar, box=box):
            wide = in_mm(min(size_mm(pillar.outline.corners)))
            yield Told(
                where=pillar.where,
                message=f"pillar '{pillar.name}' of box '{box.name}' ({pillar.outline.words}) "
                "names no sheet, and no rod or bar has its shape",
                remedy=f"write sheet: {box.sheet.name}, or shape: round {wide}",
                mend=sets("sheet", box.sheet.name),
            )


@rule("CUT095", Severity.STOP, "A strand or an LED runs into a pillar")
def runs_into_pillar(box: LightBox, *, strands: Sequence[Strand]) -> Iterable[Told]:
    """Look for strands half in a pillar, and for LEDs on walls that reach into one.

    What it checks
        A strand runs wholly inside a pillar, as through a tube, or wholly beside it. An LED on a
        wall stands clear of pillars.

    Why it matters
        A strand at the edge of a pillar has no straight way to its hole, and an LED does not fit.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    boxes:
                      screen box:
                        pillars:
                          post: {shape: round 4 mm, at: [30 mm, 38 mm]}
                    strands:
                      T: {fibre: fibre 0.5 mm, at: [32 mm, 38 mm], group: steady}

    Mend
        Move one of them as the message says.

    Source
        Geometry.
    """
    ring = flatten(anticlockwise(box.inside.corners))
    for pillar in sound_pillars(box):
        own = pillar.outline.corners
        for strand in strands:
            fibre = fibre_of(strand)
            if overlap_mm2(fibre, other=own) > OVERLAP_MM2 and not runs_in(strand, pillar=pillar):
                yield Told(
                    where=strand.where,
                    message=f"strand '{strand.name}' runs into pillar '{pillar.name}' of box "
                    f"'{box.name}'",
                    remedy=f"{move_apart(fibre, other=own, gap_by_mm=CLEAR_MM)}, or wholly into "
                    "the pillar",
                )
        for led in box.leds:
            if led.seat is Seat.WALL:
                body = body_on_wall(led, ring=ring)
                if overlap_mm2(body, other=own) > OVERLAP_MM2:
                    yield Told(
                        where=led.where,
                        message=f"LED '{led.name}' on a wall of box '{box.name}' stands in pillar "
                        f"'{pillar.name}'",
                        remedy=move_apart(body, other=own, gap_by_mm=LED_CLEAR_MM),
                    )


def _unsound(box: LightBox) -> Iterator[Finding]:
    for pillar in box.pillars:
        flaw = flaw_of(pillar.outline.corners)
        if flaw:
            name = f"pillar '{pillar.name}' of box '{box.name}'"
            yield from unsound_outline([Flawed(name=name, where=pillar.where, flaw=flaw)])


def look_at_pillars(
    box: LightBox, *, layout: Layout, strands: Sequence[Strand]
) -> tuple[Finding, ...]:
    """Run every rule of the pillars of a box; none when its inside is not sound.

    Parameters
    ----------
    box
        As it is built.
    layout
        The panel before it.
    strands
        Those that come out of the panel over the box.
    """
    if not box.pillars or flaw_of(box.inside.corners):
        return ()
    curve = layout.panel.curve
    # Laid flat, the openings of a cone lie elsewhere than its boxes.
    is_cone = curve is not None and curve.slope_deg != 0.0
    openings = [] if is_cone else [(spot.label, spot.corners) for spot in layout.openings]
    return (
        *_unsound(box),
        *pillar_outside(box),
        *pillars_overlap(box),
        *baffle_through(box),
        *pillar_in_sight(box, openings=openings),
        *pillar_without_stock(box),
        *runs_into_pillar(box, strands=strands),
    )
