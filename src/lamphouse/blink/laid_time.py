"""The time table of a whole model, laid out from its source groups and scenes."""

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from zlib import crc32

import numpy as np

from lamphouse.blink.beats import Turn, beat, ticks_of
from lamphouse.blink.chance import by_chance
from lamphouse.blink.lagging import lagging
from lamphouse.blink.time_table import PlayedScene, TimeTable
from lamphouse.blink.track import Track, light_of, steps_of
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.design.pattern import BEATS, SHARED, Pattern
from lamphouse.design.strand import SourceGroup


def lay_time(
    groups: Sequence[SourceGroup], *, scenes: Sequence[Scene] = (), seed: int = 0
) -> TimeTable:
    """Lay every group of every scene on one time line.

    Parameters
    ----------
    groups
        Those that programs play, in the order of the file.
    scenes
        Without any in turn, every group follows its pattern for ever.
    seed
        The project's; a group without a seed of its own draws from it and from its name.

    Returns
    -------
    TimeTable
        The same for the same design.
    """
    patterns = {group.name: group.pattern for group in groups}
    laid = cache(track_of)  # most groups do the same in every scene
    played = [
        _played(scene, groups=groups, patterns=patterns, seed=seed, lay=laid) for scene in scenes
    ]
    if not any(scene.trigger is Trigger.IN_TURN for scene in played):
        played.insert(0, _for_ever(_tracks(patterns, levels={}, seed=seed, lay=laid)))
    return TimeTable(groups=tuple(patterns), scenes=tuple(played), seed=seed)


def track_of(pattern: Pattern, *, turn: Turn, seed: int) -> Track:
    """Lay one pattern as a track, from the seed its chance is drawn from."""
    draws = np.random.Generator(np.random.PCG64(seed))
    if pattern.kind in BEATS:
        track = beat(pattern, turn=turn, draws=draws)
    else:
        track = by_chance(pattern, draws=draws)
    return lagging(track, lag_s=pattern.lag_s)


def seed_of(name: str, *, pattern: Pattern, seed: int) -> int:
    """Give the seed of a group: its own, or one of the project's that no other name gets."""
    if pattern.seed is not None:
        return pattern.seed
    return (seed << 32) | crc32(name.encode())


def turns(patterns: Mapping[str, Pattern]) -> dict[str, Turn]:
    """Give each group of a set its turn, in the order of the file."""
    sets: dict[tuple[str, str], list[str]] = {}
    for name, pattern in patterns.items():
        if pattern.kind in SHARED and pattern.set_name:
            sets.setdefault((pattern.kind, pattern.set_name), []).append(name)
    return {
        name: Turn(place=place, of=len(names))
        for names in sets.values()
        for place, name in enumerate(names)
    }


def _for_ever(tracks: tuple[Track, ...]) -> PlayedScene:
    return PlayedScene(
        name="", trigger=Trigger.IN_TURN, length=None, every=None, fade=0, tracks=tracks
    )


def _played(
    scene: Scene,
    *,
    groups: Sequence[SourceGroup],
    patterns: Mapping[str, Pattern],
    seed: int,
    lay: Callable[..., Track],
) -> PlayedScene:
    known = {group.name for group in groups}
    instead = {name: pattern for name, pattern in scene.patterns if name in known}
    return PlayedScene(
        name=scene.name,
        trigger=scene.trigger,
        length=max(ticks_of(scene.lasts_s), 1),
        every=ticks_of(scene.every_s) if scene.every_s is not None else None,
        fade=ticks_of(scene.fade_s),
        tracks=_tracks({**patterns, **instead}, levels=dict(scene.levels), seed=seed, lay=lay),
    )


def _tracks(
    patterns: Mapping[str, Pattern],
    *,
    levels: Mapping[str, float],
    seed: int,
    lay: Callable[..., Track],
) -> tuple[Track, ...]:
    places = turns(patterns)
    laid = (
        lay(
            pattern,
            turn=places.get(name, Turn()),
            seed=seed_of(name, pattern=pattern, seed=seed),
        )
        for name, pattern in patterns.items()
    )
    return tuple(
        dimmed(track, share=levels.get(name, 1.0))
        for name, track in zip(patterns, laid, strict=True)
    )


def dimmed(track: Track, *, share: float) -> Track:
    """Dim a track to a share of its light, knot by knot, to whole steps."""
    if share == 1.0:
        return track

    def dim(steps: Sequence[int]) -> tuple[int, ...]:
        dimmer = np.rint(steps_of(light_of(np.array(steps)) * share))
        return tuple(int(step) for step in dimmer)

    return Track(
        first=dim((track.first,))[0], ticks=track.ticks, ends=dim(track.ends), loop_to=track.loop_to
    )
