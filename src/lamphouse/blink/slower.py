"""A time table with one group's tracks played slower."""

from itertools import pairwise

from lamphouse.blink.time_table import TimeTable
from lamphouse.blink.track import Track
from lamphouse.record import replace


def slowed(table: TimeTable, *, group: str, times: float) -> TimeTable:
    """Stretch the tracks of one group in time.

    Parameters
    ----------
    times
        How many times as slow; every knot is moved to the nearest tick.
    """
    place = table.groups.index(group)
    scenes = (
        replace(
            scene,
            tracks=tuple(
                _stretched(track, times=times) if number == place else track
                for number, track in enumerate(scene.tracks)
            ),
        )
        for scene in table.scenes
    )
    return replace(table, scenes=tuple(scenes))


def _stretched(track: Track, *, times: float) -> Track:
    knots = [0]
    for ticks in track.ticks:
        knots.append(knots[-1] + ticks)
    moved = [round(knot * times) for knot in knots]
    return replace(track, ticks=tuple(later - now for now, later in pairwise(moved)))
