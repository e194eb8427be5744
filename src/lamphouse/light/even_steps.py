"""Points that fill a cube evenly, the same every time."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def even_points(count: int, *, dimensions: int) -> Floats:
    """Give points that fill a cube evenly, (count, dimensions).

    Every coordinate steps by a power of the root of ``x^(d + 1) = x + 1`` [EVEN-STEPS].
    """
    root = 2.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    steps = root ** -np.arange(1.0, dimensions + 1.0)
    return np.asarray((0.5 + np.arange(1, count + 1)[:, None] * steps) % 1.0)
