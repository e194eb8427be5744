"""The rule of LEDs that can be seen as they are: through open holes, from the viewing cone."""

from collections.abc import Iterable
from math import atan, degrees, radians, tan

import numpy as np
from numpy.typing import NDArray

from lamphouse.findings import Severity, Told, rule
from lamphouse.light.box_scene import Drawn, Window
from lamphouse.light.cover import ring_of
from lamphouse.light.glow_words import in_mm
from lamphouse.light.scene import Aperture, Lamp
from lamphouse.light.sight import lit
from lamphouse.light.step_size import screens_of
from lamphouse.light.uprights import inside

CONE_DEG = 45.0
"""Half-angle of the cone about the panel's normal from which a model is looked at [PRACTICE]."""

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


def _mend(window: Window, *, angle_deg: float, rise_mm: float) -> str:
    aside = rise_mm * (tan(radians(CONE_DEG)) - tan(radians(angle_deg)))
    return (
        f"close '{window.opening.name}' with 'opal film 70', or move the LED {in_mm(aside)} "
        "further aside, or put a baffle between"
    )


@rule("LIT016", Severity.WARN, "An LED shows through an open hole")
def led_in_sight(drawn: Drawn) -> Iterable[Told]:
    """Look for LEDs that the eye meets through an opening without layers.

    What it checks
        Through an opening that is not closed by a layer no LED is seen from within 45 degrees of
        the panel's normal; baffles, an inner diffuser and the panel's thickness may hide it.

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
        Close the opening with a diffuser, or move the LED aside as the message says.

    Source
        Geometry; the cone of 45 degrees is common practice, no source.
    """
    panel_mm = drawn.panel.sheet.thickness_mm
    for window, aperture in zip(drawn.windows, drawn.scene.apertures, strict=True):
        if window.stack is not None:
            continue
        seen = []
        for led, lamp in zip(drawn.box.leds, drawn.scene.lamps, strict=True):
            angle = least_angle_deg(drawn, lamp=lamp, aperture=aperture, panel_mm=panel_mm)
            if angle is not None and angle <= CONE_DEG:
                seen.append((angle, led.name, drawn.scene.depth_mm - lamp.z_mm))
        if seen:
            angle, name, rise = min(seen)
            yield Told(
                where=window.opening.where,
                message=f"LED '{name}' is seen through the open '{window.opening.name}' from "
                f"{angle:.0f} degrees off the normal; nobody should see it from within "
                f"{CONE_DEG:.0f}",
                remedy=_mend(window, angle_deg=angle, rise_mm=rise),
            )
