"""CIELAB: lightness and two opponent axes, and the same as chroma and hue."""

import numpy as np

from lamphouse.colour.spectrum import Array

_EDGE = 6.0 / 29.0
"""Below its cube the cube root gives way to a straight line [ISO11664-4]."""


def to_lab(xyz: Array, *, white: Array) -> Array:
    """Give L*, a*, b* [ISO11664-4].

    Parameters
    ----------
    xyz
        In the unit of ``white``. (..., 3)
    white
        X, Y, Z of what looks white. (3,)
    """
    share = xyz / white
    bent = np.where(share > _EDGE**3, np.cbrt(share), share / (3.0 * _EDGE**2) + 4.0 / 29.0)
    x, y, z = np.moveaxis(bent, -1, 0)
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def from_lab(lab: Array, *, white: Array) -> Array:
    """Give X, Y, Z of L*, a*, b* [ISO11664-4]; (..., 3)."""
    lightness, a, b = np.moveaxis(lab, -1, 0)
    middle = (lightness + 16.0) / 116.0
    bent = np.stack([middle + a / 500.0, middle, middle - b / 200.0], axis=-1)
    share = np.where(bent > _EDGE, bent**3, 3.0 * _EDGE**2 * (bent - 4.0 / 29.0))
    return np.asarray(share * white)


def to_lch(lab: Array) -> Array:
    """Give lightness, chroma and hue angle [deg, 0 to 360]; (..., 3)."""
    lightness, a, b = np.moveaxis(lab, -1, 0)
    hue = np.degrees(np.arctan2(b, a)) % 360.0
    return np.stack([lightness, np.hypot(a, b), hue], axis=-1)
