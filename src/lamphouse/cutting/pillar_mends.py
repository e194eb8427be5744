"""The shortest way of a pillar out from under an opening, to a place where it is free."""

from collections.abc import Sequence
from math import cos, pi, sin

from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.seats import baffle_foot, sound_baffles
from lamphouse.design.led_body import package_corners
from lamphouse.design.lightbox import LightBox, Pillar, Seat
from lamphouse.shapes.measure import size_mm
from lamphouse.shapes.outline import Corners, Spot
from lamphouse.shapes.spacing import Enclosure, gap_mm, overlap_mm2
from lamphouse.shapes.transform import move

CLEAR_MM = 0.5
"""Room that a mend leaves between a pillar and what else there is [PRACTICE]."""

LED_CLEAR_MM = 1.0
"""The same beside an LED: nearer than this its light is no point's [PRACTICE]."""

OVERLAP_MM2 = 1e-3
"""What shares less only touches."""

WAYS = 24
"""Directions in which a pillar is moved out from under an opening."""
STEP_MM = 0.5
HALVINGS = 5


def way_out(
    pillar: Pillar, *, box: LightBox, openings: Sequence[tuple[str, Corners]]
) -> Spot | None:
    """Find the shortest move, among some directions, that brings a pillar to a free place."""
    own, inside = pillar.outline.corners, Enclosure(box.inside.corners)
    ledge = box.sheet.thickness_mm if box.inner_diffuser else 0.0
    taken = [(corners, CLEAR_MM) for _, corners in openings]
    taken += [(one.outline.corners, CLEAR_MM) for one in sound_pillars(box) if one != pillar]
    taken += [
        (baffle_foot(one), CLEAR_MM)
        for one in sound_baffles(box)
        if overlap_mm2(baffle_foot(one), other=own) < OVERLAP_MM2
    ]
    taken += [
        (package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm), LED_CLEAR_MM)
        for led in box.leds
        if led.seat is not Seat.WALL
    ]

    def fits(x_mm: float, y_mm: float) -> bool:
        there = move(own, x_mm=x_mm, y_mm=y_mm)
        return inside.margin_mm(there) >= ledge + CLEAR_MM and all(
            gap_mm(there, other=one) >= gap for one, gap in taken
        )

    farthest = sum(size_mm(box.inside.corners))
    best: tuple[float, Spot] | None = None
    for number in range(WAYS):
        turn = 2.0 * pi * number / WAYS
        way = (cos(turn), sin(turn))
        far = STEP_MM
        while far < (best[0] if best else farthest) and not fits(far * way[0], far * way[1]):
            far += STEP_MM
        if far >= (best[0] if best else farthest):
            continue
        near = far - STEP_MM
        for _ in range(HALVINGS):
            middle = (near + far) / 2.0
            is_free = fits(middle * way[0], middle * way[1])
            near, far = (near, middle) if is_free else (middle, far)
        for spare in (0.0, 0.02):
            spot = (round((far + spare) * way[0], 2), round((far + spare) * way[1], 2))
            if fits(*spot):
                best = (far, spot)
                break
    return best[1] if best else None
