"""From readings to a ranked list of faults: Bayes' rule over all that can be wrong."""

from collections.abc import Sequence

import numpy as np

from lamphouse.circuit.fault_kinds import Fault
from lamphouse.circuit.foretold import EVEN, Foretold
from lamphouse.circuit.meter import (
    LEAST_OHM,
    LOOKS,
    MOST_OHM,
    Array,
    Look,
    Meter,
    Probe,
    ProbeKind,
    Reading,
)
from lamphouse.record import Record

MOST_MISFIT = 3.0
"""Deviations, each reading's on the mean, beyond which a fault does not explain the readings."""
ALIKE = 1.0
"""Deviations within which two faults are one to all readings together."""
_ALIKE_LOOKS = 0.1
"""Two faults whose lights differ by less in the share of any look are seen alike."""


class Suspect(Record):
    """Faults that no reading can tell apart."""

    faults: tuple[Fault, ...]
    """The likeliest first."""
    share: float
    """How probable it is that one of them is what is wrong."""


class Belief(Record):
    """What is known about the faults after some readings."""

    share: Array
    """How probable each fault is, shape ``(faults,)``; they sum to 1."""
    misfit: Array
    """Deviations by which each fault misses the readings, on the mean of them; same shape."""

    def fits(self) -> bool:
        """Tell whether any fault explains the readings."""
        return bool(self.misfit.min() <= MOST_MISFIT)


def number_of(reading: Reading) -> float:
    """Give a reading as foretold numbers are: the logarithm of a resistance.

    Raises
    ------
    ValueError
        If it is no number.
    """
    value = float(reading.value)
    if reading.probe.kind is ProbeKind.RESISTANCE and value >= 0.0:
        return float(np.log(np.clip(value, LEAST_OHM, MOST_OHM)))
    if not np.isfinite(value) or reading.probe.kind is ProbeKind.RESISTANCE:
        ill = f"'{reading.probe.name}': {value} is no reading"
        raise ValueError(ill)
    return value


def meter_deviation(
    probe: Probe, values: Array, *, meter: Meter, resolution: float | None = None
) -> Array:
    """Give the meter's own deviation at foretold or read numbers of a probe, of any shape."""
    if probe.kind is not ProbeKind.RESISTANCE:
        deviation: Array = EVEN * meter.limits(values, kind=probe.kind, resolution=resolution)
        return deviation
    ohm = np.exp(values)
    relative: Array = EVEN * meter.limits(ohm, kind=probe.kind, resolution=resolution) / ohm
    return relative


def believe(
    faults: Sequence[Fault], foretold: Foretold, *, readings: Sequence[Reading], meter: Meter
) -> Belief:
    """Weigh all faults by readings.

    Parameters
    ----------
    faults
        All there are.
    foretold
        What they would read, for the readings' own probes at least.
    readings
        In any order; each probe once.
    meter
        What read them.

    Returns
    -------
    Belief
        ``P(fault | readings)`` in proportion to its weight and to how probable it makes them
        [BAYES].
    """
    logs = np.log([fault.weight for fault in faults])
    numbers = [one for one in readings if one.probe.kind is not ProbeKind.LIGHT]
    looks = [one for one in readings if one.probe.kind is ProbeKind.LIGHT]
    squared = np.zeros(len(faults))
    if numbers:
        likelihood, missed = _numbers(foretold, numbers, meter=meter)
        logs, squared = logs + likelihood, squared + missed
    lights = foretold.lights()
    for reading in looks:
        look = LOOKS.index(Look(str(reading.value)))
        seen = foretold.looks[:, lights.index(reading.probe)]
        logs = logs + np.log(seen[:, look])
        squared = squared - 2.0 * np.log(seen[:, look] / seen.max(axis=-1))
    share = np.exp(logs - logs.max())
    return Belief(share=share / share.sum(), misfit=np.sqrt(squared / max(len(readings), 1)))


def _numbers(
    foretold: Foretold, readings: Sequence[Reading], *, meter: Meter
) -> tuple[Array, Array]:
    """Give the log likelihood of readings with a number, and the square of their deviations."""
    places = places_of(foretold, readings)
    off = np.array([number_of(one) for one in readings]) - foretold.middle[:, places]
    covariance = covariance_of(foretold, readings, meter=meter)
    lower = np.linalg.cholesky(covariance)
    whitened = np.linalg.solve(lower, off[..., None])[..., 0]
    squared = (whitened**2).sum(axis=-1)
    heights = np.log(np.diagonal(lower, axis1=1, axis2=2)).sum(axis=-1)
    normal = -0.5 * squared - heights - 0.5 * len(readings) * np.log(2.0 * np.pi)
    # A slip of the hand may show anything between the least and the most foretold.
    reach = np.ptp(foretold.middle[:, places], axis=0) + np.sqrt(
        np.diagonal(covariance, axis1=1, axis2=2).max(axis=0)
    )
    slipped = np.log(meter.slip) - np.log(reach).sum()
    return np.logaddexp(np.log1p(-meter.slip) + normal, slipped), squared


