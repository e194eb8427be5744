"""What every source group shows over time, frame by frame, for the page to play."""

import numpy as np

from lamphouse.blink.flash_safety import MOST_FLASHES
from lamphouse.blink.playing import day_of, steps_played, stretches
from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import FULL, TICKS_PER_S, light_of, steps_of
from lamphouse.design.day_scenes import Trigger
from lamphouse.drawings.pattern_strips import NAME_MM, RIGHT_MM, pattern_strips
from lamphouse.outputs.svg import render
from lamphouse.plan.time_lined import TimeLine
from lamphouse.record import Record, replace

RATE_HZ = 60
"""Frames in a second; light is averaged over each."""
MOST_S = 120.0
_STRIPS_MM = 174.0


class PlayedScenes(Record):
    """A stretch of the time line, ready to be played."""

    groups: tuple[str, ...]
    frames: bytes
    """One step of lightness, 0 to 255, for each frame and group, frame after frame."""
    count: int
    """Frames."""
    light: tuple[float, ...]
    """Light of each step, 0 to 1."""
    stretches: tuple[tuple[str, float, float], ...]
    """Scene, beginning and end. [s]."""


class Strips(Record):
    """The strips of a time line, with where its axis begins and ends."""

    svg: str
    width_mm: float
    height_mm: float
    start_mm: float
    """Of the axis, from the left edge of the drawing."""
    end_mm: float
    seconds: float


def scene_names(table: TimeTable) -> tuple[str, ...]:
    """List the scenes that have a name."""
    return tuple(scene.name for scene in table.scenes if scene.name)


def of_scene(table: TimeTable, scene: str) -> TimeTable:
    """Give the table that plays one scene for ever; the whole one for an empty name.

    Raises
    ------
    LookupError
        If there is no such scene.
    """
    if not scene:
        return table
    found = next((one for one in table.scenes if one.name == scene), None)
    if found is None:
        unknown = f"no scene '{scene}'"
        raise LookupError(unknown)
    alone = replace(found, trigger=Trigger.IN_TURN, length=None, every=None)
    return replace(table, scenes=(alone,))


def seconds_of(table: TimeTable, *, least_s: float) -> float:
    """Give how long is worth playing: the day, or the longest track, within bounds. [s]."""
    day = day_of(table)
    ticks = day or max(track.length for scene in table.scenes for track in scene.tracks)
    return min(max(ticks / TICKS_PER_S, least_s), MOST_S)


def played(table: TimeTable, *, seconds: float) -> PlayedScenes:
    """Play a table from the beginning.

    Parameters
    ----------
    table
        What is played, its buttons left alone.
    seconds
        At most :data:`MOST_S`.
    """
    each = TICKS_PER_S // RATE_HZ
    count = max(round(min(seconds, MOST_S) * RATE_HZ), 1)
    light = light_of(steps_played(table, ticks=count * each))
    means = light.reshape(count, each, -1).mean(axis=1)
    steps = np.clip(np.rint(steps_of(means)), 0, FULL).astype(np.uint8)
    return PlayedScenes(
        groups=table.groups,
        frames=steps.tobytes(),
        count=count,
        light=tuple(float(one) for one in light_of(np.arange(FULL + 1))),
        stretches=tuple(
            (one.scene.name, one.begins / TICKS_PER_S, one.ends / TICKS_PER_S)
            for one in stretches(table, ticks=count * each)
        ),
    )


def strips(table: TimeTable, *, seconds: float) -> Strips:
    """Draw what every group shows, as the pack does."""
    drawing = pattern_strips(table, seconds=seconds, width_mm=_STRIPS_MM)
    return Strips(
        svg=render(drawing),
        width_mm=drawing.width_mm,
        height_mm=drawing.height_mm,
        start_mm=NAME_MM - drawing.left_mm,
        end_mm=_STRIPS_MM - RIGHT_MM - drawing.left_mm,
        seconds=seconds,
    )


def too_often(line: TimeLine) -> dict[str, float]:
    """Give the groups that flash more often than screens may, with their flashes in a second.

    A page that shows such a group may do so on a small area only [WCAG-FLASH].
    """
    return {
        one.group: one.most_in_a_second
        for one in line.safety.groups
        if one.too_often or one.most_in_a_second > MOST_FLASHES
    }
