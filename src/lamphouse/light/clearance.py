"""How near the light of each LED lies to diffusers, walls and what stands in the box.

Room for an inner diffuser, too.
"""

from collections.abc import Iterator, Mapping
from math import hypot

import numpy as np

from lamphouse.design.lightbox import Led, LightBox, Seat
from lamphouse.light.box_scene import Drawn
from lamphouse.light.cover import ring_of
from lamphouse.light.scene import Lamp, Ring, Spot
from lamphouse.light.sound_box import LEAST_CLEARANCE_MM
from lamphouse.light.uprights import TOUCH_MM, Segment, distance_mm, inside, segments
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


def room_for_sheet_mm(box: LightBox, *, thickness_mm: float, half_mm: float) -> float | None:
    """Give the height nearest to half the depth at which an inner diffuser clears the baffles.

    Parameters
    ----------
    box
        Baffles that stand end below it, those that hang above it.
    thickness_mm
        Of its film.
    half_mm
        Half the depth, rounded as the caller likes.

    Returns
    -------
    float or None
        Above the back; None where baffles leave no such height.
    """
    spans = [(one.hangs, one.span_mm(depth_mm=box.depth_mm)) for one in box.baffles]
    low = max((span[1] for hangs, span in spans if not hangs), default=0.0)
    high = min((span[0] for hangs, span in spans if hangs), default=box.depth_mm) - thickness_mm
    return min(max(half_mm, low), high) if low <= high else None


def _sheet_gap(led: Led, *, lamp: Lamp, box: LightBox) -> tuple[str, float] | None:
    """Gap to the diffuser over or under an LED; None when none looks at it."""
    if box.inner_diffuser is not None:
        return "the inner diffuser", abs(box.inner_diffuser.height_mm - lamp.z_mm)
    if led.seat is Seat.PANEL:
        return None
    return "the panel", box.depth_mm - lamp.z_mm


def _opening_gaps(led: Led, *, lamp: Lamp, drawn: Drawn) -> Iterator[tuple[str, float]]:
    """Gaps from a tilted LED under the panel to the openings that it lights from beside."""
    if led.seat is not Seat.PANEL or not led.tilt_deg:
        return
    spot, under = (lamp.x_mm, lamp.y_mm), drawn.scene.depth_mm - lamp.z_mm
    for aperture in drawn.scene.apertures:
        aside = gap_from_mm(spot, ring=ring_of(aperture.shape))
        yield f"opening '{aperture.name}'", hypot(aside, under)


def gap_from_mm(spot: Spot, *, ring: Ring) -> float:
    """Give the distance of a place from a ring, 0 inside it. [mm]."""
    if inside(np.array([spot]), rings=(ring,))[0]:
        return 0.0
    return nearest_side(spot, ring=ring).gap_mm


def _words(wall: Segment, *, pillars: Mapping[Spot, str]) -> str:
    """Name what an LED stands near to; pillars by the corners they have."""
    if wall.is_baffle:
        return "a baffle"
    name = pillars.get(wall.start_mm)
    return "a wall" if name is None else f"pillar '{name}'"


def too_near(drawn: Drawn) -> Iterator[Near]:
    """List the LEDs nearer than 1 mm to a diffuser, the panel, a wall, a baffle or a pillar.

    The face an LED is glued to does not count, but an opening beside a tilted one under the panel
    does. An LED that reaches through something is left out: no solver takes it at all.
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
        gaps.extend(_opening_gaps(led, lamp=lamp, drawn=drawn))
        own = None
        if led.seat is Seat.WALL:
            own = nearest_side((led.x_mm, led.y_mm), ring=drawn.scene.outline).foot
        for wall in walls:
            foot = (wall.start_mm, wall.end_mm)
            if lamp.z_mm > wall.high_mm or (own and distance_mm(own, foot=foot) < TOUCH_MM):
                continue
            gap = distance_mm(place, foot=foot)
            if wall.is_baffle:
                gap = hypot(gap, max(wall.low_mm - lamp.z_mm, 0.0))
            gaps.append((_words(wall, pillars=pillars), gap))
        what, gap = min(gaps, key=lambda each: each[1])
        if LEAST_CLEARANCE_MM <= gap < LEAST_MM - TOUCH_MM:
            yield Near(led=led, what=what, gap_mm=gap)
