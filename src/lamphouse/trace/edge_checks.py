"""Whether an edge is really seen: the change of brightness across it, and where it was cut off."""

import numpy as np
from numpy.typing import NDArray

from lamphouse.trace.edges import Edge, sample
from lamphouse.trace.half_level import Ground
from lamphouse.trace.picture_file import Levels

WEAK = 1.0 / 3.0
"""An edge is weak where its step is less than this share of the part's contrast."""
_NEAR_BLURS, _FAR_BLURS = 2.0, 4.0
_WHITE = 252.0
"""Of 255: levels from here on were cut off."""
_LEAST_REACH = 1.5


def weak_share(edge: Edge, ground: Ground, *, blur: float) -> float:
    """Give the share of an edge along which part and ground hardly differ."""
    reach = np.maximum(np.linspace(_NEAR_BLURS, _FAR_BLURS, 4) * blur, _LEAST_REACH)
    inner = np.median(_read(ground.over_half, edge, -reach), axis=1)
    outer = np.median(_read(ground.over_half, edge, reach), axis=1)
    return float(np.mean(inner - outer < WEAK * ground.contrast))


def burnt_out_share(levels: Levels, edge: Edge, *, blur: float) -> float:
    """Give the share of an edge beside which the light side was cut off at white."""
    reach = np.maximum(np.linspace(_NEAR_BLURS, _FAR_BLURS, 4) * blur, _LEAST_REACH)
    sides = [np.median(_read(levels, edge, sign * reach), axis=1) for sign in (-1.0, 1.0)]
    return float(np.mean(np.maximum(*sides) >= _WHITE))


def _read(levels: Levels, edge: Edge, offsets: NDArray[np.float64]) -> NDArray[np.float32]:
    places = edge.points[:, None, :] + offsets[None, :, None] * edge.outward[:, None, :]
    return sample(levels, places)
