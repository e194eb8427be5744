"""How long cells last: the real circuit solved at every depth of discharge.

Terminology
-----------
depth of discharge
    Share of the charge that has been taken out, 0 to 1.
bright
    All strings get ``least_share`` of the current wanted, and all together give at least half of
    the light wanted.
dark
    A tenth of the wanted light is left, or the cells have come to their cut-off.
"""

from collections.abc import Mapping, Sequence
from itertools import chain

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lamphouse.circuit.branch import Band, StringDesign, SubAssemblyCircuit
from lamphouse.circuit.corners import MIDDLE, LevelArrays, level_arrays, types_of
from lamphouse.circuit.solve import common_lead
from lamphouse.circuit.terminals import feed_ohm
from lamphouse.design.pattern import PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import CellPack, CircuitHabits, Supply
from lamphouse.record import Record

Array = NDArray[np.float64]

HALF_LIGHT = 0.5
"""Of the light wanted; the eye calls it dimmer, not dark [PRACTICE]."""
DARK = 0.1
"""Of the light wanted: nothing that a builder would call lit [PRACTICE]."""
POINTS = 60
"""Of the curves in the result."""
_STEPS = 240
_MOST_STEPS = 60
_SMALL_STEP_V = 1e-9
_NUDGE_V = 1e-5
_LEAST_A = 1e-12
"""Keeps the time finite where next to nothing flows."""


class Moment(Record):
    """The model at one time after fresh cells were put in."""

    hours: float
    pack_V: float
    """At the terminals of the cells, under load."""
    total_A: float
    """With everything lit."""
    light: float
    """Share of the light wanted."""


class RunTime(Record):
    """How long a set of cells, or one charge, lasts."""

    bright_h: Band
    dark_h: Band
    bright_ends: str
    """What ends it."""
    dark_ends: str
    moments: tuple[Moment, ...]
    """With cells of middling capacity, until it is dark."""


class _Load(Record):
    """All strings behind one pigtail, kind by kind."""

    lead_ohm: float
    ohm: Array
    levels: LevelArrays
    count: Array
    wanted_A: Array
    duty: Array
    """Share of the time each is lit."""
    lumens_per_A: Array
    """Of one string."""

    def currents(self, volts: Array) -> Array:
        """Give the current of one string of each kind, shape ``(..., kinds)``."""
        return common_lead(
            volts,
            lead_ohm=self.lead_ohm,
            ohm=self.ohm + self.levels.leds_ohm,
            slope_V=self.levels.slope_V,
            log_saturation=self.levels.log_saturation[MIDDLE],
            count=self.count,
        ).current_A


class _Course(Record):
    """A discharge from fresh to empty, depth by depth."""

    hours: Array
    cell_V: Array
    """Of one cell under load."""
    total_A: Array
    worst: Array
    """Least share of its wanted current that any string gets."""
    light: Array
    """Share of the light wanted."""


def run_time(
    circuits: Sequence[SubAssemblyCircuit],
    *,
    supply: Supply,
    habits: CircuitHabits,
    groups: Sequence[SourceGroup] = (),
    own_A: float = 0.0,
) -> RunTime | None:
    """Discharge the cells of a supply through every string of the model.

    At each depth the cells' open voltage stands behind their resistance, the protection's drop,
    the fuse and each pigtail; every string is solved there. The time is the charge between two
    depths over the current.

    Parameters
    ----------
    circuits
        The strings as designed, with the LEDs of their types' middle.
    supply
        With cells; without them, or without strings, there is no answer.
    habits
        For the share that a string must get.
    groups
        Whose patterns tell how long a string is lit: where one has a duty the string counts with
        that much of its current, else as lit all the time.
    own_A
        What controllers draw themselves, all the time and at any voltage.

    Returns
    -------
    RunTime or None
        The bands are those of the cells' capacity alone.

    Notes
    -----
    The voltage sags as if everything were lit at once. Room temperature throughout: cold cells
    give less. Between evenings cells recover a little, which is left out, as is self-discharge.
    Lead cells lose capacity above their rated current [PEUKERT] and gain none below it; for all
    others the voltage under load tells how much is left, and no such law is used.

    References
    ----------
    [SHOCKLEY], [PEUKERT]
    """
    pack = supply.cells
    strings = [string for circuit in circuits for string in circuit.strings]
    if pack is None or not strings:
        return None
    lit = _lit_shares(groups)
    loads = [_load(circuit, habits=habits, lit=lit) for circuit in circuits if circuit.strings]
    course = _discharged(pack, supply=supply, loads=loads, own_A=own_A)
    least = 100.0 * habits.least_share
    at_cut_off = {"the cells are at their cut-off": course.cell_V - pack.cut_off_V}
    bright_h, bright_ends = _first(
        {
            **at_cut_off,
            f"a string gets less than {least:.0f} % of its current": course.worst
            - habits.least_share,
            "less than half of the light is left": course.light - HALF_LIGHT,
        },
        hours=course.hours,
    )
    dark_h, dark_ends = _first(
        {**at_cut_off, "less than a tenth of the light is left": course.light - DARK},
        hours=course.hours,
    )
    given = supply.capacity_Ah is not None
    return RunTime(
        bright_h=_band(bright_h, pack=pack, given=given),
        dark_h=_band(dark_h, pack=pack, given=given),
        bright_ends=bright_ends,
        dark_ends=dark_ends,
        moments=_moments(course, until_h=dark_h, series=pack.series),
    )


