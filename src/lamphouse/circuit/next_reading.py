"""The next reading that tells most: expected information about the fault, in bits."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.circuit.diagnosis import (
    MOST_MISFIT,
    Belief,
    Suspect,
    covariance_of,
    meter_deviation,
    number_of,
    places_of,
)
from lamphouse.circuit.fault_kinds import Fault
from lamphouse.circuit.foretold import Foretold
from lamphouse.circuit.meter import LOOKS, Array, Meter, Probe, ProbeKind, Reading, normal_share
from lamphouse.record import Record, replace

COSTS = {
    ProbeKind.LIGHT: 1,
    ProbeKind.CURRENT: 2,
    ProbeKind.VOLTAGE: 3,
    ProbeKind.RESISTANCE: 4,
}
"""Order of trouble: eyes, the plug, a probe on a point, the plug pulled; from memory."""
ALL_LIGHTS = Probe(
    name="lights",
    kind=ProbeKind.LIGHT,
    words="look at all lights: which are dark, dim or too bright",
    closed=True,
)
_NEARLY = 0.97
"""Readings that tell this share of the best are as good; the least trouble among them is chosen."""
_LEAST_SHARE = 1e-5
"""Faults less probable do not decide what to read next."""
_LEAST_BITS = 0.02
"""What tells less is not worth a reading."""
_MOST_PATTERNS = 64
_MARKS = np.array([-2.0, -0.7, 0.7, 2.0])
"""Deviations from each fault's middle at which the scale of a reading is cut."""
_WIDE = 2.0
"""Deviations either way that an outcome is told with."""


class Outcome(Record):
    """What the next reading may show, and what that would mean."""

    least: float
    most: float
    """Ends of a number, in A, V or ohm; NaN for lights."""
    looks: tuple[tuple[str, str], ...]
    """Each light that is not lit, with its look; empty for a number."""
    share: float
    suspects: tuple[Suspect, ...]
    """Those it would leave, with how probable each would be."""


class NextReading(Record):
    """A reading to take."""

    probe: Probe
    bits: float
    """What it tells about the fault on the mean."""
    outcomes: tuple[Outcome, ...]


def next_reading(
    faults: Sequence[Fault],
    foretold: Foretold,
    *,
    taken: Foretold,
    readings: Sequence[Reading],
    belief: Belief,
    groups: Sequence[int],
    suspects: Sequence[Suspect],
    meter: Meter,
) -> NextReading | None:
    """Choose the reading that tells most about the fault.

    Parameters
    ----------
    faults, belief, groups, suspects
        As they stand after ``readings``.
    foretold
        For every reading that could be taken.
    taken, readings
        What has been read, and what was foretold of it.
    meter
        With what to read.

    Returns
    -------
    NextReading or None
        None where no reading tells anything more.

    Notes
    -----
    What is told is the mutual information of suspect and reading [SHANNON]; a scale of numbers is
    cut at every fault's own marks, which can only understate it. Of readings that tell nearly as
    much, the one of least trouble is chosen.
    """
    alive = np.flatnonzero(belief.share > _LEAST_SHARE)
    share = belief.share[alive] / belief.share[alive].sum()
    _, group = np.unique(np.array(groups)[alive], return_inverse=True)
    middle, deviation = _after(foretold, taken=taken, readings=readings, meter=meter)
    read = {reading.probe for reading in readings}
    told: list[tuple[Probe, float]] = []
    for place, probe in enumerate(foretold.numbers()):
        if probe not in read:
            bits = _bits(share, group, _cut(middle[alive, place], deviation[alive, place]))
            told.append((probe, bits))
    lights = [place for place, probe in enumerate(foretold.lights()) if probe not in read]
    if lights:
        looks = foretold.looks[alive][:, lights]
        told.append((ALL_LIGHTS, _bits(share, group, _patterns(share, looks))))
    best = max((bits for _, bits in told), default=0.0)
    if best < _LEAST_BITS:
        return None
    probe, bits = min(
        ((probe, bits) for probe, bits in told if bits >= _NEARLY * best),
        key=lambda one: (COSTS[one[0].kind], -one[1]),
    )
    place_of = {fault.name: place for place, fault in enumerate(faults)}
    shown = [one for one in suspects if one.share > 0.005][:40]
    leads = [place_of[suspect.faults[0].name] for suspect in shown]
    if probe is ALL_LIGHTS:
        names = [foretold.lights()[place].name for place in lights]
        outcomes = _seen(shown, foretold.looks[leads][:, lights], names=names)
    else:
        place = foretold.numbers().index(probe)
        outcomes = _read(shown, middle[leads, place], deviation[leads, place], probe=probe)
    return NextReading(probe=probe, bits=bits, outcomes=outcomes)


