"""LEDs on the walls of a box: what their bodies take up of it, and which baffles meet them."""

from collections.abc import Iterator, Sequence

from lamphouse.cutting.drill import ROUNDING_MM
from lamphouse.cutting.mends import STEP_MM, in_mm, way_words
from lamphouse.cutting.pillar_feet import sound_pillars
from lamphouse.cutting.pillar_mends import LED_CLEAR_MM
from lamphouse.cutting.seats import (
    LEDGE_MM,
    baffle_foot,
    led_span,
    sound_baffles,
)
from lamphouse.design.led_body import body_of, package_corners
from lamphouse.design.lightbox import Baffle, Led, LightBox, Seat
from lamphouse.findings import MendEdit, Told, sets
from lamphouse.record import Record, replace
from lamphouse.shapes.flatten import flatten
from lamphouse.shapes.measure import anticlockwise
from lamphouse.shapes.outline import Corners, Spot, polygon
from lamphouse.shapes.sides import nearest_side
from lamphouse.shapes.soundness import SAME_MM
from lamphouse.shapes.spacing import Enclosure, gap_mm
from lamphouse.shapes.tilting import hull_of


def body_on_wall(led: Led, *, ring: Sequence[Spot]) -> Corners:
    """Give an LED on its wall with what holds it, tilted as it is, seen from the panel.

    Parameters
    ----------
    led
        Its seat is the wall.
    ring
        Corners of the inside, anticlockwise. [mm].
    """
    side = nearest_side((led.x_mm, led.y_mm), ring=ring)
    (nx, ny), (x, y) = side.normal, side.foot
    body = body_of(led)
    cap_at = (body.cap_mm[0], body.cap_mm[2])
    seen = body.seen([(along, off) for along, _, off in body.corners()], cap_at=cap_at)
    foot = [(0.0, 0.0)] if body.is_round else [(along, 0.0) for along, _, _ in body.underside()]
    return anticlockwise(
        polygon(
            (x - along * ny + off * nx, y + along * nx + off * ny)
            for along, off in hull_of([*seen, *foot])
        )
    )


class _Walls(Record):
    """What the LEDs on the walls of a box are held against."""

    box: LightBox
    ring: tuple[Spot, ...]
    inside: Enclosure
    baffles: tuple[Baffle, ...]

    def body(self, led: Led) -> Corners:
        """Give an LED on whatever face, seen from the panel."""
        if led.seat is Seat.WALL:
            return body_on_wall(led, ring=self.ring)
        return package_corners(led, x_mm=led.x_mm, y_mm=led.y_mm)

    def span(self, led: Led) -> tuple[float, float]:
        """Give its lower and its upper edge above the back. [mm]."""
        return led_span(led, depth_mm=self.box.depth_mm)

    def in_the_way(self, led: Led, *, gap_by_mm: float = ROUNDING_MM) -> Iterator[Baffle]:
        """List the baffles nearer to an LED than that at a height they share with it."""
        body, (low, high) = self.body(led), self.span(led)
        for baffle in self.baffles:
            bottom, top = baffle.span_mm(depth_mm=self.box.depth_mm)
            if low < top and high > bottom and gap_mm(body, other=baffle_foot(baffle)) < gap_by_mm:
                yield baffle

    def is_free(self, led: Led) -> bool:
        """Tell whether an LED has room in the box beside everything else in it."""
        body, (low, high), clear = self.body(led), self.span(led), LED_CLEAR_MM - SAME_MM
        taken = [pillar.outline.corners for pillar in sound_pillars(self.box)]
        for other in self.box.leds:
            bottom, top = self.span(other)
            if other.name != led.name and max(bottom - high, low - top) < clear:
                taken.append(self.body(other))
        return (
            self.inside.margin_mm(body) >= -ROUNDING_MM
            and all(gap_mm(body, other=one) >= clear for one in taken)
            and not any(self.in_the_way(led, gap_by_mm=clear))
        )


def baffles_at_walls(box: LightBox) -> Iterator[Told]:
    """Tell which LEDs on walls a baffle is in the way of, each with a place that was tried."""
    leds = [led for led in box.leds if led.seat is Seat.WALL]
    if not leds:
        return
    walls = _Walls(
        box=box,
        ring=flatten(anticlockwise(box.inside.corners)),
        inside=Enclosure(box.inside.corners),
        baffles=sound_baffles(box),
    )
    meets = [(led, next(walls.in_the_way(led), None)) for led in leds]
    others_stand = any(met is None for _, met in meets)
    for led, met in meets:
        if met is None:
            continue
        remedy, mend = _mend(led, walls=walls, others_stand=others_stand)
        yield Told(
            where=led.where,
            message=f"LED '{led.name}' on a wall and baffle '{met.name}' of box '{box.name}' are "
            "in one place",
            remedy=remedy,
            mend=mend,
        )


def _mend(led: Led, *, walls: _Walls, others_stand: bool) -> tuple[str, tuple[MendEdit, ...]]:
    """Say where an LED fits: along its wall, else higher or lower on it."""
    for moved in _beside(led, walls=walls):
        if walls.is_free(moved):
            words = way_words(round(moved.x_mm - led.x_mm, 2), y_mm=round(moved.y_mm - led.y_mm, 2))
            return f"move it {words}", ()
    for moved in _over(led, walls=walls):
        if walls.is_free(moved):
            high = in_mm(moved.height_mm)
            alone = ", for it alone if it stands in a row" if others_stand else ""
            return f"write height: {high}{alone}", sets("height", high)
    return "seat it on another wall, or end the baffle elsewhere", ()


def _beside(led: Led, *, walls: _Walls) -> Iterator[Led]:
    """Give the LED beside each baffle at its height, on both sides, the nearest place first."""
    side = nearest_side((led.x_mm, led.y_mm), ring=walls.ring)
    way = (side.normal[1], -side.normal[0])

    def along(corners: Corners) -> tuple[float, float]:
        spots = [x * way[0] + y * way[1] for x, y, _ in corners]
        return min(spots), max(spots)

    first, last = along(walls.body(led))
    shifts = []
    for baffle in walls.baffles:
        low, high = along(baffle_foot(baffle))
        shifts += [high + LED_CLEAR_MM + STEP_MM - first, low - LED_CLEAR_MM - STEP_MM - last]
    for shift in sorted(shifts, key=abs):
        yield replace(
            led,
            x_mm=round(led.x_mm + shift * way[0], 2),
            y_mm=round(led.y_mm + shift * way[1], 2),
        )


def _over(led: Led, *, walls: _Walls) -> Iterator[Led]:
    """Give the LED over and under the edges of the baffles, within its wall, the nearest first."""
    box, (low, high) = walls.box, walls.span(led)
    most = box.inner_diffuser.height_mm - LEDGE_MM if box.inner_diffuser else box.depth_mm
    heights = []
    for baffle in walls.baffles:
        bottom, top = baffle.span_mm(depth_mm=box.depth_mm)
        heights += [top + LED_CLEAR_MM - low, bottom - LED_CLEAR_MM - high]
    for shift in sorted(heights, key=abs):
        moved = replace(led, height_mm=round(led.height_mm + shift, 2))
        under, over = walls.span(moved)
        if under >= 0.0 and over <= most:
            yield moved
