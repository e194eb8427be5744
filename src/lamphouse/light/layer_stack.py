"""The layers of an opening folded into one sheet by adding reflections between them.

Terminology
-----------
rear, face
    The sides of a sheet: ``rear`` looks at the lamp, ``face`` at the eye.
clear
    A film that throws back no more than two smooth plastic faces do scatters nothing: what lies
    behind it is seen through it.
grey sums
    Shares of luminance as plain numbers. Layers whose colours are known are folded at each
    wavelength, and their shares are those of the lamps' own light.
colour share
    What is open about the colours of layers, as factors of the transmittance: how far a guessed dye
    may lie off, and everything where a gel's colour is not known at all.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache, reduce
from math import hypot, prod

import numpy as np

from lamphouse.catalogue.film_types import FilmType
from lamphouse.catalogue.finishes import Finish
from lamphouse.catalogue.led_types import LedType
from lamphouse.catalogue.light_spread import FilmHaze
from lamphouse.colour.film_spectra import (
    Film,
    film_spectrum,
    finish_spectrum,
    is_known,
    scatters,
)
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.layers import SpectralSheet, pile
from lamphouse.colour.observer import photopic, room_light
from lamphouse.colour.spectrum import Array
from lamphouse.design.panel import Layer, LayerKind

WEAK_SHARE = 0.25
"""Scattering films that throw back less than this share of what they pass send much of it ahead,
and the lamps show as blurs [MEMORY]."""

KEPT = 512
"""Stacks that are kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Layers as one thin sheet; shares of luminance of light that comes from everywhere."""

    transmittance: float
    """The same from both sides."""
    rear_reflectance: float
    face_reflectance: float
    scatters: bool
    """Whether any layer scatters."""
    is_weak: bool = False
    """Whether the layers that scatter do so little that the lamps show as blurs."""
    haze: FilmHaze | None = None
    """Where the light goes that passes, where one layer scatters and is known to that; None: evenly
    to all sides."""
    least_colour_share: float = 1.0
    most_colour_share: float = 1.0
    spectral: SpectralSheet | None = field(default=None, compare=False, repr=False)
    """The same at each wavelength; films of unknown colour are grey in it."""
    doubts: tuple[SpectralSheet, ...] = field(default=(), compare=False, repr=False)
    """The same with one film's colour as far off as it may lie, either way, film after film."""


def is_coloured(film: FilmType) -> bool:
    """Tell a film that may treat colours differently: a clear gel or coat that takes light in."""
    return film.use in {LayerKind.GEL, LayerKind.TINT} and not scatters(film)


def has_colour(film: FilmType) -> bool:
    """Tell a film whose colour is known, and is one."""
    return bool(film.dye) or film.measured is not None or film.photo is not None


def laid_on(rear: Stack, face: Stack) -> Stack:
    """Lay a sheet on the eye's side of another, with all reflections between them [STOKES-PILE].

    ``T = T1 T2 / (1 - R1' R2)`` and ``R = R1 + T1^2 R2 / (1 - R1' R2)``; a dash marks the face.
    """
    between = 1.0 / (1.0 - rear.face_reflectance * face.rear_reflectance)
    return Stack(
        transmittance=rear.transmittance * face.transmittance * between,
        rear_reflectance=rear.rear_reflectance
        + rear.transmittance**2 * face.rear_reflectance * between,
        face_reflectance=face.face_reflectance
        + face.transmittance**2 * rear.face_reflectance * between,
        scatters=rear.scatters or face.scatters,
    )


def _sheet(film: FilmType) -> Stack:
    return Stack(
        transmittance=film.transmittance,
        rear_reflectance=film.reflectance,
        face_reflectance=film.reflectance,
        scatters=scatters(film),
    )


def _colour_share(films: Iterable[FilmType]) -> tuple[float, float]:
    """Bound what layers of unknown colour pass together, over the product of their shares.

    Whatever their spectra, together they pass no more than the least of them, and no less than what
    is left when each takes its part from another piece of the spectrum. Layers of one film pass at
    least the product.
    """
    shares = [
        (film.name, film.transmittance)
        for film in films
        if is_coloured(film) and not is_known(film)
    ]
    product = prod(share for _, share in shares)
    if len(shares) < 2 or product <= 0.0:
        return 1.0, 1.0
    least = max(0.0, 1.0 - sum(1.0 - share for _, share in shares)) / product
    if len({name for name, _ in shares}) == 1:
        least = 1.0
    return least, min(share for _, share in shares) / product