def places_of(foretold: Foretold, readings: Sequence[Reading]) -> list[int]:
    """Give the places of readings among foretold numbers."""
    numbers = foretold.numbers()
    return [numbers.index(reading.probe) for reading in readings]


def covariance_of(foretold: Foretold, readings: Sequence[Reading], *, meter: Meter) -> Array:
    """Give the covariance of readings under each fault, shape ``(faults, readings, readings)``."""
    places = places_of(foretold, readings)
    moved = foretold.moved[:, places]
    read = [_own_deviation(one, meter=meter) for one in readings]
    covariance: Array = moved @ moved.swapaxes(1, 2)
    span = np.arange(len(readings))
    covariance[:, span, span] += foretold.own[:, places] ** 2 + np.square(read)
    return covariance


def _own_deviation(reading: Reading, *, meter: Meter) -> float:
    """Give the deviation of a reading by the meter, and by what was rounded off."""
    number = number_of(reading)
    own = meter_deviation(
        reading.probe, np.array(number), meter=meter, resolution=reading.resolution
    )
    rounded = EVEN * reading.rounded
    if reading.probe.kind is ProbeKind.RESISTANCE:
        rounded /= float(np.exp(number))
    return float(np.hypot(own, rounded))


def groups_of(faults: Sequence[Fault], foretold: Foretold, *, meter: Meter) -> tuple[int, ...]:
    """Find faults that no reading can tell apart, and those that differ in a figure alone.

    Faults are led by the likeliest of them. Those are of its group whose lights look like its, and
    whose readings, all that could be taken together, lie within ``ALIKE`` deviations of its: so
    much good parts and a good meter differ anyway [MAHALANOBIS].

    Returns
    -------
    tuple
        For each fault the place of the one that leads its group.
    """
    numbers = foretold.numbers()
    own = np.stack(
        [
            meter_deviation(probe, foretold.middle[:, place], meter=meter)
            for place, probe in enumerate(numbers)
        ],
        axis=-1,
    )
    own = foretold.own**2 + own**2
    alone = foretold.deviation() ** 2 - foretold.own**2 + own
    led_by = np.full(len(faults), -1)
    for leader in sorted(range(len(faults)), key=lambda place: -faults[place].weight):
        if led_by[leader] >= 0:
            continue
        off = foretold.middle - foretold.middle[leader]
        seen = np.abs(foretold.looks - foretold.looks[leader]).max(axis=(1, 2), initial=0.0)
        near = (led_by < 0) & (seen <= _ALIKE_LOOKS)
        near &= (off**2 <= ALIKE**2 * 0.5 * (alone + alone[leader])).all(axis=-1)
        close = np.flatnonzero(near)
        covariance = foretold.moved[close] @ foretold.moved[close].swapaxes(1, 2)
        span = np.arange(len(numbers))
        covariance[:, span, span] += own[close]
        both = 0.5 * (covariance + covariance[close == leader])
        apart = (off[close] * np.linalg.solve(both, off[close][..., None])[..., 0]).sum(axis=-1)
        led_by[close[apart <= ALIKE**2]] = leader
    return _whatever_figure(faults, led_by.tolist())


def _whatever_figure(faults: Sequence[Fault], led_by: Sequence[int]) -> tuple[int, ...]:
    """Join groups whose leaders differ in a figure alone."""
    first: dict[str, int] = {}
    joined = {
        leader: first.setdefault(faults[leader].figure or faults[leader].name, leader)
        for leader in dict.fromkeys(led_by)
    }
    return tuple(joined[leader] for leader in led_by)


def suspects_of(
    faults: Sequence[Fault], *, belief: Belief, groups: Sequence[int]
) -> tuple[Suspect, ...]:
    """List the groups of faults, the likeliest first."""
    members: dict[int, list[int]] = {}
    for fault, leader in enumerate(groups):
        members.setdefault(leader, []).append(fault)
    suspects = [
        Suspect(
            faults=tuple(
                faults[place] for place in sorted(own, key=lambda one: (-belief.share[one], one))
            ),
            share=float(belief.share[own].sum()),
        )
        for own in members.values()
    ]
    return tuple(sorted(suspects, key=lambda suspect: -suspect.share))
