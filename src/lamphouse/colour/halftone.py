"""Halftone dots: what a screen of ink dots throws back from white backing or lets through a film.

Terminology
-----------
coverage
    Share of the area that dots of one ink take up, 0 to 1.
primaries
    The sixteen ways four inks lie on one another, from bare ground to all four.

Shares are not checked to lie between 0 and 1.
"""

import numpy as np

from lamphouse.colour.spectrum import Array, fixed

OVERPRINTS = fixed([[number >> ink & 1 for ink in range(4)] for number in range(16)])
"""Which of cyan, magenta, yellow and black lie in each primary. (16, 4)"""


def demichel(coverages: Array) -> Array:
    """Give the share of the area under each primary, screens lying on one another by chance.

    Parameters
    ----------
    coverages
        Of cyan, magenta, yellow and black. (..., 4)

    Returns
    -------
    ndarray
        Each row adds up to 1. (..., 16) [DEMICHEL]
    """
    spread = coverages[..., np.newaxis, :]
    return np.asarray(np.prod(OVERPRINTS * spread + (1.0 - OVERPRINTS) * (1.0 - spread), axis=-1))


def mixed(shares: Array, *, primaries: Array, n: float = 1.0) -> Array:
    """Mix primaries by area, in the power 1/n.

    Parameters
    ----------
    shares
        Of the area. (..., p)
    primaries
        Their reflectances or transmittances. (p, 81)
    n
        1 mixes light itself: right on clear film, where light leaves beside the dot it came in
        beside [MURRAY-DAVIES]; on paper light spreads below the dots and tints are darker, up to 2
        where it spreads far beyond a dot [YULE-NIELSEN].

    Returns
    -------
    ndarray
        (..., 81)
    """
    return np.asarray((shares @ primaries ** (1.0 / n)) ** n)


def clapper_yule(
    mean: Array, *, mean_square: Array, ground: Array, outside: float, inside: float
) -> Array:
    """Give the reflectance of ink on white backing, all light between backing and surface followed.

    ``rs + (1 - rs) rg (1 - ri) m^2 / (1 - rg ri q)``: light spreads in the backing farther than a
    dot, and comes down again from the surface where it went up [CLAPPER-YULE].

    Parameters
    ----------
    mean, mean_square
        ``m`` and ``q``: means over the area of the transmittance of one pass, and of its square;
        for ink without dots the second is the square of the first. (...)
    ground
        ``rg``: reflectance of the backing, seen from within. (...)
    outside, inside
        ``rs``, ``ri``: reflectances of the surface, from the air and from within.
    """
    out = (1.0 - outside) * ground * (1.0 - inside) * mean**2
    return np.asarray(outside + out / (1.0 - ground * inside * mean_square))
