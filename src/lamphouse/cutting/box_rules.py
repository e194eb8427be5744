"""The rules of building a light box: straight walls that can be cut, joined and wired."""

from collections.abc import Iterable, Sequence
from math import degrees

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.ring import Wall, too_sharp
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Severity, Told, rule, sets
from lamphouse.shapes.measure import anticlockwise, area_mm2, turns_rad
from lamphouse.shapes.offset import Region
from lamphouse.shapes.outline import Spot, pieces, polygon
from lamphouse.shapes.tangents import SMOOTH_DEG, kinks_deg

LEAST_NOTCH_MM = 0.5
"""Narrower notches pass no pair of wires [PRACTICE]."""

BENDS_AT = 20.0
"""Least radius of cold-bent sheet, in thicknesses [PRACTICE]."""

LEAST_SHEET_MM = 0.2
"""Thinner sheet holds no shape."""


def _place_words(spot: Spot) -> str:
    """Write a corner for a sentence."""
    return f"({spot[0]:.6g}, {spot[1]:.6g}) mm"


def _more_words(count: int) -> str:
    """Say that there are others of a kind."""
    return f" (and at {count} more places)" if count else ""


@rule("CUT030", Severity.STOP, "One strip cannot go round this light box")
def curved_wall(box: LightBox) -> Iterable[Told]:
    """Refuse a round light box that one strip cannot be wrapped round.

    What it checks
        The inside of a box with a wrapped wall has no corner, and no passage goes through it.

    Why it matters
        A strip bent round a box is bent gently everywhere; a corner needs a fold or a joint, and
        the half of a passage in a bent wall does not lie on that of its neighbour.

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
                        inside:
                          points:
                            - {via: [0 mm, 7 mm], to: [-12 mm, -5 mm]}
                            - [12 mm, -5 mm]
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Write ``round_walls: flat walls``, which stand round the arcs, or round the corner off.

    Source
        Geometry.
    """
    corners = anticlockwise(box.inside.corners)
    sharp = [
        (abs(turn), spot)
        for turn, spot in zip(kinks_deg(corners), corners, strict=True)
        if abs(turn) > SMOOTH_DEG
    ]
    if sharp:
        turn, (x, y, _) = max(sharp)
        yield Told(
            where=box.where,
            message=f"the inside of box '{box.name}' ({box.inside.words}) has a corner of "
            f"{turn:.1f} deg at {_place_words((x, y))}{_more_words(len(sharp) - 1)}, and one strip "
            "goes round no corner",
            remedy="write round_walls: flat walls, or round the corner off",
            mend=sets("round_walls", "flat walls"),
        )
    elif box.passages:
        yield Told(
            where=box.where,
            message=f"box '{box.name}' has a wrapped wall and passage '{box.passages[0].name}'"
            f"{_more_words(len(box.passages) - 1)}",
            remedy="write round_walls: flat walls, and draw the passage in one of them",
        )


@rule("CUT070", Severity.WARN, "The wall of a round light box is bent too sharply")
def sharp_wrap(box: LightBox) -> Iterable[Told]:
    """Look for wrapped walls whose sheet is too thick for their radius.

    What it checks
        The radius of each arc of a wrapped wall is at least twenty thicknesses of its sheet.

    Why it matters
        Thick sheet bent sharply whitens, cracks, or springs its seam open, and light leaves there.

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
                        inside: round 20 mm
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Use sheet no thicker than the message says, flat walls, or several thin strips on one
        another.

    Source
        Common practice, no source.
    """
    arcs = [one for one in pieces(box.inside.corners) if not one.is_straight]
    tightest = min(arcs, key=lambda one: one.radius_mm, default=None)
    if tightest is None:
        return
    least = BENDS_AT * box.sheet.thickness_mm
    if tightest.radius_mm < least - ROUNDING_MM:
        most = int(tightest.radius_mm / BENDS_AT * 100.0 + ROUNDING_MM) / 100.0
        thinner = f"use sheet of {in_mm(most)} or thinner, or " if most >= LEAST_SHEET_MM else ""
        yield Told(
            where=box.where,
            message=f"the wall of box '{box.name}' is bent to a radius of "
            f"{in_mm(tightest.radius_mm)}; '{box.sheet.name}' wants {in_mm(least)} or more",
            remedy=f"{thinner}write round_walls: flat walls",
            mend=sets("round_walls", "flat walls"),
        )


