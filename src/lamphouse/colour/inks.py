"""The four inks of a printer as dyes: how dense each is at every wavelength, for generic inks.

Terminology
-----------
density
    Minus the decadic logarithm of the transmittance of one pass through the ink.
solid
    As much of an ink as the printer lays down.
amounts
    Shares of a solid of cyan, magenta, yellow and black, 0 to 1, as the last axis of an array.

The curves are guesses of the class: each dye takes in its own third of the spectrum and, less, its
neighbours' (unwanted absorption). Laid on white backing the solids and their overprints come within
4 CIEDE2000 of the colours of offset printing on coated paper; an own measurement is better.
"""

from math import log

import numpy as np

from lamphouse.colour.halftone import OVERPRINTS, demichel, mixed
from lamphouse.colour.spectrum import GRID_NM, Array, fixed
from lamphouse.record import Record

CYAN, MAGENTA, YELLOW, BLACK = range(4)
_BANDS: tuple[tuple[tuple[float, float, float, float], ...], ...] = (
    ((650, 55, 60, 1.0), (600, 32, 30, 0.35), (430, 40, 45, 0.03)),
    ((550, 34, 25, 1.0), (515, 30, 30, 0.5), (425, 45, 45, 0.32)),
    ((440, 42, 28, 1.0), (395, 40, 40, 0.3), (480, 20, 20, 0.2)),
)
"""Of cyan, magenta and yellow: peak, width to its short and its long side [nm], height; bells that
add up."""
_BLACK_SLOPE = 0.15
"""Black takes in a little more of blue light than of red: as wavelength to minus this power."""
_BLACK_AT_NM = 560.0


def _bell(peak: float, short: float, long: float, height: float) -> Array:
    width = np.where(peak > GRID_NM, short, long)
    return np.asarray(height * np.exp(-(((GRID_NM - peak) / width) ** 2) / 2.0))


def _dyes() -> Array:
    sums = [sum((_bell(*band) for band in bands), np.zeros_like(GRID_NM)) for bands in _BANDS]
    black = (_BLACK_AT_NM / GRID_NM) ** _BLACK_SLOPE
    return fixed(np.stack([*(one / one.max() for one in sums), black]))


DYES = _dyes()
"""Density of each ink over its own peak; of black, over its density at 560 nm. (4, 81)"""


class InkSet(Record):
    """What a kind of printer lays down."""

    name: str
    solids: tuple[float, float, float, float]
    """Peak density of each solid by transmission, on one pass."""
    has_dots: bool
    """Whether tints are made of dots of solid ink, or of thinner ink."""
    reckoned: tuple[float, float, float, float] | None = None
    """Solids that its driver takes them for; None where those are its own."""


INKJET = InkSet(name="inkjet", solids=(0.75, 0.80, 0.80, 1.2), has_dots=False)
"""Dots finer than the ink spreads: tints as thinner ink. Laid down for paper, so that light passes
it twice [TYPICAL]."""
LASER = InkSet(name="laser", solids=(0.75, 0.80, 0.80, 1.7), has_dots=True)
"""Dots of toner with clear film between them; black passes about 2 % [PRACTICE]."""


def _through(density: Array) -> Array:
    return np.asarray(np.exp(-log(10.0) * density))


def solids(inks: InkSet) -> Array:
    """Give the transmittance of each of the sixteen overprints of solids. (16, 81)."""
    return _through((OVERPRINTS * inks.solids) @ DYES)


def transmittance(amounts: Array, *, inks: InkSet) -> Array:
    """Give what one pass through the ink leaves of light.

    Parameters
    ----------
    amounts
        (..., 4)
    inks
        The printer's.

    Returns
    -------
    ndarray
        (..., 81). Of dots, the mean over the area.
    """
    if inks.has_dots:
        return mixed(demichel(amounts), primaries=solids(inks))
    return _through((amounts * inks.solids) @ DYES)
