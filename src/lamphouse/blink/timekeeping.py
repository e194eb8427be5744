"""How well controllers keep time, and the rule about scenes that several of them play, BLP013."""

from collections.abc import Iterable, Sequence
from itertools import combinations

from lamphouse.blink.pin_rules import Planned
from lamphouse.catalogue.controllers import ControllerType
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.findings import Severity, Told, rule

CRYSTAL_OFF = 50e-6
"""Share by which a crystal may run fast or slow [CONTROLLERS]."""
INNER_OFF = 0.10
"""The same of an AVR's inner oscillator, as it leaves the factory [CONTROLLERS]."""
INNER_HZ = 8e6
"""An AVR runs by its inner oscillator up to this."""
HOUR_S = 3600.0
APART_S = 5.0
"""Between two parts of a model in the same scene, after an hour, that is seen [PRACTICE]."""


def has_crystal(kind: ControllerType) -> bool:
    """Say whether a crystal keeps its time; boards bring their own."""
    return kind.language != "C" or kind.clock_Hz > INNER_HZ


def off(kind: ControllerType) -> float:
    """Give the share by which a controller may run fast or slow."""
    return CRYSTAL_OFF if has_crystal(kind) else INNER_OFF


def apart_s(one: ControllerType, other: ControllerType) -> float:
    """Give how far two controllers may be apart an hour after they began together. [s]."""
    return HOUR_S * (off(one) + off(other))


@rule("BLP013", Severity.WARN, "Scenes played by clocks that part")
def scenes_by_several_clocks(
    planned: Sequence[Planned], *, scenes: Sequence[Scene], types: Sequence[ControllerType]
) -> Iterable[Told]:
    """Look for scenes that controllers play together and soon play one after another.

    What it checks
        Where scenes follow in turn or come by a timer, any two controllers with a program are no
        more than 5 s apart after an hour.

    Why it matters
        Each controller counts the time for itself. One with a crystal is off by a fifth of a second
        in an hour; the inner oscillator of a chip by minutes, so that it is night in one room and
        still day in the next.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: fire}}
              other:
                in: desk
                source: {led: red 0603, current: 2 mA}
                pattern: {kind: fire}
            scenes:
              day: {lasts: 2 min}
              night: {lasts: 2 min, levels: {steady: 20 %}}
            controllers:
              one: {type: "8-bit AVR, 14 pins", regulator: "yes", groups: [steady]}
              two: {type: "8-bit AVR, 14 pins", regulator: "yes", groups: [other]}

    Mend
        Take the types with a crystal that the finding names, or put all groups on one controller.

    Source
        [CONTROLLERS] for the clocks; [PRACTICE] for the 5 s.
    """
    in_turn = [scene for scene in scenes if scene.trigger is Trigger.IN_TURN]
    if len(in_turn) < 2 and not any(scene.trigger is Trigger.TIMER for scene in scenes):
        return
    worst = max(
        combinations(planned, 2), key=lambda pair: apart_s(pair[0].kind, pair[1].kind), default=None
    )
    if worst is None or apart_s(worst[0].kind, worst[1].kind) <= APART_S:
        return
    first, second = worst
    loose = [one for one in planned if not has_crystal(one.kind)]
    wanted = max(len(one.pins.channels) + len(one.pins.buttons) for one in loose)
    better = min(
        (kind for kind in types if has_crystal(kind) and len(kind.pins) >= wanted),
        key=lambda kind: (kind.language != "C", len(kind.pins)),
        default=None,
    )
    names = " and ".join(f"'{one.controller.name}'" for one in loose)
    yield Told(
        where=loose[0].controller.where,
        message=f"'{first.controller.name}' and '{second.controller.name}' play the scenes by "
        "clocks of their own, and may be "
        f"{apart_s(first.kind, second.kind) / 60.0:.0f} min apart after an hour",
        remedy=f'write type: "{better.name}" for {names}, which a crystal keeps in time'
        if better
        else "put all groups on one controller",
    )
