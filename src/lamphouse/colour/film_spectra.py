"""Spectra of films, coats and finishes: measured, or a dye that adds up to the row's shares.

Terminology
-----------
dye curve
    Absorption along the grid, 0 to about 1, by the parts of a dye; the film's density is a multiple
    of it that makes the whole film pass the share its row states.
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from lamphouse.catalogue.dyes import DyePart, Side
from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.finishes import Finish
from lamphouse.colour import kubelka_munk
from lamphouse.colour.crossing import crossing
from lamphouse.colour.layers import SpectralSheet, alike, clear_sheet, scattering_sheet
from lamphouse.colour.observer import photopic, room_light
from lamphouse.colour.photo_fit import CAMERA_OFF_NM, fitted_body
from lamphouse.colour.spectrum import GRID_NM, Array, fixed, on_grid
from lamphouse.record import Record, replace

CLEAR_REFLECTANCE = 0.109
"""Two smooth faces of plastic with index 1.63, ``2 r / (1 + r)`` with ``r = ((n - 1) / (n + 1))^2``
[FRESNEL]: a film without metal that throws back more scatters light."""
STATED_LIGHT = "D65"
"""The light the shares of a row hold for."""
GUESS_NM = 10.0
"""How far the edges and bands of a guessed dye may lie off, either way [MEMORY]."""
MEASURED_SHARE = 0.02
"""How far a measured share may be off, relative [PRACTICE]."""
_EDGE_WIDTHS = 2.0 * np.log(9.0)
"""Width of a logistic edge from 90 to 10 % over its parameter."""
_DENSEST = 60.0
"""Most density a dye is given."""
KEPT = 512


class Film(Record, eq=False):
    """A film as light of every colour meets it, and how sure that is."""

    sheet: SpectralSheet
    shorter: SpectralSheet
    """The same with every edge and band as far towards blue as the guess leaves open."""
    longer: SpectralSheet
    """The same towards red."""
    is_guessed: bool
    """Whether its colour rests on a generic dye."""


def scatters(film: FilmType) -> bool:
    """Tell a film that scatters light from a clear one."""
    return film.use == "diffuser" or film.reflectance > CLEAR_REFLECTANCE


def is_known(film: FilmType) -> bool:
    """Tell whether anything says which colours a film passes; a diffuser is taken for grey."""
    named = film.dye is not None or film.measured is not None or film.photo is not None
    return named or scatters(film)


def dye_curve(dye: Sequence[DyePart], *, shift_nm: float = 0.0) -> Array:
    """Give the absorption of a dye along the grid; (81,)."""
    whole = np.zeros_like(GRID_NM)
    for part in dye:
        off = GRID_NM - part.at_nm - shift_nm
        if part.side is Side.AT:
            bell = np.exp(-4.0 * np.log(2.0) * (off / part.over_nm) ** 2)
        else:
            sign = 1.0 if part.side is Side.BELOW else -1.0
            held = np.clip(sign * off / (part.over_nm / _EDGE_WIDTHS), -500.0, 500.0)
            bell = 1.0 / (1.0 + np.exp(held))
        whole += part.strength * bell
    return whole


def stated(share: Array) -> float:
    """Give the photopic share of a film or surface in the light its row is stated for."""
    return float(photopic(room_light(STATED_LIGHT).values, share))


@lru_cache(maxsize=KEPT)
def film_spectrum(film: FilmType) -> Film:
    """Give one film or coat along the grid.

    Parameters
    ----------
    film
        With its own readings or a photograph's, these are used as they are. With a dye, the
        multiple of the dye is found that passes the row's transmittance in daylight. Neutral or
        without any it is grey.

    Returns
    -------
    Film
        A measured film is as sure as its meter, a dye within ``GUESS_NM``, grey by its row.
    """
    if film.measured is not None and film.measured.transmittance is not None:
        return _measured(film)
    if film.photo is not None:
        return _photographed(film)
    if not film.dye or not 0.0 < film.transmittance < 1.0:
        grey = _grey(film)
        return Film(sheet=grey, shorter=grey, longer=grey, is_guessed=False)
    return Film(
        sheet=_dyed(film, shift_nm=0.0),
        shorter=_dyed(film, shift_nm=-GUESS_NM),
        longer=_dyed(film, shift_nm=GUESS_NM),
        is_guessed=True,
    )


def _grey(film: FilmType) -> SpectralSheet:
    flat = np.ones_like(GRID_NM)
    return alike(fixed(film.transmittance * flat), fixed(film.reflectance * flat))


def _measured(film: FilmType) -> Film:
    readings = film.measured
    if readings is None or readings.transmittance is None:
        return film_spectrum(replace(film, measured=None))
    passed = np.minimum(on_grid(readings.wavelengths_nm, readings.transmittance), 1.0)
    if readings.reflectance is not None:
        thrown = on_grid(readings.wavelengths_nm, readings.reflectance)
    else:
        thrown = film.reflectance * np.ones_like(GRID_NM)
    thrown = np.minimum(thrown, 1.0 - passed)
    sheets = [
        alike(fixed(np.minimum(passed * factor, 1.0 - thrown)), fixed(thrown))
        for factor in (1.0, 1.0 - MEASURED_SHARE, 1.0 + MEASURED_SHARE)
    ]
    return Film(sheet=sheets[0], shorter=sheets[1], longer=sheets[2], is_guessed=False)


def _photographed(film: FilmType) -> Film:
    """Give a film as its photograph shows it, and as cameras with other bands would."""
    readings = film.photo or ()
    sheets = []
    for shift_nm in (0.0, -CAMERA_OFF_NM, CAMERA_OFF_NM):
        passed = fitted_body(readings, shift_nm=shift_nm)
        thrown = np.minimum(film.reflectance, 1.0 - passed)
        sheets.append(alike(passed, fixed(thrown)))
    return Film(sheet=sheets[0], shorter=sheets[1], longer=sheets[2], is_guessed=False)


def _dyed(film: FilmType, *, shift_nm: float) -> SpectralSheet:
    """Dose a dye until the film passes what its row says."""
    curve = dye_curve(film.dye or (), shift_nm=shift_nm)
    if scatters(film):
        _, scatter = kubelka_munk.coefficients(
            np.array(film.reflectance), np.array(film.transmittance)
        )
        flat = np.full_like(GRID_NM, float(scatter))

        def laid(dose: float) -> SpectralSheet:
            return scattering_sheet(dose * curve, flat)

    else:
        face = film.reflectance / (2.0 - film.reflectance)

        def laid(dose: float) -> SpectralSheet:
            return clear_sheet(10.0 ** (-dose * curve), face=face)

    def over(dose: float) -> float:
        return stated(laid(dose).transmittance) - film.transmittance

    if over(0.0) <= 0.0 or over(_DENSEST) >= 0.0:
        return _grey(film)
    sheet = laid(crossing(over, 0.0, _DENSEST, within=1e-10))
    return alike(fixed(sheet.transmittance), fixed(sheet.face_reflectance))


@lru_cache(maxsize=KEPT)
def finish_spectrum(finish: Finish) -> Array:
    """Give the reflectance of a paint or lining along the grid; (81,), read-only.

    A dye is dosed until the surface throws back what its row says in daylight, as a body too thick
    to see through [KUBELKA-MUNK].
    """
    if finish.measured is not None and finish.measured.reflectance is not None:
        return on_grid(finish.measured.wavelengths_nm, finish.measured.reflectance)
    if not finish.dye or not 0.0 < finish.reflectance < 1.0:
        return fixed(finish.reflectance * np.ones_like(GRID_NM))
    curve = dye_curve(finish.dye)

    def over(dose: float) -> float:
        return stated(kubelka_munk.opaque(dose * curve)) - finish.reflectance

    if over(1e4) >= 0.0:
        return fixed(finish.reflectance * np.ones_like(GRID_NM))
    return fixed(kubelka_munk.opaque(crossing(over, 0.0, 1e4, within=1e-12) * curve))
