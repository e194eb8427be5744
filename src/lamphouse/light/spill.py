"""Light of one box that gets into the next of its panel through their walls."""

from math import ceil, hypot

from lamphouse.design.lightbox import LightBox
from lamphouse.light.eye import DARKEST_CD_M2, least_seen_cd_m2
from lamphouse.light.front import LX_PER_LM_MM2
from lamphouse.light.leak_paths import through_coats
from lamphouse.light.leaks import BoxLeaks, share_of_sheet
from lamphouse.light.scene import Box
from lamphouse.light.uprights import distance_mm, segments
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.spacing import gap_mm

TOUCHING_MM = 0.5
"""Boxes with no more than this between their walls touch: nothing fits between them."""


class Spill(Record):
    """What of one box's light gets into the next through their walls."""

    source: BoxLeaks
    into: BoxLeaks
    opening: str
    """Where it is seen best."""
    luminance_cd_m2: float
    """What it adds there, spread in the box as its own light is."""
    least_seen_cd_m2: float
    """From when that is seen: in the dark where the box can be off, else over its own glow."""


def facing_mm(first: Box, *, other: Box, within_mm: float, step_mm: float = 0.25) -> float:
    """Length of a box's wall that runs no farther than a distance from another box. [mm]."""
    feet = [(wall.start_mm, wall.end_mm) for wall in segments(other) if not wall.is_baffle]
    along = 0.0
    for wall in segments(first):
        if wall.is_baffle:
            continue
        (ax, ay), (bx, by) = wall.start_mm, wall.end_mm
        parts = max(ceil(hypot(bx - ax, by - ay) / step_mm), 1)
        for part in range(parts):
            share = (part + 0.5) / parts
            spot = (ax + share * (bx - ax), ay + share * (by - ay))
            if min(distance_mm(spot, foot=foot) for foot in feet) <= within_mm:
                along += wall.length_mm / parts
    return along


def find_spill(source: BoxLeaks, *, into: BoxLeaks) -> Spill | None:
    """Find what of a box's light gets into another of the same panel; None where it cannot.

    Walls nearer to each other than their two sheets are thick are taken as one shared wall, the
    thicker of the two.
    """
    walls = (source.box.sheet.thickness_mm, into.box.sheet.thickness_mm)
    apart = gap_mm(source.box.inside.corners, other=into.box.inside.corners)
    if apart > sum(walls) + TOUCHING_MM or not into.glow.openings or into.glow.emitted_lm <= 0.0:
        return None
    shares = [
        share_of_sheet(leaks.box.sheet.thickness_mm, material=leaks.wall)
        for leaks in (source, into)
    ]
    through = shares[0] * shares[1] if apart >= sum(walls) else shares[walls.index(max(walls))]
    through *= through_coats(source.density + into.density)
    length = facing_mm(
        source.glow.scene, other=into.glow.scene, within_mm=max(apart, 0.0) + TOUCHING_MM / 2.0
    )
    area = length * min(source.box.depth_mm, into.box.depth_mm)
    flux = source.wall_lx * through * area / LX_PER_LM_MM2
    together = _groups(source.box) == _groups(into.box)
    seen = []
    for opening in into.glow.openings:
        added = opening.mean_cd_m2 * flux / into.glow.emitted_lm
        left, bottom, right, top = bounds_mm(opening.shape.corners)
        least = least_seen_cd_m2(
            right - left,
            length_mm=top - bottom,
            distance_mm=source.distance_mm,
            surround=max(opening.mean_cd_m2, DARKEST_CD_M2) if together else DARKEST_CD_M2,
        )
        seen.append((added / least, opening.opening, added, least))
    _, name, added, least = max(seen)
    return Spill(
        source=source, into=into, opening=name, luminance_cd_m2=added, least_seen_cd_m2=least
    )


def _groups(box: LightBox) -> frozenset[str]:
    """Source groups of a box's LEDs; boxes with the same ones are lit together."""
    return frozenset(led.group for led in box.leds)
