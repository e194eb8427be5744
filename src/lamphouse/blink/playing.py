"""What is seen when a time table is played: every group's lightness, tick by tick.

The rules of play, for this module and for every program:

- The scenes in turn follow each other in their order, over and over. A table without a scene in
  turn has one that lasts for ever.
- A trigger breaks in when no other has: a press while one plays is forgotten, and a timer that
  comes due meanwhile begins its scene afterwards. A timer comes due every so many ticks from the
  beginning of all.
- After a scene that broke in, the day goes on at the tick where it was left.
- Each beginning starts the scene's tracks anew. In the ticks of its fade every group goes in a
  straight line of lightness from where it was to where its track is by then. Going back takes the
  fade of the scene that broke in.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.blink.time_table import PlayedScene, TimeTable
from lamphouse.blink.track import steps_at
from lamphouse.design.day_scenes import Trigger
from lamphouse.record import Record

_NEVER = 1 << 62


class Press(Record):
    """A button pressed at a tick."""

    tick: int
    scene: str


class Stretch(Record):
    """A time in which one scene plays without a break."""

    scene: PlayedScene
    begins: int
    """Tick of the time line."""
    ends: int
    at: int
    """Tick of the scene at which it begins."""
    fade: int


def stretches(
    table: TimeTable, *, ticks: int, presses: Sequence[Press] = ()
) -> tuple[Stretch, ...]:
    """Tell which scene plays when, by the rules of play.

    Parameters
    ----------
    ticks
        How long is looked at, from the beginning of all.
    presses
        In any order; those of scenes without a button do nothing.
    """
    return tuple(_walk(table, ticks=ticks, presses=presses))


def steps_played(
    table: TimeTable, *, ticks: int, presses: Sequence[Press] = ()
) -> NDArray[np.float64]:
    """Give every group's steps of lightness as they are played.

    Returns
    -------
    ndarray
        Shape ``(ticks, groups)``, 0 to 255, at the beginning of each tick, not rounded.
    """
    played = np.zeros((ticks, len(table.groups)))
    for stretch in stretches(table, ticks=ticks, presses=presses):
        times = np.arange(stretch.ends - stretch.begins)
        fading = np.minimum(times / stretch.fade, 1.0) if stretch.fade else np.ones(len(times))
        for group, track in enumerate(stretch.scene.tracks):
            told = steps_at(track, stretch.at + times)
            held = played[stretch.begins - 1, group] if stretch.begins else told[0]
            played[stretch.begins : stretch.ends, group] = held + (told - held) * fading
    return played


def day_of(table: TimeTable) -> int | None:
    """Give the ticks of one round of the scenes in turn; None where one lasts for ever."""
    lengths = [scene.length for scene in table.scenes if scene.trigger is Trigger.IN_TURN]
    return None if None in lengths else sum(length or 0 for length in lengths)


def _walk(table: TimeTable, *, ticks: int, presses: Sequence[Press]) -> Iterator[Stretch]:
    day = [scene for scene in table.scenes if scene.trigger is Trigger.IN_TURN]
    breaks = _Breaks(table, presses=presses)
    now, turn, at, fade = 0, 0, 0, 0
    while now < ticks:
        scene = day[turn % len(day)]
        left = ticks - now if scene.length is None else scene.length - at
        due, breaking = breaks.first_from(now)
        ends = min(now + left, ticks, max(due, now))
        if ends > now:
            yield Stretch(scene=scene, begins=now, ends=ends, at=at, fade=fade)
        at, now = at + ends - now, ends
        if breaking is not None and now == max(due, now) and now < ticks:
            breaks.begun(breaking, at=now)
            ends = min(now + (breaking.length or 1), ticks)
            yield Stretch(scene=breaking, begins=now, ends=ends, at=0, fade=breaking.fade)
            now, fade = ends, breaking.fade
        elif scene.length is not None and at >= scene.length:
            turn, at = turn + 1, 0
            fade = day[turn % len(day)].fade


class _Breaks:
    """What breaks in next."""

    def __init__(self, table: TimeTable, *, presses: Sequence[Press]) -> None:
        by_name = {s.name: s for s in table.scenes if s.trigger is Trigger.BUTTON}
        self._presses = sorted(
            ((press.tick, by_name[press.scene]) for press in presses if press.scene in by_name),
            key=lambda press: press[0],
        )
        self._timers = {
            scene.name: (scene.every or 1, scene)
            for scene in table.scenes
            if scene.trigger is Trigger.TIMER
        }

    def first_from(self, now: int) -> tuple[int, PlayedScene | None]:
        """Give the tick from now on at which a scene breaks in, and that scene."""
        coming: list[tuple[int, PlayedScene]] = [each for each in self._presses if each[0] >= now]
        coming += [(max(tick, now), scene) for tick, scene in self._timers.values()]
        if not coming:
            return _NEVER, None
        return min(coming, key=lambda each: each[0])

    def begun(self, scene: PlayedScene, *, at: int) -> None:
        """Note that a scene began; its timer comes due at the next multiple of its time."""
        if scene.name in self._timers:
            every = scene.every or 1
            self._timers[scene.name] = ((at // every + 1) * every, scene)
