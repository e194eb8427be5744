"""Which patterns timer chips can play without a program, and what switches their groups.

A beacon hangs on the output of one astable. The two of a grade crossing share one: one is lit while
its output is high, the other while it is low. The lamps of a chase hang on a decade counter that
the astable clocks, and whose next output sets it back; that takes fewer parts than a ring of timer
chips for any number of lamps, so that a ring is built where the maker asks for it.
"""

from collections.abc import Sequence
from math import ceil, floor

from lamphouse.blink.astable import Astable, Beat, best_astable, longest_s
from lamphouse.blink.beats import BEACON_LIT
from lamphouse.blink.drivers import Driver, DriverKind, PinSide, drivers_for
from lamphouse.blink.pin_plan import GroupLoad, Parts
from lamphouse.blink.timer_ring import (
    HOLD_A,
    SHORTEST_S,
    TimerRing,
    best_ring,
    least_supply_V,
    longest_step_s,
    triggers,
)
from lamphouse.catalogue.timer_chips import TimerChip
from lamphouse.circuit.branch import Band
from lamphouse.design.pattern import PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.record import Record
from lamphouse.units import Quantity, show

MOST_STAGES = 10
"""Outputs of a decade counter."""
COUNTER_A, COUNTER_OHM = 1e-3, 500.0
"""What an output of a CMOS decade counter gives, and what stands inside it [MEMORY]."""
_PLAYED = (PatternKind.BEACON, PatternKind.CROSSING, PatternKind.CHASE)
PROGRAM = "switch it by a program: give the controller a type instead of kind: astable"


class TimedChannel(Record):
    """One group that a timer chip switches."""

    load: GroupLoad
    end: str
    """Where its driver hangs: ``output``, an output of the counter, ``Q0`` on, or the output of a
    chip of a ring, ``chip 1`` on."""
    lit_while: str
    """``high`` or ``low``."""
    driver: Driver


class TimedGroups(Record):
    """A timer chip, or a ring of them, and all that hangs on it."""

    timer: Astable | TimerRing
    channels: tuple[TimedChannel, ...]
    stages: int
    """Steps of the counter; 0 without one."""
    period_s: Band
    """Of the pattern, in the worst case."""
    likely_s: Band
    lit_share: Band

    @property
    def chips(self) -> int:
        """How many timer chips there are."""
        return self.timer.stages if isinstance(self.timer, TimerRing) else 1


class Unfit(Record):
    """Why a timer chip cannot play what is asked, and what would do."""

    group: str
    why: str
    mend: str


def unfit(groups: Sequence[SourceGroup], *, chip: TimerChip, is_ring: bool = False) -> Unfit | None:
    """Tell what stands in the way of a timer chip, or of a ring; None where nothing does."""
    if not groups:
        return Unfit(group="", why="it has no group to switch", mend="name one under groups")
    for group in groups:
        own = _unfit_alone(group)
        if own:
            return Unfit(group=group.name, why=own[0], mend=own[1])
    kinds = {group.pattern.kind for group in groups}
    sets = {group.pattern.set_name for group in groups}
    periods = {group.pattern.period_s for group in groups}
    first = groups[0]
    if len(groups) > 1 and (len(kinds) > 1 or len(sets) > 1 or not first.pattern.set_name):
        why = "one timer chip keeps one beat, and its groups are not one set"
        return Unfit(group=groups[1].name, why=why, mend="give each beat a controller of its own")
    if len(periods) > 1:
        why = "the groups of its set differ in their period"
        mend = f"write period: {show(first.pattern.period_s or 0.0, Quantity.DURATION)} for each"
        return Unfit(group=groups[1].name, why=why, mend=mend)
    wrong = _unfit_set(groups, is_ring=is_ring)
    if wrong:
        return Unfit(group=first.name, why=wrong[0], mend=wrong[1])
    return _unfit_ring(groups, chip=chip) if is_ring else _unfit_beat(groups, chip=chip)


def _unfit_beat(groups: Sequence[SourceGroup], *, chip: TimerChip) -> Unfit | None:
    first = groups[0]
    beat, longest = _beat(groups), longest_s(chip)
    if beat.period_s > longest:
        limit = floor(10.0 * longest / beat.period_s * (first.pattern.period_s or 0.0)) / 10.0
        beats = (show(seconds, Quantity.DURATION, digits=3) for seconds in (beat.period_s, longest))
        why = (
            "its timer would beat every {}, and with a capacitor that keeps time it beats every {}"
        )
        why = why.format(*beats)
        return Unfit(
            group=first.name, why=f"{why} at most", mend=f"write period: {limit:g} s or less"
        )
    return None