@rule("CUT031", Severity.STOP, "Walls of a light box cannot be joined")
def unbuildable_wall(
    box: LightBox, *, spots: Sequence[Spot], walls: Sequence[Wall], regions: Sequence[Region]
) -> Iterable[Told]:
    """Look for walls that are too short, too sharp or in one another's way.

    What it checks
        At each corner of a light box the walls meet at 20 degrees or more; each wall is
        longer than its sheet is thick once the joints are taken off; no two walls stand in
        one place.

    Why it matters
        A feather edge lets light out, a wall of no length cannot be glued, and two walls do
        not fit into one place.

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
                        inside: {points: [[0 mm, 0 mm], [30 mm, 0 mm], [30 mm, 6 mm]]}
                        at: [30 mm, 20 mm]
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Cut the sharp corner off with a short wall, lengthen the short side, or use thinner
        sheet.

    Source
        Geometry; the 20 degrees are common practice, no source.
    """
    thickness = box.sheet.thickness_mm
    turns = [abs(angle) for angle in turns_rad(polygon(spots))] if walls else []
    sharp = [angle for angle in turns if too_sharp(angle)]
    if sharp:
        sharpest = max(sharp)
        yield Told(
            where=box.where,
            message=f"walls of box '{box.name}' meet at {180.0 - degrees(sharpest):.1f} deg at "
            f"{_place_words(spots[turns.index(sharpest)])}{_more_words(len(sharp) - 1)}; below "
            "20 deg their ends are feather edges",
            remedy=f"cut the corner off with a wall at least {in_mm(3.0 * thickness)} long",
        )
        return
    short = [wall for wall in walls if wall.shortest_mm <= thickness]
    if short:
        wall = min(short, key=lambda wall: wall.shortest_mm)
        needed = wall.side_mm - wall.shortest_mm + thickness
        yield Told(
            where=box.where,
            message=f"the wall of box '{box.name}' from {_place_words(wall.start)} to "
            f"{_place_words(wall.end)}{_more_words(len(short) - 1)} keeps "
            f"{in_mm(max(wall.shortest_mm, 0.0))} of its {in_mm(wall.side_mm)} once the joints are "
            f"taken off; '{box.sheet.name}' wants more than its own thickness, {in_mm(thickness)}",
            remedy=f"make that side longer than {in_mm(needed)}, or use thinner sheet",
        )
        return
    wood = sum(
        (wall.near_to_mm - wall.near_from_mm + wall.far_to_mm - wall.far_from_mm) / 2.0 * thickness
        for wall in walls
    )
    grown = sum(
        area_mm2(region.outside) - sum(area_mm2(hole) for hole in region.holes)
        for region in regions
    )
    if (
        len(regions) != 1
        or regions[0].holes
        or (walls and wood > grown - area_mm2(polygon(spots)) + 1e-3)
    ):
        yield Told(
            where=box.where,
            message=f"walls of box '{box.name}' would stand in one another: somewhere its sides "
            f"are less than two sheets, {in_mm(2.0 * thickness)}, apart on the outside",
            remedy=f"widen the gap between those sides to more than {in_mm(2.0 * thickness)}, or "
            "close it",
        )


@rule("CUT032", Severity.WARN, "There is no room for the notch of the wires")
def cramped_notch(box: LightBox, *, wall_mm: float) -> Iterable[Told]:
    """Tell that the wires' notch does not fit into the bottom wall.

    What it checks
        The notch fits into the bottom wall with two thicknesses of sheet beside it and one
        above it, clear of LEDs on that wall.

    Why it matters
        Without it the wires end up between wall and panel and hold the box open: a glowing
        seam.

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
                        inside: rectangle 20 x 16 mm
                        at: [30 mm, 20 mm]
                        depth: 3 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        wire_exit: 4 mm

    Mend
        Make the notch as narrow or the wall as long as the message says, or move the LED that is
        in its way.

    Source
        Common practice, no source.
    """
    thickness = box.sheet.thickness_mm
    most = min(wall_mm - 4.0 * thickness, box.depth_mm - thickness)
    remedy = (
        f"make that wall longer than {in_mm(box.wire_exit_mm + 4.0 * thickness)} and the box "
        f"deeper than {in_mm(box.wire_exit_mm + thickness)}"
    )
    if LEAST_NOTCH_MM <= most < box.wire_exit_mm:
        remedy += f", or write wire_exit: {in_mm(int(most * 100.0 + ROUNDING_MM) / 100.0)}"
    yield Told(
        where=box.where,
        message=f"box '{box.name}' has no room in its bottom wall, {in_mm(wall_mm)} long and "
        f"{in_mm(box.depth_mm)} high, for a notch of {in_mm(box.wire_exit_mm)}",
        remedy=remedy,
    )
