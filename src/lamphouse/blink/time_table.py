"""The time table: what every source group does in every scene, as a program plays it."""

from collections.abc import Sequence

from lamphouse.blink.track import Track
from lamphouse.design.day_scenes import Trigger
from lamphouse.record import Record, replace


class PlayedScene(Record):
    """One scene: a track for each group, begun anew each time the scene begins."""

    name: str
    """Empty for the one that lasts for ever in a model without scenes in turn."""
    trigger: Trigger
    length: int | None
    """Ticks it lasts; None: for ever."""
    every: int | None
    """Ticks from one beginning to the next, by a timer."""
    fade: int
    """Ticks in which each group goes from where it was to where it is to be, in a straight line
    of lightness: the mix of both by the share of the fade that has passed."""
    tracks: tuple[Track, ...]
    """In the order of the table's groups."""


class TimeTable(Record):
    """Everything a program plays."""

    groups: tuple[str, ...]
    scenes: tuple[PlayedScene, ...]
    """Those in turn come in this order, over and over; those with a trigger break in."""
    seed: int

    def of_groups(self, names: Sequence[str]) -> "TimeTable":
        """Give the table of some of its groups."""
        places = [self.groups.index(name) for name in names]
        scenes = (
            replace(scene, tracks=tuple(scene.tracks[place] for place in places))
            for scene in self.scenes
        )
        return replace(self, groups=tuple(names), scenes=tuple(scenes))
