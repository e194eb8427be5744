"""What stands at the end of the feed: the supply less its ripple, its fuse and its protection.

The feed is one: a fuse and a protecting part in the plus lead right behind the supply. All
strings hang behind them, so that every design and every worst case begins here.
"""

import math
from collections.abc import Sequence

from lamphouse.circuit.grouping import loose_bunches, wished_bunches
from lamphouse.design.place import SubAssembly
from lamphouse.design.supply import Supply
from lamphouse.record import Record, replace

_TWICE = 2.0
_WIDEST = 0.95
"""Share beyond which a tolerance would let the voltage fall to nothing."""


class Terminals(Record):
    """The voltage behind fuse and protection at its worst cases, and what it stands behind."""

    low_V: float
    """With more current than the model ever draws there."""
    nominal_V: float
    """As written, before what ``ohm`` takes."""
    open_V: float
    """The same of fresh cells without load, where they are named."""
    high_V: float
    """With next to no current, and with fresh cells."""
    ohm: float
    """Of fuse and protection together."""
    cells_ohm: float
    """Inside fresh cells, before ``ohm``: the voltage written is one under load, and has it
    already."""


def feed_ohm(supply: Supply) -> float:
    """Give the resistance of fuse and protection, in ohm."""
    fuse_ohm = supply.fuse_type.series_ohm if supply.fuse_type else 0.0
    return fuse_ohm + (supply.protector.series_ohm if supply.protector else 0.0)


def _fresh_ohm(supply: Supply) -> float:
    pack = supply.cells
    return pack.series / pack.parallel * pack.cell.fresh_ohm if pack else 0.0


def fresh_V(supply: Supply) -> float:
    """Give the highest voltage of the supply itself: its tolerance and ripple, or fresh cells."""
    highest = supply.voltage_V * (1.0 + supply.tolerance + supply.ripple)
    pack = supply.cells
    return max(highest, pack.series * pack.cell.fresh_V) if pack else highest


def terminals_of(supply: Supply, *, subs: Sequence[SubAssembly]) -> Terminals:
    """Give the voltage that strings are designed on.

    The low end holds tolerance, ripple, the protection's most drop, and what fuse and protection
    lose at twice the sum of all wanted currents. No model draws that at the low end: a string
    counts once however many LEDs it has, and none is sized for twice its current. It is never
    more than the supply or the fuse lets through. The nominal end leaves that loss out.

    Parameters
    ----------
    supply
        As the maker decided.
    subs
        Every sub-assembly that hangs on it.

    Notes
    -----
    Strings are designed on cells at the voltage and within the tolerance that the maker states;
    the high end is that of fresh ones without load. How long they stay within it, ``discharge``
    tells. The circuit as wired begins with fresh ones, behind their resistance.

    References
    ----------
    Ohm's and Kirchhoff's laws.
    """
    ohm = feed_ohm(supply)
    wanted_A = sum(led.current_A for sub in subs for led in sub.leds())
    limits = (supply.max_current_A, supply.fuse_A or supply.max_current_A, _TWICE * wanted_A)
    most_A = min(limits)
    least_drop, drop, most_drop = (
        (supply.protector.least_drop_V, supply.protector.drop_V, supply.protector.most_drop_V)
        if supply.protector
        else (0.0, 0.0, 0.0)
    )
    pack = supply.cells
    open_V = pack.series * pack.cell.fresh_V if pack else supply.voltage_V
    return Terminals(
        low_V=max(supply.ends_V[0] - most_drop - ohm * most_A, 0.0),
        nominal_V=max(supply.voltage_V - drop, 0.0),
        open_V=max(open_V - drop, 0.0),
        high_V=max(fresh_V(supply) - least_drop, 0.0),
        ohm=ohm,
        cells_ohm=_fresh_ohm(supply),
    )


def at_terminals(supply: Supply, *, subs: Sequence[SubAssembly]) -> Supply:
    """Give the supply as strings see it: nothing left of the feed but a voltage and a tolerance.

    The voltage is less what fuse and protection lose at the currents wanted, all LEDs in strings
    as long as the voltage allows. The tolerance is that of the high end of :func:`terminals_of`;
    what the low end falls below it is the sag. A supply without ripple, cells, fuse and
    protection is given back as it is; so is one that was made here.
    """
    bare = replace(supply, ripple=0.0, cells=None, fuse_type=None, protector=None)
    if bare == supply:
        return supply
    ends = terminals_of(supply, subs=subs)
    usual_V = max(ends.nominal_V - ends.ohm * _strung_A(supply, subs=subs), ends.low_V)
    if not usual_V > 0.0:
        return replace(bare, tolerance=_WIDEST)
    tolerance = min(ends.high_V / usual_V - 1.0, _WIDEST)
    sag_V = max(usual_V * (1.0 - tolerance) - ends.low_V, 0.0)
    return replace(bare, voltage_V=usual_V, tolerance=tolerance, sag_V=sag_V)


def _strung_A(supply: Supply, *, subs: Sequence[SubAssembly]) -> float:
    """Give what all strings want together, before any has to be shortened."""
    return math.fsum(
        bunch.wanted_A * len(bunch.rows())
        for sub in subs
        for bunch in (*wished_bunches(sub), *loose_bunches(sub, supply_V=supply.voltage_V))
    )
