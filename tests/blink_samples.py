"""Groups of every kind of pattern, and scenes that break into one another."""

from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.design.pattern import BEATS, Pattern, PatternKind
from lamphouse.design.strand import SourceGroup
from lamphouse.findings import Where

WHERE = Where(item="here")


def every_kind() -> list[SourceGroup]:
    """Give one group of each kind, named after it."""
    groups = []
    for kind in PatternKind:
        pattern = Pattern(
            kind=kind,
            period_s=1.7 if kind in BEATS else None,
            fade_s=0.2,
            lag_s=0.1 if kind is PatternKind.CROSSING else 0.0,
            repeat_s=7.0,
        )
        groups.append(
            SourceGroup(
                name=str(kind), where=WHERE, pattern=pattern, sub_assembly="wall", source=None
            )
        )
    return groups


def scene(name: str, lasts_s: float, **given) -> Scene:
    """Give a scene."""
    return Scene(name=name, where=WHERE, lasts_s=lasts_s, **given)


NIGHT = (("steady", 0.2), ("fire", 0.5))
SCENES = [
    scene("day", 3.0),
    scene("night", 2.5, fade_s=1.0, levels=NIGHT),
    scene("chime", 0.7, trigger=Trigger.TIMER, every_s=4.1, fade_s=0.2, levels=(("chase", 0.0),)),
    scene("alarm", 1.3, trigger=Trigger.BUTTON, fade_s=0.5, levels=(("steady", 0.0),)),
]
