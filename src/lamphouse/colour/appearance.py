"""How colours look to an eye adapted to its surroundings: CIECAM16.

Terminology
-----------
colourfulness
    How much colour the eye sees, absolutely: it falls in dim light. Chroma is the same against the
    brightness of white.
surround
    What lies around the field of view: ``average``, ``dim`` or ``dark``.
"""

from enum import Enum

import numpy as np

from lamphouse.colour.display import CAT16
from lamphouse.colour.spectrum import Array
from lamphouse.record import Record

_LEAST_CONE, _MOST_CONE = 0.26, 150.0


class Surround(Enum):
    """Light around the field of view, with its three constants ``F``, ``c``, ``Nc`` [CIE-248]."""

    AVERAGE = (1.0, 0.69, 1.0)
    DIM = (0.9, 0.59, 0.9)
    DARK = (0.8, 0.525, 0.8)


class Viewing(Record, eq=False):
    """What an eye is adapted to."""

    white: Array
    """X, Y, Z of white, Y = 100. (3,)"""
    adapting_cd_m2: float
    """Mean luminance of what the eye rests on, about a fifth of white's."""
    background: float = 20.0
    """Luminance factor of what lies right around, white 100."""
    surround: Surround = Surround.AVERAGE


class Appearance(Record, eq=False):
    """How colours look; each (...)."""

    lightness: Array
    """``J``: 0 black, 100 white."""
    chroma: Array
    """``C``."""
    colourfulness: Array
    """``M``."""
    hue_deg: Array
    """``h``, 0 to 360: about 20 is red, 90 yellow, 164 green, 238 blue."""


class _Adapted(Record, eq=False):
    """What CIECAM16 works out once for a viewing."""

    gains: Array
    level: float
    """``FL``."""
    n: float
    nbb: float
    z: float
    white: float
    """``Aw``."""


def _compressed(cones: Array, level: float) -> Array:
    """Compress cone signals; straight lines go on below 0.26 and above 150 [CIE-248]."""
    held = np.clip(cones, _LEAST_CONE, _MOST_CONE)
    power = (level * held / 100.0) ** 0.42
    bent = 400.0 * power / (power + 27.13)
    slope = 400.0 * 0.42 * power * 27.13 / (power + 27.13) ** 2 / held
    beyond = np.maximum(cones - _MOST_CONE, 0.0) * slope
    return np.asarray(
        np.where(cones < _LEAST_CONE, bent * cones / _LEAST_CONE, bent + beyond) + 0.1
    )


def _adapted(viewing: Viewing) -> _Adapted:
    full = viewing.surround.value[0]
    adapting = viewing.adapting_cd_m2
    degree = np.clip(full * (1.0 - np.exp((-adapting - 42.0) / 92.0) / 3.6), 0.0, 1.0)
    white_cones = CAT16 @ viewing.white
    gains = degree * viewing.white[1] / white_cones + 1.0 - degree
    k = 1.0 / (5.0 * adapting + 1.0)
    level = 0.2 * k**4 * 5.0 * adapting + 0.1 * (1.0 - k**4) ** 2 * np.cbrt(5.0 * adapting)
    n = viewing.background / viewing.white[1]
    nbb = 0.725 * n**-0.2
    red, green, blue = _compressed(white_cones * gains, level)
    return _Adapted(
        gains=gains,
        level=float(level),
        n=float(n),
        nbb=float(nbb),
        z=float(1.48 + np.sqrt(n)),
        white=float((2.0 * red + green + blue / 20.0 - 0.305) * nbb),
    )


def appearance(xyz: Array, *, viewing: Viewing) -> Appearance:
    """Give how colours look under a viewing [CIE-248].

    Parameters
    ----------
    xyz
        On the scale of the viewing's white, Y = 100. (..., 3)
    viewing
        Made for colours not much brighter than white.
    """
    _, c, nc = viewing.surround.value
    eye = _adapted(viewing)
    red, green, blue = np.moveaxis(_compressed(xyz @ CAT16.T * eye.gains, eye.level), -1, 0)
    a = red - 12.0 * green / 11.0 + blue / 11.0
    b = (red + green - 2.0 * blue) / 9.0
    hue = np.degrees(np.arctan2(b, a)) % 360.0
    eccentric = (np.cos(np.radians(hue) + 2.0) + 3.8) / 4.0
    achromatic = np.maximum((2.0 * red + green + blue / 20.0 - 0.305) * eye.nbb, 0.0)
    lightness = 100.0 * (achromatic / eye.white) ** (c * eye.z)
    colour = 50000.0 / 13.0 * nc * eye.nbb * eccentric * np.hypot(a, b)
    share = np.maximum(colour / (red + green + 1.05 * blue), 0.0)
    chroma = share**0.9 * np.sqrt(lightness / 100.0) * (1.64 - 0.29**eye.n) ** 0.73
    return Appearance(
        lightness=np.asarray(lightness),
        chroma=np.asarray(chroma),
        colourfulness=np.asarray(chroma * eye.level**0.25),
        hue_deg=np.asarray(hue),
    )
