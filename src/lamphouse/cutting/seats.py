"""The seats of LEDs, the holes for their wires, and the feet of baffles."""

from math import atan2, cos, degrees, dist, hypot, radians, sin

from lamphouse.catalogue.led_types import LedType
from lamphouse.cutting.piece import SeatMark
from lamphouse.design.led_body import body_of, is_dome, package_corners, wedge_under
from lamphouse.design.lightbox import Baffle, Led, LightBox, Seat
from lamphouse.shapes.measure import bounds_mm
from lamphouse.shapes.outline import Corners, Spot, circle, polygon, rectangle
from lamphouse.shapes.soundness import SAME_MM
from lamphouse.shapes.transform import move, turn

LEDGE_MM = 2.0
"""Height of the strips round the walls on which an inner diffuser lies [PRACTICE]."""

WIRE_GAP_MM = 0.5
"""Sheet left between a chip's end and the edge of its wire hole [PRACTICE]."""

WIRE_PLAY_MM = 0.2
"""Added to a wire's outside for its hole [PRACTICE]."""

LEAST_FOOT_MM = 0.2
"""A wedge with a narrower foot cannot be set by a mark [PRACTICE]."""

DOME_PITCH_MM = 2.54
"""Distance of the two leads of a dome LED [TYPICAL]."""

DOME_HOLE_MM = 0.8
"""Hole for one lead of a dome LED, 0.5 mm square [TYPICAL]."""


def foot_corners(led: Led, *, x_mm: float, y_mm: float) -> Corners | None:
    """Give what of an LED is glued to its face: its package, or the foot of its wedge.

    None where that is next to nothing: of one on bent legs, or tilted nearly square to its seat.
    """
    if not led.tilt_deg:
        return package_corners(led, x_mm=x_mm, y_mm=y_mm)
    if is_dome(led.led_type) or wedge_under(led).foot_mm < LEAST_FOOT_MM:
        return None
    spots = (spot[:2] for spot in body_of(led).underside())
    return move(polygon(spots), x_mm=x_mm, y_mm=y_mm)


def led_span(led: Led, *, depth_mm: float) -> tuple[float, float]:
    """Give the lower and the upper edge of an LED, with what holds it, above the back. [mm].

    Parameters
    ----------
    led
        On the back, a wall or the panel.
    depth_mm
        Of its box.
    """
    body = body_of(led)
    if led.seat is Seat.WALL:
        _, low, _, high = bounds_mm(body.covers())
        return led.height_mm + low, led.height_mm + high
    if led.seat is Seat.PANEL:
        return depth_mm - body.top_mm, depth_mm
    return 0.0, body.top_mm


def from_front(led: Led) -> Corners:
    """Give what an LED may take up of its box in the panel plane."""
    if led.seat is Seat.WALL and led.tilt_deg:
        reach = max(body_of(led).top_mm, hypot(*led.led_type.package_mm[:2]) / 2.0)
        return circle(2.0 * reach, x_mm=led.x_mm, y_mm=led.y_mm)
    return package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)


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

    A chip's wires leave at its ends, beside what a tilted one covers; a dome's leads through holes
    under its body.
    """
    way = cos(radians(led.turn_deg)), sin(radians(led.turn_deg))
    ends = [led.led_type.package_mm[0] / 2.0] * 2
    if led.tilt_deg:
        along = [x * way[0] + y * way[1] for x, y, _ in body_of(led).covers()]
        ends = [-min(along), max(along)]
    first, second = (end + WIRE_GAP_MM + hole_mm / 2.0 for end in ends)
    if is_dome(led.led_type):
        first = second = DOME_PITCH_MM / 2.0
    return (
        (x_mm - first * way[0], y_mm - first * way[1]),
        (x_mm + second * way[0], y_mm + second * way[1]),
    )


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
        tilt_deg=led.tilt_deg,
        towards_deg=led.towards_deg,
        on_wedge=bool(led.tilt_deg) and not is_dome(led.led_type),
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
