"""The currents of LEDs in strings, as the light of their boxes is solved with."""

from collections.abc import Sequence

from lamphouse.circuit.branch import StringDesign
from lamphouse.design.lightbox import LightBox
from lamphouse.light.box_glow import LedCurrent


def led_currents(
    strings: Sequence[StringDesign], *, boxes: Sequence[LightBox] | None = None
) -> dict[str, LedCurrent]:
    """Give the currents of LEDs by name; of all in the strings, or of those in some boxes alone."""
    own = None if boxes is None else {led.name for box in boxes for led in box.leds}
    return {
        led.name: LedCurrent(
            led=led.name,
            low_A=string.current_A.low,
            nominal_A=string.current_A.nominal,
            high_A=string.current_A.high,
        )
        for string in strings
        for led in string.leds
        if own is None or led.name in own
    }
