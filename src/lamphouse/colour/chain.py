"""The whole way of one opening's light: lamps, paint, layers, and the eye in its room.

Terminology
-----------
part
    What one kind of LED adds to the luminance of an opening, by sums that know no colour.
grey share
    The one number those sums took for what the layers pass or the paint throws back.
lit, unlit
    With the lamps on in the dark; with the lamps off in the room's light.
"""

from collections.abc import Sequence
from math import pi

import numpy as np

from lamphouse.colour.appearance import Appearance, Surround, Viewing, appearance
from lamphouse.colour.lab import to_lab
from lamphouse.colour.observer import luminance, tristimulus, under
from lamphouse.colour.spectrum import Array
from lamphouse.record import Record

AVERAGE_SHARE = 0.2
"""A room whose white is this share of what the eye looks at is an average surround, a darker one
dim, none at all dark [CIE-248]."""
GREY_SHARE = 0.2
"""Mean luminance of what the eye rests on, over that of white [CIE-248]."""
_LEAST_CD_M2 = 1e-3
"""So that an eye in the dark, before nothing lit, is adapted to something."""


class Part(Record, eq=False):
    """What one kind of LED adds to an opening."""

    lamp: Array
    """Power per nm of 1 lm, as it enters the box. (81,)"""
    luminance_cd_m2: float
    """By grey sums."""
    direct: float
    """Share of it that comes straight from the LED, no paint having thrown it back; 0 to 1."""


class Way(Record, eq=False):
    """What the light goes through and off on its way to an opening."""

    passed: Array
    """Transmittance of the layers. (81,)"""
    grey_passed: float
    """Their grey share."""
    gain: Array
    """What the paint makes of light in many reflections, in any unit. (81,)"""
    grey_gain: float
    """The same for the grey shares, in the same unit."""


def cavity_gain(paint: Array, *, back: Array, open_share: float) -> Array:
    """Give what a box makes of light it throws back, as a sphere would [CAVITY].

    ``rho / (1 - m)``, with ``m = (1 - f) rho + f R`` the mean reflectance of paint and openings.

    Parameters
    ----------
    paint
        Reflectance of the paint. (...)
    back
        Reflectance of the layers' rear. (...)
    open_share
        Area of the openings over that of all faces, ``f``.
    """
    mean = (1.0 - open_share) * paint + open_share * back
    return np.asarray(paint / np.maximum(1.0 - mean, 1e-6))


def radiance(parts: Sequence[Part], *, way: Way) -> Array:
    """Give the spectral radiance of a lit opening.

    Each part keeps its luminance by grey sums, times what its own colours pass and throw back over
    what the grey shares do. W m-2 sr-1 nm-1, (81,)
    """
    whole = np.zeros_like(way.passed)
    bounced = way.gain / way.grey_gain if way.grey_gain > 0.0 else np.ones_like(way.gain)
    passed = way.passed / way.grey_passed if way.grey_passed > 0.0 else way.passed
    for part in parts:
        met = part.direct + (1.0 - part.direct) * bounced
        whole += part.luminance_cd_m2 * part.lamp * met * passed
    return whole


class Seen(Record, eq=False):
    """An opening as the eye sees it; X, Y, Z with Y in cd/m2."""

    lit: Array
    unlit: Array
    """The room's light alone."""
    both: Array
    """Lit in the room's light."""
    viewing: Viewing
    """What the eye is adapted to when all is lit."""
    scale: float
    """What makes X, Y, Z of cd/m2 into those of the viewing, white 100."""

    def lab(self, xyz: Array) -> Array:
        """Give L*, a*, b* against the viewing's white; (..., 3)."""
        return to_lab(xyz * self.scale, white=self.viewing.white)

    def look(self, xyz: Array) -> Appearance:
        """Give lightness, chroma, colourfulness and hue to the adapted eye."""
        return appearance(xyz * self.scale, viewing=self.viewing)


def seen(spectral_radiance: Array, *, face: Array, room: Array, room_lx: float) -> Seen:
    """Put a lit opening before an eye in its room.

    Parameters
    ----------
    spectral_radiance
        Of the lit opening. (81,)
    face
        Reflectance of its face, all that comes back from inside taken in. (81,)
    room
        The room's light in any unit. (81,)
    room_lx
        Illuminance on the face.

    Returns
    -------
    Seen
        The eye takes the colour of a white sheet in the room's light for white, and whatever is
        brighter for as bright as white: that sheet or the opening itself. One opening alone; the
        others around it play no part.
    """
    lit = tristimulus(spectral_radiance)
    sheet = under(room, np.ones_like(room))
    unlit = under(room, face) * room_lx / pi
    room_white = room_lx / pi
    white_cd_m2 = max(room_white, float(lit[1] + unlit[1]), _LEAST_CD_M2)
    if room_lx <= 0.0:
        surround = Surround.DARK
    else:
        is_bright = room_white >= AVERAGE_SHARE * white_cd_m2
        surround = Surround.AVERAGE if is_bright else Surround.DIM
    viewing = Viewing(
        white=sheet * 100.0,
        adapting_cd_m2=GREY_SHARE * white_cd_m2,
        surround=surround,
    )
    return Seen(lit=lit, unlit=unlit, both=lit + unlit, viewing=viewing, scale=100.0 / white_cd_m2)


def luminance_factor(parts: Sequence[Part], *, way: Way) -> float:
    """Give the luminance in colour over that of the grey sums; 1 where nothing is lit."""
    grey = sum(part.luminance_cd_m2 for part in parts)
    if grey <= 0.0:
        return 1.0
    return float(luminance(radiance(parts, way=way))) / grey
