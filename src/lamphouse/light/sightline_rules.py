"""The rule of LEDs that can be seen as they are: through open holes, from the viewing cone."""

from collections.abc import Iterable, Sequence
from math import atan, degrees, radians, tan

import numpy as np
from numpy.typing import NDArray

from lamphouse.design.lightbox import Seat
from lamphouse.findings import Severity, Told, rule
from lamphouse.light.arrays import rings_of
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.clearance import LEAST_MM
from lamphouse.light.cover import ring_of
from lamphouse.light.glow_words import either, in_mm
from lamphouse.light.scene import Aperture, Lamp, Spot
from lamphouse.light.seated_leds import source_of
from lamphouse.light.sight import lit
from lamphouse.light.step_size import screens_of
from lamphouse.light.uprights import distance_mm, inside, segments
from lamphouse.shapes.sides import nearest_side

CONE_DEG = 45.0
"""Half-angle of the cone about the panel's normal from which a model is looked at [PRACTICE]."""

SPARE_MM = 0.2
"""Added to the move out of sight: places are rounded to 0.1 mm."""

PLACES = 25
"""Places tried across an opening, each way."""


def _places(aperture: Aperture) -> NDArray[np.float64]:
    """Places spread over an opening and along its rim, (P, 2). [mm]."""
    ring = np.array(ring_of(aperture.shape))
    low, high = ring.min(axis=0), ring.max(axis=0)
    across, up = (np.linspace(low[axis], high[axis], PLACES) for axis in (0, 1))
    grid = np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)
    rim = ring + (ring.mean(axis=0) - ring) * 1e-6
    places = np.concatenate([grid, rim])
    return places[inside(places, rings=(ring_of(aperture.shape),))]


def least_angle_deg(
    drawn: Drawn, *, lamp: Lamp, aperture: Aperture, panel_mm: float
) -> float | None:
    """Find the least angle to the normal from which an LED is seen through an open hole.

    Parameters
    ----------
    drawn
        The box, for what stands in the way.
    lamp, aperture
        Of its scene.
    panel_mm
        Thickness of the panel: the line of sight must clear both rims of the hole.

    Returns
    -------
    float or None
        None when the LED cannot be seen at all.
    """
    if drawn.scene.sheet is not None:
        return None
    at = np.array([lamp.x_mm, lamp.y_mm, lamp.z_mm])
    front = _places(aperture)
    rise = drawn.scene.depth_mm - lamp.z_mm
    # Where the line from the LED to a place on the front rim passes the rear rim.
    rear = at[:2] + (front - at[:2]) * (rise / (rise + panel_mm))
    seen = inside(rear, rings=(ring_of(aperture.shape),))
    rays = np.column_stack([front - at[:2], np.full(len(front), rise + panel_mm)])
    seen &= rays @ np.array(lamp.direction) > 0.0
    ends = np.column_stack([rear, np.full(len(rear), drawn.scene.depth_mm)])
    seen &= lit(ends, at=at, screens=screens_of(drawn.scene))
    if not seen.any():
        return None
    aside = np.hypot(rays[seen, 0], rays[seen, 1]).min()
    return degrees(atan(aside / (rise + panel_mm)))


def _out_of_sight(drawn: Drawn, *, lamp: Lamp, aperture: Aperture) -> Spot | None:
    """Find the nearest place straight away from an opening where an LED is out of the cone.

    None when there is no such place in the clear space.
    """
    spot = (lamp.x_mm, lamp.y_mm)
    side = nearest_side(spot, ring=ring_of(aperture.shape))
    rim, gap = side.foot, side.gap_mm
    under = bool(inside(np.array([spot]), rings=(ring_of(aperture.shape),))[0])
    reach = (drawn.scene.depth_mm - lamp.z_mm) * tan(radians(CONE_DEG)) + SPARE_MM
    if gap == 0.0:
        return None
    away = ((rim[0] - spot[0]) / gap, (rim[1] - spot[1]) / gap)
    way = 1.0 if under else -1.0
    place = (
        round(rim[0] + way * reach * away[0], 1),
        round(rim[1] + way * reach * away[1], 1),
    )
    clear = inside(np.array([place]), rings=rings_of(drawn.scene))[0] and all(
        distance_mm(place, foot=(wall.start_mm, wall.end_mm)) >= LEAST_MM
        for wall in segments(drawn.scene)
        if wall.low_mm <= lamp.z_mm
    )
    return place if clear else None


def _meant_for(drawn: Drawn, *, lamp: Lamp, light_at: Spot) -> Spot:
    """Give the place of an LED whose light is to lie at a spot: a tilted one's lies beside it."""
    led = drawn.box.leds[drawn.scene.lamps.index(lamp)]
    if led.seat is Seat.WALL or not led.tilt_deg:
        return light_at
    x, y, _ = source_of(led)
    return round(light_at[0] - x, 1), round(light_at[1] - y, 1)


def _mend(drawn: Drawn, *, window: Window, aperture: Aperture, seen: Sequence[Lamp]) -> str:
    ways = [f"close '{window.opening.name}' with 'opal film 70'"]
    if window.stack is not None:
        ways = [f"add 'opal film 70' as the first layer of '{window.opening.name}'"]
    if len(seen) == 1:
        place = _out_of_sight(drawn, lamp=seen[0], aperture=aperture)
        if place is not None:
            x, y = _meant_for(drawn, lamp=seen[0], light_at=place)
            ways.append(f"move the LED to [{in_mm(x)}, {in_mm(y)}]")
    return either(ways)


@rule("LIT016", Severity.WARN, "An LED shows through an open hole")
def led_in_sight(drawn: Drawn) -> Iterable[Told]:
    """Look for LEDs that the eye meets through an opening without layers.

    What it checks
        Through an opening that is not closed by a layer, or by one whose haze passes light straight
        on, no LED is seen from within 45 degrees of the panel's normal; baffles, an inner diffuser
        and the panel's thickness may hide it.

    Why it matters
        The bare chip is a thousand times brighter than the box around it.

    Example
        ::

            sub_assemblies:
              desk:
                panels:
                  top:
                    openings:
                      screen: {layers: []}

    Mend
        Close the opening with a diffuser, or move the LED to the place of the message, where there
        is one.

    Source
        Geometry; the cone of 45 degrees is common practice, no source.
    """
    panel_mm = drawn.panel.sheet.thickness_mm
    for window, aperture in zip(drawn.windows, drawn.scene.apertures, strict=True):
        stack = window.stack
        if stack is not None and (stack.haze is None or stack.haze.straight == 0.0):
            continue
        seen = []
        for lamp in drawn.scene.lamps:
            angle = least_angle_deg(drawn, lamp=lamp, aperture=aperture, panel_mm=panel_mm)
            if angle is not None and angle <= CONE_DEG:
                seen.append((angle, lamp))
        if seen:
            angle, nearest = min(seen, key=lambda each: each[0])
            others = f" and {len(seen) - 1} more" if len(seen) > 1 else ""
            yield Told(
                where=window.opening.where,
                message=f"LED '{nearest.name}'{others} can be seen through "
                f"{'the open ' if stack is None else 'the haze of '}'{window.opening.name}', from "
                f"{angle:.0f} degrees off the normal; none should be from within {CONE_DEG:.0f}",
                remedy=_mend(
                    drawn, window=window, aperture=aperture, seen=[lamp for _, lamp in seen]
                ),
            )
