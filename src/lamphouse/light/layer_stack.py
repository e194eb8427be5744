"""The layers of an opening folded into one sheet by adding reflections between them.

Terminology
-----------
rear, face
    The sides of a sheet: ``rear`` looks at the lamp, ``face`` at the eye.
clear
    A film that throws back no more than two smooth plastic faces do scatters nothing: what lies
    behind it is seen through it.
colour share
    What grey sums leave open about layers of colour laid on one another, as factors of the
    transmittance.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import reduce
from math import prod

from lamphouse.catalogue.film_types import FilmType
from lamphouse.design.panel import Layer, LayerKind

CLEAR_REFLECTANCE = 0.109
"""Two smooth faces of plastic with index 1.63, ``2 r / (1 + r)`` with ``r = ((n - 1) / (n + 1))^2``
[FRESNEL]: a film without metal that throws back more scatters light."""

WEAK_SHARE = 0.25
"""Scattering films that throw back less than this share of what they pass send much of it ahead,
and the lamps show as blurs [MEMORY]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """Layers as one thin sheet; shares of light for white light that comes from everywhere."""

    transmittance: float
    """The same from both sides."""
    rear_reflectance: float
    face_reflectance: float
    scatters: bool
    """Whether any layer scatters."""
    is_weak: bool = False
    """Whether the layers that scatter do so little that the lamps show as blurs."""
    least_colour_share: float = 1.0
    most_colour_share: float = 1.0


def scatters(film: FilmType) -> bool:
    """Tell a film that scatters light from a clear one."""
    return film.use == LayerKind.DIFFUSER or film.reflectance > CLEAR_REFLECTANCE


def is_coloured(film: FilmType) -> bool:
    """Tell a film that may treat colours differently: a clear gel or coat that takes light in."""
    return film.use in {LayerKind.GEL, LayerKind.TINT} and not scatters(film)


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
    """Bound what layers of colour pass together, over the product of their shares.

    Whatever their spectra, together they pass no more than the least of them, and no less than what
    is left when each takes its part from another piece of the spectrum. Layers of one film pass at
    least the product.
    """
    shares = [(film.name, film.transmittance) for film in films if is_coloured(film)]
    product = prod(share for _, share in shares)
    if len(shares) < 2 or product <= 0.0:
        return 1.0, 1.0
    least = max(0.0, 1.0 - sum(1.0 - share for _, share in shares)) / product
    if len({name for name, _ in shares}) == 1:
        least = 1.0
    return least, min(share for _, share in shares) / product


def fold(layers: tuple[Layer, ...]) -> Stack | None:
    """Fold the layers of an opening into one sheet.

    Parameters
    ----------
    layers
        From lamp to eye; each film takes part with its white-light shares, alike on both sides.

    Returns
    -------
    Stack or None
        None for an opening without layers. Photopic shares of coloured layers do not multiply; the
        colour shares bound what they do together.
    """
    films = [layer.film for layer in layers for _ in range(layer.count)]
    if not films:
        return None
    whole = reduce(laid_on, map(_sheet, films))
    scattering = [_sheet(film) for film in films if scatters(film)]
    alone = reduce(laid_on, scattering) if scattering else None
    least, most = _colour_share(films)
    return Stack(
        transmittance=whole.transmittance,
        rear_reflectance=whole.rear_reflectance,
        face_reflectance=whole.face_reflectance,
        scatters=whole.scatters,
        is_weak=alone is not None and alone.rear_reflectance < WEAK_SHARE * alone.transmittance,
        least_colour_share=least,
        most_colour_share=most,
    )