def lead_current_A(current_A: ArrayLike, *, rated_A: float, exponent: float) -> Array:
    """Give the steady current that empties a lead battery as fast at its rated capacity.

    The time is the capacity over it: ``C / I' = H (C / (I H))^k`` with ``H = C / rated``.

    Parameters
    ----------
    current_A
        Drawn, of any shape; positive. [A]
    rated_A
        At which the capacity is told; 1 A where it is told so. [A]
    exponent
        1 for no loss; some 1.1 to 1.3 for lead.

    References
    ----------
    [PEUKERT]
    """
    current = np.asarray(current_A, dtype=float)
    faster: Array = current * (current / rated_A) ** (exponent - 1.0)
    return faster


def short_circuit_A(pack: CellPack) -> float:
    """Give what fresh cells push through a dead short, in A."""
    ohm = pack.series / pack.parallel * max(pack.cell.fresh_ohm, 1e-6)
    return pack.series * pack.cell.fresh_V / ohm


def _lit_shares(groups: Sequence[SourceGroup]) -> Mapping[str, float]:
    """Give the share of the time each blinking group with a duty is lit."""
    return {
        group.name: group.pattern.duty
        for group in groups
        if group.pattern.kind is not PatternKind.STEADY and group.pattern.duty is not None
    }


def _load(circuit: SubAssemblyCircuit, *, habits: CircuitHabits, lit: Mapping[str, float]) -> _Load:
    kinds: dict[tuple[object, ...], tuple[StringDesign, float]] = {}
    counts: dict[tuple[object, ...], int] = {}
    for string in circuit.strings:
        duty = max(lit.get(led.group, 1.0) for led in string.leds)
        key = (types_of(string.leds), string.ohm, string.wanted_A, duty)
        kinds.setdefault(key, (string, duty))
        counts[key] = counts.get(key, 0) + 1
    strings = [string for string, _ in kinds.values()]
    return _Load(
        lead_ohm=circuit.lead_ohm,
        ohm=np.array([string.ohm for string in strings]),
        levels=level_arrays([types_of(string.leds) for string in strings], habits=habits),
        count=np.array(list(counts.values()), dtype=float),
        wanted_A=np.array([string.wanted_A for string in strings]),
        duty=np.array([duty for _, duty in kinds.values()]),
        lumens_per_A=np.array(
            [
                sum(led.led_type.flux_lm / led.led_type.flux_current_A for led in string.leds)
                for string in strings
            ]
        ),
    )


def _depths(pack: CellPack) -> Array:
    """List depths from fresh to empty, with the corners of the cell's curve among them."""
    corners = (depth for depth, _ in pack.cell.open_V)
    return np.unique([*chain(np.linspace(0.0, 1.0, _STEPS + 1), corners)])


def open_V_at(pack: CellPack, depth: ArrayLike) -> Array:
    """Give the voltage of one cell without load at depths of discharge of any shape, in V."""
    at, volts = zip(*pack.cell.open_V, strict=True)
    result: Array = np.interp(np.asarray(depth, dtype=float), at, volts)
    return result


def cell_ohm_at(pack: CellPack, depth: ArrayLike) -> Array:
    """Give the resistance inside one cell at depths of discharge of any shape, in ohm."""
    cell = pack.cell
    return cell.fresh_ohm + (cell.empty_ohm - cell.fresh_ohm) * np.asarray(depth, dtype=float)


