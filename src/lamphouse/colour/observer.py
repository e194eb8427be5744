"""What the standard eye makes of a spectrum: tristimulus values, chromaticity, luminance."""

from functools import cache

import numpy as np

from lamphouse.catalogue.spectral_data import (
    ROOM_LIGHTS,
    led_illuminants,
    room_lights,
    standard_observer,
)
from lamphouse.colour.spectrum import GRID_NM, STEP_NM, Array, Spectrum, fixed, on_grid

LUMENS_PER_WATT = 683.0
"""``Km``, at the peak of the eye's sensitivity [CIE-15]."""


@cache
def whole_observer() -> tuple[Array, Array]:
    """Give wavelengths from 360 to 830 nm in steps of 5 nm, and x, y, z there; (n,), (n, 3)."""
    data = standard_observer()
    table = np.stack([data.columns[name] for name in "xyz"], axis=1)
    return fixed(data.wavelengths_nm), fixed(table)


@cache
def matching() -> Array:
    """Give the colour matching functions x, y, z along the grid; (81, 3), read-only [CIE-1931]."""
    wavelengths, table = whole_observer()
    return fixed(table[np.isin(wavelengths, GRID_NM, assume_unique=True)])


def tristimulus(power: Array) -> Array:
    """Weigh spectral power by the standard eye, in absolute units [CIE-15].

    Parameters
    ----------
    power
        Power per nm, such as spectral radiance in W m-2 sr-1 nm-1. (..., 81)

    Returns
    -------
    ndarray
        X, Y, Z, of which Y is the photometric quantity: cd/m2 of a radiance, lm of a flux. Sums in
        steps of 5 nm. (..., 3)
    """
    return np.asarray(power @ matching()) * (LUMENS_PER_WATT * STEP_NM)


def luminance(power: Array) -> Array:
    """Weigh spectral radiance by the eye's sensitivity alone; [cd/m2] (...)."""
    return np.asarray(power @ matching()[:, 1]) * (LUMENS_PER_WATT * STEP_NM)


def under(light: Array, share: Array) -> Array:
    """Give X, Y, Z of what a surface or film leaves of a light whose own Y is 1.

    Parameters
    ----------
    light
        Power per nm, in any unit. (81,)
    share
        Reflectance or transmittance. (..., 81)

    Returns
    -------
    ndarray
        (..., 3). A share of 1 gives the light's own white.
    """
    weights = light[:, None] * matching()
    return np.asarray(share @ (weights / weights[:, 1].sum()))


def photopic(light: Array, share: Array) -> Array:
    """Give the share of a light's luminance that a surface or film leaves; (...)."""
    weights = light * matching()[:, 1]
    return np.asarray(share @ (weights / weights.sum()))


def chromaticity(xyz: Array) -> Array:
    """Give x, y; not a number for black; (..., 2)."""
    whole = xyz.sum(axis=-1, keepdims=True)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(xyz[..., :2] / whole)


def uniform_chromaticity(xyz: Array) -> Array:
    """Give u', v' of the 1976 chromaticity diagram; not a number for black; (..., 2) [CIE-15]."""
    x, y, z = np.moveaxis(xyz, -1, 0)
    with np.errstate(invalid="ignore", divide="ignore"):
        below = x + 15.0 * y + 3.0 * z
        return np.stack([4.0 * x / below, 9.0 * y / below], axis=-1)


@cache
def room_light(name: str) -> Spectrum:
    """Give the spectrum of a light a room may have, scaled to luminance 1.

    Parameters
    ----------
    name
        A word of ``ROOM_LIGHTS``, or an illuminant such as ``D65`` or ``LED-B3``.

    Raises
    ------
    KeyError
        For any other name.
    """
    illuminant = ROOM_LIGHTS.get(name, name)
    data = room_lights() if illuminant in room_lights().columns else led_illuminants()
    values = on_grid(data.wavelengths_nm, data.columns[illuminant])
    return Spectrum(name=name, values=fixed(values / luminance(values)))
