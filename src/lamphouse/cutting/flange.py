"""The flange of a folded light box: a strip on each wall's edge at the panel, to be glued to it.

Folded outwards or inwards, it takes one thickness of the wall's height, so that the box stays as
deep as it was drawn. Its ends are mitred where the next one would lie in its way; a strip with no
room behind the panel is left out.
"""

from collections.abc import Sequence
from math import atan2, cos, degrees, dist, radians, sin, tan

from lamphouse.cutting.frame import Frame
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.seats import baffle_foot, sound_baffles
from lamphouse.cutting.wall_holes import patch_of, wall_of
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import Flange, Seat
from lamphouse.record import Record
from lamphouse.shapes.measure import bounds_mm, turns_rad
from lamphouse.shapes.outline import Corners, Spot, polygon
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.spacing import Enclosure, overlap_mm2

FLANGE_MM = 5.0
"""Width of a flange where there is room [PRACTICE]."""

LEAST_FLANGE_MM = 2.0
"""A narrower one holds nothing [PRACTICE]."""

_WIDTHS = (1.0, 0.8, 0.6, 0.4)
"""Shares of the width that are tried."""
_APART_DEG = 5.0
"""Taken off a mitre, so that two ends do not touch."""
_TOUCH_MM2 = 1e-4
_SAME_MM = 1e-6


class Strip(Record):
    """The flange of one wall."""

    wall: int
    """Number of its side, from 0."""
    from_mm: float
    to_mm: float
    """Along the side, from its first corner."""
    wide_mm: float
    lean_deg: tuple[float, float]
    """Angle between its ends and its fold, at the side's first and last corner."""
    plan: Corners
    """Where it lies on the panel."""

    @property
    def feet_mm(self) -> tuple[float, float]:
        """How much shorter its free edge is at both ends."""
        first, last = (self.wide_mm / tan(radians(lean)) for lean in self.lean_deg)
        return first, last


def strips_of(
    frame: Frame, *, spans: Sequence[tuple[float, float]]
) -> tuple[tuple[Strip, ...], tuple[int, ...]]:
    """Find the flanges a box has room for.

    Parameters
    ----------
    frame
        Of a folded box.
    spans
        Where each wall's edge begins and ends along its side.

    Returns
    -------
    strips, lacking
        At most one for each wall, and the numbers of the walls without one, from 0.
    """
    if frame.box.flange is Flange.NONE:
        return (), ()
    taken = _in_the_way(frame)
    within = Enclosure(frame.panel_edge) if frame.panel_edge else None
    strips: list[Strip] = []
    lacking = []
    for index, span in enumerate(spans):
        found = None
        if not _edge_is_taken(frame, index=index):
            for share in _WIDTHS:
                strip = _strip(frame, index=index, span=span, wide_mm=share * FLANGE_MM)
                if strip and _is_free(strip, taken=taken, within=within, others=strips):
                    found = strip
                    break
        if found:
            strips.append(found)
        else:
            lacking.append(index)
    return tuple(strips), tuple(lacking)


def _is_free(
    strip: Strip, *, taken: Sequence[Corners], within: Enclosure | None, others: Sequence[Strip]
) -> bool:
    if within and within.margin_mm(strip.plan) < -_SAME_MM:
        return False
    against = [*taken, *(one.plan for one in others)]
    return all(overlap_mm2(strip.plan, other=one) < _TOUCH_MM2 for one in against)


def _strip(frame: Frame, *, index: int, span: tuple[float, float], wide_mm: float) -> Strip | None:
    """Give the flange of one wall, mitred at its ends; None where it would come to a point."""
    outside = frame.box.flange is Flange.OUTSIDE
    spots, count = frame.spots, len(frame.spots)
    start, end = spots[index], spots[(index + 1) % count]
    side = dist(start, end)
    first, last = span if outside else (max(span[0], 0.0), min(span[1], side))
    turns = turns_rad(polygon(spots))
    lean = [
        min(90.0, (180.0 + (turn if outside else -turn)) / 2.0 - _APART_DEG)
        for turn in (degrees(turns[index]), degrees(turns[(index + 1) % count]))
    ]
    feet = [wide_mm / tan(radians(one)) for one in lean]
    if last - first - sum(feet) < LEAST_FLANGE_MM or min(lean) < _APART_DEG:
        return None
    way = atan2(end[1] - start[1], end[0] - start[0])

    def at(along: float, outward: float) -> Spot:
        return (
            start[0] + along * cos(way) + outward * sin(way),
            start[1] + along * sin(way) - outward * cos(way),
        )

    near = frame.box.sheet.thickness_mm if outside else 0.0
    far = near + wide_mm if outside else -wide_mm
    plan = polygon(
        (at(first, near), at(last, near), at(last - feet[1], far), at(first + feet[0], far))
    )
    return Strip(
        wall=index,
        from_mm=first,
        to_mm=last,
        wide_mm=wide_mm,
        lean_deg=(lean[0], lean[1]),
        plan=plan,
    )


def _in_the_way(frame: Frame) -> list[Corners]:
    """List what a flange cannot lie on: openings and things on or below the panel."""
    box = frame.box
    taken = list(frame.panel_things)
    if box.flange is Flange.INSIDE:
        taken += [
            package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)
            for led in box.leds
            if led.seat is Seat.PANEL
        ]
        taken += [
            baffle_foot(baffle)
            for baffle in sound_baffles(box)
            if baffle.hangs or baffle.height_mm > box.depth_mm - box.sheet.thickness_mm - _SAME_MM
        ]
        taken += [pillar.outline.corners for pillar in sound_pillars(box)]
    return taken


def _edge_is_taken(frame: Frame, *, index: int) -> bool:
    """Tell whether a passage, an LED or the inner diffuser leaves no sheet for the fold."""
    box, thick = frame.box, frame.box.sheet.thickness_mm
    fold = box.depth_mm - 2.0 * thick
    tops = [
        patch_of(hole, wall=frame.walls[index]).high_mm
        for hole in frame.passages
        if wall_of(hole, spots=frame.spots) == index
    ]
    tops += [
        led.height_mm
        + max(
            *(side / 2.0 for side in led.led_type.package_mm[:2]),
            bounds_mm(package_corners(led, x_mm=0.0, y_mm=0.0))[3],
        )
        for led in box.leds
        if led.seat is Seat.WALL
        and nearest_side((led.x_mm, led.y_mm), ring=frame.spots).index == index
    ]
    if box.inner_diffuser and box.flange is Flange.INSIDE:
        tops.append(box.inner_diffuser.height_mm + box.inner_diffuser.film.thickness_mm)
    return any(top > fold + _SAME_MM for top in tops) or fold <= 0.0
