"""What a renderer found at an opening, spot by spot, with its scatter."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Floats = NDArray[np.float64]

LAMP_MM = 0.02
"""Side of the square that stands for a lamp; a lamp has no size."""

HAIR_MM = 1e-3
"""The panel runs on over its openings, this far above what fills them."""


class Sighting(Record):
    """An opening as seen in some runs that differ by their seed alone."""

    spot_cd_m2: Floats
    """(S,) 8 x 6 over a rectangle, row by row from the lower left; else one."""
    spot_error_cd_m2: Floats
    """(S,) standard errors."""
    mean_cd_m2: float
    mean_error_cd_m2: float
    paths: int
    """Of all runs and spots."""

    @property
    def relative_error(self) -> float:
        """Root of the mean square of the spots' relative standard errors."""
        return float(np.sqrt(np.mean((self.spot_error_cd_m2 / self.spot_cd_m2) ** 2)))


def summed(runs: Sequence[Floats], *, paths: int) -> Sighting:
    """Sum up runs (R, S) that asked for so many paths together; one run has no errors."""
    table = np.array(runs)
    means = table.mean(axis=1)
    root, free = np.sqrt(len(table)), min(1, len(table) - 1)
    return Sighting(
        spot_cd_m2=table.mean(axis=0),
        spot_error_cd_m2=table.std(axis=0, ddof=free) / root,
        mean_cd_m2=float(means.mean()),
        mean_error_cd_m2=float(means.std(ddof=free) / root),
        paths=paths,
    )
