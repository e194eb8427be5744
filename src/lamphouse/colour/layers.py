"""Layers laid on one another, wavelength by wavelength, with all reflections between them.

Terminology
-----------
rear, face
    The sides of a sheet: ``rear`` looks at the lamp, ``face`` at the eye.
body share
    What a clear film passes between its two faces, once through; bodies of equal films multiply.
"""

from collections.abc import Iterable
from functools import reduce

import numpy as np

from lamphouse.colour import kubelka_munk
from lamphouse.colour.spectrum import Array
from lamphouse.record import Record


class SpectralSheet(Record, eq=False):
    """A sheet in diffuse light; shares along the grid, anything may stand in front."""

    transmittance: Array
    """The same from both sides."""
    rear_reflectance: Array
    face_reflectance: Array


def laid_on(rear: SpectralSheet, face: SpectralSheet) -> SpectralSheet:
    """Lay a sheet on the eye's side of another [STOKES-PILE].

    ``T = T1 T2 / (1 - R1' R2)`` and ``R = R1 + T1^2 R2 / (1 - R1' R2)`` at each wavelength; a dash
    marks the face.
    """
    between = 1.0 / (1.0 - rear.face_reflectance * face.rear_reflectance)
    return SpectralSheet(
        transmittance=rear.transmittance * face.transmittance * between,
        rear_reflectance=rear.rear_reflectance
        + rear.transmittance**2 * face.rear_reflectance * between,
        face_reflectance=face.face_reflectance
        + face.transmittance**2 * rear.face_reflectance * between,
    )


def pile(sheets: Iterable[SpectralSheet]) -> SpectralSheet:
    """Lay sheets on one another, from lamp to eye; air lies between them.

    Raises
    ------
    TypeError
        When there is none.
    """
    return reduce(laid_on, sheets)


def alike(transmittance: Array, reflectance: Array) -> SpectralSheet:
    """Make a sheet that is the same from both sides."""
    return SpectralSheet(
        transmittance=transmittance, rear_reflectance=reflectance, face_reflectance=reflectance
    )


def clear_sheet(body: Array, *, face: float | Array) -> SpectralSheet:
    """Make a clear film of what its body passes and what each of its smooth faces throws back.

    ``T = (1 - r)^2 t / (1 - r^2 t^2)`` and ``R = r + r t T``: a pile of its two faces with the body
    between [STOKES-PILE].
    """
    passed = (1.0 - face) ** 2 * body / (1.0 - (face * body) ** 2)
    return alike(np.asarray(passed), np.asarray(face + face * body * passed))


def scattering_sheet(absorption: Array, scatter: Array) -> SpectralSheet:
    """Make a film that scatters, of its absorption and scatter [KUBELKA-MUNK]."""
    reflectance, transmittance = kubelka_munk.shares(absorption, scatter)
    return alike(transmittance, reflectance)


def seen_from_face(sheet: SpectralSheet, *, behind: Array) -> Array:
    """Give the reflectance of a sheet's face with something diffuse behind it; (..., 81).

    Light goes in, comes back from behind, and goes out again: through every layer twice.
    """
    between = 1.0 / (1.0 - sheet.rear_reflectance * behind)
    return np.asarray(sheet.face_reflectance + sheet.transmittance**2 * behind * between)
