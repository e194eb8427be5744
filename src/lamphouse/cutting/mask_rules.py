"""The rules of painting: windows kept clear, areas that cross or hide, stripes, islands, order."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from lamphouse.cutting.layout import Layout
from lamphouse.cutting.mask_plan import Mask, MaskPlan, Wanted, coats_of
from lamphouse.cutting.mends import at_mm, in_mm
from lamphouse.cutting.opening_rules import FLAW_MENDS
from lamphouse.design.lightbox import LightBox
from lamphouse.design.masks import Masks, PaintArea
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.regions import Area, area_of
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import overlap_mm2

LEAST_MM2 = 0.01
"""Areas that share less do not cross."""

DARKER = 0.2
"""A coat lighter than the one before it by more than this needs several coats [PRACTICE]."""


def look_at_masks(
    layout: Layout, *, masks: Masks, wanted: Wanted, plan: MaskPlan, boxes: Sequence[LightBox]
) -> tuple[Finding, ...]:
    """Run every rule of the painting of a panel."""
    return (
        *painted_window(layout, masks=masks, wanted=wanted, boxes=boxes),
        *crossing_areas(masks, wanted=wanted),
        *hidden_area(masks, wanted=wanted),
        *narrow_stripe(masks, wanted=wanted),
        *lone_island(layout, plan=plan),
        *light_over_dark(masks, wanted=wanted),
    )


@rule("MSK001", Severity.WARN, "An opening that is lit is not kept clear of paint")
def painted_window(
    layout: Layout, *, masks: Masks, wanted: Wanted, boxes: Sequence[LightBox]
) -> Iterable[Told]:
    """Look for openings with layers, a look or a light box that paint gets into.

    What it checks
        Where a panel is painted, every opening that carries layers or a look, or lies over a light
        box, is among those kept ``clear``.

    Why it matters
        Spray goes through the opening: films get a mist on their face, and white walls behind it
        are no longer white.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    masks:
                      areas:
                        ground: {paint: grey}

    Mend
        Put the opening on the list as the message says; or accept this when films and box come
        after the painting.

    Source
        Common practice, no source.
    """
    if not wanted.covered:
        return
    insides = [box.inside.corners for box in boxes if not flaw_of(box.inside.corners)]
    openings = {one.name: one for one in layout.panel.openings}
    lit = [
        spot
        for spot in layout.openings
        if spot.label not in masks.clear
        and (
            openings[spot.label].layers
            or openings[spot.label].look
            or any(overlap_mm2(spot.corners, other=inside) > LEAST_MM2 for inside in insides)
        )
    ]
    if lit:
        more = f" and {len(lit) - 1} more" if len(lit) > 1 else ""
        names = [*masks.clear, *(spot.label for spot in lit)]
        yield Told(
            where=masks.where,
            message=f"{lit[0].name}{more} of painted panel '{layout.panel.name}' is lit and is "
            "not kept clear: paint gets in",
            remedy=f"write clear: [{', '.join(names)}]; accept this when films and box come after "
            "the painting",
        )


@rule("MSK002", Severity.WARN, "Two painted areas cross")
def crossing_areas(masks: Masks, *, wanted: Wanted) -> Iterable[Told]:
    """Look for areas of different paints that overlap without one lying in the other.

    What it checks
        Of two areas that overlap, one lies within the other, or both have the same paint.

    Why it matters
        Where they cross, only one of the two paints can be seen. The later one in the list is
        taken to lie over the earlier one; most often a place or a width is a slip.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    masks:
                      clear: [screen]
                      areas:
                        stripe: {paint: white, from: [0 mm, 5 mm], to: [80 mm, 5 mm], width: 6 mm}
                        bar: {paint: black, from: [65 mm, 0 mm], to: [65 mm, 50 mm], width: 6 mm}

    Mend
        Let one of them end at the other, or accept it when the later one is to lie on top.

    Source
        Geometry.
    """
    for later, area in enumerate(masks.areas):
        for earlier in range(later):
            other = masks.areas[earlier]
            if other.paint == area.paint:
                continue
            shared = wanted.covered[later].within(wanted.covered[earlier])
            if shared.area_mm2 < LEAST_MM2:
                continue
            smaller = min(wanted.covered[number].area_mm2 for number in (later, earlier))
            if smaller - shared.area_mm2 < LEAST_MM2:
                continue
            x, y = shared.spot()
            yield Told(
                where=area.where,
                message=f"{area.paint} of '{area.name}' and {other.paint} of '{other.name}' cross "
                f"about {at_mm(x, y_mm=y)} on {in_mm(shared.area_mm2)}2; '{area.name}' is taken "
                "to lie on top, as it comes later",
                remedy=f"let '{area.name}' end at '{other.name}', list them the other way round, "
                "or accept this",
            )


@rule("MSK003", Severity.WARN, "Nothing of a painted area is seen")
def hidden_area(masks: Masks, *, wanted: Wanted) -> Iterable[Told]:
    """Look for areas that others cover, or that lie off the panel.

    What it checks
        Some of every area is seen in the end.

    Why it matters
        It gets no coat: either the list is in the wrong order, or its place is a slip.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    masks:
                      clear: [screen]
                      areas:
                        band: {paint: white, from: [0 mm, 5 mm], to: [80 mm, 5 mm], width: 6 mm}
                        ground: {paint: grey}

    Mend
        Put it after the area the message names, or back onto the panel.

    Source
        Geometry.
    """
    for number, area in enumerate(masks.areas):
        if not wanted.seen[number].is_nothing:
            continue
        flaw = next((flaw for one in area.outlines if (flaw := flaw_of(one.corners))), None)
        if flaw:
            remedy = FLAW_MENDS[flaw.kind]
            yield Told(where=area.where, message=f"'{area.name}' {flaw.words}", remedy=remedy)
            continue
        if wanted.covered[number].is_nothing:
            yield Told(
                where=area.where,
                message=f"nothing of '{area.name}' lies on the face of the panel",
                remedy="check its place; the face is "
                + " to ".join(_corner_words(wanted.face.regions()[0].outside)),
            )
            continue
        over = [
            masks.areas[later].name
            for later in range(number + 1, len(masks.areas))
            if wanted.covered[later].within(wanted.covered[number]).area_mm2 > LEAST_MM2
        ]
        names = " and ".join(f"'{name}'" for name in over)
        yield Told(
            where=area.where,
            message=f"'{area.name}' is wholly covered by {names}, later in the list",
            remedy=f"move '{area.name}' below {names} in the list, or take it out",
        )


def _corner_words(corners: tuple[tuple[float, float, float], ...]) -> Iterator[str]:
    left, bottom, right, top = bounds_mm(corners)
    yield at_mm(left, y_mm=bottom)
    yield at_mm(right, y_mm=top)


@rule("MSK004", Severity.WARN, "A stripe is narrower than twice the overlap of the masks")
def narrow_stripe(masks: Masks, *, wanted: Wanted) -> Iterable[Told]:
    """Look for painted stripes too narrow for masks that lap over one another.

    What it checks
        In every part of an area that is seen there is room for a circle of twice the overlap.

    Why it matters
        The masks on both sides of it lap over its own by the overlap each: they meet on top of it,
        and stand off the face where paint creeps under.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    masks:
                      clear: [screen]
                      areas:
                        ground: {paint: grey}
                        line: {paint: black, from: [0 mm, 5 mm], to: [80 mm, 5 mm], width: 1 mm}

    Mend
        Take a smaller overlap, as the message gives it, widen the stripe, or draw it with a pen.

    Source
        Geometry; that masks must lie flat is common practice, no source.
    """
    for number, area in enumerate(masks.areas):
        tight = [
            part
            for part in wanted.seen[number].parts()
            if not part.has_room(2.0 * masks.overlap_mm)
        ]
        widths = [part.width_mm() for part in tight]
        narrow = [width for width in widths if width < 2.0 * masks.overlap_mm * 0.998]
        if narrow:
            least = min(narrow)
            more = f", and {len(narrow) - 1} more parts of it are narrow too" if narrow[1:] else ""
            yield Told(
                where=area.where,
                message=f"'{area.name}' is seen {in_mm(least)} wide; masks that lap over by "
                f"{in_mm(masks.overlap_mm)} need {in_mm(2.0 * masks.overlap_mm)}{more}",
                remedy=f"write overlap: {in_mm(int(least * 50.0) / 100.0)}, widen it, or draw it "
                "with a pen",
            )


@rule("MSK005", Severity.NOTE, "A piece of a mask has nothing to be laid against")
def lone_island(layout: Layout, *, plan: MaskPlan) -> Iterable[Told]:
    """Look for pieces of masks that touch neither the panel's edge nor an opening.

    What it checks
        Every piece of a mask on the front reaches the edge of the panel or of an opening that is
        cut, or is the only piece of its mask.

    Why it matters
        A film in one piece is laid against an edge. An island in it has no bridge to the rest, and
        where it is stuck on by eye, there it stays.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    masks:
                      clear: [screen]
                      areas:
                        ground: {paint: white}
                        lamps:
                          paint: red
                          shape: round 6 mm
                          at: [52 mm, 10 mm]
                          count: 2
                          step: [20 mm, 0 mm]
                        rim: {paint: black, edge: 2 mm}

    Mend
        Carry all pieces of that mask over together on transfer tape, or mark the place the message
        gives before the first coat.

    Source
        Common practice, no source.
    """
    cut = [spot.corners for spot in layout.openings if spot.is_cut]
    for step in plan.steps:
        if not isinstance(step, Mask) or step.behind or len(step.regions) < 2:
            continue
        lone = [
            (region, piece)
            for region, piece in zip(step.regions, step.pieces, strict=True)
            if not _is_held(area_of(region.outside), [layout.edge, *cut])
        ]
        if not lone:
            continue
        region, piece = lone[0]
        left, bottom, _, _ = bounds_mm(region.outside)
        more = f" and {len(lone) - 1} more" if len(lone) > 1 else ""
        name = piece.name.rpartition(" / ")[2]
        yield Told(
            where=plan.masks.where,
            message=f"{name}{more} lies free on the face: no bridge joins it to the rest of mask "
            f"{step.letter}, and no edge is near to lay it against",
            remedy=f"mark its lower left corner at {at_mm(left, y_mm=bottom)} before the first "
            f"coat, or carry mask {step.letter} over whole on transfer tape",
        )


def _is_held(area: Area, edges: Sequence[tuple[tuple[float, float, float], ...]]) -> bool:
    return any(area.meets(edge) for edge in edges)


@rule("MSK006", Severity.WARN, "A light paint goes over a darker one")
def light_over_dark(masks: Masks, *, wanted: Wanted) -> Iterable[Told]:
    """Look for coats that are lighter than what is under them.

    What it checks
        Where the lightness of both is given, no coat is lighter than the one before it by more than
        20 %.

    Why it matters
        Light paint covers dark paint badly: it takes several coats, and their edge stands up along
        the mask.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    masks:
                      clear: [screen]
                      areas:
                        ground: {paint: black, lightness: 5 %}
                        stripe:
                          paint: white
                          lightness: 95 %
                          from: [0 mm, 5 mm]
                          to: [80 mm, 5 mm]
                          width: 6 mm

    Mend
        Let the coats go on from light to dark: masks and pieces follow.

    Source
        Common practice, no source.
    """
    order = [numbers[0] for numbers in coats_of(masks, wanted=wanted)]
    for before, number in pairwise(order):
        under, over = masks.areas[before], masks.areas[number]
        if _lighter(over, under=under):
            every = all(area.lightness is not None for area in masks.areas)
            yield Told(
                where=over.where,
                message=f"{over.paint} of '{over.name}' goes on over {under.paint} of "
                f"'{under.name}', which is darker",
                remedy="write order: light to dark under masks"
                + ("" if every else ", with the lightness of every area"),
            )


def _lighter(over: PaintArea, *, under: PaintArea) -> bool:
    if over.lightness is None or under.lightness is None:
        return False
    return over.lightness > under.lightness + DARKER
