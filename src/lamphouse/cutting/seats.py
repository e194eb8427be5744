"""The seats of LEDs, the holes for their wires, and the feet of baffles."""

from math import atan2, cos, degrees, dist, radians, sin

from lamphouse.catalogue.led_types import LedType
from lamphouse.cutting.piece import SeatMark
from lamphouse.design.lightbox import Baffle, Led, LightBox
from lamphouse.shapes.outline import Corners, Spot, circle, rectangle
from lamphouse.shapes.soundness import SAME_MM
from lamphouse.shapes.transform import turn

LEDGE_MM = 2.0
"""Height of the strips round the walls on which an inner diffuser lies [PRACTICE]."""

WIRE_GAP_MM = 0.5
"""Sheet left between a chip's end and the edge of its wire hole [PRACTICE]."""

WIRE_PLAY_MM = 0.2
"""Added to a wire's outside for its hole [PRACTICE]."""

DOME_PITCH_MM = 2.54
"""Distance of the two leads of a dome LED [TYPICAL]."""

DOME_HOLE_MM = 0.8
"""Hole for one lead of a dome LED, 0.5 mm square [TYPICAL]."""


def is_dome(led_type: LedType) -> bool:
    """Tell a dome with two leads (``3 mm``) from a chip (``0603``)."""
    return led_type.package.endswith("mm")


def package_corners(led: Led, *, x_mm: float, y_mm: float) -> Corners:
    """Give the outline of an LED's package on the face it is glued to."""
    length, width, _ = led.led_type.package_mm
    if is_dome(led.led_type):
        return circle(max(length, width), x_mm=x_mm, y_mm=y_mm)
    upright = rectangle(length, height_mm=width, x_mm=x_mm, y_mm=y_mm)
    return turn(upright, angle_deg=led.turn_deg, about=(x_mm, y_mm))


def wire_hole_mm(led_type: LedType, *, lead_mm: float) -> float:
    """Diameter wanted for the hole of one wire or lead. [mm].

    Parameters
    ----------
    led_type
        The LED.
    lead_mm
        Outside diameter of the wire soldered to a chip.
    """
    return DOME_HOLE_MM if is_dome(led_type) else lead_mm + WIRE_PLAY_MM


def wire_spots(led: Led, *, x_mm: float, y_mm: float, hole_mm: float) -> tuple[Spot, Spot]:
    """Place the holes for the two wires of an LED, the anode's first.

    A chip's wires leave at its ends, a dome's leads through holes under its body.
    """
    reach = led.led_type.package_mm[0] / 2.0 + WIRE_GAP_MM + hole_mm / 2.0
    if is_dome(led.led_type):
        reach = DOME_PITCH_MM / 2.0
    across, up = reach * cos(radians(led.turn_deg)), reach * sin(radians(led.turn_deg))
    return (x_mm - across, y_mm - up), (x_mm + across, y_mm + up)


def seat_mark(led: Led, *, x_mm: float, y_mm: float) -> SeatMark:
    """Mark the seat of an LED at its place on a piece."""
    length, width, _ = led.led_type.package_mm
    return SeatMark(
        led=led.name,
        colour=led.led_type.colour,
        x_mm=x_mm,
        y_mm=y_mm,
        turn_deg=led.turn_deg,
        length_mm=length,
        width_mm=width,
    )


def sound_baffles(box: LightBox) -> tuple[Baffle, ...]:
    """Give the baffles of a box that have a length and a height."""
    return tuple(
        baffle
        for baffle in box.baffles
        if dist(baffle.start_mm, baffle.end_mm) >= SAME_MM and baffle.height_mm > 0.0
    )


def standing_baffles(box: LightBox) -> tuple[Baffle, ...]:
    """Give those that stand on the back."""
    return tuple(baffle for baffle in sound_baffles(box) if not baffle.hangs)


def hanging_baffles(box: LightBox) -> tuple[Baffle, ...]:
    """Give those that hang from the panel."""
    return tuple(baffle for baffle in sound_baffles(box) if baffle.hangs)


def baffles_below(box: LightBox, *, level_mm: float) -> tuple[Baffle, ...]:
    """Give the baffles that reach below a level above the back: all that stand, some that hang."""
    return tuple(
        baffle
        for baffle in sound_baffles(box)
        if baffle.span_mm(depth_mm=box.depth_mm)[0] < level_mm
    )


def baffle_foot(baffle: Baffle) -> Corners:
    """Give the foot of a baffle in the panel plane, on the back or on the panel."""
    (ax, ay), (bx, by) = baffle.start_mm, baffle.end_mm
    x, y = (ax + bx) / 2.0, (ay + by) / 2.0
    length = dist(baffle.start_mm, baffle.end_mm)
    foot = rectangle(length, height_mm=baffle.sheet.thickness_mm, x_mm=x, y_mm=y)
    return turn(foot, angle_deg=degrees(atan2(by - ay, bx - ax)), about=(x, y))
