"""What can be read on a sub-assembly: probes, readings, looks of lights, the meter's error."""

from enum import StrEnum
from math import inf

import numpy as np
from numpy.typing import NDArray

from lamphouse.record import Record

Array = NDArray[np.float64]


class ProbeKind(StrEnum):
    """What is measured, with what."""

    LIGHT = "light"
    """By eye."""
    CURRENT = "current"
    VOLTAGE = "voltage"
    RESISTANCE = "resistance"
    """Between two points, the plug pulled and the power off."""


class Look(StrEnum):
    """How a light looks beside what it should."""

    DARK = "dark"
    DIM = "dim"
    LIT = "lit"
    BRIGHT = "bright"


LOOKS = tuple(Look)
LOOK_EDGES = (0.005, 0.5, 2.0)
"""Shares of the right current between one look and the next: in a dark room half a percent of it
still glimmers, and half or twice is what a glance tells; from memory."""
MOST_OHM = 2e7
"""Above it the meter shows open."""
LEAST_OHM = 0.1
"""Below it, in the resistance of the probes, a short is a short."""
FINEST = {ProbeKind.CURRENT: 1e-6, ProbeKind.VOLTAGE: 1e-4, ProbeKind.RESISTANCE: LEAST_OHM}
"""Last digit of the smallest range of common meters, in A, V and ohm; from memory."""


class Probe(Record):
    """One reading that can be taken."""

    name: str
    """``plug``, ``TP1``, ``TP1-TP2``, ``W1``."""
    kind: ProbeKind
    words: str
    first: str = ""
    """Node at the red probe; element of a current; LED of a light."""
    second: str = ""
    """Node at the black probe."""
    turned: bool = False
    """Whether the red probe of a current lies at the element's second end."""
    closed: bool = False
    """Whether it can be taken on a closed sub-assembly."""


class Meter(Record):
    """A hand-held meter, and the eye beside it.

    Its error is ``share`` of the reading and ``digits`` of its last digit, at most, either way;
    it is taken as evenly spread. The burden of its current range is not in the model.
    """

    share: float = 0.01
    digits: float = 2.0
    counts: int = 2000
    """Of its display: 2000 shows 1.999, 19.99, 199.9 of any unit."""
    load_ohm: float = 10e6
    """Of its voltage range."""
    eye: float = 0.35
    """Deviation of the logarithm of the current at which an eye changes its mind; from memory."""
    slip: float = 0.02
    """Share of looks and readings that are simply mistaken; from memory."""

    def __post_init__(self) -> None:
        """Refuse a meter that reads nothing."""
        sound = 0.0 <= self.share < 1.0 and 0.0 <= self.digits < inf and self.counts >= 1
        if not (sound and self.load_ohm > 0.0 and 0.0 < self.eye < inf and 0.0 < self.slip < 1.0):
            wrong = "a meter's error is a share below 1 and a number of digits, neither negative"
            raise ValueError(wrong)

    def limits(self, values: Array, *, kind: ProbeKind, resolution: float | None = None) -> Array:
        """Give the largest error at values of any shape, in their unit.

        Parameters
        ----------
        values
            In A, V or ohm.
        kind
            What is measured.
        resolution
            Last digit shown; None takes that of the smallest range that shows each value.
        """
        size = np.maximum(np.abs(values), FINEST[kind] * self.counts)
        last = 10.0 ** np.ceil(np.log10(size / self.counts) - 1e-12)
        digit = last if resolution is None else resolution
        limits: Array = self.share * np.abs(values) + self.digits * digit
        return limits


class Reading(Record):
    """What a probe showed."""

    probe: Probe
    value: float | Look
    """In A, V or ohm, ``inf`` for an open resistance; or how the light looks."""
    resolution: float | None = None
    """Last digit shown; None takes that of the meter's range."""
    rounded: float = 0.0
    """What the maker may have rounded off, either way, in the same unit."""


def look_shares(ratio: Array, *, meter: Meter) -> Array:
    """Give how probable each look is, of currents as shares of the right ones.

    Parameters
    ----------
    ratio
        Of any shape.

    Returns
    -------
    ndarray
        One axis more, in the order of ``LOOKS``; every look has its share of slips.
    """
    level = np.log(np.clip(ratio, 1e-12, 1e12))[..., None]
    below = normal_share((np.log(LOOK_EDGES) - level) / meter.eye)
    ends = np.concatenate([np.zeros_like(level), below, np.ones_like(level)], axis=-1)
    shares: Array = (1.0 - meter.slip) * np.diff(ends, axis=-1) + meter.slip / len(LOOKS)
    return shares


def normal_share(deviations: Array) -> Array:
    """Give the normal distribution's share below deviations, to 1e-7 [ABRAMOWITZ 26.2.17]."""
    x = np.abs(deviations)
    t = 1.0 / (1.0 + 0.2316419 * x)
    series = t * (
        0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429)))
    )
    tail = np.exp(-0.5 * x * x) / np.sqrt(2.0 * np.pi) * series
    share: Array = np.where(deviations > 0.0, 1.0 - tail, tail)
    return share
