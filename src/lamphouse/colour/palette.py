"""The colours of a picture that stand for all of them, with the share each takes up."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.spectrum import Array

MOST = 256
"""Colours kept: the commonest; what the rest takes up is theirs by share."""
_STEPS = 16
"""Cells along each of red, green and blue in which colours count as one."""
_AT_ONCE = 1 << 20
"""Pixels counted together, so that a large picture needs no more memory than a small one."""


def palette(pixels: NDArray[np.uint8]) -> tuple[Array, Array]:
    """Boil a picture down to some hundred colours.

    Parameters
    ----------
    pixels
        sRGB. (..., 3)

    Returns
    -------
    colours
        Mean of each cell, 0 to 1. (m, 3)
    shares
        Of the picture, adding up to 1. (m,)
    """
    flat = pixels.reshape(-1, 3)
    counts, sums = np.zeros(_STEPS**3), np.zeros((_STEPS**3, 3))
    for start in range(0, len(flat), _AT_ONCE):
        some = flat[start : start + _AT_ONCE]
        red, green, blue = (some.astype(np.int32) * _STEPS >> 8).T
        number = (red * _STEPS + green) * _STEPS + blue
        counts += np.bincount(number, minlength=_STEPS**3)
        for axis in range(3):
            sums[:, axis] += np.bincount(number, weights=some[:, axis], minlength=_STEPS**3)
    order = np.argsort(-counts, kind="stable")[:MOST]
    kept = order[counts[order] > 0]
    return sums[kept] / counts[kept, None] / 255.0, counts[kept] / counts[kept].sum()