def _unfit_alone(group: SourceGroup) -> tuple[str, str] | None:
    pattern = group.pattern
    if group.in_scenes:
        return "a scene changes it, and a timer chip knows no scenes", PROGRAM
    if pattern.kind not in _PLAYED:
        return f"a timer chip keeps a steady beat, and is no {pattern.kind}", PROGRAM
    if pattern.fade_s > 0.0 or pattern.lag_s > 0.0:
        return "it fades, and a timer chip only switches", "leave out fade and lag, or " + PROGRAM
    if pattern.level is not None and pattern.level < 1.0:
        mend = "leave out the level and lower the current of its LEDs"
        return "it is dimmed, and a timer chip only switches", mend
    share = pattern.duty
    if share is not None and not 0.02 <= share <= 0.98:
        return f"it is lit for {share:.0%} of its period", "write a duty of 2 % to 98 %"
    return None


def _unfit_ring(groups: Sequence[SourceGroup], *, chip: TimerChip) -> Unfit | None:
    first, count = groups[0], len(groups)
    step_s, longest_s_ = (first.pattern.period_s or 1.0) / count, longest_step_s(chip)
    if SHORTEST_S <= step_s <= longest_s_:
        return None
    given, least, most = (
        show(seconds, Quantity.DURATION, digits=3) for seconds in (step_s, SHORTEST_S, longest_s_)
    )
    mend = (
        f"write period: {count * SHORTEST_S:g} s or more"
        if step_s < SHORTEST_S
        else f"write period: {floor(10.0 * count * longest_s_) / 10.0:g} s or less"
    )
    why = f"each lamp would be lit for {given}, and a timer of a ring keeps {least} to {most}"
    return Unfit(group=first.name, why=why, mend=mend)


def _unfit_set(groups: Sequence[SourceGroup], *, is_ring: bool) -> tuple[str, str] | None:
    kind, duty = groups[0].pattern.kind, groups[0].pattern.duty
    count = len(groups)
    if is_ring and kind is not PatternKind.CHASE:
        return f"a ring of timers lights one lamp after another, and is no {kind}", (
            "write kind: astable"
        )
    if kind is PatternKind.CROSSING and count > 2:
        return f"{count} lamps take turns, and a timer chip has two states", PROGRAM
    if kind is PatternKind.CROSSING and duty not in {None, 0.5}:
        return "its two lamps are not lit for half of the period each", "leave out the duty"
    if kind is PatternKind.CHASE and not 2 <= count <= MOST_STAGES:
        return f"a chase of {count} lamps needs 2 to {MOST_STAGES} groups in its set", PROGRAM
    if kind is PatternKind.CHASE and duty is not None and abs(duty * count - 1.0) > 0.02:
        by = "a ring" if is_ring else "a counter"
        return f"{by} lights each of {count} lamps for {1 / count:.0%}", "leave out the duty"
    return None


def timed(
    groups: Sequence[SourceGroup],
    *,
    chip: TimerChip,
    supply_V: Band,
    loads: Sequence[GroupLoad],
    parts: Parts,
) -> TimedGroups | Unfit:
    """Choose the parts of an astable and the drivers of its groups.

    Parameters
    ----------
    groups
        Those for which :func:`unfit` found nothing.
    loads
        What hangs on each, in the same order.
    """
    stages = len(groups) if groups[0].pattern.kind is PatternKind.CHASE else 0
    beat = _beat(groups)
    astable = best_astable(
        beat,
        chip=chip,
        supply_V=supply_V,
        series=parts.series,
        resistor_tolerance=parts.tolerance,
    )
    if astable is None:
        why = "no resistors and film capacitors of the usual values reach its times"
        return Unfit(group=groups[0].name, why=why, mend=PROGRAM)
    channels = []
    for place, load in enumerate(loads):
        lit_while = "low" if place == 1 and not stages else "high"
        driver = _driver(load, chip=chip, stages=stages, lit_while=lit_while, parts=parts)
        if driver is None:
            why = f"nothing can switch it while the output is {lit_while}"
            return Unfit(group=load.group, why=why, mend=PROGRAM)
        channels.append(
            TimedChannel(
                load=load,
                end=f"Q{place}" if stages else "output",
                lit_while=lit_while,
                driver=driver,
            )
        )
    times = max(stages, 1)
    return TimedGroups(
        timer=astable,
        channels=tuple(channels),
        stages=stages,
        period_s=_scaled(astable.period_s, times),
        likely_s=_scaled(astable.likely_s, times),
        lit_share=Band(low=1 / times, nominal=1 / times, high=1 / times)
        if stages
        else astable.high_share,
    )


