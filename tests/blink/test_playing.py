"""The rules of play, on tables small enough to follow by hand."""

from lamphouse.blink.playing import Press, day_of, steps_played, stretches
from lamphouse.blink.time_table import PlayedScene, TimeTable
from lamphouse.blink.track import Track
from lamphouse.design.day_scenes import Trigger


def level(step: int) -> Track:
    return Track(first=step, ticks=(1,), ends=(step,))


def scene(name: str, step: int, length: int | None, **given) -> PlayedScene:
    known = {"trigger": Trigger.IN_TURN, "every": None, "fade": 0, **given}
    return PlayedScene(name=name, length=length, tracks=(level(step),), **known)


def table(*scenes: PlayedScene) -> TimeTable:
    return TimeTable(groups=("lamp",), scenes=scenes, seed=1)


def seen(of: TimeTable, ticks: int, *presses: Press) -> list[float]:
    return steps_played(of, ticks=ticks, presses=presses)[:, 0].tolist()


def test_scenes_in_turn_follow_each_other_over_and_over():
    day = table(scene("day", 9, 3), scene("night", 1, 2))
    assert seen(day, 8) == [9, 9, 9, 1, 1, 9, 9, 9]
    assert day_of(day) == 5


def test_a_fade_goes_in_a_straight_line_from_where_it_was():
    day = table(scene("day", 80, 4), scene("night", 0, 6, fade=4))
    assert seen(day, 10) == [80, 80, 80, 80, 80, 60, 40, 20, 0, 0]


def test_a_button_breaks_in_and_the_day_goes_on_where_it_was_left():
    alarm = scene("alarm", 5, 2, trigger=Trigger.BUTTON)
    day = table(scene("day", 9, 3), scene("night", 1, 2), alarm)
    assert seen(day, 9, Press(tick=1, scene="alarm")) == [9, 5, 5, 9, 9, 1, 1, 9, 9]
    assert day_of(day) == 5


def test_a_press_while_a_scene_has_broken_in_is_forgotten():
    alarm = scene("alarm", 5, 3, trigger=Trigger.BUTTON)
    day = table(scene("", 9, None), alarm)
    presses = (Press(tick=1, scene="alarm"), Press(tick=2, scene="alarm"))
    assert seen(day, 7, *presses) == [9, 5, 5, 5, 9, 9, 9]
    assert day_of(day) is None


def test_a_timer_comes_due_by_the_clock_of_all():
    chime = scene("chime", 5, 1, trigger=Trigger.TIMER, every=3)
    assert seen(table(scene("", 9, None), chime), 8) == [9, 9, 9, 5, 9, 9, 5, 9]


def test_a_timer_that_comes_due_meanwhile_begins_afterwards():
    chime = scene("chime", 5, 1, trigger=Trigger.TIMER, every=3)
    alarm = scene("alarm", 7, 3, trigger=Trigger.BUTTON)
    shown = seen(table(scene("", 9, None), chime, alarm), 8, Press(tick=2, scene="alarm"))
    assert shown == [9, 9, 7, 7, 7, 5, 5, 9]


def test_going_back_takes_the_fade_of_the_scene_that_broke_in():
    alarm = scene("alarm", 0, 2, trigger=Trigger.BUTTON, fade=2)
    day = table(scene("", 80, None), alarm)
    assert seen(day, 6, Press(tick=1, scene="alarm")) == [80, 80, 40, 40, 60, 80]


def test_stretches_cover_the_time_without_gap():
    alarm = scene("alarm", 5, 2, trigger=Trigger.BUTTON)
    day = table(scene("day", 9, 3), scene("night", 1, 2), alarm)
    laid = stretches(day, ticks=50, presses=[Press(tick=t, scene="alarm") for t in (0, 7, 33)])
    assert [one.begins for one in laid[1:]] == [one.ends for one in laid[:-1]]
    assert (laid[0].begins, laid[-1].ends) == (0, 50)
