"""Colours for screens: sRGB and P3 encoded and decoded, what no screen shows, and other whites.

Terminology
-----------
linear
    Screen values in proportion to light, before the transfer curve.
outside
    A colour that a screen's three primaries cannot make without a negative share of one.
"""

import numpy as np
from numpy.typing import ArrayLike

from lamphouse.colour.spectrum import Array, fixed
from lamphouse.record import Record

D65_XY = (0.3127, 0.3290)
"""White of both screens [SRGB]."""
OUTSIDE = 1e-4
"""Linear values this far out of 0 to 1 are rounding, not colour: a tenth of an 8-bit step at the
dark end [SRGB]."""


class Screen(Record, eq=False):
    """The primaries and white of a screen; both kinds share the transfer curve of sRGB."""

    name: str
    to_xyz: Array
    """Linear values into X, Y, Z with Y = 1 for white; (3, 3)."""
    from_xyz: Array
    """The way back; (3, 3)."""


def white_xyz(xy: tuple[float, float]) -> Array:
    """Give X, Y, Z of a chromaticity at Y = 1; (3,)."""
    x, y = xy
    return np.array([x / y, 1.0, (1.0 - x - y) / y])


def _by_primaries(*primaries: tuple[float, float]) -> Array:
    """Give the matrix to X, Y, Z of primaries that add up to daylight white."""
    columns = np.stack([white_xyz(xy) for xy in primaries], axis=1)
    return np.asarray(columns * np.linalg.solve(columns, white_xyz(D65_XY)))


def _screen(name: str, to_xyz: ArrayLike) -> Screen:
    return Screen(name=name, to_xyz=fixed(to_xyz), from_xyz=fixed(np.linalg.inv(fixed(to_xyz))))


SRGB = _screen(
    "sRGB", [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
"""The usual screen, with the four digits of the standard, which are its definition [SRGB]."""
WIDE = _screen("P3", _by_primaries((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)))
"""A wide-gamut screen: primaries of digital cinema with daylight white [EG-432]."""

BRADFORD = fixed([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
"""Sharpened cones of linear Bradford adaptation [BRADFORD]."""
CAT16 = fixed(
    [
        [0.401288, 0.650173, -0.051461],
        [-0.250268, 1.204414, 0.045854],
        [-0.002079, 0.048952, 0.953127],
    ]
)
"""Sharpened cones of CIECAM16 [CIE-248]."""


def encode(linear: Array) -> Array:
    """Give screen values 0 to 1 for linear ones, by the curve of sRGB [SRGB].

    Values outside 0 to 1 are held at the ends; see :func:`fitted` first.
    """
    held = np.clip(linear, 0.0, 1.0)
    return np.where(held <= 0.0031308, 12.92 * held, 1.055 * held ** (1 / 2.4) - 0.055)


def decode(values: Array) -> Array:
    """Give linear values for screen values 0 to 1 [SRGB]."""
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def linear_of(xyz: Array, *, screen: Screen) -> Array:
    """Give linear screen values; those outside 0 to 1 cannot be shown; (..., 3)."""
    return np.asarray(xyz @ screen.from_xyz.T)


def xyz_of(linear: Array, *, screen: Screen) -> Array:
    """Give X, Y, Z of linear screen values, Y = 1 for white; (..., 3)."""
    return np.asarray(linear @ screen.to_xyz.T)


def is_outside(linear: Array) -> Array:
    """Tell what cannot be shown: too much of a colour, or brighter than white; bool (...)."""
    return np.asarray(((linear < -OUTSIDE) | (linear > 1.0 + OUTSIDE)).any(axis=-1))


def fitted(linear: Array, *, screen: Screen) -> Array:
    """Bring linear values into 0 to 1 at the same luminance, by mixing in as much grey as it takes.

    Brighter than white becomes white. Hue is kept in linear light, which is not quite the hue
    seen.
    """
    grey = np.clip(linear @ screen.to_xyz[1], 0.0, 1.0)[..., None]
    away = linear - grey
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        over = np.where(away > 0.0, (1.0 - grey) / away, np.inf)
        under = np.where(away < 0.0, -grey / away, np.inf)
    red, green, blue = np.moveaxis(np.minimum(over, under), -1, 0)
    kept = np.minimum(np.minimum(np.minimum(red, green), blue), 1.0)[..., None]
    return np.asarray(np.clip(grey + kept * away, 0.0, 1.0))


def adapted(xyz: Array, *, seen: Array, shown: Array, cones: Array = CAT16) -> Array:
    """Give the colours that look alike under another white, to a fully adapted eye.

    Parameters
    ----------
    xyz
        (..., 3)
    seen, shown
        X, Y, Z of the white the eye is adapted to, and of the white to show it under; of these
        only the chromaticity counts. (3,)
    cones
        ``CAT16`` or ``BRADFORD``. (3, 3)
    """
    before, after = cones @ (seen / seen[1]), cones @ (shown / shown[1])
    whole = np.linalg.solve(cones, (after / before)[:, None] * cones)
    return np.asarray(xyz @ whole.T)
