"""Rules about what switches the groups: BLP001, BLP005, BLP007 to BLP012, and all together."""

from collections.abc import Iterable, Mapping, Sequence

from lamphouse.blink.astable_plan import Unfit
from lamphouse.blink.pin_rules import (
    Fitting,
    Planned,
    no_such_pin,
    too_little_memory,
    too_many_groups,
    too_much_current,
)
from lamphouse.blink.timekeeping import scenes_by_several_clocks
from lamphouse.catalogue.controllers import ControllerType
from lamphouse.catalogue.switches import SwitchType
from lamphouse.design.controller import Controller
from lamphouse.design.day_scenes import Scene, Trigger
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Supply
from lamphouse.findings import Finding, Severity, Told, Where, rule
from lamphouse.units import Quantity, show

MOST_REGULATOR_W = 1.0
"""Heat that a small linear regulator gets rid of without a cooler [PRACTICE]."""
LEAST_OVER_V = 1.5
"""What a linear regulator needs above what it gives [PRACTICE]."""
REGULATED_V = 5.0
"""What a regulator gives."""


def judge_controllers(
    controllers: Sequence[Controller],
    *,
    planned: Sequence[Planned],
    failed: Mapping[str, Unfit],
    groups: Sequence[SourceGroup],
    shares: Mapping[str, tuple[str, ...]],
    scenes: Sequence[Scene],
    supply: Supply,
    types: Sequence[ControllerType],
    switches: Sequence[SwitchType],
    fitting: Fitting,
) -> tuple[Finding, ...]:
    """Judge all controllers of a model.

    Parameters
    ----------
    planned, failed
        What came of each: pins and memory, or why a timer chip cannot do it.
    groups
        Those that are switched, in the order of the file.
    shares
        The groups of each controller.
    types, switches
        What there is to choose from.
    fitting
        Tries a shorter chance.
    """
    return (
        *nobody_switches(
            groups, shares=shares, controllers=controllers, supply=supply, types=types
        ),
        *too_many_groups(planned, groups=groups, types=types),
        *no_such_pin(planned),
        *too_much_current(planned, switches=switches),
        *wrong_voltage(controllers, supply=supply, types=types),
        *too_little_memory(planned, fitting=fitting, types=types),
        *switched_twice(controllers, shares=shares),
        *no_button(scenes, planned=planned, controllers=controllers),
        *no_beat_for_a_timer(controllers, failed=failed),
        *set_torn_apart(groups, shares=shares),
        *scenes_by_several_clocks(planned, scenes=scenes, types=types),
        *nothing_to_switch(controllers, groups=groups, shares=shares),
    )


@rule("BLP001", Severity.NOTE, "Groups blink, and nothing switches them")
def nobody_switches(
    groups: Sequence[SourceGroup],
    *,
    shares: Mapping[str, tuple[str, ...]],
    controllers: Sequence[Controller],
    supply: Supply,
    types: Sequence[ControllerType],
) -> Iterable[Told]:
    """Look for source groups that change over time and hang on no controller.

    What it checks
        Every group whose pattern is not steady, or that a scene changes, is switched by a
        controller.

    Why it matters
        Until something switches them their LEDs burn steadily. Pins, transistors, resistors and the
        program follow from the controller, and are planned only with one.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: beacon, period: 2 s}}

    Mend
        Add the controller that the finding names.

    Source
        Design rule of this project.
    """
    switched = {name for names in shares.values() for name in names}
    left = [group for group in groups if group.name not in switched]
    if not left:
        return
    fit = fitting_type(len(left), types=types, supply=supply)
    name = free_name("blinker", taken=[one.name for one in controllers])
    named = ", ".join(f"'{group.name}'" for group in left[:4])
    more = f" and {len(left) - 4} more" if len(left) > 4 else ""
    regulator = ", regulator: yes" if fit and not _feeds(supply, fit) else ""
    yield Told(
        where=left[0].where,
        message=f"nothing switches {named}{more}: without a controller they burn steadily",
        remedy=f'add controllers: {{{name}: {{type: "{fit.name}"{regulator}}}}}'
        if fit
        else "add a controller under controllers, or several with some of the groups each",
    )


def fitting_type(
    count: int, *, types: Sequence[ControllerType], supply: Supply
) -> ControllerType | None:
    """Choose a controller with pins for so many groups, the smallest that the supply can feed."""
    able = [one for one in types if min(len(one.pins), one.most_groups) >= count]
    able.sort(key=lambda one: (not _feeds(supply, one), one.language != "C", len(one.pins)))
    return able[0] if able else None


def free_name(stem: str, *, taken: Sequence[str]) -> str:
    """Give a name that no controller has yet."""
    number = 1
    name = stem
    while name in taken:
        number += 1
        name = f"{stem} {number}"
    return name


def _feeds(supply: Supply, kind: ControllerType) -> bool:
    off = supply.tolerance + supply.ripple
    low, high = supply.voltage_V * (1.0 - off), supply.voltage_V * (1.0 + off)
    return kind.least_V <= low and high <= kind.most_V


