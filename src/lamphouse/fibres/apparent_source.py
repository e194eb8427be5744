"""The bright face that strands look into: of a chip its body, of a dome the end of its lens.

Terminology
-----------
apparent source
    A flat face, evenly bright over its area, whose luminance falls off the axis so that its
    intensity follows the power of the cosine that the beam of the data sheet gives.
"""

from math import cos, log, pi, radians

from lamphouse.catalogue.led_types import LedType
from lamphouse.design.led_body import is_dome
from lamphouse.record import Record
from lamphouse.units import Quantity, parse

LEAST_POWER, MOST_POWER = 0.25, 400.0
"""Powers of the cosine: beams of 173 to 6.7 degrees."""


class ApparentSource(Record):
    """An evenly bright face about the axis of a bundle."""

    width_mm: float
    """A disc's diameter."""
    height_mm: float
    is_round: bool
    power: float
    """Of the cosine that its intensity follows; 1 is Lambert's."""
    flux_lm: float
    """Into the half space before it."""

    @property
    def area_mm2(self) -> float:
        """Of the face."""
        return self.width_mm * self.height_mm * (pi / 4.0 if self.is_round else 1.0)

    @property
    def axis_cd_m2(self) -> float:
        """Luminance along the axis: the intensity there over the area."""
        return self.flux_lm * (self.power + 1.0) / (2.0 * pi) / (self.area_mm2 * 1e-6)


def power_of(beam_deg: float) -> float:
    """Power of the cosine that halves the intensity at half the beam."""
    halved = cos(radians(min(beam_deg, 179.0) / 2.0))
    return min(max(log(0.5) / log(halved), LEAST_POWER), MOST_POWER)


def dome_mm(dome: LedType) -> float:
    """Diameter of a dome's body above its collar: the size its package is named by. [mm]."""
    return min(parse(dome.package, Quantity.LENGTH), dome.package_mm[0])


def source_of(led: LedType, *, current_A: float) -> ApparentSource:
    """Give the face of an LED at a current.

    A chip is a rectangle of its body's length and width. A lens shows its chip as large as
    itself: from anywhere in the beam the whole end of a dome looks bright, so it is a disc of the
    dome's diameter [PRACTICE]. Light is taken in proportion to the current.
    """
    flux = led.flux_lm * current_A / led.flux_current_A
    round_ = is_dome(led)
    width, height = (dome_mm(led),) * 2 if round_ else led.package_mm[:2]
    return ApparentSource(
        width_mm=width,
        height_mm=height,
        is_round=round_,
        power=power_of(led.beam_deg),
        flux_lm=flux,
    )


def diffused(source: ApparentSource, *, passed: float, bore_mm: float) -> ApparentSource:
    """Give the face of a diffuser that closes the bore: Lambertian, and as large as the bore."""
    width = max(source.width_mm, bore_mm)
    return ApparentSource(
        width_mm=width, height_mm=width, is_round=True, power=1.0, flux_lm=passed * source.flux_lm
    )
