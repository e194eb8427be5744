"""How near the light of each LED lies to diffusers, walls, baffles and pillars."""

from collections.abc import Iterator, Mapping

from lamphouse.design.lightbox import Led, LightBox, Seat
from lamphouse.light.box_scene import Drawn
from lamphouse.light.scene import Lamp, Spot
from lamphouse.light.sound_box import LEAST_CLEARANCE_MM
from lamphouse.light.uprights import TOUCH_MM, Segment, distance_mm, segments
from lamphouse.record import Record
from lamphouse.shapes.sides import nearest_side

LEAST_MM = 1.0
"""Nearer than this the size of the chip, its body and its solder shape the light: an LED is no
longer a point [PRACTICE]."""


class Near(Record):
    """An LED whose light lies too near to something."""

    led: Led
    what: str
    gap_mm: float


def _sheet_gap(led: Led, *, lamp: Lamp, box: LightBox) -> tuple[str, float] | None:
    """Gap to the diffuser over or under an LED; None when none looks at it."""
    if box.inner_diffuser is not None:
        return "the inner diffuser", abs(box.inner_diffuser.height_mm - lamp.z_mm)
    if led.seat is Seat.PANEL:
        return None
    return "the panel", box.depth_mm - lamp.z_mm


def _words(wall: Segment, *, pillars: Mapping[Spot, str]) -> str:
    """Name what an LED stands near to; pillars by the corners they have."""
    if wall.is_baffle:
        return "a baffle"
    name = pillars.get(wall.start_mm)
    return "a wall" if name is None else f"pillar '{name}'"


def too_near(drawn: Drawn) -> Iterator[Near]:
    """List the LEDs nearer than 1 mm to a diffuser, the panel, a wall, a baffle or a pillar.

    The wall an LED is glued to does not count; neither does an LED that reaches through something,
    which no solver takes at all.
    """
    walls = segments(drawn.scene)
    pillars = {
        end: pillar.name
        for pillar, ring in zip(drawn.box.pillars, drawn.scene.holes, strict=True)
        for end in ring
    }
    for led, lamp in zip(drawn.box.leds, drawn.scene.lamps, strict=True):
        place = (lamp.x_mm, lamp.y_mm)
        gaps = [gap for gap in (_sheet_gap(led, lamp=lamp, box=drawn.box),) if gap is not None]
        own = None
        if led.seat is Seat.WALL:
            own = nearest_side((led.x_mm, led.y_mm), ring=drawn.scene.outline).foot
        for wall in walls:
            foot = (wall.start_mm, wall.end_mm)
            if lamp.z_mm > wall.high_mm or (own and distance_mm(own, foot=foot) < TOUCH_MM):
                continue
            gaps.append((_words(wall, pillars=pillars), distance_mm(place, foot=foot)))
        what, gap = min(gaps, key=lambda each: each[1])
        if LEAST_CLEARANCE_MM <= gap < LEAST_MM - TOUCH_MM:
            yield Near(led=led, what=what, gap_mm=gap)
