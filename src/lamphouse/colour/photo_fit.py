"""The spectrum of a film from a photograph through none, one and more of its coats.

What is guessed: the camera's red, green and blue see broad bands [MEMORY], its values follow the
curve of sRGB with one exposure for all pictures, the lamp is a neutral white LED, and a dye's
density runs smoothly. Three numbers cannot tell a spectrum: what fits is one of many, and the two
variants with the camera's bands moved say how far others lie.
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.photo_readings import DARKEST
from lamphouse.catalogue.spectral_data import led_illuminants
from lamphouse.colour.display import decode
from lamphouse.colour.spectrum import GRID_NM, Array, fixed

CAMERA_NM = ((605.0, 75.0), (535.0, 90.0), (460.0, 75.0))
"""Peak and width at half height of a camera's red, green and blue [MEMORY]."""
CAMERA_OFF_NM = 15.0
"""How far a camera's bands may lie from those [MEMORY]."""
READING_SHARE = 0.03
"""How far a reading may be off, relative: noise, vignetting, a tone curve that is not sRGB's."""
SMOOTHNESS = 0.15
"""Usual change of a dye's slope from knot to knot, in density."""
_KNOTS_NM = np.array([380.0, 420.0, 460.0, 500.0, 540.0, 580.0, 620.0, 660.0, 700.0, 780.0])
_MOST_DENSITY = 4.0
LAMP = "LED-B3"
"""The lamp behind the film when the picture was taken, as long as nobody knows better."""


def lamp_behind() -> Array:
    """Give the spectrum of the lamp behind the film. (81,)."""
    return np.array(led_illuminants().columns[LAMP])


def camera_bands(light: Array, *, shift_nm: float) -> Array:
    """Give what the camera's three bands see of a light, each adding up to 1; (3, 81)."""
    seen = np.stack(
        [
            light * np.exp(-4.0 * np.log(2.0) * ((GRID_NM - at - shift_nm) / width) ** 2)
            for at, width in CAMERA_NM
        ]
    )
    return np.asarray(seen / seen.sum(axis=1, keepdims=True))


def _density(knots: Array) -> Array:
    return np.asarray(np.interp(GRID_NM, _KNOTS_NM, knots))


def _told(readings: Sequence[Sequence[float]]) -> tuple[Array, NDArray[np.bool_]]:
    """Give the logarithm of what each coat leaves of the bare lamp, and which are but limits."""
    coats = np.array(readings)[1:]
    linear = decode(np.maximum(np.array(readings), DARKEST) / 255.0)
    return np.log(linear[1:] / linear[0]), coats < DARKEST


@lru_cache(maxsize=128)
def fitted_body(readings: tuple[tuple[float, ...], ...], *, shift_nm: float = 0.0) -> Array:
    """Find a smooth spectrum that gives the readings of a photograph.

    Parameters
    ----------
    readings
        Red, green, blue, 0 to 255, through 0, 1, 2 and perhaps more coats of one film.
    shift_nm
        How far the camera's bands lie from the usual.

    Returns
    -------
    ndarray
        What one coat passes, its surfaces in it; coats multiply. (81,), read-only
    """
    wanted, is_limit = _told(readings)
    bands = camera_bands(lamp_behind(), shift_nm=shift_nm)
    coats = np.arange(1, len(readings))[:, None]

    def off(knots: Array) -> Array:
        passed = 10.0 ** (-_density(knots) * coats)
        told = (np.log(passed @ bands.T) - wanted) / READING_SHARE
        told = np.where(is_limit, np.maximum(told, 0.0), told)
        bent = np.diff(knots, 2) / SMOOTHNESS
        return np.concatenate([told.ravel(), bent])

    start = np.interp(_KNOTS_NM, [460.0, 535.0, 605.0], np.clip(-wanted[0, ::-1] / 2.3, 0.0, 3.9))
    from scipy.optimize import least_squares  # slow to load, and only photographs need it

    found = least_squares(off, start, bounds=(0.0, _MOST_DENSITY), max_nfev=200)
    return fixed(10.0 ** -_density(found.x))


def misfit(readings: tuple[tuple[float, ...], ...]) -> float:
    """Give the largest part by which the fit misses a reading, relative.

    Beyond some 10 % the pictures contradict each other: the exposure moved, or the camera's tone
    curve is far from sRGB's.
    """
    wanted, is_limit = _told(readings)
    body = fitted_body(readings)
    coats = np.arange(1, len(readings))[:, None]
    off = np.log((body**coats) @ camera_bands(lamp_behind(), shift_nm=0.0).T) - wanted
    return float(np.abs(np.where(is_limit, np.maximum(off, 0.0), off)).max())
