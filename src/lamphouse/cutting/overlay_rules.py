"""The rules of overlays: their cut-outs sit in the openings behind them, and nothing is hidden."""

from collections.abc import Iterable, Iterator, Sequence

from lamphouse.cutting.layout import Layout, Spot
from lamphouse.cutting.mends import STEP_MM, at_mm, bring_inside, in_mm, sides_mm, way_words
from lamphouse.design.lightbox import LightBox
from lamphouse.design.panel import Opening, Panel
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding, Severity, Told, rule
from lamphouse.record import Record
from lamphouse.shapes.measure import anticlockwise, area_mm2, bounds_mm
from lamphouse.shapes.outline import Corners, circle
from lamphouse.shapes.registering import Pair, best_shift
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure, gap_mm, overlap_mm2

MARGIN_MM = 0.3
"""What cutting two pieces by hand and gluing one on the other may be off together [PRACTICE]."""

LEAST_MM2 = 1e-4
"""Outlines that share less area than this do not overlap."""

MOST_NAMED = 3
"""Cut-outs whose own mend is told where no one shift mends all."""


class Seat(Record):
    """A cut-out of an overlay over something that goes through the panel."""

    cutout: Opening
    behind: str
    """What lies there, as a sentence names it."""
    pair: Pair


class Laid(Record):
    """An overlay on its panel."""

    panel: Panel
    overlay: Panel
    openings: tuple[Spot, ...]
    """The panel's that reach under it."""
    strands: tuple[Strand, ...]
    """Those that come out under it."""
    seats: tuple[Seat, ...]

    @property
    def met(self) -> frozenset[str]:
        """What lies behind a cut-out, wholly or in part."""
        return frozenset(seat.behind for seat in self.seats)


_Bounds = tuple[float, float, float, float]


def _near(one: _Bounds, *, other: _Bounds) -> bool:
    return one[0] <= other[2] and one[2] >= other[0] and one[1] <= other[3] and one[3] >= other[1]


def fibre_of(strand: Strand) -> Corners:
    """Give a fibre's outline in the panel plane."""
    return circle(strand.fibre.diameter_mm, x_mm=strand.x_mm, y_mm=strand.y_mm)


def lay_on(layout: Layout, *, strands: Sequence[Strand]) -> Iterator[Laid]:
    """Lay the sound overlays of a panel on it."""
    openings = [(bounds_mm(spot.corners), spot) for spot in layout.openings]
    fibres = [(bounds_mm(fibre_of(strand)), strand) for strand in strands]
    for overlay in layout.panel.overlays:
        edge = overlay.outline.corners
        if flaw_of(edge):
            continue
        around = bounds_mm(edge)
        under = [
            (bounds, spot)
            for bounds, spot in openings
            if _near(bounds, other=around) and overlap_mm2(spot.corners, other=edge) > LEAST_MM2
        ]
        out = [
            (bounds, strand)
            for bounds, strand in fibres
            if _near(bounds, other=around) and gap_mm(fibre_of(strand), other=edge) <= 0.0
        ]
        yield Laid(
            panel=layout.panel,
            overlay=overlay,
            openings=tuple(spot for _, spot in under),
            strands=tuple(strand for _, strand in out),
            seats=tuple(_seats(overlay, openings=under, strands=out)),
        )


def _seats(
    overlay: Panel,
    *,
    openings: Sequence[tuple[_Bounds, Spot]],
    strands: Sequence[tuple[_Bounds, Strand]],
) -> Iterator[Seat]:
    """Pair every cut-out with each opening and fibre it meets: the smaller inside the larger."""
    for cutout in overlay.openings:
        if flaw_of(cutout.outline.corners):
            continue
        corners = anticlockwise(cutout.outline.corners)
        around = bounds_mm(corners)
        for bounds, spot in openings:
            if not _near(around, other=bounds):
                continue
            if overlap_mm2(corners, other=spot.corners) <= LEAST_MM2:
                continue
            inside = area_mm2(corners) <= area_mm2(spot.corners)
            pair = Pair(
                inner=corners if inside else spot.corners,
                outer=spot.corners if inside else corners,
                margin_by_mm=MARGIN_MM,
                moves_inner=inside,
            )
            yield Seat(cutout=cutout, behind=spot.name, pair=pair)
        for bounds, strand in strands:
            fibre = fibre_of(strand)
            if _near(around, other=bounds) and gap_mm(fibre, other=corners) <= 0.0:
                pair = Pair(inner=fibre, outer=corners, margin_by_mm=0.0, moves_inner=False)
                yield Seat(cutout=cutout, behind=f"strand '{strand.name}'", pair=pair)


