"""The worst case of strings behind one lead: bounds that no mix of deviations can pass.

The current of a string rises with the voltage at its node and falls with its own resistance and
its LEDs' forward voltage; the node falls when any neighbour draws more [SHOCKLEY: every element
conducts more at more voltage]. So two solutions bound the node over all mixes of deviations: the
lowest supply with every string drawing its most, the highest supply with every steady string
drawing its least and the blinking ones dark. A string at its own corner, hung on these nodes,
bounds its current and its voltage. The bounds are wider than the true corners by no more than the
lead's resistance times the string's own band of current.
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from lamphouse.catalogue.led_types import LedType
from lamphouse.circuit.branch import Band
from lamphouse.circuit.curve import LedCurve, fit, shift_band
from lamphouse.circuit.solve import branch_current, common_lead
from lamphouse.design.lightbox import Led
from lamphouse.design.supply import CircuitHabits, Supply
from lamphouse.record import Record

Array = NDArray[np.float64]
Types = tuple[tuple[LedType, int], ...]
"""Each LED type of a string with the number of its LEDs."""

LOW, MIDDLE, HIGH = 0, 1, 2
MEASURED_SHARE = 0.01
"""How exactly a hand-held meter tells a value, either way [MEMORY]."""
_LEAST_OHM = 1e-6
"""Keeps the current of LEDs without series resistance finite."""


class Branch(Record):
    """What decides the current of a string: its LEDs by type, and its resistor."""

    types: Types
    ohm: float
    measured: bool = False
    """Whether the resistance was measured, so that it is as exact as the meter."""
    blinks: bool = False
    """Whether it is dark at times, so that its neighbours cannot count on its current."""


class Case(Record):
    """A string's quantities over all deviations."""

    current_A: Band
    leds_V: Band
    resistor_W: float
    """Largest over all deviations."""


class LevelArrays(Record):
    """Branches as arrays for the solver, at the low, middle and high forward voltage."""

    slope_V: Array
    """Shape ``(branches, junctions)``."""
    log_saturation: Array
    """Shape ``(3, branches, junctions)``."""
    leds_ohm: Array
    """The LEDs' own series resistance, shape ``(branches,)``."""

    def voltage(self, current_A: Array, *, level: int) -> Array:
        """Give each branch's forward voltage at a positive current of its own, in V."""
        above = np.log(current_A)[:, None] - self.log_saturation[level]
        junctions: Array = (self.slope_V * np.logaddexp(0.0, above)).sum(axis=-1)
        return junctions + self.leds_ohm * current_A


def types_of(leds: Iterable[Led]) -> Types:
    """Count the LEDs of each type, in the order in which the types appear."""
    counts: dict[LedType, int] = {}
    for led in leds:
        counts[led.led_type] = counts.get(led.led_type, 0) + 1
    return tuple(counts.items())


def level_arrays(types: Sequence[Types], *, habits: CircuitHabits) -> LevelArrays:
    """Lay strings of LED types out for the solver.

    Parameters
    ----------
    types
        For each branch its LED types with the number of each.
    habits
        For the ambient.
    """
    junctions = max(len(parts) for parts in types)
    slope = np.zeros((len(types), junctions))
    log_sat = np.full((3, len(types), junctions), np.inf)
    leds_ohm = np.zeros(len(types))
    for row, parts in enumerate(types):
        for column, (led_type, count) in enumerate(parts):
            curve, levels = _levels_of(led_type, habits.coldest_degC, habits.warmest_degC)
            slope[row, column] = count * curve.slope_V
            log_sat[:, row, column] = levels
            leds_ohm[row] += count * curve.series_ohm
    return LevelArrays(slope_V=slope, log_saturation=log_sat, leds_ohm=leds_ohm)


@lru_cache(maxsize=1024)
def _levels_of(
    led_type: LedType, coldest_degC: float, warmest_degC: float
) -> tuple[LedCurve, tuple[float, ...]]:
    """Give a type's curve and its log saturation at the low, middle and high voltage."""
    curve = fit(led_type)
    shifts = shift_band(led_type, coldest_degC=coldest_degC, warmest_degC=warmest_degC)
    return curve, tuple(curve.shifted(shift).log_saturation for shift in shifts)


