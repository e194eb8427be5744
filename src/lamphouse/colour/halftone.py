"""Halftone dots: what a screen of ink dots throws back from white backing or lets through a film.

Terminology
-----------
coverage
    Share of the area that dots take up, 0 to 1.
primaries
    The sixteen ways four inks lie on one another, from bare film to all four.

All functions take arrays of any shape that broadcast, one entry for each wavelength; none of them
checks that shares lie between 0 and 1.
"""

import numpy as np

from lamphouse.colour.spectrum import Array, fixed

OVERPRINTS = fixed([[number >> ink & 1 for ink in range(4)] for number in range(16)])
"""Which of cyan, magenta, yellow and black lie in each primary. (16, 4)"""


def murray_davies(coverage: Array, *, solid: Array, bare: Array) -> Array:
    """Mix dots and bare ground by area: ``a Rs + (1 - a) Rp`` [MURRAY-DAVIES].

    On clear film it is exact by transmission: light that enters beside a dot leaves beside it.
    """
    return coverage * solid + (1.0 - coverage) * bare


def yule_nielsen(coverage: Array, *, solid: Array, bare: Array, n: float) -> Array:
    """Mix by area in the power 1/n, for light that spreads in the ground below [YULE-NIELSEN].

    Parameters
    ----------
    coverage
        Share of the dots.
    solid, bare
        Reflectance of solid ink and of bare ground.
    n
        1 for no spreading (Murray-Davies) to 2 for spreading far beyond a dot.
    """
    return np.asarray(
        (coverage * solid ** (1.0 / n) + (1.0 - coverage) * bare ** (1.0 / n)) ** n,
        dtype=np.float64,
    )


def clapper_yule(
    mean: Array, *, mean_square: Array, ground: Array, outside: float, inside: float
) -> Array:
    """Reflectance of ink on white backing, all light between backing and surface followed.

    ``rs + (1 - rs) rg (1 - ri) m^2 / (1 - rg ri q)`` with ``m`` the mean over the area of the ink's
    transmittance and ``q`` the mean of its square: light spreads in the backing farther than a
    dot, but comes down again from the surface where it went up [CLAPPER-YULE]. For ink without
    dots ``q`` is the square of ``m``.

    Parameters
    ----------
    mean, mean_square
        Of the ink's transmittance on one pass.
    ground
        Reflectance of the backing, seen from within.
    outside, inside
        Reflectances of the surface, from the air and from within.
    """
    out = (1.0 - outside) * ground * (1.0 - inside) * mean**2
    return np.asarray(outside + out / (1.0 - ground * inside * mean_square), dtype=np.float64)


def demichel(coverages: Array) -> Array:
    """Share of the area under each primary when the screens lie on one another by chance.

    Parameters
    ----------
    coverages
        (..., 4) of cyan, magenta, yellow and black.

    Returns
    -------
    ndarray
        (..., 16), each row adding up to 1 [DEMICHEL].
    """
    spread = coverages[..., np.newaxis, :]
    return np.asarray(
        np.prod(OVERPRINTS * spread + (1.0 - OVERPRINTS) * (1.0 - spread), axis=-1),
        dtype=np.float64,
    )
