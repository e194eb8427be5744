"""The shares whose colour comes nearest to a wanted one, found for many colours at once."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lamphouse.colour.colour_cube import grid
from lamphouse.colour.lab import to_lch
from lamphouse.colour.spectrum import Array

Rows = NDArray[np.intp]
Model = Callable[[Array], Array]
"""L*, a*, b* of shares 0 to 1: (m, 3) to (m, 3)."""

_TRIED = 9
"""Corners along each edge of the grid searched first."""
_ROUNDS = 12
_STEP = 1e-3
"""Of a share, for slopes; a quarter of an 8-bit step."""
_OF_LIGHTNESS = 0.5
"""Weight of lightness: 2 to 1, as for textiles [CIE94]."""
_SETTLED = 1e-3
"""A colour whose distance shrinks by less is found."""


def nearest(
    model: Model, wanted: Array, *, pull: float = 0.0, towards: Array | None = None
) -> Array:
    """Find shares whose colour is as near to the wanted one as the model can make it.

    Parameters
    ----------
    model
        The colours shares make.
    wanted
        L*, a*, b*. (m, 3)
    pull
        Weight of leaving ``towards``, as a distance for a whole share: picks one of many answers
        alike where the model cannot follow, and keeps neighbours neighbours.
    towards
        Shares to stay near to. (m, 3); none without ``pull``

    Returns
    -------
    ndarray
        0 to 1. (m, 3). Damped least squares from the best of a coarse grid, held inside the cube,
        in distances of lightness, chroma and hue as [CIE94] weighs them, lightness by half: a
        colour out of reach had better lose lightness than be grey. A local search, so that a folded
        model may hide a better answer elsewhere.
    """
    coarse = grid(_TRIED)
    shares = coarse[_closest(model(coarse), wanted)]
    weights = _weights(wanted)
    home = shares if towards is None else towards

    def off(at: Array, rows: Rows) -> Array:
        seen = np.einsum("mij,mj->mi", weights[rows], model(at) - wanted[rows])
        return np.concatenate([seen, pull * (at - home[rows])], axis=1)

    rows = np.arange(len(wanted))
    left = off(shares, rows)
    damping = np.full(len(wanted), 1.0)
    for _ in range(_ROUNDS):
        if not len(rows):
            break
        at, here = shares[rows], left[rows]
        slopes = _slopes(off, at, here, rows)
        step = _step(slopes, here, at=at, damping=damping[rows])
        there = np.clip(at + step, 0.0, 1.0)
        new = off(there, rows)
        gain = (here**2).sum(axis=1) - (new**2).sum(axis=1)
        better = gain > 0.0
        shares[rows[better]], left[rows[better]] = there[better], new[better]
        damping[rows] *= np.where(better, 0.2, 8.0)
        done = (better & (gain < _SETTLED**2)) | (damping[rows] > 1e6)
        rows = rows[~done]
    return np.asarray(shares)


def _closest(there: Array, wanted: Array) -> Rows:
    """Give which colour lies closest to each of the wanted ones, by plain distance."""
    apart = (there**2).sum(axis=1) - 2.0 * wanted @ there.T
    return np.asarray(apart.argmin(axis=1), dtype=np.intp)


def _weights(wanted: Array) -> Array:
    """Give matrices that turn a difference in L*, a*, b* into weighed ones. (m, 3, 3)."""
    lightness_chroma_hue = to_lch(wanted)
    chroma, hue = lightness_chroma_hue[:, 1], np.radians(lightness_chroma_hue[:, 2])
    nothing = np.zeros_like(chroma)
    of_chroma, of_hue = 1.0 / (1.0 + 0.045 * chroma), 1.0 / (1.0 + 0.015 * chroma)
    rows = [
        [nothing + _OF_LIGHTNESS, nothing, nothing],
        [nothing, of_chroma * np.cos(hue), of_chroma * np.sin(hue)],
        [nothing, -of_hue * np.sin(hue), of_hue * np.cos(hue)],
    ]
    return np.moveaxis(np.array(rows), -1, 0)


def _slopes(off: Callable[[Array, Rows], Array], at: Array, here: Array, rows: Rows) -> Array:
    """Give how every distance grows with every share, by small steps inwards. (m, 6, 3)."""
    slopes = []
    for axis in range(3):
        way = np.where(at[:, axis] > 0.5, -_STEP, _STEP)
        beside = at.copy()
        beside[:, axis] += way
        slopes.append((off(beside, rows) - here) / way[:, None])
    return np.stack(slopes, axis=-1)


def _step(slopes: Array, here: Array, *, at: Array, damping: Array) -> Array:
    """Solve for the step, leaving out shares at an end that would go beyond it. (m, 3)."""
    downhill = -np.einsum("mij,mi->mj", slopes, here)
    held = ((at <= 0.0) & (downhill < 0.0)) | ((at >= 1.0) & (downhill > 0.0))
    free = np.where(held, 0.0, 1.0)
    square = np.einsum("mij,mik->mjk", slopes, slopes) * free[:, :, None] * free[:, None, :]
    square += np.eye(3) * (damping[:, None] + (1.0 - free))[:, None, :]
    return np.asarray(np.linalg.solve(square, (downhill * free)[..., None])[..., 0]) * free
