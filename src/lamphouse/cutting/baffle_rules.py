"""The rules of baffles among themselves: they meet what they run up to, and cross cleanly."""

from collections.abc import Iterable, Sequence
from itertools import combinations

from lamphouse.cutting.baffle_ends import Stretch, stretches_of
from lamphouse.cutting.baffle_joints import Crossing, crossings_of
from lamphouse.cutting.mends import at_mm, in_mm, move_apart
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.seats import sound_baffles
from lamphouse.design.lightbox import LightBox
from lamphouse.findings import Finding, Severity, Told, rule, sets
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, drop_straight_corners
from lamphouse.shapes.outline import Corners, polygon
from lamphouse.shapes.spacing import overlap_mm2

OVERLAP_MM2 = 1e-2
"""Feet that share less only touch."""

ROUND_ERROR_MM = 0.01
"""Greatest distance between a round wall and the chords that ends are measured from."""

_DIGITS = 3


@rule("CUT071", Severity.WARN, "A baffle stops short of what it runs up to")
def baffle_misses(box: LightBox, *, stretches: Sequence[Stretch]) -> Iterable[Told]:
    """Look for baffles that leave a narrow gap at an end.

    What it checks
        No baffle ends between 0.5 and 2 mm short of a wall or of another baffle.

    Why it matters
        Light goes through the gap and draws a bright line beside the baffle.

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
                            from: [30 mm, 12 mm]
                            to: [30 mm, 27 mm]
                            height: 6 mm
                            sheet: styrene 0.5 mm

    Mend
        End it where the message says; it is cut to fit there.

    Source
        Geometry; the 2 mm are common practice, no source.
    """
    for one in stretches:
        for key, end in (("from", one.first), ("to", one.last)):
            if end.missed:
                x, y = (round(value, _DIGITS) for value in end.meets_at)
                yield Told(
                    where=one.baffle.where,
                    message=f"baffle '{one.baffle.name}' stops {in_mm(end.miss_mm)} short of "
                    f"{end.missed} of box '{box.name}'; light goes through there",
                    remedy=f"write {key}: [{x:g} mm, {y:g} mm]",
                    mend=sets(f"{key} 0", f"{x:g} mm") + sets(f"{key} 1", f"{y:g} mm"),
                )


@rule("CUT072", Severity.STOP, "Two baffles stand in one another")
def baffles_overlap(
    box: LightBox, *, stretches: Sequence[Stretch], crossings: Sequence[Crossing]
) -> Iterable[Told]:
    """Look for baffles that lie on one another or cross too flat to be halved.

    What it checks
        Two baffles that share a place and a height cross at 20 degrees or more, within the length
        of both; there they are halved. In a printed box, whose standing baffles stay whole, one
        that hangs keeps a thickness of sheet above what it crosses.

    Why it matters
        Two pieces do not fit into one place, and a slot for a flat crossing leaves two strips.

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
                          left:
                            from: [24 mm, 20 mm]
                            to: [34 mm, 20 mm]
                            height: 6 mm
                            sheet: styrene 0.5 mm
                          right:
                            from: [30 mm, 20 mm]
                            to: [36 mm, 20 mm]
                            height: 6 mm
                            sheet: styrene 0.5 mm

    Mend
        Move one of them as the message says, or make them one.

    Source
        Geometry; the 20 degrees are common practice, no source.
    """
    halved = {frozenset((one.under, one.over)) for one in crossings}
    for earlier, later in combinations(stretches, 2):
        first, second = earlier.baffle.name, later.baffle.name
        if earlier.shared_mm(later) is None or {first, second} in halved:
            continue
        if overlap_mm2(_foot(earlier), other=_foot(later)) > OVERLAP_MM2:
            yield Told(
                where=later.baffle.where,
                message=f"baffles '{first}' and '{second}' of box '{box.name}' stand in one "
                f"another near {at_mm(later.baffle.start_mm[0], y_mm=later.baffle.start_mm[1])}",
                remedy=f"{move_apart(_foot(later), other=_foot(earlier), gap_by_mm=0.0)}, or make "
                "them one",
            )


def _foot(stretch: Stretch) -> Corners:
    """Give the foot of a baffle as it is cut, its ends bevelled."""
    half = stretch.baffle.sheet.thickness_mm / 2.0
    first, last = stretch.first, stretch.last
    return anticlockwise(
        polygon(
            stretch.spot(along, off_mm=off)
            for along, off in (
                (first.near_mm, half),
                (last.near_mm, half),
                (last.far_mm, -half),
                (first.far_mm, -half),
            )
        )
    )


def look_at_baffles(box: LightBox) -> tuple[Finding, ...]:
    """Run every rule of the baffles of a box whose inside is sound."""
    chords = flatten(anticlockwise(box.inside.corners), error_mm=ROUND_ERROR_MM)
    ring = drop_straight_corners(chords)
    stretches = stretches_of(
        sound_baffles(box), ring=ring, depth_mm=box.depth_mm, pillars=sound_pillars(box)
    )
    crossings = crossings_of(stretches, build=box.build)
    return (
        *baffle_misses(box, stretches=stretches),
        *baffles_overlap(box, stretches=stretches, crossings=crossings),
    )
