"""What a strand loses from end to end, and how bright its tip looks."""

from math import pi

from lamphouse.catalogue.fibre_types import FibreType
from lamphouse.record import Record

INDEX = 1.492
"""Refractive index of the core [IEC60793-2-40]."""
FACE_PASSES = 1.0 - ((INDEX - 1.0) / (INDEX + 1.0)) ** 2
"""Share that one polished end lets pass at right angles [FRESNEL]."""
CLADDING_MM = 0.025
"""By how much a core is thinner than its fibre: 15 to 35 um [IEC60793-2-40]."""
DB_PER_M = 0.2
"""Typical attenuation of visible light in acrylic fibre [FIBRE-LOSS]."""
BEND_LOSS = 0.10
BEND_RADII = 65.0
"""At this many fibre radii a bend loses at most that share [FIBRE-BEND]."""
LEAST_BEND_RADII = 20.0
"""Formed with hot water no fibre is bent tighter than ten diameters [PRACTICE]."""


class Tip(Record):
    """The lit end of a strand at its hole."""

    flux_lm: float
    luminance_cd_m2: float
    """Mean over the core and the cone it shines into; never above the source's."""
    intensity_cd: float
    """Mean within that cone, of its half angle about the axis of the strand."""
    passed: float
    """Share of the launched light that comes out."""


def core_mm(fibre: FibreType) -> float:
    """Core diameter; a fibre too thin for the standard's cladding keeps nine tenths. [mm]."""
    return max(fibre.diameter_mm - CLADDING_MM, 0.9 * fibre.diameter_mm)


def bend_passes(fibre: FibreType, *, radius_mm: float) -> float:
    """Share that a bend of a quarter turn or more lets pass.

    The modes that a bend drops are, to first order, as many as the core's radius over the bend's
    [GLOGE]; the factor is that of the published trace, a tenth at 65 radii, so this is an upper
    bound there and an estimate below. Not tighter than 20 radii.
    """
    radii = 2.0 * radius_mm / fibre.diameter_mm
    return 1.0 - BEND_LOSS * BEND_RADII / max(radii, LEAST_BEND_RADII)


def passes(fibre: FibreType, *, length_mm: float, radii_mm: tuple[float, ...]) -> float:
    """Share of the launched light that leaves the tip: both ends, bulk, and the tightest bend.

    Later bends of the same radius drop little more: the first has taken the steep rays.
    """
    bulk = 10.0 ** (-DB_PER_M * length_mm * 1e-3 / 10.0)
    tightest = min(radii_mm, default=None)
    bent = 1.0 if tightest is None else bend_passes(fibre, radius_mm=tightest)
    return float(FACE_PASSES**2 * bulk * bent)


def tip_of(fibre: FibreType, *, launched_lm: float, passed: float) -> Tip:
    """Give the tip of a strand into which so much light was launched."""
    flux = launched_lm * passed
    area_m2 = pi / 4.0 * (core_mm(fibre) * 1e-3) ** 2
    projected_sr = pi * fibre.numerical_aperture**2
    luminance = flux / (projected_sr * area_m2)
    return Tip(
        flux_lm=flux,
        luminance_cd_m2=luminance,
        intensity_cd=luminance * area_m2,
        passed=passed,
    )
