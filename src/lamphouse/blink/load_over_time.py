"""What the whole model draws from its supply over time, second by second.

Pulse-width modulation switches each group fully on for a share of every tick. All of them are on
together at the beginning of a tick, so that the worst instant is the sum of all groups that are not
quite dark; a cell or a fuse, slower than a tick, sees the mean.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lamphouse.blink.playing import Press, day_of, steps_played, stretches
from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import TICKS_PER_S, light_of
from lamphouse.design.day_scenes import Trigger
from lamphouse.record import Record

LONGEST_S = 1800
"""How much of the model's day is looked at."""
ONE_LOOP_S = 60
"""How much at least, where one scene lasts for ever."""


class SceneLoad(Record):
    """What is drawn while one scene plays."""

    scene: str
    least_A: float
    """Mean over the least second."""
    mean_A: float
    worst_A: float
    """At the worst instant."""


class LoadOverTime(Record):
    """What is drawn from the supply, at nominal currents."""

    seconds_A: tuple[float, ...]
    """Mean over each second of the day, then of each scene behind a button, once."""
    worst_A: float
    """At the worst instant, with every group on that is not quite dark."""
    mean_A: float
    """Over the scenes in turn."""
    least_A: float
    """Mean over the least second."""
    scenes: tuple[SceneLoad, ...]
    """In the order of the table, those that were played."""
    light: tuple[tuple[str, float], ...]
    """Mean light of each group over the scenes in turn, 0 to 1."""


def load_over_time(
    table: TimeTable, *, currents_A: Sequence[tuple[str, float]], steady_A: float
) -> LoadOverTime:
    """Add up what all groups draw, tick by tick.

    Parameters
    ----------
    table
        What is played.
    currents_A
        Current of each group at its full light, by name; groups that are not named draw nothing.
        [A]
    steady_A
        Current of all that no program plays. [A]
    """
    day, ticks, presses = _horizon(table)
    mean, instant = np.full((2, ticks), float(steady_A))
    by_group, shown = dict(currents_A), []
    for name in table.groups:  # one at a time: all of a long day at once would fill the memory
        alone = table.of_groups([name])
        light = light_of(steps_played(alone, ticks=ticks, presses=presses)[:, 0])
        mean += light * by_group.get(name, 0.0)
        instant += (light > 0.0) * by_group.get(name, 0.0)
        shown.append((name, float(light[:day].mean())))
    scenes: dict[str, list[NDArray[np.float64]]] = {}
    for stretch in stretches(table, ticks=ticks, presses=presses):
        span = slice(stretch.begins, stretch.ends)
        scenes.setdefault(stretch.scene.name, []).append(
            np.stack((mean[span], instant[span]), axis=1)
        )
    seconds = _by_second(mean)
    return LoadOverTime(
        seconds_A=tuple(seconds.tolist()),
        worst_A=float(instant.max()),
        mean_A=float(mean[:day].mean()),
        least_A=float(seconds.min()),
        scenes=tuple(_scene_load(name, np.concatenate(parts)) for name, parts in scenes.items()),
        light=tuple(shown),
    )


def _scene_load(name: str, drawn: NDArray[np.float64]) -> SceneLoad:
    return SceneLoad(
        scene=name,
        least_A=float(_by_second(drawn[:, 0]).min()),
        mean_A=float(drawn[:, 0].mean()),
        worst_A=float(drawn[:, 1].max()),
    )


def _by_second(drawn: NDArray[np.float64]) -> NDArray[np.float64]:
    """Average over whole seconds; what is left of the last is averaged alone."""
    starts = np.arange(0, len(drawn), TICKS_PER_S)
    counts = np.minimum(TICKS_PER_S, len(drawn) - starts)
    return np.add.reduceat(drawn, starts) / counts


def _horizon(table: TimeTable) -> tuple[int, int, Sequence[Press]]:
    """Give the ticks of the day, of all that is looked at, and a press for each button after it."""
    most = LONGEST_S * TICKS_PER_S
    loops = [track.lead_in + track.length for scene in table.scenes for track in scene.tracks]
    day = min(day_of(table) or max(ONE_LOOP_S * TICKS_PER_S, *loops, 1), most)
    ticks, presses = day, []
    for scene in table.scenes:
        if scene.trigger is Trigger.BUTTON:
            presses.append(Press(tick=ticks, scene=scene.name))
            ticks += min(scene.length or 0, most) + 1
    return day, ticks, presses
