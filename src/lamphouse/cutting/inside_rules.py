"""The rules of what stands in a light box: its baffles, its inner diffuser, its LEDs."""

from collections.abc import Iterable, Iterator, Sequence
from math import dist

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.baffle_rules import look_at_baffles
from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.led_rules import led_outside, led_overlap, led_too_tall, wires_cramped
from lamphouse.cutting.mends import in_mm
from lamphouse.cutting.seats import baffle_foot, sound_baffles
from lamphouse.design.lightbox import Baffle, LightBox
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.spacing import Enclosure

SHORTEST_MM = 0.5
"""A piece of sheet shorter than this, or than it is thick, is not cut and set [PRACTICE]."""

THINNEST_MM = 0.1
"""Thinner sheet is foil, which does not stand on its edge [PRACTICE]."""


@rule("CUT023", Severity.STOP, "A baffle does not stand in its light box")
def baffle_outside(box: LightBox) -> Iterable[Told]:
    """Look for baffles too short or too thin to set, that leave the box or reach through its top.

    What it checks
        Each baffle has a length and a height and runs inside the box from end to end. It is at
        least half a millimetre long, no shorter than its sheet is thick, and of sheet that stands
        on its edge, 0.1 mm or more. One that stands is no higher than the inner diffuser or the
        panel; one that hangs ends above the inner diffuser or the back.

    Why it matters
        It cannot be cut or glued in, or holds the box open.

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
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        baffles:
                          middle:
                            from: [30 mm, 14 mm]
                            to: [30 mm, 34 mm]
                            height: 6 mm
                            sheet: styrene 0.5 mm

    Mend
        End the baffle on the wall, or make it lower, longer or thicker, as the message says.

    Source
        Geometry; the least length and thickness are common practice, no source.
    """
    sound = sound_baffles(box)
    for baffle in box.baffles:
        if baffle not in sound:
            yield Told(
                where=baffle.where,
                message=f"baffle '{baffle.name}' is {in_mm(dist(baffle.start_mm, baffle.end_mm))} "
                f"long and {in_mm(baffle.height_mm)} high",
                remedy="give it two different ends and a height above 0 mm",
            )
        else:
            yield from _unfit(baffle, box=box)
    enclosure = Enclosure(box.inside.corners)
    for baffle in sound:
        most, why = _room_for(baffle, box=box)
        margin = enclosure.margin_mm(baffle_foot(baffle))
        # A foot that meets a slanted wall square sticks out by up to half its thickness.
        if margin < -(baffle.sheet.thickness_mm / 2.0 + ROUNDING_MM):
            yield Told(
                where=baffle.where,
                message=f"baffle '{baffle.name}' reaches {in_mm(-margin)} beyond the inside of "
                f"box '{box.name}'",
                remedy=f"end it on the wall, {in_mm(-margin)} earlier",
            )
        elif baffle.height_mm > most + ROUNDING_MM:
            yield Told(
                where=baffle.where,
                message=f"baffle '{baffle.name}' is {in_mm(baffle.height_mm)} high, and {why}",
                remedy=f"make it at most {in_mm(most)} high",
                mend=sets("height", in_mm(most)),
            )


def _unfit(baffle: Baffle, *, box: LightBox) -> Iterator[Told]:
    """Tell of a baffle too short or too thin to be cut and set."""
    long, thick = dist(baffle.start_mm, baffle.end_mm), baffle.sheet.thickness_mm
    least = max(SHORTEST_MM, thick)
    if long < least - ROUNDING_MM:
        yield Told(
            where=baffle.where,
            message=f"baffle '{baffle.name}' is {in_mm(long)} long, and no piece of "
            f"'{baffle.sheet.name}' shorter than {in_mm(least)} can be cut and set",
            remedy=f"draw it at least {in_mm(least)} long, or take it out",
        )
    if thick < THINNEST_MM - ROUNDING_MM:
        stands = box.sheet.thickness_mm >= THINNEST_MM
        yield Told(
            where=baffle.where,
            message=f"baffle '{baffle.name}' is cut from '{baffle.sheet.name}', {in_mm(thick)} "
            f"thick, and nothing thinner than {in_mm(THINNEST_MM)} stands on its edge",
            remedy=f"write sheet: {box.sheet.name}"
            if stands
            else f"cut it from sheet of {in_mm(THINNEST_MM)} or more",
            mend=sets("sheet", box.sheet.name) if stands else (),
        )