def _own_mend(seat: Seat, *, seats: Sequence[Seat]) -> str:
    """Say how to mend one cut-out by itself."""
    pair, name = seat.pair, seat.cutout.name
    shift = best_shift([one.pair for one in seats if one.cutout == seat.cutout])
    if shift:
        return f"'{name}': move it {way_words(shift[0], y_mm=shift[1])}"
    if pair.moves_inner:
        outer = Enclosure(pair.outer)
        words = bring_inside(pair.inner, outer=outer, margin_by_mm=pair.margin_by_mm)
        return f"'{name}': {words}"
    framed = [one.pair for one in seats if one.cutout == seat.cutout and not one.pair.moves_inner]
    bounds = [(bounds_mm(one.inner), one.margin_by_mm) for one in framed]
    left, bottom = (min(one[side] - by for one, by in bounds) for side in (0, 1))
    right, top = (max(one[side] + by for one, by in bounds) for side in (2, 3))
    middle = at_mm((left + right) / 2.0, y_mm=(bottom + top) / 2.0)
    size = sides_mm(right - left, height_mm=top - bottom)
    return f"'{name}': make it at least {size} round {middle}"


@rule("CUT042", Severity.WARN, "An overlay's cut-out does not sit in the opening behind it")
def off_register(overlays: Sequence[Laid]) -> Iterable[Told]:
    """Look for cut-outs of overlays whose edges meet those of the openings behind them.

    What it checks
        Where a cut-out of an overlay lies over an opening of its panel, the smaller of the two lies
        inside the larger, at least 0.3 mm from its edge all round. A fibre that comes out in a
        cut-out lies wholly in it.

    Why it matters
        Two edges one behind the other show as one crooked line: a rim of bare sheet on one side,
        a shadow on the other. A fibre under the edge cannot be pushed through.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    overlays:
                      bezel:
                        outline: rectangle 44 x 34 mm
                        at: [28 mm, 25 mm]
                        sheet: styrene 0.5 mm
                        openings:
                          window: {shape: rectangle 29 x 19 mm, at: [28.4 mm, 25.4 mm]}

    Mend
        Move the overlay with all its cut-outs as the message says: the one shift that leaves most
        at every cut-out. Where there is none, move or resize the cut-outs it names.

    Source
        Common practice, no source.
    """
    for laid in overlays:
        short = [(seat.pair.short_mm(), seat) for seat in laid.seats]
        bad = sorted(((by, seat) for by, seat in short if by > STEP_MM), key=lambda one: -one[0])
        if not bad:
            continue
        worst = bad[0][1]
        land = worst.pair.margin_by_mm - bad[0][0]
        lies = (
            f"keeps {in_mm(land)} from the edge of {worst.behind}"
            if land >= 0.0
            else f"crosses the edge of {worst.behind} by {in_mm(-land)}"
        )
        shift = best_shift([seat.pair for seat in laid.seats])
        more = f" (and {len(bad) - 1} more)" if len(bad) > 1 else ""
        yield Told(
            where=laid.overlay.where,
            message=f"cut-out '{worst.cutout.name}' of overlay '{laid.overlay.name}' {lies}{more}; "
            f"{_wanted_words(worst)}",
            remedy=_shift_words(shift) if shift else _own_mends(bad, seats=laid.seats),
        )


def _wanted_words(seat: Seat) -> str:
    if seat.pair.margin_by_mm:
        return f"{in_mm(seat.pair.margin_by_mm)} is wanted all round, what two pieces may be off"
    return "a fibre must come out wholly inside"


def _shift_words(shift: tuple[float, float]) -> str:
    return f"move the overlay and all its cut-outs {way_words(shift[0], y_mm=shift[1])}"


