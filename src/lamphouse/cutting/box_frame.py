"""The walls of a light box as sums: its inside as built, its walls, its outside."""

from collections.abc import Sequence

from lamphouse.catalogue.drills import Drill
from lamphouse.cutting.box_rules import curved_wall, sharp_wrap, unbuildable_wall
from lamphouse.cutting.frame import Frame
from lamphouse.cutting.layout import Flawed
from lamphouse.cutting.opening_rules import unsound_outline
from lamphouse.cutting.pillar_feet import parted_strands
from lamphouse.cutting.ring import Wall, ring_of_walls
from lamphouse.cutting.wall_holes import WallHole
from lamphouse.design.box_faces import stands_straight
from lamphouse.design.lightbox import Build, LightBox
from lamphouse.design.strand import Strand
from lamphouse.findings import Finding
from lamphouse.record import replace
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise, drop_straight_corners
from lamphouse.shapes.offset import offset
from lamphouse.shapes.outline import Corners, polygon
from lamphouse.shapes.soundness import flaw_of
from lamphouse.shapes.tangents import straight_around

ROUND_ERROR_MM = 0.01
"""Greatest distance between a round inside and the chords that baffles are cut to."""


def is_round(corners: Corners) -> bool:
    """Tell whether an outline has round pieces."""
    return any(bulge for _, _, bulge in corners)


def as_built(box: LightBox) -> LightBox:
    """Give a box with the inside its walls will have: straight sides where they are flat.

    Flat and folded walls round an arc stand on its tangents, so all of the inside stays free.
    """
    corners = box.inside.corners
    if not is_round(corners) or flaw_of(corners):
        return box
    if not stands_straight(box):
        return box
    spots = straight_around(corners)
    return replace(box, inside=replace(box.inside, corners=polygon(spots), diameter_mm=None))


def frame_of(
    box: LightBox,
    *,
    panel: str,
    sub_assembly: str,
    drills: Sequence[Drill],
    lead_mm: float,
    passages: Sequence[WallHole],
    strands: Sequence[Strand],
) -> tuple[Frame | None, tuple[Finding, ...]]:
    """Cut the walls of a box as built, or say why it cannot be built."""
    corners = box.inside.corners
    flaw = flaw_of(corners)
    if flaw:
        name = f"the inside of box '{box.name}'"
        return None, unsound_outline([Flawed(name=name, where=box.where, flaw=flaw)])
    inside = anticlockwise(corners)
    thick = box.sheet.thickness_mm
    regions = offset(inside, by_mm=thick)
    walls: tuple[Wall, ...] = ()
    found: tuple[Finding, ...] = ()
    if is_round(inside):
        spots = flatten(inside, error_mm=ROUND_ERROR_MM)
        if box.build is not Build.PRINTED:
            refused = curved_wall(box)
            if refused:
                return None, refused
            found = sharp_wrap(box)
    else:
        spots = drop_straight_corners([(x, y) for x, y, _ in inside])
        inside = polygon(spots)
        walls = ring_of_walls(spots, thickness_mm=thick)
    if walls or len(regions) != 1 or regions[0].holes:
        refused = unbuildable_wall(box, spots=spots, walls=walls, regions=regions)
        if refused:
            return None, refused
    free, piped = parted_strands(strands, box=box)
    frame = Frame(
        box=box,
        sub_assembly=sub_assembly,
        name=f"{sub_assembly} / {panel} / {box.name}",
        spots=spots,
        walls=walls,
        inside=inside,
        outside=regions[0].outside,
        drills=tuple(drills),
        lead_mm=lead_mm,
        passages=tuple(passages) if walls else (),
        strands=free,
        piped=piped,
    )
    return frame, found
