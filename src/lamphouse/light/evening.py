"""An exchange scaled until every face gives away just the light it has.

What screens hide is sampled, so the rows of an exchange miss the areas of their faces by a percent
or two. One factor for each face, on its row and its column, sets them right and keeps the exchange
symmetric.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

EVEN, EVEN_SINGLE = 1e-9, 1e-6
"""Relative defect of a row at which an exchange counts as even, in double and single precision."""

MOST_NEWTON, MOST_GRADIENTS = 8, 40
"""Steps at most; three and ten are usual."""


def evened(areas: Floats, *, table: Floats | Singles, spare: Floats | float = 0.0) -> float:
    """Scale a symmetric exchange in place until its rows add up to the areas; give the defect.

    Newton's method; its linear equations are solved by conjugate gradients. So much of a row's
    defect as may be spared (N,) is left out of what is given. [mm2].
    """
    even = EVEN if table.dtype == np.float64 else EVEN_SINGLE
    missing = np.abs(_times(table, np.ones(len(areas))) - areas)
    closure = float((np.maximum(missing - spare, 0.0) / areas).max())
    if (missing / areas).max() < even:
        return closure
    factor = np.ones(len(areas))
    for _ in range(MOST_NEWTON):
        rows = factor * _times(table, factor)
        defect = np.abs(rows / areas - 1.0).max()
        if defect < even:
            break
        # As exact as Newton's next step deserves, and no more than is wanted.
        to = min(max(defect, 0.2 * even / defect), 0.1)
        factor *= 1.0 + _scaling(areas - rows, rows=rows, factor=factor, table=table, to=to)
    own = factor.astype(table.dtype)
    np.multiply(table, own[:, None], out=table)
    np.multiply(table, own, out=table)
    return closure


def _times(table: Floats | Singles, factor: Floats) -> Floats:
    return np.asarray(table @ factor.astype(table.dtype), dtype=np.float64)


def _scaling(
    rest: Floats, *, rows: Floats, factor: Floats, table: Floats | Singles, to: float
) -> Floats:
    """Solve ``(diag(rows) + S) x = rest`` for the scaled exchange ``S``, to a part of the rest."""
    found = np.zeros_like(rest)
    aim = rest / rows
    way, size = aim, float(rest @ aim)
    enough = size * to * to
    for _ in range(MOST_GRADIENTS):
        seen = rows * way + factor * _times(table, factor * way)
        step = size / float(way @ seen)
        found += step * way
        rest = rest - step * seen
        aim = rest / rows
        before, size = size, float(rest @ aim)
        if size <= enough:
            break
        way = aim + size / before * way
    return found
