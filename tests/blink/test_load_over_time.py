"""Load over time: sums that can be done by hand, and a sum over ticks done another way."""

import pytest

from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.load_over_time import load_over_time
from lamphouse.blink.track import mean_light
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Where
from tolerances import EXACT, PHYSICS

WHERE = Where(item="here")


def group(name: str, **pattern) -> SourceGroup:
    return SourceGroup(
        name=name, where=WHERE, pattern=Pattern(**pattern), sub_assembly="wall", source=None
    )


CHASE = [
    group(name, kind=PatternKind.CHASE, period_s=3.0, set_name="runway") for name in ("a", "b", "c")
]


def test_a_chase_draws_one_lamp_at_a_time():
    load = load_over_time(
        lay_time(CHASE),
        currents_A=(
            ("a", 0.005),
            ("b", 0.005),
            ("c", 0.005),
        ),
        steady_A=0.02,
    )
    assert load.mean_A == pytest.approx(0.025, abs=EXACT)
    assert load.worst_A == pytest.approx(0.025, abs=EXACT)
    assert dict(load.light) == pytest.approx({"a": 1 / 3, "b": 1 / 3, "c": 1 / 3}, abs=EXACT)


def test_the_mean_of_a_flame_is_that_of_its_track_and_its_worst_instant_all_of_it():
    table = lay_time([group("fire", kind=PatternKind.FIRE, level=0.4)])
    load = load_over_time(table, currents_A=(("fire", 0.01),), steady_A=0.0)
    track = table.scenes[0].tracks[0]
    assert load.mean_A == pytest.approx(0.01 * mean_light(track), rel=5 * PHYSICS)
    assert load.worst_A == pytest.approx(0.01, abs=EXACT)


def test_every_scene_has_its_own_figures():
    night = Scene(name="night", where=WHERE, lasts_s=10.0, levels=(("a", 0.0),))
    alarm = Scene(name="alarm", where=WHERE, lasts_s=2.0, trigger=Trigger.BUTTON)
    day = Scene(name="day", where=WHERE, lasts_s=30.0)
    table = lay_time([group("a", kind=PatternKind.STEADY)], scenes=[day, night, alarm])
    load = load_over_time(table, currents_A=(("a", 0.03),), steady_A=0.01)
    figures = {one.scene: (one.least_A, one.mean_A, one.worst_A) for one in load.scenes}
    assert figures["night"] == pytest.approx((0.01, 0.01, 0.01), abs=EXACT)
    assert figures["alarm"] == pytest.approx((0.04, 0.04, 0.04), abs=EXACT)
    assert load.mean_A == pytest.approx((30 * 0.04 + 10 * 0.01) / 40, abs=EXACT)
    assert load.least_A == pytest.approx(0.01, abs=EXACT)
    assert len(load.seconds_A) >= 42