@rule("BLP005", Severity.STOP, "A controller that its supply does not suit", can_be_accepted=False)
def wrong_voltage(
    controllers: Sequence[Controller], *, supply: Supply, types: Sequence[ControllerType]
) -> Iterable[Told]:
    """Look for controllers and timer chips fed with too much or too little.

    What it checks
        The supply, at both ends of its tolerance, is within what the controller stands; with
        ``regulator: yes`` it is enough for a regulator of 5 V above it, which sheds no more than
        1 W.

    Why it matters
        Above its limit a controller is destroyed at the first plugging in. Below it the program
        starts and stops by chance, unless a brown-out detector holds it.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: beacon, period: 2 s}}
            controllers:
              chip: {type: "8-bit AVR, 28 pins"}

    Mend
        Write ``regulator: yes``, take a supply or a controller that the finding names.

    Source
        Data sheets; [PRACTICE] for the regulator.
    """
    off = supply.tolerance + supply.ripple
    low, high = supply.voltage_V * (1.0 - off), supply.voltage_V * (1.0 + off)
    given = " to ".join(show(volts, Quantity.VOLTAGE, digits=3) for volts in (low, high))
    for one in controllers:
        part = one.controller_type or one.chip
        if part is None:
            continue
        stands = f"{part.least_V:g} to {part.most_V:g} V"
        if one.regulated:
            heat_W = (high - REGULATED_V) * part.own_A
            if low < REGULATED_V + LEAST_OVER_V:
                yield Told(
                    where=one.where,
                    message=f"a regulator of {REGULATED_V:g} V wants {LEAST_OVER_V:g} V above it, "
                    f"and the supply has {given}",
                    remedy="write regulator: no"
                    if part.least_V <= low and high <= part.most_V
                    else f"take a supply of {REGULATED_V + LEAST_OVER_V + 0.5:g} V or more, or of "
                    f"{stands}",
                )
            elif heat_W > MOST_REGULATOR_W:
                yield Told(
                    where=one.where,
                    message=f"a linear regulator would shed {heat_W:.1f} W between {given} and "
                    f"{REGULATED_V:g} V, of at most {MOST_REGULATOR_W:g} W without a cooler",
                    remedy="feed it from a supply of its own, or write regulator: no and put a "
                    "bought step-down converter in its lead",
                )
        elif not (part.least_V <= low and high <= part.most_V):
            others = [kind.name for kind in types if kind.least_V <= low and high <= kind.most_V]
            other = f', or take "{others[0]}"' if others and one.controller_type else ""
            mend = (
                "write regulator: yes"
                if low >= REGULATED_V + LEAST_OVER_V
                else f"take a supply of {stands}"
            )
            yield Told(
                where=one.where,
                message=f"'{part.name}' stands {stands}, and the supply has {given}",
                remedy=mend + other,
            )


@rule("BLP007", Severity.STOP, "A group on two controllers")
def switched_twice(
    controllers: Sequence[Controller], *, shares: Mapping[str, tuple[str, ...]]
) -> Iterable[Told]:
    """Look for groups that two controllers name.

    What it checks
        Every source group is named by one controller at most.

    Why it matters
        Two outputs on one wire fight each other: the stronger shows, and both get hot.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: beacon, period: 2 s}}
            controllers:
              one: {type: "8-bit AVR, 14 pins", regulator: "yes", groups: [steady]}
              two: {type: "8-bit AVR, 14 pins", regulator: "yes", groups: [steady]}

    Mend
        Take it out of one of them.

    Source
        Design rule of this project.
    """
    first: dict[str, str] = {}
    for one in controllers:
        for name in shares.get(one.name, ()):
            other = first.setdefault(name, one.name)
            if other != one.name:
                left = [kept for kept in one.groups if kept != name]
                yield Told(
                    where=one.where,
                    message=f"'{name}' hangs on '{other}' already",
                    remedy=f"write groups: [{', '.join(left)}] here"
                    if left
                    else "remove this controller, or give it groups of its own",
                )


@rule("BLP008", Severity.WARN, "A scene whose button has no pin")
def no_button(
    scenes: Sequence[Scene], *, planned: Sequence[Planned], controllers: Sequence[Controller]
) -> Iterable[Told]:
    """Look for scenes that a button begins and no controller has a pin for, and the reverse.

    What it checks
        A scene with ``trigger: button`` has a pin under ``buttons`` of each controller with a
        program; a scene named under ``buttons`` is begun by one.

    Why it matters
        Without its button the scene never plays. With a button on one of two controllers only half
        of the model plays it.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: beacon, period: 2 s}}
            scenes:
              alarm: {lasts: 10 s, trigger: button}
            controllers:
              chip: {type: "8-bit AVR, 14 pins", regulator: "yes"}

    Mend
        Write the free pin that the finding names under ``buttons``.

    Source
        Design rule of this project.
    """
    for one in planned:
        free = [pin for pin in reversed(one.kind.all_pins) if pin in one.pins.free]
        named = dict(one.controller.buttons)
        for scene in scenes:
            if scene.trigger is Trigger.BUTTON and scene.name not in named:
                pin = free.pop(0) if free else ""
                mend = f'write buttons: {{{scene.name}: "{pin}"}} there'
                yield Told(
                    where=scene.where,
                    message=f"a button is to begin it, and '{one.controller.name}' has none for it",
                    remedy=mend if pin else "take a controller with a pin more",
                )
    triggers = {scene.name: scene.trigger for scene in scenes}
    for controller in controllers:
        for name, pin in controller.buttons:
            if triggers.get(name, Trigger.BUTTON) is not Trigger.BUTTON:
                yield Told(
                    where=controller.where,
                    message=f"pin {pin} has a button for '{name}', which comes {triggers[name]}",
                    remedy=f"write trigger: button in the scene '{name}', or remove the button",
                )


