"""Trim knobs: a variable resistor in series with a fixed one, to set a string by eye at the bench.

The fixed resistor keeps every LED within its rated current with the knob at zero, in the worst
case. The knob is the smallest that reaches down to the wanted share. When the light is right, the
knob is measured out of circuit, and fixed resistor and reading together become the string's
resistor.
"""

from collections.abc import Sequence

import numpy as np

from lamphouse.circuit.branch import TrimKnob
from lamphouse.circuit.corners import MIDDLE, LevelArrays
from lamphouse.circuit.trial import Feed, Row, Trial, tried
from lamphouse.record import Record, replace

KNOBS_OHM = (100.0, 200.0, 500.0, 1e3, 2e3, 5e3, 10e3, 20e3, 50e3, 100e3, 200e3, 500e3, 1e6)
"""Tracks that trim knobs are made with [PRACTICE]."""
MOST_TIMES = 1.5
"""What the knob at zero gives at most, over the wanted current: room to find the wanted light."""
TRACK_TOLERANCE = 0.2
"""How far a track may be off either way [MEMORY]."""
_TRACK_W = 0.5
_FULL_DEGC, _NONE_DEGC = 70.0, 125.0
"""Rating of a single-turn cermet knob of the 6 mm class, full up to the first temperature and none
from the second [MEMORY]."""


class Trimmed(Record):
    """A fixed resistor and its knob, before their worst case is known."""

    fixed_ohm: float
    track_ohm: float
    set_ohm: float
    """Where the knob gives the wanted current, or comes nearest to it."""


def track_limit_W(*, ambient_degC: float) -> float:
    """Give what a whole track may dissipate."""
    share = (_NONE_DEGC - ambient_degC) / (_NONE_DEGC - _FULL_DEGC)
    return _TRACK_W * min(max(share, 0.0), 1.0)


def trim(
    row: Row,
    *,
    levels: LevelArrays,
    node_V: float,
    safe_ohm: float,
    values: Sequence[float],
    least_share: float,
) -> Trimmed:
    """Choose the fixed resistor and the knob of a row.

    Parameters
    ----------
    levels
        Of this row alone.
    node_V
        Behind the lead, with every row at its wanted current. [V]
    safe_ohm
        Below this an LED may pass its rated current in the worst case. [ohm]
    values
        Of the series, rising. [ohm]
    least_share
        Of the wanted current, to be reached by a track that is as small as it may be.
    """
    wanted = row.bunch.wanted_A

    def asked_ohm(current_A: float) -> float:
        leds_V = float(levels.voltage(np.array([current_A]), level=MIDDLE)[0])
        return (node_V - leds_V) / current_A

    least_fixed = max(safe_ohm, asked_ohm(min(MOST_TIMES * wanted, row.rated_A)))
    fixed = next((ohm for ohm in values if ohm >= least_fixed), values[-1])
    reach = (asked_ohm(least_share * wanted) - fixed) / (1.0 - TRACK_TOLERANCE)
    track = next((ohm for ohm in KNOBS_OHM if ohm >= reach), KNOBS_OHM[-1])
    at = min(max(asked_ohm(wanted) - fixed, 0.0), track)
    return Trimmed(fixed_ohm=fixed, track_ohm=track, set_ohm=at)


def knobs_of(
    trial: Trial, *, trimmed: Sequence[Trimmed | None], feed: Feed
) -> tuple[Trial, tuple[TrimKnob | None, ...]]:
    """Bound what knobs do from end to end, the other knobs standing where they are expected.

    Returns
    -------
    tuple
        The rows, their resistors as hot as with the knob at zero; and their knobs.
    """
    if not any(trimmed):
        return trial, (None,) * len(trial.rows)
    zero, full = (
        tried(
            trial.rows,
            ohms=[
                ohm if one is None else one.fixed_ohm + share * one.track_ohm
                for one, ohm in zip(trimmed, trial.ohms, strict=True)
            ],
            wanted_V=trial.wanted_V,
            feed=feed,
        )
        for share in (0.0, 1.0 - TRACK_TOLERANCE)
    )
    limit_W = track_limit_W(ambient_degC=feed.habits.warmest_degC)
    knobs = tuple(
        None
        if one is None
        else TrimKnob(
            track_ohm=one.track_ohm,
            set_ohm=one.set_ohm,
            least_A=end.current_A.nominal,
            open_A=start.current_A.nominal,
            most_A=start.current_A.high,
            track_W=start.current_A.high**2 * one.track_ohm,
            limit_W=limit_W,
        )
        for one, start, end in zip(trimmed, zero.cases, full.cases, strict=True)
    )
    cases = tuple(
        case if one is None else replace(case, resistor_W=start.resistor_W)
        for one, case, start in zip(trimmed, trial.cases, zero.cases, strict=True)
    )
    return replace(trial, cases=cases), knobs
