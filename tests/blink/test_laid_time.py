"""A whole model's time table: sets take turns, scenes dim and change, the same each time."""

from lamphouse.blink.laid_time import lay_time
from lamphouse.blink.playing import steps_played
from lamphouse.blink.track import light_of, mean_light
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.design.pattern import Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Where

WHERE = Where(item="here")


def group(name: str, **pattern) -> SourceGroup:
    return SourceGroup(
        name=name, where=WHERE, pattern=Pattern(**pattern), sub_assembly="wall", source=None
    )


def scene(name: str, **given) -> Scene:
    return Scene(name=name, where=WHERE, **{"lasts_s": 2.0, **given})


def test_the_groups_of_a_set_take_turns_in_the_order_of_the_file():
    chase = {"kind": PatternKind.CHASE, "period_s": 3.0, "set_name": "runway"}
    table = lay_time([group("a", **chase), group("b", **chase), group("c", **chase)])
    lit = steps_played(table, ticks=720).argmax(axis=1)
    assert lit.tolist() == [0] * 240 + [1] * 240 + [2] * 240


def test_groups_of_one_kind_but_another_set_do_not():
    chase = {"kind": PatternKind.CHASE, "period_s": 3.0}
    table = lay_time([group("a", set_name="x", **chase), group("b", set_name="y", **chase)])
    one, other = steps_played(table, ticks=720).T
    assert (one == other).all()


def test_a_scene_dims_in_light_and_changes_patterns():
    groups = [group("a", kind=PatternKind.STEADY), group("b", kind=PatternKind.STEADY)]
    night = scene(
        "night",
        levels=(("a", 0.25),),
        patterns=(("b", Pattern(kind=PatternKind.STEADY, level=0.5)),),
    )
    table = lay_time(groups, scenes=[scene("day"), night])
    day, dark = table.scenes
    assert [mean_light(track) for track in day.tracks] == [1.0, 1.0]
    assert abs(light_of(dark.tracks[0].first) - 0.25) < 0.005
    assert abs(light_of(dark.tracks[1].first) - 0.5) < 0.005


def test_without_a_scene_in_turn_the_patterns_go_on_for_ever():
    alarm = scene("alarm", trigger=Trigger.BUTTON)
    table = lay_time([group("a", kind=PatternKind.STEADY)], scenes=[alarm])
    assert [one.name for one in table.scenes] == ["", "alarm"]
    assert table.scenes[0].length is None


def test_the_seed_of_the_project_changes_chance_and_nothing_else():
    groups = [group("a", kind=PatternKind.RANDOM), group("b", kind=PatternKind.RANDOM, seed=3)]
    one, other = lay_time(groups, seed=1), lay_time(groups, seed=2)
    assert one == lay_time(groups, seed=1)
    assert one.scenes[0].tracks[0] != other.scenes[0].tracks[0]
    assert one.scenes[0].tracks[1] == other.scenes[0].tracks[1]
