"""What the maker is told of LEDs that lean: the wedge under a chip, the bend of a dome's legs."""

from collections.abc import Iterable, Sequence

from lamphouse.cutting.mends import in_mm, sides_mm
from lamphouse.design.led_body import is_dome, wedge_under
from lamphouse.design.lightbox import Led, Seat
from lamphouse.shapes.tilting import LEGS_MM

STEEPEST_FILED_DEG = 60.0
"""A steeper wedge is no more than a strip set upright [PRACTICE]."""
MOST_NAMED = 4
"""LEDs named in one note."""

_FLAT_WAYS = {0.0: "to the right", 90.0: "upwards", 180.0: "to the left", 270.0: "downwards"}
_WALL_WAYS = {
    0.0: "to the right seen from inside",
    90.0: "towards the panel",
    180.0: "to the left seen from inside",
    270.0: "towards the back",
}


def way_of(led: Led) -> str:
    """Say the way a tilted LED leans: ``to the right``."""
    on_wall = led.seat is Seat.WALL
    towards = led.towards_deg % 360.0
    seen = "inside" if on_wall else "the front"
    other = f"towards {towards:g} deg, anticlockwise from the right seen from {seen}"
    return (_WALL_WAYS if on_wall else _FLAT_WAYS).get(towards, other)


def held_by(led: Led) -> str:
    """Say what makes a tilted LED lean: its wedge with its sizes, or its bent legs."""
    if is_dome(led.led_type):
        return f"legs bent {in_mm(LEGS_MM)} from the body"
    wedge = wedge_under(led)
    if wedge.angle_deg > STEEPEST_FILED_DEG:
        return (
            f"an upright strip {in_mm(wedge.wide_mm)} wide and {in_mm(wedge.high_mm)} high, its "
            f"face at {wedge.angle_deg:g} deg to the seat"
        )
    return (
        f"a wedge of {wedge.angle_deg:g} deg, foot "
        f"{sides_mm(wedge.foot_mm, height_mm=wedge.wide_mm)}, "
        f"{in_mm(wedge.high_mm)} high at its thick edge"
    )


def alike(leds: Iterable[Led]) -> tuple[tuple[Led, ...], ...]:
    """Put the tilted of some LEDs together by how they lean and what holds them."""
    groups: dict[tuple[object, ...], list[Led]] = {}
    for led in leds:
        if led.tilt_deg:
            leans = led.led_type.name, led.seat, led.tilt_deg, way_of(led), held_by(led)
            groups.setdefault(leans, []).append(led)
    return tuple(tuple(group) for group in groups.values())


def named(leds: Sequence[Led]) -> str:
    """Name LEDs: ``L1, L2 and 3 more``."""
    names = [led.name for led in leds]
    if len(names) <= MOST_NAMED:
        return ", ".join(names)
    return f"{', '.join(names[: MOST_NAMED - 1])} and {len(names) - MOST_NAMED + 1} more"


def tilt_notes(leds: Iterable[Led], *, arrows: bool = True) -> tuple[str, ...]:
    """Write the notes of a piece that tilted LEDs sit on.

    Parameters
    ----------
    leds
        On it.
    arrows
        Whether their seats are marked on it with arrows.
    """
    return tuple(_note(group, arrows=arrows) for group in alike(leds))


def tilt_words(leds: Iterable[Led]) -> tuple[str, ...]:
    """Say in an order of work how LEDs lean: ``L1 on a wedge of 30 deg leaning to the right``."""
    return tuple(
        f"{named(group)} {_short(group[0])} leaning {way_of(group[0])}" for group in alike(leds)
    )


def _short(led: Led) -> str:
    if is_dome(led.led_type):
        return f"with legs bent by {led.tilt_deg:g} deg"
    if led.tilt_deg > STEEPEST_FILED_DEG:
        return f"on an upright strip at {led.tilt_deg:g} deg"
    return f"on a wedge of {led.tilt_deg:g} deg"


def _note(leds: Sequence[Led], *, arrows: bool) -> str:
    first, one = leds[0], len(leds) == 1
    lean = f"{named(leds)} {'leans' if one else 'lean'} {first.tilt_deg:g} deg "
    lean += f"along the arrow{'' if one else 's'}" if arrows else way_of(first)
    on = "with" if is_dome(first.led_type) else "on" if one else "each on"
    note = f"{lean}, {on} {held_by(first)}"
    if is_dome(first.led_type):
        return f"{note}: hold them with pliers at the body as you bend"
    if first.tilt_deg > STEEPEST_FILED_DEG:
        return note
    return f"{note}, the thin edge to the side it leans to; file it on a longer strip of scrap"
