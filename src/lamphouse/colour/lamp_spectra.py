"""Spectra of LEDs: whites from the published LED illuminants, colours from peak and width."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np

from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.spectral_data import led_illuminants
from lamphouse.colour.crossing import crossing
from lamphouse.colour.observer import luminance, tristimulus
from lamphouse.colour.spectrum import GRID_NM, Array, Spectrum, fixed, on_grid
from lamphouse.colour.temperature import planck, temperature

FAMILIES = {
    "blue": ("LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5"),
    "blue and red": ("LED-BH1",),
    "red green blue": ("LED-RGB1",),
    "violet": ("LED-V1", "LED-V2"),
}
"""The illuminants of each phosphor, warm to cool [CIE-15]."""

NITRIDE_NM = 570.0
"""Below this an LED is made of InGaN, above of AlInGaP [PRACTICE]."""
_TYPICAL_WIDTHS = ((400.0, 14.0), (465.0, 22.0), (525.0, 33.0), (569.0, 40.0))
"""Half widths of InGaN by peak [TYPICAL]; AlInGaP is ``_PHOSPHIDE_NM`` wide. [nm, nm]"""
_PHOSPHIDE_NM = 18.0
_PHOSPHOR_NM = 100.0
_BELL_WIDTH = 0.92182
"""Width at half height of Ohno's bell over its parameter: ``2 sqrt(-ln g)`` at ``g + 2 g^5 = 3/2``,
where the bell is a half."""
_TILT_K = (1200.0, 60000.0)
KEPT = 256


def half_width_nm(led: LedType) -> float:
    """Give the width of a coloured LED's spectrum at half its height, its own or typical."""
    if led.half_width_nm is not None or led.peak_nm is None:
        return led.half_width_nm or _PHOSPHOR_NM
    if led.peak_nm >= NITRIDE_NM:
        return _PHOSPHIDE_NM
    peaks, widths = zip(*_TYPICAL_WIDTHS, strict=True)
    return float(np.interp(led.peak_nm, peaks, widths))


def bell(peak_nm: float, *, width_nm: float) -> Array:
    """Give a coloured LED's spectrum, 1 at its peak: ``(g + 2 g^5) / 3`` [OHNO-2005].

    Parameters
    ----------
    peak_nm
        Peak wavelength.
    width_nm
        Width at half height.

    Returns
    -------
    ndarray
        Means over each step of the grid, so that narrow LEDs keep their light. (81,)
    """
    fine = np.linspace(-2.0, 2.0, 9)
    g = np.exp(-(((GRID_NM[:, None] + fine - peak_nm) / (width_nm / _BELL_WIDTH)) ** 2))
    return np.asarray(((g + 2.0 * g**5) / 3.0).mean(axis=1))


def _per_lumen(power: Array) -> Array:
    return np.asarray(power / luminance(power))


def _illuminants(names: Sequence[str]) -> list[Array]:
    data = led_illuminants()
    return [_per_lumen(on_grid(data.wavelengths_nm, data.columns[name])) for name in names]


def _cct(power: Array) -> float:
    found = temperature(tristimulus(power))
    return float("nan") if found is None else found.cct_K


@lru_cache(maxsize=KEPT)
def white(cct_K: float, *, phosphor: str = "blue") -> Array:
    """Give the spectrum of a white LED of a colour temperature, 1 lm.

    Parameters
    ----------
    cct_K
        From 1000 to 25000 K.
    phosphor
        One of ``FAMILIES``.

    Returns
    -------
    ndarray
        Power per nm. Between two illuminants of the family: a mixture of both that has this
        colour temperature to 0.1 K. Outside them (below 2733 K and above 6598 K for ``blue``):
        the last one times the ratio of two black bodies, a guess that says less the farther it
        goes. (81,), read-only
    """
    members = _illuminants(FAMILIES[phosphor])
    ccts = [_cct(power) for power in members]
    for (warm, cool), (low, high) in zip(pairwise(members), pairwise(ccts), strict=True):
        if low <= cct_K <= high:

            def off(share: float, warm: Array = warm, cool: Array = cool) -> float:
                return 1e6 / _cct((1.0 - share) * warm + share * cool) - 1e6 / cct_K

            share = crossing(off, 0.0, 1.0, within=1e-9) if low < cct_K < high else cct_K == high
            return fixed(_per_lumen((1.0 - share) * warm + share * cool))
    end = 0 if cct_K < ccts[0] else -1
    return fixed(_tilted(members[end], from_K=ccts[end], cct_K=cct_K))


def _tilted(power: Array, *, from_K: float, cct_K: float) -> Array:
    """Bend a spectrum as a black body's bends, until it has a colour temperature."""
    whole = planck(from_K)

    def off(mired: float) -> float:
        bent = power * planck(1e6 / mired) / whole
        found = temperature(tristimulus(bent))
        if found is None:
            return float(np.sign(mired - 1e6 / cct_K)) * 1e3
        return 1e6 / found.cct_K - 1e6 / cct_K

    least, most = (1e6 / end for end in reversed(_TILT_K))
    if off(least) * off(most) > 0.0:
        mired = 1e6 / cct_K
    else:
        mired = crossing(off, least, most, within=1e-6)
    return _per_lumen(power * planck(1e6 / mired) / whole)


@lru_cache(maxsize=KEPT)
def lamp_spectrum(led: LedType) -> Spectrum:
    """Give the spectrum of an LED of the catalogue that sends out 1 lm.

    Parameters
    ----------
    led
        Measured, or white by its colour temperature and phosphor, or coloured by its peak and
        width.

    Returns
    -------
    Spectrum
        Power per nm. Whites of one row differ by some hundred kelvin from batch to batch, and the
        shape by the maker's phosphor.
    """
    if led.measured is not None and led.measured.power is not None:
        drawn = on_grid(led.measured.wavelengths_nm, led.measured.power)
        return Spectrum(name=led.name, values=fixed(_per_lumen(drawn)))
    if led.cct_K is not None:
        return Spectrum(name=led.name, values=white(led.cct_K, phosphor=led.phosphor or "blue"))
    peak_nm = 560.0 if led.peak_nm is None else led.peak_nm
    drawn = bell(peak_nm, width_nm=half_width_nm(led))
    return Spectrum(name=led.name, values=fixed(_per_lumen(drawn)))