def ring_of(
    groups: Sequence[SourceGroup],
    *,
    chip: TimerChip,
    supply_V: Band,
    loads: Sequence[GroupLoad],
    parts: Parts,
) -> TimedGroups | Unfit:
    """Choose the parts of a ring of timers and the drivers of its groups, as :func:`timed` does."""
    first = groups[0].name
    if not triggers(chip, supply_V=supply_V.low, tolerance=parts.tolerance):
        least_V = least_supply_V(chip, tolerance=parts.tolerance)
        least = ceil(10.0 * least_V * supply_V.nominal / supply_V.low) / 10.0
        why = f"fed with {supply_V.low:.3g} V the end of one '{chip.name}' does not start the next"
        return Unfit(
            group=first,
            why=why,
            mend=f"feed it with {least:g} V or more, or take another timer chip of the stock",
        )
    ring = best_ring(
        (groups[0].pattern.period_s or 1.0) / len(groups),
        stages=len(groups),
        chip=chip,
        supply_V=supply_V,
        series=parts.series,
        resistor_tolerance=parts.tolerance,
    )
    if ring is None:
        why = "no resistors and film capacitors of the usual values reach its times"
        return Unfit(group=first, why=why, mend=PROGRAM)
    channels = []
    for place, load in enumerate(loads, start=1):
        driver = _driver(load, chip=chip, stages=0, lit_while="high", parts=parts, taken_A=HOLD_A)
        if driver is None:
            return Unfit(group=load.group, why="nothing can switch it", mend=PROGRAM)
        channels.append(
            TimedChannel(load=load, end=f"chip {place}", lit_while="high", driver=driver)
        )
    high, period = ring.high_s, ring.period_s
    share = high.nominal / period.nominal
    return TimedGroups(
        timer=ring,
        channels=tuple(channels),
        stages=0,
        period_s=period,
        likely_s=ring.likely_s,
        lit_share=Band(
            low=high.low / (high.low + period.high - high.high),
            nominal=share,
            high=high.high / (high.high + period.low - high.low),
        ),
    )


def _beat(groups: Sequence[SourceGroup]) -> Beat:
    """Give what the astable itself is to do."""
    pattern = groups[0].pattern
    period = pattern.period_s or 1.0
    if pattern.kind is PatternKind.CHASE:
        return Beat(period_s=period / len(groups), high_share=0.5)
    if pattern.kind is PatternKind.CROSSING:
        return Beat(period_s=period, high_share=0.5)
    return Beat(period_s=period, high_share=BEACON_LIT if pattern.duty is None else pattern.duty)


def _scaled(band: Band, times: int) -> Band:
    return Band(low=times * band.low, nominal=times * band.nominal, high=times * band.high)


def _driver(
    load: GroupLoad,
    *,
    chip: TimerChip,
    stages: int,
    lit_while: str,
    parts: Parts,
    taken_A: float = 0.0,
) -> Driver | None:
    strings = load.strings
    if lit_while == "low":
        fits = strings.common_positive and strings.current_A <= chip.sink_A
        if not fits:
            return None
        return Driver(
            kind=DriverKind.STRAIGHT,
            switch=None,
            pin_A=strings.current_A,
            lost_V=chip.low_V,
            reason="lit while the output is low, which takes its current",
        )
    drop = 0.0 if stages else chip.high_drop_V
    side = PinSide(
        low_V=strings.low_V - drop,
        high_V=strings.high_V,
        pin_A=COUNTER_A if stages else chip.source_A - taken_A,
        pin_ohm=COUNTER_OHM if stages else 0.0,
        straight=False,
    )
    choices = drivers_for(
        strings, pin=side, switches=parts.switches, series=parts.series, tolerance=parts.tolerance
    )
    return next(iter(choices), None)
