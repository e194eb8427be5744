"""A printed film and a print on paper: the same ink passed once, or twice and more.

Terminology
-----------
rear, face
    The sides of a film: ``rear`` looks at the lamp, ``face`` at the eye, and carries the ink.
base
    What lies between the two surfaces of a film, without ink.
surface
    Where plastic or ink meets air: it throws some light back, more of it from within when the light
    is diffuse, because that is trapped beyond the critical angle.

By reflection light crosses the ink on its way in and out, and again each time the surface sends it
back; by transmission it crosses once. To first order the density by transmission is half that by
reflection, and so a print that is right on paper is pale in front of a lamp.
"""

import numpy as np

from lamphouse.colour.halftone import clapper_yule, demichel, mixed
from lamphouse.colour.inks import InkSet, solids, transmittance
from lamphouse.colour.layers import SpectralSheet
from lamphouse.colour.spectrum import Array
from lamphouse.record import Record

PAPER = 0.93
"""Reflectance of coated paper from within [TYPICAL]."""
PAPER_SURFACE = 0.02
"""What the surface of a print adds where no lamp mirrors in it [TYPICAL]."""
TRAPPED = 0.596
"""What a surface of index 1.5 throws back of diffuse light from within [FRESNEL]."""
STRAY = 0.092
"""What it throws back of diffuse light from the air [FRESNEL]."""
STRAIGHT = 0.04
"""What it throws back of light straight on, from either side [FRESNEL]."""
_HAIR = 1e-9
DOT_SPREAD = 1.7
"""Exponent of dots on coated paper, between gloss (1) and matt (2) [YULE-NIELSEN]."""


class _Slab(Record, eq=False):
    """A part of a film: not the same to light going up, to the eye, and down, to the lamp."""

    up: Array
    down: Array
    rear: Array
    face: Array


class _Within(Record, eq=False):
    """A film without its surfaces, and what they throw back from the air and from within."""

    reflectance: Array
    transmittance: Array
    outside: Array
    inside: Array
    is_white: bool
    """Whether light within is diffuse."""


def on_paper(amounts: Array, *, inks: InkSet) -> Array:
    """Give the reflectance of a print on coated paper.

    Parameters
    ----------
    amounts
        Of the four inks. (..., 4)
    inks
        The printer's.

    Returns
    -------
    ndarray
        (..., 81), as seen with no lamp mirrored in it.
    """
    if not inks.has_dots:
        return _backed(transmittance(amounts, inks=inks))
    return mixed(demichel(amounts), primaries=_backed(solids(inks)), n=DOT_SPREAD)


def _backed(ink: Array) -> Array:
    return clapper_yule(
        ink, mean_square=ink**2, ground=np.array(PAPER), outside=PAPER_SURFACE, inside=TRAPPED
    )


def on_film(amounts: Array, *, inks: InkSet, bare: SpectralSheet) -> SpectralSheet:
    """Give a printed film.

    Parameters
    ----------
    amounts
        Of the four inks. (..., 4)
    inks
        The printer's.
    bare
        The film without ink, alike on both sides. (81,)

    Returns
    -------
    SpectralSheet
        (..., 81). Light inside a white film is taken as diffuse, inside any other as straight; dots
        on a white film are passed each time at another place.
    """
    film = _within(bare)
    if inks.has_dots and not film.is_white:
        each = _inked(solids(inks), film=film)
        shares = demichel(amounts)
        return SpectralSheet(
            transmittance=mixed(shares, primaries=each.transmittance),
            rear_reflectance=mixed(shares, primaries=each.rear_reflectance),
            face_reflectance=mixed(shares, primaries=each.face_reflectance),
        )
    return _inked(transmittance(amounts, inks=inks), film=film)


def _inked(ink: Array, *, film: _Within) -> SpectralSheet:
    """Lay ink on the base, below the surface that looks at the eye."""
    outside, inside, base = film.outside, film.inside, film.transmittance
    entry = _Slab(up=1.0 - outside, down=1.0 - inside, rear=outside, face=inside)
    middle = _Slab(up=base, down=base, rear=film.reflectance, face=film.reflectance)
    below = _joined(entry, middle)
    coloured = _Slab(
        up=below.up * ink, down=below.down * ink, rear=below.rear, face=below.face * ink**2
    )
    leaving = _Slab(up=1.0 - inside, down=1.0 - outside, rear=inside, face=outside)
    whole = _joined(coloured, leaving)
    return SpectralSheet(
        transmittance=whole.up, rear_reflectance=whole.rear, face_reflectance=whole.face
    )


def _joined(rear: _Slab, face: _Slab) -> _Slab:
    between = 1.0 / (1.0 - rear.face * face.rear)
    return _Slab(
        up=rear.up * face.up * between,
        down=rear.down * face.down * between,
        rear=rear.rear + rear.up * face.rear * rear.down * between,
        face=face.face + face.down * rear.face * face.up * between,
    )


def _within(bare: SpectralSheet) -> _Within:
    """Take the two surfaces off a film: diffuse ones where that leaves a base, else straight ones.

    Light that is alike, or opposite, on both sides of a symmetric film sees a mirror of R + T, or
    of R - T: each surface bends the two apart from each other, which is undone for each alone.
    """
    thrown, passed = bare.face_reflectance, bare.transmittance
    straight = np.minimum(STRAIGHT, thrown / (2.0 - thrown))
    for outside, inside in ((np.full(81, STRAY), np.full(81, TRAPPED)), (straight, straight)):
        alike, opposite = (
            (mode - outside) / ((1.0 - outside) * (1.0 - inside) + inside * (mode - outside))
            for mode in (thrown + passed, thrown - passed)
        )
        within = _Within(
            reflectance=(alike + opposite) / 2.0,
            transmittance=(alike - opposite) / 2.0,
            outside=outside,
            inside=inside,
            is_white=inside is not straight,
        )
        if min(within.reflectance.min(), within.transmittance.min(), 1.0 - alike.max()) >= -_HAIR:
            break
    return within