def light_of(lamps: Iterable[tuple[LedType, float]]) -> Array:
    """Give the spectrum of several LEDs together, by their flux; daylight where none is lit."""
    whole = sum(flux * lamp_spectrum(led).values for led, flux in lamps)
    if not np.any(whole):
        return room_light("D65").values
    return np.asarray(whole)


def paint_share(finish: Finish, *, lamps: Iterable[tuple[LedType, float]]) -> float:
    """Give the reflectance of a finish in the light of lamps."""
    if not finish.dye and finish.measured is None:
        return finish.reflectance
    return float(photopic(light_of(lamps), finish_spectrum(finish)))


def _doubts(films: Sequence[FilmType]) -> tuple[SpectralSheet, ...]:
    """Fold the layers again and again, one film's colour off in each."""
    known = [film_spectrum(film) for film in films]
    found = []
    for name in dict.fromkeys(film.name for film in films):
        own = next(film for film in films if film.name == name)
        if film_spectrum(own).shorter is film_spectrum(own).sheet:
            continue

        def off(film: FilmType, seen: Film, *, longer: bool, name: str = name) -> SpectralSheet:
            if film.name != name:
                return seen.sheet
            return seen.longer if longer else seen.shorter

        for longer in (False, True):
            found.append(
                pile(
                    off(film, seen, longer=longer) for film, seen in zip(films, known, strict=True)
                )
            )
    return tuple(found)


def _coloured(stack: Stack, *, films: Sequence[FilmType], light: Array) -> Stack:
    """Take the shares of a stack from its spectra, in the light of its lamps."""
    whole = pile(film_spectrum(film).sheet for film in films)
    passed = float(photopic(light, whole.transmittance))
    doubts = _doubts(films)
    ratios = [float(photopic(light, one.transmittance)) / passed for one in doubts if passed > 0.0]
    below = hypot(*(min(*pair, 1.0) - 1.0 for pair in zip(ratios[::2], ratios[1::2], strict=True)))
    above = hypot(*(max(*pair, 1.0) - 1.0 for pair in zip(ratios[::2], ratios[1::2], strict=True)))
    return replace(
        stack,
        transmittance=passed,
        rear_reflectance=float(photopic(light, whole.rear_reflectance)),
        face_reflectance=float(photopic(light, whole.face_reflectance)),
        least_colour_share=stack.least_colour_share * max(1.0 - below, 0.0),
        most_colour_share=stack.most_colour_share * (1.0 + above),
        spectral=whole,
        doubts=doubts,
    )


@lru_cache(maxsize=KEPT)
def fold(
    layers: tuple[Layer, ...], *, lamps: tuple[tuple[LedType, float], ...] = ()
) -> Stack | None:
    """Fold the layers of an opening into one sheet.

    Parameters
    ----------
    layers
        From lamp to eye, alike on both sides.
    lamps
        Kinds of LED behind it with their flux: its shares hold for their light, and for daylight
        when there are none.

    Returns
    -------
    Stack or None
        None for an opening without layers. Films without colour are added as numbers; with a
        coloured one among them all are folded at each wavelength, for photopic shares of coloured
        layers do not multiply.
    """
    films = [layer.film for layer in layers for _ in range(layer.count)]
    if not films:
        return None
    whole = reduce(laid_on, map(_sheet, films))
    scattering = [film for film in films if scatters(film)]
    alone = reduce(laid_on, map(_sheet, scattering)) if scattering else None
    haze = scattering[0].haze if len(scattering) == 1 else None
    least, most = _colour_share(films)
    grey = replace(
        whole,
        is_weak=alone is not None
        and haze is None
        and alone.rear_reflectance < WEAK_SHARE * alone.transmittance,
        haze=haze,
        least_colour_share=least,
        most_colour_share=most,
    )
    if any(has_colour(film) for film in films):
        return _coloured(grey, films=films, light=light_of(lamps))
    return replace(grey, spectral=pile(film_spectrum(film).sheet for film in films))