@rule("BLP009", Severity.STOP, "A pattern that a timer chip cannot play")
def no_beat_for_a_timer(
    controllers: Sequence[Controller], *, failed: Mapping[str, Unfit]
) -> Iterable[Told]:
    """Look for timer chips that are asked for more than a steady beat.

    What it checks
        An astable switches one beacon without fade, the two of a grade crossing, or a chase of two
        to ten groups in one set, a timer ring such a chase; at full light, in no scene, with times
        that a film capacitor keeps, and with a transistor that fits each group. In a ring the end
        of one chip starts the next in the worst case.

    Why it matters
        A timer chip goes on and off, and that is all.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: fire}}
            controllers:
              chip: {kind: astable, groups: [steady]}

    Mend
        As the finding says: another pattern, or a controller with a program.

    Source
        [TIMER-CHIP]
    """
    for one in controllers:
        wrong = failed.get(one.name)
        if wrong:
            named = f"'{wrong.group}': " if wrong.group else ""
            yield Told(where=one.where, message=named + wrong.why, remedy=wrong.mend)


@rule("BLP010", Severity.WARN, "A set whose lamps keep time by two clocks")
def set_torn_apart(
    groups: Sequence[SourceGroup], *, shares: Mapping[str, tuple[str, ...]]
) -> Iterable[Told]:
    """Look for sets of which one controller switches some groups and another the rest.

    What it checks
        All groups with one word under ``set`` hang on the same controller.

    Why it matters
        No two clocks run alike. Of a crossing on two controllers both lamps are soon lit at once.

    Example
        ::

            groups:
              left:
                in: desk
                source: {led: red 0603, current: 2 mA}
                pattern: {kind: grade crossing, period: 1 s, set: rails}
              right:
                in: desk
                source: {led: red 0603, current: 2 mA}
                pattern: {kind: grade crossing, period: 1 s, set: rails}
            controllers:
              one: {type: "8-bit AVR, 14 pins", regulator: "yes", groups: [left]}
              two: {type: "8-bit AVR, 14 pins", regulator: "yes", groups: [right]}

    Mend
        Name all of them under one controller.

    Source
        [PRACTICE]
    """
    holders = {name: controller for controller, names in shares.items() for name in names}
    sets: dict[str, dict[str, Where]] = {}
    members: dict[str, list[str]] = {}
    for group in groups:
        word, holder = group.pattern.set_name, holders.get(group.name)
        if word and holder:
            sets.setdefault(word, {}).setdefault(holder, group.where)
            members.setdefault(word, []).append(group.name)
    for word, found in sets.items():
        if len(found) > 1:
            (first, _), (other, where), *_ = found.items()
            yield Told(
                where=where,
                message=f"the set '{word}' hangs on '{first}' and on '{other}', which do not keep "
                "the same time",
                remedy=f"name {', '.join(members[word])} under groups of '{first}' alone",
            )


@rule("BLP012", Severity.NOTE, "A controller with nothing to switch")
def nothing_to_switch(
    controllers: Sequence[Controller],
    *,
    groups: Sequence[SourceGroup],
    shares: Mapping[str, tuple[str, ...]],
) -> Iterable[Told]:
    """Look for controllers without a group, and for groups under one that never change.

    What it checks
        Each controller switches a group at least, and every group it names changes over time or in
        a scene.

    Why it matters
        A group that burns steadily has no wire of its own to switch, and gets no pin.

    Example
        ::

            controllers:
              chip: {type: "8-bit AVR, 14 pins", regulator: "yes", groups: [steady]}

    Mend
        Give the group a pattern or a level in a scene, or take it out.

    Source
        Design rule of this project.
    """
    changing = {group.name for group in groups}
    for one in controllers:
        named = shares.get(one.name, ())
        still = [name for name in named if name not in changing]
        if still:
            yield Told(
                where=one.where,
                message=f"nothing ever changes of {', '.join(still)}: no pin is given to that",
                remedy="give it a pattern, or a level in a scene, or take it out of groups",
            )
        elif not named:
            yield Told(
                where=one.where,
                message="no group is left for it to switch",
                remedy="name groups for it, or remove it",
            )
