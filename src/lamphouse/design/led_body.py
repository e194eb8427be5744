"""How the body of an LED stands on its seat, straight or tilted, and what a tilted chip lies on."""

from lamphouse.catalogue.led_types import LedType
from lamphouse.design.lightbox import Led
from lamphouse.shapes.outline import Corners, circle, rectangle
from lamphouse.shapes.tilting import Tilted, Wedge, tilted, wedge_of
from lamphouse.shapes.transform import move, turn
from lamphouse.units import Quantity, UnitError, parse


def is_dome(led_type: LedType) -> bool:
    """Tell a dome with two leads (``3 mm``) from a chip (``0603``, ``flat top``).

    A dome's package is the size of its body above the collar.
    """
    try:
        parse(led_type.package, Quantity.LENGTH)
    except UnitError:
        return False
    return True


def body_of(led: Led) -> Tilted:
    """Give an LED's body in the frame of the face it is glued to."""
    return tilted(
        led.led_type.package_mm,
        is_round=is_dome(led.led_type),
        turn_deg=led.turn_deg,
        tilt_deg=led.tilt_deg,
        towards_deg=led.towards_deg,
    )


def package_corners(led: Led, *, x_mm: float, y_mm: float) -> Corners:
    """Give the outline of what an LED takes up on the face it is glued to.

    Of a tilted one that is its package and its wedge or legs, seen square to the face.
    """
    length, width, _ = led.led_type.package_mm
    if led.tilt_deg:
        return move(body_of(led).covers(), x_mm=x_mm, y_mm=y_mm)
    if is_dome(led.led_type):
        return circle(max(length, width), x_mm=x_mm, y_mm=y_mm)
    upright = rectangle(length, height_mm=width, x_mm=x_mm, y_mm=y_mm)
    return turn(upright, angle_deg=led.turn_deg, about=(x_mm, y_mm))


def wedge_under(led: Led) -> Wedge:
    """Give the wedge that a tilted chip lies on."""
    return wedge_of(
        led.led_type.package_mm,
        turn_deg=led.turn_deg,
        tilt_deg=led.tilt_deg,
        towards_deg=led.towards_deg,
    )
