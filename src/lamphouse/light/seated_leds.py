"""LEDs in their seats: the frame of the face each is glued to, and where its light lies."""

from lamphouse.catalogue.led_types import LedType
from lamphouse.design.led_body import body_of, is_dome
from lamphouse.design.lightbox import Led, LightBox, Seat
from lamphouse.light import scene
from lamphouse.record import Record
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.tilting import Point


class SeatFrame(Record):
    """A place on a face of a box with the face's own frame, in the solver's coordinates."""

    at_mm: Point
    right: Point
    up: Point
    """Both along the face as its LEDs' turns are counted: on back and panel seen from the front, on
    a wall seen from inside, there with the panel up."""
    off: Point
    """Into the box."""

    def turned(self, way: Point) -> Point:
        """Give a way of the face's frame in the box's."""
        x, y, z = (
            way[0] * right + way[1] * up + way[2] * off
            for right, up, off in zip(self.right, self.up, self.off, strict=True)
        )
        return x, y, z

    def placed(self, spot: Point) -> Point:
        """Give a spot of the face's frame in the box's. [mm]."""
        x, y, z = self.turned(spot)
        return self.at_mm[0] + x, self.at_mm[1] + y, self.at_mm[2] + z


def source_height_mm(led_type: LedType) -> float:
    """Height of the light above its underside: the top of a chip, the middle of a dome's cap."""
    _, width, height = led_type.package_mm
    return height - width / 2.0 if is_dome(led_type) else height


def source_of(led: Led) -> Point:
    """Place the light of an LED in its face's frame, from the place it is meant for. [mm]."""
    return body_of(led).spot(off_mm=source_height_mm(led.led_type))


def frame_of(led: Led, *, box: LightBox, ring: scene.Ring) -> SeatFrame:
    """Give the frame of the face an LED is glued to.

    Parameters
    ----------
    led, box
        As the maker decided.
    ring
        The clear space of the box, anticlockwise.
    """
    if led.seat is Seat.WALL:
        side = nearest_side((led.x_mm, led.y_mm), ring=ring)
        (x, y), (across, up) = side.foot, side.normal
        return SeatFrame(
            at_mm=(x, y, led.height_mm),
            right=(-up, across, 0.0),
            up=(0.0, 0.0, 1.0),
            off=(across, up, 0.0),
        )
    on_panel = led.seat is Seat.PANEL
    return SeatFrame(
        at_mm=(led.x_mm, led.y_mm, box.depth_mm if on_panel else 0.0),
        right=(1.0, 0.0, 0.0),
        up=(0.0, 1.0, 0.0),
        off=(0.0, 0.0, -1.0 if on_panel else 1.0),
    )
