"""How long the time line of 36 groups takes: table, flash safety, load and pins, in process time.

Run: python benchmarks/time_line.py. The last column is a ratio to a reference in the same run, the
sorting of four million numbers, so that runs on different machines can be compared.
"""

import time

import numpy as np

from lamphouse.blink.drivers import PinSide, StringSide
from lamphouse.blink.flash_safety import FlashingLight, flash_safety
from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.load_over_time import load_over_time
from lamphouse.blink.pin_plan import GroupLoad, Parts, plan_pins
from lamphouse.blink.program_data import program_data
from lamphouse.catalogue.shelf import built_in
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.design.pattern import BEATS, Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Where
from lamphouse.record import replace

GROUPS = 36
WHERE = Where(item="bench")


def groups():
    """Give 36 groups of every kind but steady."""
    kinds = [kind for kind in PatternKind if kind is not PatternKind.STEADY]
    return [
        SourceGroup(
            name=f"g{number}",
            where=WHERE,
            pattern=Pattern(
                kind=kinds[number % len(kinds)],
                period_s=1.0 + 0.1 * number if kinds[number % len(kinds)] in BEATS else None,
            ),
            sub_assembly="wall",
            source=None,
        )
        for number in range(GROUPS)
    ]


def scenes():
    """Give a day of three scenes, and one at a button."""
    day = [Scene(name=name, where=WHERE, lasts_s=120.0, fade_s=5.0) for name in ("a", "b", "c")]
    alarm = Scene(name="alarm", where=WHERE, lasts_s=20.0, trigger=Trigger.BUTTON)
    return [*day, replace(alarm, levels=(("g0", 0.2),))]


def timed(work):
    """Give the least process time of three runs, and the result."""
    least, result = float("inf"), None
    for _ in range(3):
        begun = time.process_time()
        result = work()
        least = min(least, time.process_time() - begun)
    return least, result


def main():
    """Print every step."""
    numbers = np.random.Generator(np.random.PCG64(1)).random(4_000_000)
    reference, _ = timed(lambda: np.sort(numbers))
    names = [f"g{number}" for number in range(GROUPS)]
    lay, table = timed(lambda: lay_time(groups(), scenes=scenes(), seed=1))
    lights = tuple(FlashingLight(group=n, area_mm2=20.0, luminance_cd_m2=None) for n in names)
    safe, _ = timed(lambda: flash_safety(table, lights=lights, distance_mm=600.0))
    draws = dict.fromkeys(names, 0.005)
    load, _ = timed(lambda: load_over_time(table, currents_A=draws, steady_A=0.1))
    store, data = timed(lambda: program_data(table))
    strings = StringSide(
        current_A=0.006, resistor_V=7.0, low_V=11.4, high_V=12.6, common_positive=True
    )
    loads = [GroupLoad(group=name, strings=strings, count=1, plugs=()) for name in names]
    parts = Parts(switches=tuple(built_in().switches.values()), series="E12", tolerance=0.05)
    side = PinSide(low_V=4.75, high_V=5.25, pin_A=0.02, pin_ohm=25.0, straight=False)
    kind = built_in().controllers["8-bit AVR, 40 pins"]
    pins, _ = timed(
        lambda: plan_pins(kind, loads=loads, side=side, parts=parts, wishes={}, buttons={})
    )
    steps = {
        "time table": lay,
        "flash safety": safe,
        "load over time": load,
        "stored for programs": store,
        "pins and drivers": pins,
    }
    for name, seconds in steps.items():
        print(f"{name:<22}{seconds:8.3f} s {seconds / reference:8.2f} x the reference")
    whole = sum(steps.values())
    print(f"{'all':<22}{whole:8.3f} s {whole / reference:8.2f} x the reference")
    print(f"{GROUPS} groups, {len(data.records)} tracks, {data.record_bytes} bytes")


if __name__ == "__main__":
    main()
