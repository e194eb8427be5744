"""The LED that a suggestion places: its type, and how it sits and leans like those drawn."""

from collections.abc import Sequence

from lamphouse.cutting.wedges import way_of
from lamphouse.design.lightbox import Led, LightBox, Seat
from lamphouse.plan.suggestion import Refusal, Request
from lamphouse.record import replace
from lamphouse.shapes.spacing import inner_spot

STRAIGHT = "straight"
"""Said of LEDs that stand straight where some of those drawn lean."""


def led_to_place(request: Request) -> Led | Refusal:
    """Give the LED that is placed, for now in a spot well inside the box.

    It leans as those drawn where they all lean alike; else it stands straight.
    """
    box = request.box
    x, y = inner_spot(box.inside.corners)
    if not box.leds:
        if request.led_type is None:
            reason = f"'{box.name}' has no LEDs yet"
            return Refusal(reason=reason, remedy="name the type to use with --led")
        kind = request.led_type
        return Led(
            name="L", where=box.where, led_type=kind, x_mm=x, y_mm=y, current_A=kind.curve[0][0]
        )
    if len({(led.led_type.name, led.seat, led.group) for led in box.leds}) > 1:
        return Refusal(
            reason=f"the LEDs of '{box.name}' differ in type, seat or source group",
            remedy="suggestions are for boxes whose LEDs are all alike",
        )
    first = box.leds[0]
    if first.seat is not Seat.BACK:
        return Refusal(
            reason=f"the LEDs of '{box.name}' sit on its {first.seat}",
            remedy="suggestions place LEDs on the back; take seat out to have one",
        )
    if len(_leans(box.leds)) > 1:
        first = replace(first, tilt_deg=0.0, towards_deg=0.0)
    return replace(first, led_type=request.led_type or first.led_type, x_mm=x, y_mm=y)


def _leans(leds: Sequence[Led]) -> set[tuple[float, float]]:
    """Give the tilts and ways of LEDs, those of straight ones alike."""
    return {(led.tilt_deg, led.towards_deg % 360.0 if led.tilt_deg else 0.0) for led in leds}


def lean_words(leds: Sequence[Led], *, drawn: Sequence[Led]) -> str:
    """Say how LEDs lean, or that they stand straight; empty where none of those drawn leans."""
    if not any(led.tilt_deg for led in drawn):
        return ""
    if len(_leans(leds)) > 1:
        return "tilted as drawn"
    tilt_deg = leds[0].tilt_deg
    return f"tilted {tilt_deg:g} deg {way_of(leds[0])}" if tilt_deg else STRAIGHT


def lean_note(box: LightBox) -> str:
    """Say what becomes of the tilts of LEDs that do not lean alike; empty where they do."""
    if len(_leans(box.leds)) < 2:
        return ""
    return (
        f"the LEDs of '{box.name}' do not all lean alike: choices that move them stand them "
        "straight, and written into the file they lose tilt and towards"
    )
