"""Rules about the whole time line: flashes that could harm, and scenes that draw too little."""

from collections.abc import Iterable, Mapping, Sequence
from math import ceil

from lamphouse.blink.flash_safety import (
    MOST_FLASHES,
    MOST_SEEN_SR,
    FlashingLight,
    FlashSafety,
    flash_safety,
)
from lamphouse.blink.load_over_time import LoadOverTime
from lamphouse.blink.slower import slowed
from lamphouse.blink.time_table import TimeTable
from lamphouse.design.pattern import BEATS, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Supply, SupplyKind
from lamphouse.findings import Severity, Told, Where, rule
from lamphouse.units import Quantity, show

_STEPS = (1.1, 1.25, 1.5, 2.0, 3.0, 5.0, 8.0, 12.0, 20.0, 40.0)
"""Times as slow, tried in turn until the flashes are few enough."""


@rule("BLK001", Severity.STOP, "Flashes that could bring on a seizure", can_be_accepted=False)
def harmful_flashes(
    safety: FlashSafety,
    *,
    table: TimeTable,
    lights: Sequence[FlashingLight],
    groups: Sequence[SourceGroup],
) -> Iterable[Told]:
    """Look for light that flashes too fast and is too large to the eye.

    What it checks
        What flashes more than three times in any one second, all of it together, covers less than
        0.006 sr of the field of view from the viewing distance. A flash is a change of a tenth of
        the lamp's full light and back, from a state below 80 % of it; a saturated red counts from a
        sixteenth. Where the luminance is known, changes of less than 20 cd/m2 do not count. Lamps
        that shine freely into the model light the whole face of the room, which then changes by
        their share of all such lamps' light.

    Why it matters
        Fast flashes over a large part of the view can bring on a seizure in people who are
        sensitive to them, some of whom do not know it. The guidelines are for screens, and are used
        here because none are written for models. They do not make a display safe for everyone:
        follow local rules for public shows, and say at the door that it flashes.

    Example
        ::

            groups:
              strobe: {in: desk, pattern: {kind: beacon, period: 0.2 s, duty: 50 %}}
            sub_assemblies:
              desk:
                pigtail: {plug: 3-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [70 mm, 40 mm], current: 5 mA, group: strobe}

    Mend
        Take the slower period that the finding names, a longer fade of smaller steps, or show less
        of it: a smaller window, fewer lamps.

    Source
        [WCAG-FLASH] [BT1702]
    """
    if safety.is_safe:
        return
    by_name = {group.name: group for group in groups}
    fast = [each for each in safety.groups if each.too_often]
    most_mm2 = MOST_SEEN_SR * safety.distance_mm**2
    for each in fast:
        group = by_name[each.group]
        distance = show(safety.distance_mm, Quantity.LENGTH)
        shown = each.what or "what it lights"
        others = len(fast) - 1
        together = f", {safety.seen_sr:.2g} sr with {others} more that flash" if others else ""
        yield Told(
            where=group.where,
            message=f"'{group.name}' flashes {each.most_in_a_second:g} times within a second; "
            f"from {distance} {shown} covers {each.seen_sr:.2g} sr of the view{together}; at most "
            f"{MOST_SEEN_SR:g} sr may flash more than {MOST_FLASHES} times a second",
            remedy=_slower(group, table=table, lights=lights, distance_mm=safety.distance_mm)
            + f"show less than {most_mm2:.0f} mm2 of it in all",
        )


def _slower(
    group: SourceGroup,
    *,
    table: TimeTable,
    lights: Sequence[FlashingLight],
    distance_mm: float,
) -> str:
    """Say how slow the pattern would have to be, by trying it slower."""
    own = [light for light in lights if light.group == group.name]
    for times in _STEPS:
        slow = slowed(table, group=group.name, times=times)
        tried = flash_safety(slow, lights=own, distance_mm=distance_mm)
        if any(each.too_often for each in tried.groups):
            continue
        pattern = group.pattern
        has_rate = pattern.kind in BEATS or pattern.kind is PatternKind.RANDOM
        if has_rate and pattern.period_s is not None:
            return f"write period: {ceil(pattern.period_s * times * 100.0) / 100.0:g} s, or "
        return f"take a pattern that changes {times:g} times as slowly, such as flicker, or "
    return "take a steady light, or "


@rule("BLK005", Severity.WARN, "A scene in which the power bank switches itself off")
def sleepy_bank(
    load: LoadOverTime, *, supply: Supply, wheres: Mapping[str, Where]
) -> Iterable[Told]:
    """Look for scenes that draw less than a power bank wants.

    What it checks
        In every scene the mean current over each second is at least the bank's least load.

    Why it matters
        Below its least load a bank takes whatever hangs on it for full, and switches off after some
        seconds: the model dies in its quietest scene, the night.

    Example
        ::

            supply: {kind: power bank, voltage: 5 V, max_current: 1 A, min_load: 30 mA}
            groups:
              rooms: {in: desk, pattern: {kind: steady}}
            scenes:
              evening: {lasts: 3 min}
              night: {lasts: 3 min, levels: {rooms: 5 %}}
            sub_assemblies:
              desk:
                pigtail: {plug: 3-pin 1.25 mm, wire: 30 AWG insulated, length: 150 mm}
                lamps:
                  L: {type: white 0603, at: [60 mm, 40 mm], current: 10 mA, group: rooms}
                  M: {type: white 0603, at: [70 mm, 40 mm], current: 10 mA, group: rooms}
                  N: {type: white 0603, at: [75 mm, 40 mm], current: 15 mA, group: rooms}

    Mend
        Let more of the model glow in that scene, put a resistor across the supply, or
        take a plug-in supply.

    Source
        [PRACTICE]; the bank's own least load.
    """
    if supply.kind is not SupplyKind.POWER_BANK or not supply.min_load_A:
        return
    for scene in load.scenes:
        short_A = supply.min_load_A - scene.least_A
        if short_A > 0.0 and scene.scene in wheres:
            now, least = (
                show(amps, Quantity.CURRENT, digits=3)
                for amps in (scene.least_A, supply.min_load_A)
            )
            yield Told(
                where=wheres[scene.scene],
                message=f"in '{scene.scene}' the model draws as little as {now}; the power bank "
                f"switches itself off below {least}",
                remedy=f"let {show(short_A, Quantity.CURRENT, digits=2)} more glow in it, or take "
                "a plug-in supply",
            )