def worst_cases(
    branches: Sequence[Branch], *, supply: Supply, habits: CircuitHabits, lead_ohm: float
) -> tuple[tuple[Case, ...], Band]:
    """Bound every string's current, voltage and power, and the current in the lead.

    Deviations are the supply's tolerance, the spread and drift of each LED and the tolerance of
    each resistor, all independent. The lead is taken as it is at 20 degC: copper changes by 6 %
    over 15 K, which is nothing beside the supply's tolerance. Drift of the resistors with
    temperature, some 0.3 %, is left out too.

    Parameters
    ----------
    branches
        One for each string behind the lead; one at least.

    Returns
    -------
    tuple
        A case for each branch, and the band of the total current with every string lit. [A]
    """
    kinds = {branch: index for index, branch in enumerate(dict.fromkeys(branches))}
    index = np.array([kinds[branch] for branch in branches])
    count = np.bincount(index)
    steady = count * [not kind.blinks for kind in kinds]
    levels = level_arrays([kind.types for kind in kinds], habits=habits)
    ohm = np.array([kind.ohm for kind in kinds])
    tolerance = np.array(
        [MEASURED_SHARE if kind.measured else habits.resistor_tolerance for kind in kinds]
    )
    resistor = ohm * (1.0 + tolerance * np.array([-1.0, 0.0, 1.0])[:, None])
    source = supply.voltage_V * (1.0 + supply.tolerance * np.array([-1.0, 0.0, 1.0]))
    source[LOW] = max(source[LOW] - supply.sag_V, 0.0)

    # Lead: node bounds first (lowest supply, most drawn; highest supply, least drawn), then
    # what a meter can read (nominal; least; most).
    supplies = np.array([LOW, HIGH, MIDDLE, LOW, HIGH])
    drawing = np.array([LOW, HIGH, MIDDLE, HIGH, LOW])
    lead = common_lead(
        source[supplies],
        lead_ohm=lead_ohm,
        ohm=resistor[drawing] + levels.leds_ohm,
        slope_V=levels.slope_V,
        log_saturation=levels.log_saturation[drawing],
        count=np.array([count, steady, count, count, count]),
    )
    total = (lead.current_A * count).sum(axis=-1)

    # A string's own corners: least and most current, least and most voltage over its LEDs.
    node = lead.node_V[[0, 1, 0, 1]][:, None]
    own_ohm = resistor[[HIGH, LOW, HIGH, LOW]]
    own_current = branch_current(
        node,
        ohm=own_ohm + levels.leds_ohm,
        slope_V=levels.slope_V,
        log_saturation=levels.log_saturation[[HIGH, LOW, LOW, HIGH]],
    )
    leds_V = node - own_ohm * own_current
    nominal = lead.current_A[2]
    nominal_V = lead.node_V[2] - ohm * nominal
    power = _most_power(float(lead.node_V[1]), resistor=resistor, levels=levels)
    cases = [
        Case(
            current_A=Band(
                low=float(own_current[0, kind]),
                nominal=float(nominal[kind]),
                high=float(own_current[1, kind]),
            ),
            leds_V=Band(
                low=float(leds_V[2, kind]),
                nominal=float(nominal_V[kind]),
                high=float(leds_V[3, kind]),
            ),
            resistor_W=float(power[kind]),
        )
        for kind in range(len(kinds))
    ]
    band = Band(low=float(total[3]), nominal=float(total[2]), high=float(total[4]))
    return tuple(cases[kind] for kind in index), band


def _most_power(node_V: float, *, resistor: Array, levels: LevelArrays) -> Array:
    """Bound the power in each resistor, over its tolerance, with LEDs of the least voltage.

    The power ``I (V - V_leds(I))`` is concave in the current. Its top, where a resistance equals
    the slope of the LEDs, solves a branch with their series resistance doubled and each junction
    raised by its slope; the largest power is there or at the nearer end of the tolerance.
    """
    slope, log_sat = levels.slope_V, levels.log_saturation[LOW]
    ends_ohm = resistor[[HIGH, LOW]] + levels.leds_ohm
    least, most = branch_current(node_V, ohm=ends_ohm, slope_V=slope, log_saturation=log_sat)
    top = branch_current(
        node_V,
        ohm=np.maximum(2.0 * levels.leds_ohm, _LEAST_OHM),
        slope_V=slope,
        log_saturation=log_sat - 1.0,
    )
    current = np.clip(top, least, most)
    power: Array = current * (node_V - levels.voltage(current, level=LOW))
    return power
