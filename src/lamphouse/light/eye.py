"""What a dark-adapted eye just sees: the least luminance that shows against its surround.

The model is Adrian's [ADRIAN1989], for a disc looked at for as long as one likes by a young eye;
at its threshold half of those who know where to look see it. What a patch of another shape shows
is what the disc over it shows that the eye sees best. Not covered: colour, flicker, glare, and an
eye that has not had a quarter of an hour in the dark.
"""

from math import atan, degrees, log10, pi

import numpy as np

DARKEST_CD_M2 = 1e-3
"""Surround taken for a room of 0 lx: the lit openings themselves keep it from being darker, and the
model has been tried no further [MEMORY]."""

DARK_FACE = 0.05
"""Reflectance of a matt black face, the darkest surround a model has."""

NEAR_MM = 250.0
"""Distance of clear sight, the convention of optics; taken where the project names no room."""

_DISCS_ARCMIN: tuple[float, ...] = tuple(np.geomspace(0.1, 600.0, 121).tolist())
"""Discs that are tried over a patch."""


def surround_cd_m2(room_lx: float) -> float:
    """Luminance a leak stands against: a black face in the room's light."""
    return max(DARKEST_CD_M2, DARK_FACE * room_lx / pi)


def threshold_cd_m2(surround: float, *, arcmin: float) -> float:
    """Difference of luminance at which a disc is just seen [ADRIAN1989].

    Parameters
    ----------
    surround
        Luminance of what lies around it. [cd/m2].
    arcmin
        Its diameter as the eye sees it. [minutes of arc].

    Returns
    -------
    float
        ``(sqrt(phi) / arcmin + sqrt(L))^2``: small discs need a given flux, large ones a given
        luminance. [cd/m2].
    """
    tens = log10(surround)
    if surround >= 0.6:
        flux = log10(4.1925 * surround**0.1556) + 0.1684 * surround**0.5867
        luminance = 0.05946 * surround**0.466
    elif surround > 0.00418:
        flux = 10.0 ** (-0.072 + 0.3372 * tens + 0.0866 * tens**2)
        luminance = 10.0 ** (-1.256 + 0.319 * tens)
    else:
        flux = 10.0 ** (0.028 + 0.173 * tens)
        luminance = 10.0 ** (-0.891 + 0.5275 * tens + 0.0227 * tens**2)
    return float((flux / arcmin + luminance) ** 2)


def arcmin_of(length_mm: float, *, distance_mm: float) -> float:
    """Angle under which a length is seen. [minutes of arc]."""
    return 60.0 * degrees(2.0 * atan(length_mm / 2.0 / distance_mm))


def least_seen_cd_m2(
    width_mm: float, *, length_mm: float, distance_mm: float, surround: float
) -> float:
    """Luminance at which an even patch is just seen.

    Parameters
    ----------
    width_mm, length_mm
        Of the patch, taken as a rectangle.
    distance_mm
        From the eye.
    surround
        Luminance of what lies around it. [cd/m2].

    Returns
    -------
    float
        Least over discs about its middle, each with the patch's light spread over it. [cd/m2].
    """
    wide = arcmin_of(width_mm, distance_mm=distance_mm)
    long = arcmin_of(length_mm, distance_mm=distance_mm)
    tried = []
    for disc in _DISCS_ARCMIN:
        lit = min(wide, disc) * min(long, disc) / (pi / 4.0 * disc**2)
        tried.append(threshold_cd_m2(surround, arcmin=disc) / min(lit, 1.0))
    return min(tried)
