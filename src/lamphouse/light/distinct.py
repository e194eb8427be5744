"""The different values of an array in rising order.

``numpy.unique`` does the same, but loads masked arrays for it, which takes a quick check longer
than its sums.
"""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Kind = TypeVar("Kind", np.float64, np.int64, np.intp)


def distinct(values: NDArray[Kind]) -> NDArray[Kind]:
    """Give each value once, in rising order."""
    rising = np.sort(values, axis=None)
    first = np.ones(len(rising), dtype=np.bool_)
    first[1:] = rising[1:] != rising[:-1]
    return rising[first]
