"""A second opinion on how a box glows: random walks find every spot again, with its error.

It shares nothing with the solver but the records of the box, so that a fault of either shows. The
answer depends on the seed and the number of walks alone, never on the threads that share the work.

The walks' scatter is all the error there is: faces are ideally diffuse, lamps are points without a
body, sheets have no thickness, and light is followed until chance ends it. An opening that hardly
any walk connects with a lamp can look darker, and surer, than it is.
"""

from collections.abc import Callable, Sequence
from math import hypot, log2, sqrt

import numpy as np
from numpy.typing import NDArray

from lamphouse.light.arrays import lay_out
from lamphouse.light.scene import Box
from lamphouse.light.starts import Starts, opening_starts
from lamphouse.light.walkable import Refusal, refused
from lamphouse.light.walkers import Walkers
from lamphouse.record import Record

Floats = NDArray[np.float64]

LX_PER_LM_MM2 = 1e6
"""1 lm/mm2 is 1e6 lx."""

BATCH = 24_576
"""Walks of one batch of an opening at most: its spots share them in powers of two."""

FEWEST_BATCHES = 24
"""Batches before a standard error is trusted; it is then known within 15 %."""


class Effort(Record):
    """How far to go."""

    relative_error: float
    """Wanted standard error of the mean of every opening, relative to the mean."""
    most_walks: int
    """Walks for one opening at most; it gets 24 batches however small, one walk a spot at least."""
    threads: int = 1
    small_mm: float = 2.0
    """A disc up to this diameter is one spot."""


class Seen(Record):
    """What the walks found at one opening."""

    name: str
    spot_cd_m2: Floats
    """(S,) mean luminance of each spot along the panel's normal, ordered as ``spot_cells``."""
    spot_error_cd_m2: Floats
    """(S,) standard errors."""
    area_mm2: Floats
    """(S,)."""
    mean_cd_m2: float
    mean_error_cd_m2: float
    """Standard error of the mean over the whole opening."""
    walks: int
    batches: int

    @property
    def relative_error(self) -> float:
        """Standard error of the mean relative to it; 0 where no light was found."""
        return self.mean_error_cd_m2 / self.mean_cd_m2 if self.mean_cd_m2 > 0.0 else 0.0


class Opinion(Record):
    """The second opinion on a box."""

    openings: tuple[Seen, ...]
    seed: int
    reached: bool
    """Whether every opening came as close as was wanted."""


class Agreement(Record):
    """A figure beside the second opinion."""

    off: float
    """(figure - opinion) / opinion."""
    off_in_errors: float
    """The difference in standard errors of both."""
    rms: float
    """Of the spots' differences relative to the mean, the walks' own noise taken off."""
    reduced_chi2: float
    """Mean square of the spots' differences in standard errors; about 1 when only noise is left."""


OnRound = Callable[[tuple[Seen, ...]], bool]
"""Told what is known so far after every round; stops the work by returning False."""


class Tally:
    """Running mean and scatter of batches, one column for each spot and a last one for the mean."""

    def __init__(self, name: str, starts: Starts, *, most_walks: int) -> None:
        """Begin with nothing found."""
        self.name, self.starts = name, starts
        self.each = _each(len(starts.rows), most_walks=most_walks)
        self.batches = 0
        self.mean = np.zeros(len(starts.area_mm2) + 1)
        self.square = np.zeros_like(self.mean)

    def add(self, found: Floats) -> None:
        """Take in what one batch found from every patch."""
        area = self.starts.area_mm2
        spots = np.bincount(self.starts.owner, weights=found, minlength=len(area))
        value = LX_PER_LM_MM2 * np.append(spots, spots @ area / area.sum())
        self.batches += 1
        step = value - self.mean
        self.mean += step / self.batches
        self.square += step * (value - self.mean)

    def is_wanting(self, effort: Effort) -> bool:
        """Whether another batch is wanted and allowed."""
        next_walks = (self.batches + 1) * self.each * len(self.starts.rows)
        allowed = self.batches < FEWEST_BATCHES or next_walks <= effort.most_walks
        return allowed and self.is_far(effort)

    def is_far(self, effort: Effort) -> bool:
        """Whether the error is larger than wanted, or not to be trusted yet."""
        return self.batches < FEWEST_BATCHES or self.seen().relative_error > effort.relative_error

    def seen(self) -> Seen:
        """Tell what is known so far."""
        error = np.full_like(self.mean, np.inf)
        if self.batches > 1:
            error = np.sqrt(self.square / (self.batches * (self.batches - 1)))
        spots, errors = self.mean[:-1].copy(), error[:-1].copy()
        for array in (spots, errors):
            array.setflags(write=False)
        return Seen(
            name=self.name,
            spot_cd_m2=spots,
            spot_error_cd_m2=errors,
            area_mm2=self.starts.area_mm2,
            mean_cd_m2=float(self.mean[-1]),
            mean_error_cd_m2=float(error[-1]),
            walks=self.batches * self.each * len(self.starts.rows),
            batches=self.batches,
        )


