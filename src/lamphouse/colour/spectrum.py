"""Spectra on one grid of wavelengths, and numbers at other wavelengths brought onto it.

Terminology
-----------
grid
    81 wavelengths from 380 to 780 nm in steps of 5 nm. Every spectrum is an array along it, the
    grid last; anything may stand in front (pixels, layers, lamps).
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lamphouse.record import Record

Array = NDArray[np.float64]

STEP_NM = 5.0
GRID_NM: Array = np.arange(380.0, 780.0 + STEP_NM, STEP_NM)
GRID_NM.flags.writeable = False

WIDEST_GAP_NM = 20.0
"""Between two readings; a lamp or dye may do anything in a wider one [CIE-167]."""
MUST_REACH_NM = (400.0, 700.0)
"""What readings must cover; 0.1 % of the light of any white lies outside [CIE-1931]."""
_EVEN = 1e-3
"""Steps that differ by less, relative, are even."""

_SPRAGUE_ENDS = (
    np.array(
        [
            [884.0, -1960.0, 3033.0, -2648.0, 1080.0, -180.0],
            [508.0, -540.0, 488.0, -367.0, 144.0, -24.0],
        ]
    )
    / 209.0
)
"""What makes two readings in front of the first from the first six [CIE-167]."""


class SpectrumError(ValueError):
    """Readings that make no spectrum."""


class Spectrum(Record, eq=False):
    """One spectrum with its name: a power per nm, or a share of light."""

    name: str
    values: Array
    """Along the grid. (81,), read-only"""


def fixed(values: ArrayLike) -> Array:
    """Give a read-only copy of an array."""
    array = np.array(values, dtype=np.float64)
    array.flags.writeable = False
    return array


def outside_nm(wavelengths_nm: Sequence[float] | Array) -> tuple[float, float]:
    """Tell how much of the grid lies below and above the readings; [nm, nm]."""
    least, most = float(np.min(wavelengths_nm)), float(np.max(wavelengths_nm))
    return max(0.0, least - GRID_NM[0]), max(0.0, GRID_NM[-1] - most)


def on_grid(wavelengths_nm: Sequence[float] | Array, values: Sequence[float] | Array) -> Array:
    """Bring readings onto the grid.

    Parameters
    ----------
    wavelengths_nm
        Rising. (n,)
    values
        One for each wavelength. (n,)

    Returns
    -------
    ndarray
        (81,). Readings in even steps of 5 nm and more are joined by Sprague's quintics, uneven ones
        by cubic splines [CIE-167]; ones mostly finer than 2.5 nm are averaged over a triangle of
        5 nm either way. Beyond the readings the last one holds [CIE-15]: :func:`outside_nm` tells
        how far. Curves that dip below zero between readings that do not are held at zero.

    Raises
    ------
    SpectrumError
        If the readings do not rise or are not finite, leave a gap wider than ``WIDEST_GAP_NM``, or
        do not reach from 400 to 700 nm.
    """
    at = np.asarray(wavelengths_nm, dtype=np.float64)
    given = np.asarray(values, dtype=np.float64)
    _refuse_unsound(at, given)
    steps = np.diff(at)
    middle = np.sort(steps)[[(len(steps) - 1) // 2, len(steps) // 2]].mean()
    if middle < STEP_NM / 2.0:
        drawn = _averaged(at, given)
    elif np.ptp(steps) <= _EVEN * steps.mean() and len(at) > 5:
        drawn = _sprague(at, given)
    else:
        from scipy.interpolate import CubicSpline  # slow to load, and seldom needed

        drawn = CubicSpline(at, given)(np.clip(GRID_NM, at[0], at[-1]))
    if given.min() >= 0.0:
        drawn = np.maximum(drawn, 0.0)
    return fixed(drawn)


def _refuse_unsound(at: Array, given: Array) -> None:
    if at.ndim != 1 or at.shape != given.shape or len(at) < 2:
        problem = f"{at.shape} wavelengths for {given.shape} values"
        raise SpectrumError(problem)
    if not (np.isfinite(at).all() and np.isfinite(given).all()):
        problem = "a wavelength or value is not a number"
        raise SpectrumError(problem)
    steps = np.diff(at)
    if steps.min() <= 0.0:
        problem = f"wavelengths do not rise after {at[int(np.argmin(steps))]:g} nm"
        raise SpectrumError(problem)
    if steps.max() > WIDEST_GAP_NM:
        from_nm = at[int(np.argmax(steps))]
        problem = f"a gap of {steps.max():g} nm after {from_nm:g} nm is over {WIDEST_GAP_NM:g} nm"
        raise SpectrumError(problem)
    if at[0] > MUST_REACH_NM[0] or at[-1] < MUST_REACH_NM[1]:
        problem = f"{at[0]:g} to {at[-1]:g} nm do not reach from 400 to 700 nm"
        raise SpectrumError(problem)


def _sprague(at: Array, given: Array) -> Array:
    """Join even readings by quintics whose first two slopes meet [CIE-167]."""
    front = _SPRAGUE_ENDS @ given[:6]
    back = (_SPRAGUE_ENDS @ given[:-7:-1])[::-1]
    y = np.concatenate([front, given, back])
    place = (np.clip(GRID_NM, at[0], at[-1]) - at[0]) / (at[-1] - at[0]) * (len(at) - 1)
    first = np.minimum(place.astype(np.intp), len(at) - 2)
    x = place - first
    a, b, c, d, e, f = (y[first + offset] for offset in range(6))
    # c is the reading at x = 0, d the one at x = 1
    return np.asarray(
        c
        + x * (2 * a - 16 * b + 16 * d - 2 * e) / 24
        + x**2 * (-a + 16 * b - 30 * c + 16 * d - e) / 24
        + x**3 * (-9 * a + 39 * b - 70 * c + 66 * d - 33 * e + 7 * f) / 24
        + x**4 * (13 * a - 64 * b + 126 * c - 124 * d + 61 * e - 12 * f) / 24
        + x**5 * (-5 * a + 25 * b - 50 * c + 50 * d - 25 * e + 5 * f) / 24
    )


def _averaged(at: Array, given: Array) -> Array:
    """Average fine readings around each wavelength of the grid, near ones more than far ones."""
    fine = np.linspace(-STEP_NM, STEP_NM, 41)
    weights = 1.0 - np.abs(fine) / STEP_NM
    read = np.interp(GRID_NM[:, None] + fine, at, given)
    return np.asarray(read @ weights / weights.sum())