def _room_for(baffle: Baffle, *, box: LightBox) -> tuple[float, str]:
    """Give how high a baffle may be, and what lies there."""
    inner = box.inner_diffuser
    if baffle.hangs:
        if inner is None:
            return box.depth_mm, f"the back lies {in_mm(box.depth_mm)} below the panel"
        top = inner.height_mm + inner.film.thickness_mm
        return box.depth_mm - top, (
            f"it hangs from the panel; the inner diffuser reaches to {in_mm(top)} above the back, "
            f"which leaves {in_mm(box.depth_mm - top)}"
        )
    top, over = box.depth_mm, "the panel"
    if inner:
        top, over = inner.height_mm, "the inner diffuser"
    return top, f"{over} lies {in_mm(top)} above the back"


@rule("CUT024", Severity.STOP, "The inner diffuser does not lie in its light box")
def diffuser_outside(box: LightBox) -> Iterable[Told]:
    """Look for an inner diffuser above the panel or below the back.

    What it checks
        The inner diffuser lies above the back, and its upper face below the panel.

    Why it matters
        It would hold the box off the panel, and light would leave through the seam.

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
                        depth: 10 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint
                        inner_diffuser: {film: opal film 60, height: 10 mm}

    Mend
        Lower the diffuser to the height of the message, or deepen the box.

    Source
        Geometry.
    """
    diffuser = box.inner_diffuser
    if diffuser is None:
        return
    most = box.depth_mm - diffuser.film.thickness_mm
    if not 0.0 < diffuser.height_mm <= most + ROUNDING_MM:
        yield Told(
            where=box.where,
            message=f"the inner diffuser of box '{box.name}' lies {in_mm(diffuser.height_mm)} "
            f"above the back; with its {in_mm(diffuser.film.thickness_mm)} it fits up to "
            f"{in_mm(most)} in a box {in_mm(box.depth_mm)} deep",
            remedy=f"put it at {in_mm(max(most, 0.0) * 2.0 / 3.0)}, or deepen the box",
        )


@rule("CUT025", Severity.WARN, "The sheet is thicker than the light box is deep")
def thick_sheet(box: LightBox) -> Iterable[Told]:
    """Look for boxes cut from sheet as thick as they are deep.

    What it checks
        The sheet of a light box is thinner than the box is deep.

    Why it matters
        Such walls are strips glued on edge to nothing; most often depth and thickness were
        swapped.

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
                        depth: 0.75 mm
                        sheet: styrene 1.0 mm
                        finish: matt white paint

    Mend
        Deepen the box, or use thinner sheet.

    Source
        Common practice, no source.
    """
    thickness = box.sheet.thickness_mm
    if thickness >= box.depth_mm - ROUNDING_MM:
        yield Told(
            where=box.where,
            message=f"box '{box.name}' is {in_mm(box.depth_mm)} deep and its sheet "
            f"{in_mm(thickness)} thick",
            remedy=f"make it deeper than {in_mm(thickness)}, at best "
            f"{in_mm(4.0 * thickness)} or more, or use thinner sheet",
        )


def look_into_box(box: LightBox, *, drills: Sequence[Drill], lead_mm: float) -> tuple[Finding, ...]:
    """Run every rule of what stands in a light box; none when its inside is not sound."""
    if flaw_of(box.inside.corners):
        return ()
    outside = baffle_outside(box)
    return (
        *led_outside(box),
        *led_overlap(box),
        *led_too_tall(box),
        *(outside or look_at_baffles(box)),
        *diffuser_outside(box),
        *thick_sheet(box),
        *wires_cramped(box, drills=drills, lead_mm=lead_mm),
    )
