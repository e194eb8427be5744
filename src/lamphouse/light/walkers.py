"""Threads that share walks out: the answer does not depend on how many there are."""

from concurrent.futures import ThreadPoolExecutor
from types import TracebackType
from typing import Self

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import Arrays
from lamphouse.light.starts import Starts

Floats = NDArray[np.float64]


class Walkers:
    """Shares walks out among threads."""

    def __init__(self, arrays: Arrays, *, seed: int, threads: int) -> None:
        # The compiler is an optional extra: nothing but the second opinion needs it.
        from lamphouse.light.walks import Round, walks

        self.arrays, self.seed, self.threads = arrays, seed, threads
        self.walks, self.round = walks, Round
        self.pool = ThreadPoolExecutor(max_workers=threads)

    def __enter__(self) -> Self:
        """Start."""
        return self

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _fault: BaseException | None,
        _trace: TracebackType | None,
    ) -> None:
        """Stop the threads."""
        self.pool.shutdown(cancel_futures=True)

    def batch(self, starts: Starts, *, number: int, each: int) -> Floats:
        """Give what ``each`` walks find from every patch, (P,). [lm/mm2]."""
        part = self.round(self.seed, number, each)

        def walked(rows: Floats) -> Floats:
            means = np.zeros(len(rows))
            self.walks(self.arrays, rows, starts.strips, part, means)
            return means

        parts = np.array_split(starts.rows, min(self.threads, len(starts.rows)))
        return np.concatenate(list(self.pool.map(walked, parts)))
