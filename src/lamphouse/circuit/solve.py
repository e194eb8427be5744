r"""The current in branches of series LEDs and a resistance, alone or behind one common lead.

Terminology
-----------
junction
    An LED without its series resistance: ``V = slope ln(1 + I / I_sat)`` [SHOCKLEY]. Equal LEDs
    in series are one junction whose slope is the sum of theirs.
branch
    Junctions and a resistance in series, the LEDs' own resistances included.
lead
    The resistance that several branches share, out and back.
node
    The far end of the lead, where the branches begin.

Both unknowns make their equation convex and rising (or falling) all the way, so that Newton's
method started on the proper side of the root walks to it without ever passing it:

- forward: the logarithm of the current, from the least current that the resistance alone, or one
  junction alone, would let through;
- reverse: ``z`` in ``I = -I_sat (1 - exp(-z))`` of the junction that blocks most, from zero;
- common lead: the voltage at the node, from the supply's.

Near the root each step squares the error, with a factor below one half in the first two. A loop
ends when the step was so small that its square is below rounding.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lamphouse.record import Record

Array = NDArray[np.float64]

_MOST_STEPS = 200
_SMALL_STEP = 1e-7
"""Relative; the error it leaves is below its square."""
_SMALL_STEP_V = 1e-9
"""Against slopes of some millivolt and more its square is below rounding."""


class OperatingPoint(Record):
    """Voltage and currents behind a common lead."""

    node_V: Array
    """At the far end of the lead, shape ``(...)``."""
    current_A: Array
    """In one branch of each kind, shape ``(..., branches)``."""


def branch_current(
    source_V: ArrayLike, *, ohm: ArrayLike, slope_V: ArrayLike, log_saturation: ArrayLike
) -> Array:
    """Compute the current in branches, each between its own source and ground.

    Parameters
    ----------
    source_V
        Voltage across the branch, shape ``(...)``; negative drives it in reverse. [V]
    ohm
        Resistance in series, the LEDs' own included; positive, shape ``(...)``. [ohm]
    slope_V
        Rise of voltage for each factor e of current, one for each junction, shape
        ``(..., junctions)``. [V]
    log_saturation
        Natural logarithm of the saturation current in ampere, same shape. A branch with fewer
        junctions is filled up with slope 0 and ``+inf`` here.

    Returns
    -------
    ndarray
        Current, positive forward, to a relative error near 1e-14, shape ``(...)``. [A]

    Notes
    -----
    Every branch needs one junction at least. Breakdown and leakage in reverse are not in the
    model: real LEDs pass more in reverse than their saturation current.

    References
    ----------
    [SHOCKLEY]
    """
    slope, log_sat = np.broadcast_arrays(
        np.asarray(slope_V, dtype=float), np.asarray(log_saturation, dtype=float)
    )
    shape = np.broadcast_shapes(np.shape(source_V), np.shape(ohm), slope.shape[:-1])
    junctions = (*shape, slope.shape[-1])
    source = np.broadcast_to(np.asarray(source_V, dtype=float), shape)
    resistance = np.broadcast_to(np.asarray(ohm, dtype=float), shape)
    slope = np.broadcast_to(slope, junctions)
    log_sat = np.broadcast_to(log_sat, junctions)
    current = np.zeros(shape)
    for side, solve in ((source > 0, _forward), (source < 0, _reverse)):
        if side.any():
            current[side] = solve(source[side], resistance[side], slope[side], log_sat[side])
    return current


def common_lead(
    supply_V: ArrayLike,
    *,
    lead_ohm: ArrayLike,
    ohm: ArrayLike,
    slope_V: ArrayLike,
    log_saturation: ArrayLike,
    count: ArrayLike = 1,
) -> OperatingPoint:
    """Compute the currents of branches that share one lead from the supply.

    Parameters
    ----------
    supply_V
        Shape ``(...)``, such as one for each corner case. [V]
    lead_ohm
        Out and back, shape ``(...)``. [ohm]
    ohm, slope_V, log_saturation
        As for :func:`branch_current`, with shapes ``(..., branches)`` and
        ``(..., branches, junctions)``.
    count
        How many branches there are of each kind, shape ``(..., branches)``.

    Raises
    ------
    ArithmeticError
        If the loop does not settle, which would be a bug.
    """
    shape = np.broadcast_shapes(
        np.shape(supply_V), np.shape(lead_ohm), np.shape(ohm)[:-1], np.shape(slope_V)[:-2]
    )
    supply = np.broadcast_to(np.asarray(supply_V, dtype=float), shape)
    lead = np.broadcast_to(np.asarray(lead_ohm, dtype=float), shape)
    number = np.asarray(count, dtype=float)
    lowest, highest = np.minimum(supply, 0.0), np.maximum(supply, 0.0)
    node = supply.copy()
    for _ in range(_MOST_STEPS):
        current = branch_current(
            node[..., None], ohm=ohm, slope_V=slope_V, log_saturation=log_saturation
        )
        conductance = _conductance(current, ohm=ohm, slope_V=slope_V, log_saturation=log_saturation)
        excess = node + lead * (number * current).sum(axis=-1) - supply
        step = excess / (1.0 + lead * (number * conductance).sum(axis=-1))
        moved = np.clip(node - step, lowest, highest) - node
        node += moved
        if np.abs(moved).max(initial=0.0) <= _SMALL_STEP_V:
            return OperatingPoint(node_V=node, current_A=current + conductance * moved[..., None])
    unsettled = "the voltage behind the common lead did not settle"
    raise ArithmeticError(unsettled)


def _forward(source: Array, ohm: Array, slope: Array, log_sat: Array) -> Array:
    with np.errstate(divide="ignore"):
        by_ohm = np.log(source) - np.log(ohm)
        share = source[:, None] / slope
        by_junction = log_sat + share + np.log(-np.expm1(-share))
    log_current = np.minimum(by_ohm, by_junction.min(axis=-1))
    for _ in range(_MOST_STEPS):
        above = log_current[:, None] - log_sat
        softplus = np.logaddexp(0.0, above)
        ohmic = ohm * np.exp(log_current)
        rise = (slope * np.exp(above - softplus)).sum(axis=-1) + ohmic
        step = ((slope * softplus).sum(axis=-1) + ohmic - source) / rise
        log_current -= step
        if np.abs(step).max() <= _SMALL_STEP:
            current: Array = np.exp(log_current)
            return current
    unsettled = "the forward current of a branch did not settle"
    raise ArithmeticError(unsettled)


def _reverse(source: Array, ohm: Array, slope: Array, log_sat: Array) -> Array:
    blocking = log_sat.min(axis=-1)
    saturation = np.exp(blocking)
    ratio = np.exp(blocking[:, None] - log_sat)
    blocks = ratio == 1.0
    depth = np.zeros_like(source)
    for _ in range(_MOST_STEPS):
        rest = np.exp(-depth)[:, None]
        pulled = np.where(blocks, 0.0, ratio * np.expm1(-depth)[:, None])
        volts = np.where(blocks, -depth[:, None], np.log1p(pulled))
        fall = np.where(blocks, 1.0, ratio * rest / (1.0 + pulled))
        residue = (slope * volts).sum(axis=-1) + ohm * saturation * np.expm1(-depth) - source
        step = residue / ((slope * fall).sum(axis=-1) + ohm * saturation * rest[:, 0])
        depth += step
        if (np.abs(step) <= _SMALL_STEP * np.minimum(depth, 1.0)).all():
            current: Array = saturation * np.expm1(-depth)
            return current
    unsettled = "the reverse current of a branch did not settle"
    raise ArithmeticError(unsettled)


def _conductance(
    current: Array, *, ohm: ArrayLike, slope_V: ArrayLike, log_saturation: ArrayLike
) -> Array:
    """Slope of current over voltage; nothing where no current can flow, in 1/ohm."""
    with np.errstate(divide="ignore"):
        own = np.asarray(slope_V) / (np.exp(log_saturation) + current[..., None])
        conductance: Array = 1.0 / (np.asarray(ohm) + own.sum(axis=-1))
    return conductance