def _settled(source_V: Array, *, ohm: Array, loads: Sequence[_Load], own_A: float) -> Array:
    """Find the voltage behind a resistance with all loads on it, one for each source.

    Current rises ever faster with voltage, so that Newton's method from the source's own voltage
    walks down to the root and never passes it.
    """

    def drawn(volts: Array) -> Array:
        total: Array = np.sum([load.currents(volts) @ load.count for load in loads], axis=0)
        return total + own_A

    volts = source_V.copy()
    for _ in range(_MOST_STEPS):
        now, above = drawn(np.stack([volts, volts + _NUDGE_V]))
        rise = 1.0 + ohm * (above - now) / _NUDGE_V
        moved = np.maximum(volts - (volts + ohm * now - source_V) / rise, 0.0) - volts
        volts += moved
        if np.abs(moved).max() <= _SMALL_STEP_V:
            return volts
    unsettled = "the voltage of the cells under load did not settle"
    raise ArithmeticError(unsettled)


def _discharged(pack: CellPack, *, supply: Supply, loads: Sequence[_Load], own_A: float) -> _Course:
    """Solve the loads on the cells at every depth."""
    depth = _depths(pack)
    open_V = pack.series * open_V_at(pack, depth)
    cells_ohm = pack.series / pack.parallel * cell_ohm_at(pack, depth)
    drop_V = supply.protector.drop_V if supply.protector else 0.0
    ends_V = _settled(
        np.maximum(open_V - drop_V, 0.0), ohm=cells_ohm + feed_ohm(supply), loads=loads, own_A=own_A
    )
    total_A, mean_A = np.full((2, depth.size), own_A)
    light = np.zeros(depth.size)
    worst = np.full(depth.size, np.inf)
    wanted = 0.0
    for load in loads:
        current = load.currents(ends_V)
        total_A += current @ load.count
        mean_A += current @ (load.count * load.duty)
        light += current @ (load.count * load.lumens_per_A)
        wanted += float(load.wanted_A @ (load.count * load.lumens_per_A))
        worst = np.minimum(worst, (current / load.wanted_A).min(axis=-1))
    return _Course(
        hours=_hours(depth, mean_A=mean_A, pack=pack, given_Ah=supply.capacity_Ah),
        cell_V=(open_V - cells_ohm * total_A) / pack.series,
        total_A=total_A,
        worst=worst,
        light=light / wanted,
    )


def _hours(depth: Array, *, mean_A: Array, pack: CellPack, given_Ah: float | None) -> Array:
    """Give the time at which each depth is reached.

    A capacity is told at a rated current down to a cut-off, which is short of empty.
    """
    cell = pack.cell
    rated_V = open_V_at(pack, depth) - cell.rated_A * cell_ohm_at(pack, depth)
    used = float(np.interp(-cell.cut_off_V, -rated_V, depth)) or 1.0
    capacity = 0.5 * (cell.least_Ah + cell.most_Ah) * pack.parallel
    charge_Ah = (capacity if given_Ah is None else given_Ah) / used
    current = np.maximum(mean_A, _LEAST_A)
    if cell.peukert is not None:
        rated_A = pack.parallel * cell.rated_A
        lead = lead_current_A(current, rated_A=rated_A, exponent=cell.peukert)
        current = np.maximum(current, lead)
    step = np.diff(depth) * charge_Ah * 0.5 * (1.0 / current[:-1] + 1.0 / current[1:])
    return np.concatenate([[0.0], np.cumsum(step)])


def _moments(course: _Course, *, until_h: float, series: int) -> tuple[Moment, ...]:
    times = np.linspace(0.0, until_h, POINTS if until_h > 0.0 else 1)
    pack_V, total_A, light = (
        np.interp(times, course.hours, curve)
        for curve in (series * course.cell_V, course.total_A, course.light)
    )
    return tuple(
        Moment(hours=float(at), pack_V=float(volts), total_A=float(amps), light=float(share))
        for at, volts, amps, share in zip(times, pack_V, total_A, light, strict=True)
    )


def _first(margins: Mapping[str, Array], *, hours: Array) -> tuple[float, str]:
    """Find the first time at which one of the margins falls below nothing, and its name."""
    first, name = float(hours[-1]), "the cells are empty"
    for words, margin in margins.items():
        below = np.flatnonzero(margin < 0.0)
        if not below.size:
            continue
        at = int(below[0])
        when = 0.0
        if at:
            part = margin[at - 1] / (margin[at - 1] - margin[at])
            when = float(hours[at - 1] + part * (hours[at] - hours[at - 1]))
        if when < first:
            first, name = when, words
    return first, name


def _band(hours: float, *, pack: CellPack, given: bool) -> Band:
    """Spread a time over the band of capacity, unless the maker knows it."""
    cell = pack.cell
    middle = 0.5 * (cell.least_Ah + cell.most_Ah)
    low, high = (1.0, 1.0) if given else (cell.least_Ah / middle, cell.most_Ah / middle)
    return Band(low=hours * low, nominal=hours, high=hours * high)