def _each(patches: int, *, most_walks: int) -> int:
    """Share the walks of a batch out among patches, a power of two to each."""
    share = min(BATCH, most_walks / FEWEST_BATCHES) / patches
    return int(2 ** int(log2(max(share, 1.0))))


def verify(
    box: Box, *, seed: int, effort: Effort, on_round: OnRound = lambda _: True
) -> Opinion | Refusal:
    """Find how every opening glows by random walks from it to the lamps.

    Parameters
    ----------
    box
        The box.
    seed
        Any whole number from 0; another seed gives an independent answer.
    effort
        Where to stop. Errors are looked at after whole rounds only; an opening that has come close
        enough is left alone.
    on_round
        Told what is known after every round of batches; stops the work by returning False.

    Returns
    -------
    Opinion or Refusal
        The refusal names what is beyond the walks, or that the compiler is missing.
    """
    refusal = refused(box)
    if refusal is not None:
        return refusal
    tallies = [
        Tally(
            aperture.name,
            opening_starts(box, number=number, small_mm=effort.small_mm),
            most_walks=effort.most_walks,
        )
        for number, aperture in enumerate(box.apertures)
    ]
    with Walkers(lay_out(box), seed=seed, threads=effort.threads) as walkers:
        return walked(
            tallies,
            batch=lambda tally: walkers.batch(tally.starts, number=tally.batches, each=tally.each),
            seed=seed,
            effort=effort,
            on_round=on_round,
        )


def walked(
    tallies: Sequence[Tally],
    *,
    batch: Callable[[Tally], Floats],
    seed: int,
    effort: Effort,
    on_round: OnRound,
) -> Opinion:
    """Walk in rounds until every opening is known well enough, or the effort is spent.

    Parameters
    ----------
    tallies
        One for each opening.
    batch
        Walks one more batch for a tally: what is found from every patch.
    seed, effort, on_round
        As for ``verify``.
    """
    while True:
        wanting = [tally for tally in tallies if tally.is_wanting(effort)]
        for tally in wanting:
            tally.add(batch(tally))
        seen = tuple(tally.seen() for tally in tallies)
        if not wanting or not on_round(seen):
            reached = all(
                item.batches >= FEWEST_BATCHES and item.relative_error <= effort.relative_error
                for item in seen
            )
            return Opinion(openings=seen, seed=seed, reached=reached)


def agreement(
    seen: Seen, *, spot_cd_m2: Floats, spot_error_cd_m2: Floats, mean_error_cd_m2: float
) -> Agreement:
    """Put a figure for an opening beside the second opinion.

    Parameters
    ----------
    seen
        The opening as the walks found it.
    spot_cd_m2
        (S,) the figure for the same spots.
    spot_error_cd_m2
        (S,) its standard errors; 0 for a figure without noise.
    mean_error_cd_m2
        Standard error of its mean.
    """
    share = seen.area_mm2 / seen.area_mm2.sum()
    off = float(spot_cd_m2 @ share) - seen.mean_cd_m2
    square = (spot_cd_m2 - seen.spot_cd_m2) ** 2
    noise = spot_error_cd_m2**2 + seen.spot_error_cd_m2**2
    return Agreement(
        off=off / seen.mean_cd_m2,
        off_in_errors=off / hypot(seen.mean_error_cd_m2, mean_error_cd_m2),
        rms=sqrt(max(0.0, float((square - noise) @ share))) / seen.mean_cd_m2,
        reduced_chi2=float(np.mean(square / noise)),
    )
