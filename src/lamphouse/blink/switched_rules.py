"""Rules about which controller switches which group: BLP001, BLP007, BLP010 and BLP012."""

from collections.abc import Iterable, Mapping, Sequence

from lamphouse.blink.controller_feed_rules import feeds
from lamphouse.catalogue.controllers import ControllerType
from lamphouse.design.controller import Controller
from lamphouse.design.strand import SourceGroup
from lamphouse.design.supply import Supply
from lamphouse.findings import Severity, Told, Where, rule


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
    fit = _fitting_type(len(left), types=types, supply=supply)
    name = _free_name("blinker", taken=[one.name for one in controllers])
    named = ", ".join(f"'{group.name}'" for group in left[:4])
    more = f" and {len(left) - 4} more" if len(left) > 4 else ""
    regulator = ", regulator: yes" if fit and not feeds(supply, fit) else ""
    yield Told(
        where=left[0].where,
        message=f"nothing switches {named}{more}: without a controller they burn steadily",
        remedy=f'add controllers: {{{name}: {{type: "{fit.name}"{regulator}}}}}'
        if fit
        else "add a controller under controllers, or several with some of the groups each",
    )


def _fitting_type(
    count: int, *, types: Sequence[ControllerType], supply: Supply
) -> ControllerType | None:
    """Choose a controller with pins for so many groups, the smallest that the supply can feed."""
    able = [one for one in types if min(len(one.pins), one.most_groups) >= count]
    able.sort(key=lambda one: (not feeds(supply, one), one.language != "C", len(one.pins)))
    return able[0] if able else None


def _free_name(stem: str, *, taken: Sequence[str]) -> str:
    """Give a name that no controller has yet."""
    number = 1
    name = stem
    while name in taken:
        number += 1
        name = f"{stem} {number}"
    return name


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