def _after(
    foretold: Foretold, *, taken: Foretold, readings: Sequence[Reading], meter: Meter
) -> tuple[Array, Array]:
    """Give middle and deviation, the meter's with it, of every number after the readings."""
    middle = foretold.middle
    variance = foretold.deviation() ** 2
    numbers = [one for one in readings if one.probe.kind is not ProbeKind.LIGHT]
    if numbers:
        places = places_of(taken, numbers)
        off = np.array([number_of(one) for one in numbers]) - taken.middle[:, places]
        shared = foretold.moved @ taken.moved[:, places].swapaxes(1, 2)
        covariance = covariance_of(taken, numbers, meter=meter)
        # What a fault cannot explain is a slip to it, and says nothing of its spread.
        missed = (off * np.linalg.solve(covariance, off[..., None])[..., 0]).sum(axis=-1)
        slipped = missed > MOST_MISFIT**2 * len(numbers)
        off[slipped], shared[slipped] = 0.0, 0.0
        gain = np.linalg.solve(covariance, shared.swapaxes(1, 2)).swapaxes(1, 2)
        middle = middle + (gain @ off[..., None])[..., 0]
        variance = np.maximum(variance - (gain * shared).sum(axis=-1), 0.0)
    own = np.stack(
        [
            meter_deviation(probe, middle[:, place], meter=meter)
            for place, probe in enumerate(foretold.numbers())
        ],
        axis=-1,
    )
    return middle, np.sqrt(variance + own**2)


def _bits(share: Array, group: NDArray[np.intp], outcome: Array) -> float:
    """Give the mutual information of groups of faults and outcomes.

    Parameters
    ----------
    share
        How probable each fault is.
    group
        Which it belongs to, numbered from 0.
    outcome
        How probable each outcome is under each fault, shape ``(faults, outcomes)``.
    """
    joint = np.zeros((int(group.max()) + 1, outcome.shape[1]))
    np.add.at(joint, group, share[:, None] * outcome)
    chance = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        terms = np.where(joint > 0.0, joint * np.log2(joint / chance), 0.0)
    return max(float(terms.sum()), 0.0)


def _cut(middle: Array, deviation: Array) -> Array:
    """Cut a scale into outcomes, and give how probable each is under each fault."""
    marks = np.unique((middle[:, None] + _MARKS * deviation[:, None]).round(12))
    below = normal_share((marks - middle[:, None]) / deviation[:, None])
    ends = np.concatenate([np.zeros((len(middle), 1)), below, np.ones((len(middle), 1))], axis=-1)
    shares: Array = np.maximum(np.diff(ends, axis=-1), 0.0)
    return shares


def _patterns(share: Array, looks: Array) -> Array:
    """Give how probable the likeliest patterns of lights are, and all others as one outcome."""
    likeliest = looks.argmax(axis=-1)
    patterns, which = np.unique(likeliest, axis=0, return_inverse=True)
    weight = np.bincount(which.reshape(-1), weights=share, minlength=len(patterns))
    kept = patterns[np.argsort(-weight, kind="stable")[:_MOST_PATTERNS]]
    lights = np.arange(looks.shape[1])
    under = np.stack([looks[:, lights, pattern].prod(axis=-1) for pattern in kept], axis=-1)
    other = np.maximum(1.0 - under.sum(axis=-1, keepdims=True), 0.0)
    both: Array = np.concatenate([under, other], axis=-1)
    return both


def _read(
    suspects: Sequence[Suspect], middle: Array, deviation: Array, *, probe: Probe
) -> tuple[Outcome, ...]:
    """Put suspects together whose readings lie within each other's reach, by rising reading."""
    rising = np.argsort(middle, kind="stable").tolist()
    low, high = middle - _WIDE * deviation, middle + _WIDE * deviation
    gathered: list[list[int]] = []
    for place in rising:
        if gathered and low[place] <= max(high[one] for one in gathered[-1]):
            gathered[-1].append(place)
        else:
            gathered.append([place])
    shown = np.exp if probe.kind is ProbeKind.RESISTANCE else np.asarray
    return tuple(
        _outcome(
            [suspects[place] for place in together],
            least=float(shown(min(low[place] for place in together))),
            most=float(shown(max(high[place] for place in together))),
        )
        for together in gathered
    )


def _seen(
    suspects: Sequence[Suspect], looks: Array, *, names: Sequence[str]
) -> tuple[Outcome, ...]:
    """Put suspects together whose lights look alike, the likeliest first."""
    patterns: dict[tuple[tuple[str, str], ...], list[Suspect]] = {}
    for suspect, likeliest in zip(suspects, looks.argmax(axis=-1).tolist(), strict=True):
        seen = tuple(
            (name, str(LOOKS[look]))
            for name, look in zip(names, likeliest, strict=True)
            if LOOKS[look] != "lit"
        )
        patterns.setdefault(seen, []).append(suspect)
    outcomes = [
        _outcome(together, least=float("nan"), most=float("nan"), looks=seen)
        for seen, together in patterns.items()
    ]
    return tuple(sorted(outcomes, key=lambda outcome: -outcome.share))


def _outcome(
    suspects: Sequence[Suspect],
    *,
    least: float,
    most: float,
    looks: tuple[tuple[str, str], ...] = (),
) -> Outcome:
    total = sum(suspect.share for suspect in suspects)
    left = sorted(suspects, key=lambda suspect: -suspect.share)
    return Outcome(
        least=least,
        most=most,
        looks=looks,
        share=total,
        suspects=tuple(replace(one, share=one.share / total) for one in left),
    )