def _own_mends(bad: Sequence[tuple[float, Seat]], *, seats: Sequence[Seat]) -> str:
    worst = {seat.cutout.name: seat for _, seat in reversed(bad)}
    names = list(dict.fromkeys(seat.cutout.name for _, seat in bad))[:MOST_NAMED]
    named = "; ".join(_own_mend(worst[name], seats=seats) for name in names)
    return f"no move of the whole overlay mends all its cut-outs; {named}"


@rule("CUT043", Severity.STOP, "An overlay covers a strand")
def covered_strand(overlays: Sequence[Laid]) -> Iterable[Told]:
    """Look for strands that come out under an overlay without a hole for them.

    What it checks
        Every strand that comes out under an overlay meets one of its cut-outs.

    Why it matters
        The fibre ends behind the overlay, and its light is never seen.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    overlays:
                      strip:
                        outline: rectangle 24 x 10 mm
                        at: [66 mm, 25 mm]
                        sheet: styrene 0.5 mm

    Mend
        Add the hole of the message to the overlay, or move strand or overlay.

    Source
        Geometry.
    """
    for laid in overlays:
        met = laid.met
        hidden = [one for one in laid.strands if f"strand '{one.name}'" not in met]
        if hidden:
            first = hidden[0]
            more = f" and {len(hidden) - 1} more" if len(hidden) > 1 else ""
            yield Told(
                where=laid.overlay.where,
                message=f"strand '{first.name}'{more} of panel '{laid.panel.name}' comes out under "
                f"overlay '{laid.overlay.name}', which has no hole there",
                remedy=f"give the overlay a hole of {in_mm(_wide_mm(first))} at "
                f"{at_mm(first.x_mm, y_mm=first.y_mm)}"
                + (", and one for each of the others" if len(hidden) > 1 else ""),
            )


def _wide_mm(strand: Strand) -> float:
    return strand.hole_mm or strand.fibre.diameter_mm + strand.fibre.hole_clearance_mm[1]


@rule("CUT044", Severity.WARN, "An overlay covers an opening")
def covered_cut(overlays: Sequence[Laid], *, boxes: Sequence[LightBox]) -> Iterable[Told]:
    """Look for openings without a light box that an overlay hides.

    What it checks
        Every opening that lies wholly under an overlay meets one of its cut-outs. Those over a
        light box are told by the rules of light.

    Why it matters
        What is cut with care is not to be seen afterwards; most often the overlay was drawn from
        the wrong corner.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      vent: {shape: rectangle 6 x 4 mm, at: [66 mm, 40 mm]}
                    overlays:
                      strip:
                        outline: rectangle 24 x 10 mm
                        at: [66 mm, 40 mm]
                        sheet: styrene 0.5 mm

    Mend
        Add the cut-out of the message to the overlay, or move the overlay.

    Source
        Geometry.
    """
    insides = [box.inside.corners for box in boxes if not flaw_of(box.inside.corners)]
    for laid in overlays:
        edge, met = Enclosure(laid.overlay.outline.corners), laid.met
        for spot in laid.openings:
            if spot.name in met or edge.margin_mm(spot.corners) < 0.0:
                continue
            if any(overlap_mm2(spot.corners, other=inside) > LEAST_MM2 for inside in insides):
                continue
            left, bottom, right, top = bounds_mm(spot.corners)
            yield Told(
                where=spot.where,
                message=f"{spot.name} lies wholly under overlay '{laid.overlay.name}', which has "
                "no cut-out there",
                remedy=f"give the overlay a cut-out of about "
                f"{sides_mm(right - left, height_mm=top - bottom)} at "
                f"{at_mm((left + right) / 2.0, y_mm=(bottom + top) / 2.0)}",
            )


def look_at_overlays(
    layout: Layout, *, strands: Sequence[Strand], boxes: Sequence[LightBox]
) -> tuple[Finding, ...]:
    """Run every rule of the overlays on a panel."""
    overlays = list(lay_on(layout, strands=strands))
    return (
        *off_register(overlays),
        *covered_strand(overlays),
        *covered_cut(overlays, boxes=boxes),
    )
