"""Resistors from the drawer in place of the nearest value of the series, where they do as well."""

from collections.abc import Iterable
from math import log

from lamphouse.circuit.corners import types_of
from lamphouse.circuit.resistors import dissipation_limit_W
from lamphouse.circuit.trial import Feed, Stock, Trial, tried
from lamphouse.design.whole import PartInHand
from lamphouse.units import Quantity, UnitError, parse

IN_DRAWER = "resistor "
"""What an entry of the drawer begins with."""

ALIKE = 1.15
"""Factor on the current within which another resistor is taken for a wanted one [PRACTICE].

A value of E12 is itself up to a tenth off what is asked for: half of its step of a fifth
[IEC60063].
"""
_SAME = 1.0 + 1e-9


def with_drawer(trial: Trial, *, feed: Feed) -> tuple[Trial, frozenset[int]]:
    """Take resistors from the drawer where they do as well as those of the series.

    Rows that are alike, of the same LEDs at one wanted current, keep one value between them, so
    that neighbours stay equal: the drawer must hold enough for all of them. Another value than
    the nearest is taken when the nominal current stays within ``ALIKE`` of the wanted one or comes
    no further from it, no LED passes its rated current, the resistor stays cool, and no row of the
    sub-assembly that held in the worst case ceases to.

    Returns
    -------
    tuple
        The rows, and the indices of those whose resistor is in the drawer.
    """
    left = dict(feed.drawer)
    from_drawer: set[int] = set()
    for alike in _alike(trial):
        now = trial.ohms[alike[0]]
        enough = [ohm for ohm, count in left.items() if count >= len(alike)]
        for ohm in _nearest_first(enough, trial=trial, row=alike[0], feed=feed):
            swapped = _swapped(trial, rows=alike, ohm=ohm, feed=feed) if ohm != now else trial
            if ohm == now or _does(swapped, before=trial, rows=alike, feed=feed):
                trial = swapped
                left[ohm] -= len(alike)
                from_drawer.update(alike)
                break
    return trial, frozenset(from_drawer)


def _alike(trial: Trial) -> Iterable[tuple[int, ...]]:
    """Gather the rows that may share a value: neither fixed nor trimmed."""
    found: dict[object, list[int]] = {}
    for index, row in enumerate(trial.rows):
        if row.bunch.fixed_ohm is None and not row.bunch.trim:
            key = (types_of(row.leds), row.bunch.wanted_A, trial.ohms[index])
            found.setdefault(key, []).append(index)
    return [tuple(rows) for rows in found.values()]


def _nearest_first(values: Iterable[float], *, trial: Trial, row: int, feed: Feed) -> list[float]:
    """Order values by how near their current comes to the wanted one, the present value first."""
    now, wanted_A = trial.ohms[row], trial.rows[row].bunch.wanted_A
    total_A = sum(one.bunch.wanted_A for one in trial.rows)
    left_V = feed.supply.voltage_V - feed.lead_ohm * total_A - trial.wanted_V[row]
    asked = left_V / wanted_A if left_V > 0.0 else now
    near = [ohm for ohm in values if asked / ALIKE**2 <= ohm <= asked * ALIKE**2 or ohm == now]
    return sorted(near, key=lambda ohm: (ohm != now, abs(log(ohm / asked)), ohm))


def _swapped(trial: Trial, *, rows: tuple[int, ...], ohm: float, feed: Feed) -> Trial:
    ohms = [ohm if index in rows else each for index, each in enumerate(trial.ohms)]
    return tried(trial.rows, ohms=ohms, wanted_V=trial.wanted_V, feed=feed)


def _does(after: Trial, *, before: Trial, rows: tuple[int, ...], feed: Feed) -> bool:
    least = feed.habits.least_share
    limit_W = dissipation_limit_W(feed.package, ambient_degC=feed.habits.warmest_degC)
    for index, row in enumerate(after.rows):
        wanted, was, now = row.bunch.wanted_A, before.cases[index], after.cases[index]
        if now.current_A.low < min(least * wanted, was.current_A.low):
            return False
        if now.current_A.high > max(row.rated_A, was.current_A.high) * _SAME:
            return False
        if index in rows:
            off = _off(now.current_A.nominal, wanted)
            if off > max(log(ALIKE), _off(was.current_A.nominal, wanted)):
                return False
            if now.resistor_W > limit_W:
                return False
    return True


def _off(current_A: float, wanted_A: float) -> float:
    return abs(log(current_A / wanted_A)) if current_A > 0.0 else float("inf")


def resistors_in(drawer: Iterable[PartInHand]) -> Stock:
    """Count resistors by value; entries that name no value are passed over."""
    have: dict[float, int] = {}
    for part in drawer:
        if part.part.startswith(IN_DRAWER):
            try:
                ohm = parse(part.part.removeprefix(IN_DRAWER), Quantity.RESISTANCE)
            except UnitError:
                continue
            have[ohm] = have.get(ohm, 0) + part.count
    return tuple(have.items())


def less(stock: Stock, used: Iterable[float]) -> Stock:
    """Give what is left of a stock, values of which there are none left out."""
    left = dict(stock)
    for ohm in used:
        if ohm in left:
            left[ohm] -= 1
    return tuple((ohm, count) for ohm, count in left.items() if count > 0)
